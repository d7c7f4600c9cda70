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

/// Two stops next door, of as many nights each, `drive_hours` before the second; 100 Ah with 90 above the reserve
/// and nothing but a steady ampere on them.
pub fn steady(zone: &str, start: &str, nights: [u32; 2], drive_hours: f64) -> Value {
    let mut whole = trip(0.0, nights[0]);
    whole["itinerary"]["time_zone"] = json!(zone);
    whole["itinerary"]["start"] = json!(start);
    let mut second = whole["itinerary"]["legs"][0].clone();
    second["to"] = json!("Hill");
    second["drive_hours"] = json!(drive_hours);
    second["nights"] = json!(nights[1]);
    pushed(&mut whole["itinerary"]["legs"], second);
    whole["banks"] = json!([{ "id": "bank", "chemistry": "lfp", "capacity_ah": 100, "reserve_soc": 0.1,
        "standby_ma": 0 }]);
    whole["loads"] = json!([{ "id": "load", "bank": "bank", "kind": "steady", "current_a": 1, "use_spread": 0 }]);
    whole
}

/// Puts a part behind those of a list.
pub fn pushed(list: &mut Value, part: Value) {
    list.as_array_mut().expect("a list").push(part);
}

/// Reads a file that needs no other.
pub fn reading(whole: &Value) -> Result<Scenario, String> {
    let none = |_: &str| Err("no file".to_owned());
    match read(&whole.to_string(), "by-hand.json", &none) {
        Ok(reading) => Ok(reading.scenario),
        Err(refusal) => Err(refusal.to_string()),
    }
}

pub fn checked(whole: &Value) -> Scenario {
    reading(whole).unwrap_or_else(|refusal| panic!("{refusal}"))
}

/// The words that refuse a file.
pub fn refused(whole: &Value) -> String {
    reading(whole).expect_err("refused")
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
