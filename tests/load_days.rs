//! Loads of some stops and some dates, and legs by distance and speed: the schedule by hand.
//!
//! One job: what `at`, `not_at`, `every_days`, `distance_km` and `speed_kmh` come to in hours.

#![expect(clippy::unwrap_used, reason = "a test fails by panicking")]

mod one_run;

use one_run::{Tideover, refusal_of};
use serde_json::{Value, json};

/// From midnight of 1 July: drive 08:00 to 10:00, two nights at A; drive 08:00 to 10:00 on the 3rd, two nights at
/// B; end on the 5th at 08:00, 104 h after the beginning. All loads draw 1 A.
fn trip(load: &Value) -> Value {
    let mut whole =
        json!({ "id": "it", "bank": "main", "kind": "steady", "current_a": 1, "use_spread": 0 });
    for (key, value) in load.as_object().unwrap() {
        whole[key] = value.clone();
    }
    json!({ "format": 1, "title": "By hand",
        "itinerary": { "start": "2027-07-01T00:00", "time_zone": "Africa/Gaborone",
            "from": { "name": "Town", "lat": -20.0, "lon": 24.0 },
            "legs": [
                { "to": "A", "lat": -20.5, "lon": 25.0, "depart": "08:00", "drive_hours": 2, "nights": 2 },
                { "to": "B", "lat": -20.0, "lon": 24.0, "depart": "08:00", "distance_km": 160, "speed_kmh": 80, "nights": 2 }] },
        "banks": [{ "id": "main", "chemistry": "lfp", "capacity_ah": 1000 }],
        "loads": [whole] })
}

const TRIP_H: f64 = 104.0;

/// Ampere-hours that the load asks for over the trip.
fn asked_ah(load: &Value) -> f64 {
    let text = trip(load).to_string();
    let ran = Tideover::new()
        .scenario(&text)
        .args(["budget", "base.json", "--trials", "5", "--json"])
        .succeeds();
    let found = ran.json();
    let loads = found["banks"][0]["loads"].as_array().unwrap();
    let it = loads.iter().find(|load| load["id"] == "it").unwrap();
    it["ah_per_day"].as_f64().unwrap() * TRIP_H / 24.0
}

/// By hand: hours in which 1 A flows.
#[test]
fn by_hand_hours_at_stops_and_on_dates() {
    for (load, hours) in [
        (json!({}), 104.0),
        // From the departure to B on the 3rd at 08:00 to the end.
        (json!({ "at": ["B"] }), 48.0),
        (json!({ "at": [2] }), 48.0),
        (json!({ "at": "B" }), 48.0),
        // From the first departure to the second.
        (json!({ "at": ["A"] }), 48.0),
        (json!({ "at": ["A", 2] }), 96.0),
        // The eight hours before the first departure belong to no stop.
        (json!({ "not_at": ["B"] }), 56.0),
        (json!({ "not_at": ["A", "B"] }), 8.0),
        // Parked at A: 10:00 of the 1st to 08:00 of the 3rd.
        (json!({ "at": ["A"], "where": "camp" }), 46.0),
        (json!({ "at": ["A"], "where": "driving" }), 2.0),
        // The 1st, the 3rd, and eight hours of the 5th.
        (json!({ "every_days": 2 }), 56.0),
        // The 1st and the 4th.
        (json!({ "every_days": 3 }), 48.0),
        // Of B's time the 3rd from 08:00 and the 5th to 08:00.
        (json!({ "every_days": 2, "at": ["B"] }), 24.0),
        // Evenings of the 1st and the 3rd, the night after them included: 22:00 to 02:00.
        (
            json!({ "every_days": 2, "when": { "window": ["22:00", "02:00"] } }),
            8.0,
        ),
        (
            json!({ "kind": "hours", "hours_per_day": 2, "every_days": 2, "when": { "window": ["18:00", "22:00"] } }),
            4.0,
        ),
        (json!({ "kind": "duty", "duty": 0.25, "at": ["B"] }), 12.0),
        // Half an hour on the departure to B; on both arrivals; on the arrival of the 3rd.
        (
            json!({ "kind": "event", "minutes": 30, "on": "depart", "at": ["B"] }),
            0.5,
        ),
        (
            json!({ "kind": "event", "minutes": 30, "on": "arrive" }),
            1.0,
        ),
        (
            json!({ "kind": "event", "minutes": 30, "on": "arrive", "every_days": 2 }),
            1.0,
        ),
        (
            json!({ "kind": "event", "minutes": 30, "on": "arrive", "every_days": 3 }),
            0.5,
        ),
        // At noon of the 1st to the 4th; of the 1st and 4th; of the days at B.
        (
            json!({ "kind": "event", "minutes": 30, "on": "daily", "at": "12:00" }),
            2.0,
        ),
        (
            json!({ "kind": "event", "minutes": 30, "on": "daily", "at": "12:00", "every_days": 3 }),
            1.0,
        ),
        (
            json!({ "kind": "event", "minutes": 30, "on": "daily", "at": "12:00", "not_at": ["A"] }),
            1.0,
        ),
        // Without a time at 08:00: of the 3rd, on departure to B, and of the 4th.
        (
            json!({ "kind": "event", "minutes": 30, "on": "daily", "at": ["B"] }),
            1.0,
        ),
    ] {
        let asked = asked_ah(&load);
        assert!((asked - hours).abs() < 0.02, "{load}: {asked} for {hours}");
    }
}

/// By hand: 180 km at 60 to 100 km/h, most likely 90, are 1.8, 2 and 3 h.
#[test]
fn by_hand_hours_of_a_way_and_a_speed() {
    let mut file = trip(&json!({}));
    file["itinerary"]["legs"][1]["distance_km"] = json!(180);
    file["itinerary"]["legs"][1]["speed_kmh"] = json!({ "min": 60, "likely": 90, "max": 100 });
    let none = |_: &str| Err(String::new());
    let reading = tideover::scenario::read(&file.to_string(), "a.json", &none).unwrap();
    let hours = reading.scenario.itinerary.legs[1].drive_hours;
    for (found, wanted) in [(hours.min, 1.8), (hours.likely, 2.0), (hours.max, 3.0)] {
        assert!((found - wanted).abs() < 1e-12, "{hours:?}");
    }
    // Hours set by a study stand in for both.
    let changes = tideover::scenario::Changes::one("itinerary.legs.2.drive_hours", 5);
    let changed = reading.scenario.with(&changes).unwrap();
    assert!((changed.itinerary.legs[1].drive_hours.min - 5.0).abs() < 1e-12);
}

#[test]
fn refuses_stops_and_ways_that_do_not_hold() {
    let leg = |keys: &[(&str, Value)]| {
        let mut file = trip(&json!({}));
        let leg = file["itinerary"]["legs"][1].as_object_mut().unwrap();
        leg.remove("distance_km");
        leg.remove("speed_kmh");
        for (key, value) in keys {
            leg.insert((*key).to_owned(), value.clone());
        }
        refusal_of(&file.to_string())
    };
    let load = |load: &Value| refusal_of(&trip(load).to_string());
    for (text, wanted) in [
        (
            load(&json!({ "at": ["C"] })),
            "/loads/0/at/0 (it)\n    is `C`, but must be the name of a stop, or its number from 1\n    hint: did you mean",
        ),
        (
            load(&json!({ "at": [3] })),
            "/loads/0/at/0 (it)\n    is 3, but must be the number of a stop, from 1 to 2\n",
        ),
        (
            load(&json!({ "at": [] })),
            "/loads/0/at (it)\n    has 0 entries, but must have from 1 to 400\n",
        ),
        (
            load(&json!({ "at": ["A"], "not_at": ["B"] })),
            "/loads/0/not_at (it)\n    is given beside `at`, but one of the two must be left out\n",
        ),
        (
            load(&json!({ "at": "12:00" })),
            "/loads/0/at (it)\n    does not belong to the kind `steady`, but to `event`\n",
        ),
        (
            load(&json!({ "every_days": 0 })),
            "/loads/0/every_days (it)\n    is 0, but must be a whole number from 1 to 60\n",
        ),
        (
            leg(&[]),
            "/itinerary/legs/1 (B)\n    has neither `drive_hours` nor `distance_km`, but must have one of them\n",
        ),
        (
            leg(&[("distance_km", json!(100))]),
            "/itinerary/legs/1/speed_kmh (B)\n    is missing beside `distance_km`\n",
        ),
        (
            leg(&[("speed_kmh", json!(80))]),
            "/itinerary/legs/1/distance_km (B)\n    is missing beside `speed_kmh`\n",
        ),
        (
            leg(&[("drive_hours", json!(2)), ("distance_km", json!(100))]),
            "/itinerary/legs/1/distance_km (B)\n    is given beside `drive_hours`, but one of the two must be left out\n",
        ),
        (
            leg(&[("distance_km", json!(100)), ("speed_kmh", json!(0))]),
            "/itinerary/legs/1/speed_kmh (B)\n    is 0, but must be from 1 to 200\n",
        ),
    ] {
        assert!(text.contains(wanted), "{text}\nlacks\n{wanted}");
    }
}
