//! A trip of one leg for figures by hand.
//!
//! One job: the file and its run without chance. Invented.
#![allow(
    dead_code,
    unreachable_pub,
    reason = "each test file uses its own part"
)]

use serde_json::{Value, json};
use tideover::engine::{Draws, Outcome, Unobserved, run_batch};
use tideover::scenario::{Scenario, read};
use tideover::timeline::Timeline;
use tideover::timeline::calendar::Plan;
use tideover::trials::Drawing;

/// A trip of one leg with these nights; mild, dull weather, and nothing in it yet.
pub fn trip(drive_hours: f64, nights: u32) -> Value {
    json!({
        "format": 1, "title": "By hand", "system_voltage_v": 12,
        "itinerary": {
            "start": "2027-07-03T08:00", "time_zone": "Africa/Gaborone",
            "from": { "name": "Town", "lat": -20.0, "lon": 24.0 },
            "legs": [{ "to": "Pan", "lat": -20.0, "lon": 24.0, "depart": "08:00",
                "drive_hours": drive_hours, "nights": nights }]
        },
        "climate": { "kind": "monthly", "months": [
            { "month": 7, "kt": 0.5, "day_min_c": 24, "day_max_c": 26 }] },
        "banks": [], "chargers": [], "loads": []
    })
}

pub fn checked(whole: &Value) -> Scenario {
    let none = |_: &str| Err("no file".to_owned());
    match read(&whole.to_string(), "by-hand.json", &none) {
        Ok(reading) => reading.scenario,
        Err(refusal) => panic!("{refusal}"),
    }
}

pub fn typical(whole: &Value) -> Outcome {
    let scenario = checked(whole);
    let timeline = Timeline::new(&scenario, Plan::Trip, 5).expect("weather");
    let drawing = Drawing::new(&scenario, &timeline, 1, &[]);
    run_batch(&timeline, &drawing.typical(), &mut Unobserved)
}

/// Timeline in steps of 5 minutes, and the draws without chance.
pub fn drawn(scenario: &Scenario) -> (Timeline, Draws) {
    let timeline = Timeline::new(scenario, Plan::Trip, 5).expect("weather");
    let draws = Drawing::new(scenario, &timeline, 1, &[]).typical();
    (timeline, draws)
}
