//! Places by name: what is found, which of several is meant, and what the itinerary makes of it.
//!
//! One job: the look-up through the library's door, and scenario files without degrees. That the
//! table is its source is `pack_places`'s.

#![expect(clippy::unwrap_used, reason = "a test fails by panicking")]

use tideover::places::{alike, find, nearest};
use tideover::scenario::{Reading, read};

fn scenario(from: &str, legs: &str, more: &str) -> String {
    format!(
        r#"{{ "format": 1, "itinerary": {{ "start": "2027-07-03T07:30", {more} "from": {from}, "legs": [{legs}] }},
        "banks": [{{ "id": "main", "chemistry": "lfp", "capacity_ah": 100 }}], "loads": [] }}"#
    )
}

fn accepted(text: &str) -> Reading {
    read(text, "trip.json", &|_| Err("no files here".to_owned()))
        .map_err(|refusal| refusal.to_string())
        .unwrap()
}

fn refused(text: &str) -> String {
    read(text, "trip.json", &|_| Err("no files here".to_owned()))
        .map(|_| ())
        .unwrap_err()
        .to_string()
}

/// Outside figures: positions and zones as atlases and the zone database have them, from memory, to
/// a tenth of a degree.
#[test]
fn outside_well_known_towns_lie_where_they_lie() {
    for (name, lat, lon, zone) in [
        ("Coober Pedy, AU", -29.0, 134.8, "Australia/Adelaide"),
        ("Alice Springs", -23.7, 133.9, "Australia/Darwin"),
        ("Tok, AK, US", 63.3, -143.0, "America/Anchorage"),
        ("maun, botswana", -20.0, 23.4, "Africa/Gaborone"),
        ("TROMSO", 69.7, 19.0, "Europe/Oslo"),
        ("Zürich, CH", 47.4, 8.5, "Europe/Zurich"),
        (
            "Ushuaia, Argentina",
            -54.8,
            -68.3,
            "America/Argentina/Ushuaia",
        ),
        ("Whitehorse, YT", 60.7, -135.1, "America/Whitehorse"),
    ] {
        let found = find(name);
        let first = found
            .first()
            .unwrap_or_else(|| panic!("{name} is not found"));
        assert!((first.lat_deg - lat).abs() < 0.1, "{name}: {first:?}");
        assert!((first.lon_deg - lon).abs() < 0.1, "{name}: {first:?}");
        assert_eq!(first.zone, zone, "{name}");
    }
}

/// Outside facts: capitals of the regions of Australia and Canada (from memory).
#[test]
fn outside_regions_without_letters_in_the_table_hold_their_capitals() {
    for (capital, letters, name) in [
        ("Canberra", "ACT", "Australian Capital Territory"),
        ("Sydney", "NSW", "New South Wales"),
        ("Darwin", "NT", "Northern Territory"),
        ("Brisbane", "QLD", "Queensland"),
        ("Adelaide", "SA", "South Australia"),
        ("Hobart", "TAS", "Tasmania"),
        ("Melbourne", "VIC", "Victoria"),
        ("Perth", "WA", "Western Australia"),
        ("Edmonton", "AB", "Alberta"),
        ("Victoria", "BC", "British Columbia"),
        ("Winnipeg", "MB", "Manitoba"),
        ("Fredericton", "NB", "New Brunswick"),
        ("St. John's", "NL", "Newfoundland and Labrador"),
        ("Halifax", "NS", "Nova Scotia"),
        ("Toronto", "ON", "Ontario"),
        ("Charlottetown", "PE", "Prince Edward Island"),
        ("Québec", "QC", "Quebec"),
        ("Regina", "SK", "Saskatchewan"),
        ("Whitehorse", "YT", "Yukon"),
        ("Yellowknife", "NT", "Northwest Territories"),
        ("Iqaluit", "NU", "Nunavut"),
    ] {
        let found = find(&format!("{capital}, {letters}"));
        assert!(!found.is_empty(), "{capital}, {letters}");
        assert!(found[0].region_name == name, "{capital}: {:?}", found[0]);
        assert_eq!(find(&format!("{capital}, {name}"))[0], found[0]);
    }
}

#[test]
fn law_a_place_is_the_nearest_to_itself() {
    for name in ["Birdsville", "Longyearbyen", "Suva", "Apia", "Halls Creek"] {
        let Some(place) = find(name).first().copied() else {
            continue;
        };
        let (near, km) = nearest(place.lat_deg, place.lon_deg).unwrap();
        assert!(km < 1.0, "{name}: {} {km}", near.name);
    }
}

#[test]
fn law_a_slip_of_the_finger_still_leads_there() {
    for (typed, meant) in [
        ("Cober Pedy", "Coober Pedy, SA, AU"),
        ("Alice Spirngs, AU", "Alice Springs, NT, AU"),
    ] {
        let names: Vec<String> = alike(typed, 3)
            .iter()
            .map(|place| place.full_name())
            .collect();
        assert!(names.contains(&meant.to_owned()), "{typed}: {names:?}");
    }
}

/// By hand: a trip without degrees gets those of its places, the zone of its first one, and says so.
#[test]
fn by_hand_an_itinerary_by_names_alone() {
    let text = scenario(
        r#"{ "name": "Coober Pedy, AU" }"#,
        r#"{ "to": "Marree", "near": "Coober Pedy, AU", "km": 111.195, "bearing": "N", "drive_hours": 3, "nights": 1 },
           { "to": "Alice Springs", "drive_hours": 7 }"#,
        "",
    );
    let reading = accepted(&text);
    let itinerary = &reading.scenario.itinerary;
    assert_eq!(itinerary.zone.name(), "Australia/Adelaide");
    assert!(
        (itinerary.from.lat_deg + 29.01).abs() < 1e-9,
        "{:?}",
        itinerary.from
    );
    // 111.195 km are one degree of latitude on a sphere of 6371 km.
    assert!((itinerary.legs[0].stop.lat_deg + 28.01).abs() < 1e-4);
    assert!((itinerary.legs[1].stop.lat_deg + 23.7).abs() < 0.01);
    let said = |path: &str| {
        let line = reading.assumed.iter().find(|line| line.path == path);
        line.map(|line| format!("{}: {}", line.value, line.reason))
            .unwrap()
    };
    assert_eq!(
        said("/itinerary/time_zone"),
        "Australia/Adelaide: that of Coober Pedy, SA, AU, where the trip begins"
    );
    assert_eq!(
        said("/itinerary/legs/0/lat"),
        "-28.010: 111.195 km N of Coober Pedy, SA, AU"
    );
    assert_eq!(
        said("/itinerary/legs/1/lat"),
        "-23.7: Alice Springs, NT, AU of the built-in places"
    );
}

/// Of equal names the one nearest to the stop before counts, and the others are listed.
#[test]
fn by_hand_equal_names_are_told_apart_by_the_way() {
    let text = scenario(
        r#"{ "name": "Seattle, WA" }"#,
        r#"{ "to": "Portland", "drive_hours": 2 }"#,
        "",
    );
    let reading = accepted(&text);
    let portland = &reading.scenario.itinerary.legs[0].stop;
    // Portland, Oregon, is some 230 km from Seattle; Portland, Maine, 4,000 km.
    assert!((portland.lat_deg - 45.52).abs() < 0.05, "{portland:?}");
    let warning = reading
        .warnings
        .iter()
        .find(|warning| warning.path == "/itinerary/legs/0/to")
        .unwrap();
    assert!(
        warning
            .text
            .contains("taken as Portland, OR, US (Oregon, United States, 23"),
        "{}",
        warning.text
    );
    assert!(
        warning.text.contains("Portland, OR, US"),
        "{}",
        warning.text
    );
}

#[test]
fn refuses_places_that_cannot_be_found_or_are_said_twice() {
    let leg = r#"{ "to": "Maun, BW", "drive_hours": 2 }"#;
    for (from, sentence) in [
        (
            r#"{ "name": "Cober Pedy, AU" }"#,
            "is `Cober Pedy, AU`, which is none of the built-in places (500 people and more), and has no `lat` and `lon`\n    hint: did you mean `Coober Pedy, SA, AU`?",
        ),
        (
            r#"{ "name": "The old bore" }"#,
            "hint: give `lat` and `lon`, or a town with `\"near\": \"Town, Country\", \"km\": 30, \"bearing\": \"NW\"`",
        ),
        (
            r#"{ "name": "Maun", "lat": -20 }"#,
            "/itinerary/from/lon (Maun)\n    is missing beside `lat`",
        ),
        (
            r#"{ "name": "Maun", "lat": -20, "lon": 23, "near": "Maun", "km": 3, "bearing": "N" }"#,
            "is given beside `lat`",
        ),
        (
            r#"{ "name": "Camp", "near": "Maun, BW", "km": 3 }"#,
            "/itinerary/from/bearing (Camp)\n    is missing beside `near`",
        ),
        (
            r#"{ "name": "Camp", "near": "Maun, BW", "km": 3, "bearing": "up" }"#,
            "is `up`, but must be a compass point such as `NW` or `NNW`, or degrees from 0 to 360",
        ),
    ] {
        let said = refused(&scenario(from, leg, ""));
        assert!(said.contains(sentence), "{from}\n{said}");
    }
}
