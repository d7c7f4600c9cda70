//! Slips that would spoil a holiday: places a sign away, clocks, units.
//!
//! One job: each doubt is told, with what is likely meant, and sound files have none of them. Where the places lie
//! is the built-in table's, held to its source elsewhere.

#![expect(clippy::unwrap_used, reason = "a test fails by panicking")]

mod one_run;

use one_run::{BASE, base_with, refusal_of};
use tideover::scenario::read;

fn warned(text: &str) -> Vec<(String, String)> {
    let reading = read(text, "a.json", &|_| Err("none".to_owned()))
        .map_err(|refusal| refusal.to_string())
        .unwrap();
    let warnings = reading.scenario.warnings.iter();
    warnings
        .map(|it| (it.path.clone(), it.text.to_string()))
        .collect()
}

/// A trip from one point to another in so many hours; `more` is put into the itinerary.
fn trip(from: (f64, f64), to: (f64, f64), hours: f64, more: &str) -> String {
    format!(
        r#"{{ "format": 1, "itinerary": {{ "start": "2027-07-03T07:30", {more} "lived_in": ["07:00", "21:00"],
        "from": {{ "name": "Home", "lat": {}, "lon": {} }},
        "legs": [{{ "to": "Camp", "lat": {}, "lon": {}, "drive_hours": {hours}, "nights": 2 }}] }},
        "banks": [{{ "id": "main", "chemistry": "lfp", "capacity_ah": 100 }}],
        "solar": [{{ "id": "roof", "to": "main", "panel_w": 100 }}], "loads": [] }}"#,
        from.0, from.1, to.0, to.1
    )
}

const ALICE: (f64, f64) = (-23.7, 133.88);
const ULURU: (f64, f64) = (-25.35, 131.03);
const TOK: (f64, f64) = (63.33, -142.99);
const DELTA: (f64, f64) = (64.04, -145.73);
const MAUN: (f64, f64) = (-19.98, 23.42);
const PAN: (f64, f64) = (-20.49, 25.18);

#[test]
fn law_right_places_are_not_doubted() {
    for (from, to, zone) in [
        (ALICE, ULURU, "Australia/Darwin"),
        (TOK, DELTA, "America/Anchorage"),
        (MAUN, PAN, "Africa/Gaborone"),
        // Clocks far from the sun, lawfully: the west of China and the Aleutians' mainland.
        ((39.47, 75.99), (38.9, 77.2), "Asia/Shanghai"),
        ((64.5, -165.41), (64.7, -164.0), "America/Anchorage"),
    ] {
        let found = warned(&trip(from, to, 5.0, &format!(r#""time_zone": "{zone}","#)));
        assert!(found.is_empty(), "{found:?}");
    }
    // The other way round the world the day changes, not the hour.
    let found = warned(&trip(
        (-17.77, 177.45),
        (-17.8, 177.6),
        1.0,
        r#""time_zone": "Pacific/Fiji","#,
    ));
    assert!(found.is_empty(), "{found:?}");
}

/// The minus of a southern latitude forgotten, that of a western longitude, and the two in each other's place.
#[test]
fn by_hand_the_place_a_sign_away_is_named() {
    let alice = "`\"lat\": -23.7` would be Alice Springs, NT, AU";
    let tok = "`\"lon\": -142.99` would be Tok, AK, US";
    let maun = "`\"lat\": -19.98, \"lon\": 23.42` would be Maun, BW";
    let told = |from, to| {
        let text = trip(from, to, 5.0, "");
        match read(&text, "a.json", &|_| Err("none".to_owned())) {
            Ok(reading) => reading.scenario.warnings[0].text.to_string(),
            Err(refusal) => refusal.to_string(),
        }
    };
    // In the Pacific, where no climate reaches, and on the wrong side of the Bering Strait.
    for (from, to, wanted) in [
        ((23.7, 133.88), ULURU, "/itinerary/from/lat (Home)\n    stands at 23.7, 133.88, where the built-in climate does not reach".to_owned()),
        ((23.7, 133.88), ULURU, format!("\n    hint: {alice}\n")),
        (ULURU, (23.7, 133.88), format!("\n    hint: {alice}\n")),
        ((63.33, 142.99), DELTA, format!("is 3330 km in a straight line from Camp, 5.0 h at the wheel: faster than 130 km/h; {tok}")),
        (DELTA, (63.33, 142.99), format!("is 3330 km in a straight line from Home, 5.0 h at the wheel: faster than 130 km/h; {tok}")),
        ((23.42, -19.98), PAN, maun.to_owned()),
    ] {
        let found = told(from, to);
        assert!(found.contains(&wanted), "{found} lacks {wanted}");
    }
    // Every minus forgotten: the stops fit each other, and not the clocks.
    let zone = r#""time_zone": "America/Anchorage","#;
    let found = warned(&trip((63.33, 142.99), (64.04, 145.73), 5.0, zone));
    let wanted =
        "is at 63.33° N 142.99° E, where the clocks of America/Anchorage are 6 h off the sun";
    assert_eq!(
        found,
        [("/itinerary/from/lat".to_owned(), wanted.to_owned())]
    );
}

#[test]
fn by_hand_a_leg_faster_than_any_road_and_a_start_half_a_day_off() {
    let found = warned(&trip(ALICE, ULURU, 1.5, ""));
    let fast = "is 342 km in a straight line from Home, 1.5 h at the wheel: faster than 130 km/h";
    assert_eq!(
        found,
        [("/itinerary/legs/0/lat".to_owned(), fast.to_owned())]
    );

    let evening = base_with("2027-07-03T07:30", "2027-07-03T05:15")
        .replace(r#""depart": "08:00""#, r#""depart": "17:30""#);
    let wanted = (
        "/itinerary/start".to_owned(),
        "is 12 h before the first departure at 17:30: is \"2027-07-03T17:15\" meant?".to_owned(),
    );
    assert!(warned(&evening).contains(&wanted), "{:?}", warned(&evening));
    // The evening before is when many know how full their banks are.
    let before = base_with("2027-07-03T07:30", "2027-07-02T20:00");
    assert!(
        warned(&before)
            .iter()
            .all(|(path, _)| path != "/itinerary/start")
    );
}

#[test]
fn by_hand_figures_of_another_unit() {
    for (piece, by, path, wanted) in [
        (
            r#""current_a": 0.6"#,
            r#""current_a": 45"#,
            "/loads/1/current_a",
            "draws 45 A, which is 540 W at 12 V; if 45 W are meant, write \"power_w\": 45",
        ),
        (
            r#""rated_a": 150"#,
            r#""rated_a": 1800"#,
            "/alternator/rated_a",
            "gives 1800 A, more than those of road vehicles; if 1800 W are meant, write \"rated_a\": 127, the amperes at 14.2 V",
        ),
        (
            r#""day_min_c": 6, "day_max_c": 24"#,
            r#""day_min_c": 38, "day_max_c": 59"#,
            "/climate/months/0/day_max_c",
            "has a mean of 59 °C, hotter than any month on Earth; if 59 °F are meant, write \"day_max_f\": 59",
        ),
    ] {
        let found = warned(&base_with(piece, by));
        assert!(
            found.contains(&(path.to_owned(), wanted.to_owned())),
            "{found:?}"
        );
        assert!(warned(BASE).iter().all(|(known, _)| known != path));
    }
}

#[test]
fn refuses_figures_of_another_unit_with_a_hint() {
    for (piece, by, hint) in [
        (
            r#""running_w": 45"#,
            r#""running_w": 45, "set_c": 38"#,
            "if 38 °F are meant, write \"set_f\": 38",
        ),
        (
            r#""reserve_soc": 0.1"#,
            r#""reserve_soc": 10"#,
            "write 0.1 for 10 %",
        ),
        (
            r#""lat": -20.49, "lon": 25.18"#,
            r#""lat": 133.88, "lon": -23.7"#,
            "have `lat` and `lon` changed places?",
        ),
        (
            r#""average_a": 1.3"#,
            r#""average_a": 16"#,
            "`average_a` is in amperes, not in watts",
        ),
        (
            r#""sun_hours": 5.6"#,
            r#""sun_hours": 11"#,
            "`sun_hours` are kWh/m² a day on the flat, hours of full sun, not hours of sunshine",
        ),
    ] {
        let refusal = refusal_of(&base_with(piece, by));
        assert!(refusal.contains(&format!("hint: {hint}\n")), "{refusal}");
    }
}
