//! The desert example, and cuts of it, as the benches want it.
//!
//! One job: scenarios with a given number of days, banks and loads, all else alike.

#![allow(
    dead_code,
    reason = "each bench is a program of its own and takes what it needs"
)]

use serde_json::{Value, json};
use tideover::scenario::{Scenario, read};
use tideover::timeline::Timeline;
use tideover::timeline::calendar::Plan;
use tideover::trials::{Drawing, Ensemble, RunSettings, Silent, run_trials};

/// Seed of every bench.
pub(crate) const SEED: u64 = 11;

/// The example that the bars of speed are set for.
pub(crate) const DESERT: &str = include_str!("../../scenarios/desert-crossing.json");

/// A checked scenario from its text.
pub(crate) fn scenario_of(text: &str) -> Scenario {
    let no_file = |_: &str| Err("no file here".to_owned());
    match read(text, "bench.json", &no_file) {
        Ok(reading) => reading.scenario,
        Err(refusal) => panic!("{refusal}"),
    }
}

/// What does not change, at the default step.
pub(crate) fn timeline_of(scenario: &Scenario) -> Timeline {
    Timeline::new(scenario, Plan::Trip, 5).expect("every day has a climate")
}

/// Runs trials on a number of threads.
pub(crate) fn trials(
    timeline: &Timeline,
    drawing: &Drawing<'_>,
    trials: u64,
    threads: Option<usize>,
) -> Ensemble {
    let settings = RunSettings {
        trials,
        threads,
        precision: None,
    };
    run_trials(timeline, drawing, &settings, &Silent)
}

/// Steps of all banks in all trials.
pub(crate) fn bank_steps(scenario: &Scenario, timeline: &Timeline, trials: u64) -> u64 {
    let a_trial = scenario.banks.len() * timeline.steps;
    u64::try_from(a_trial).expect("a count") * trials
}

/// One stop, and so many days, house banks and loads, spread evenly over the banks.
pub(crate) fn cut(days: usize, banks: usize, loads: usize) -> Scenario {
    let kinds = |number: usize| {
        let id = format!("load-{number}");
        let bank = format!("bank-{}", number % banks);
        match number % 3 {
            0 => json!({ "id": id, "bank": bank, "kind": "steady", "power_w": 2 }),
            1 => json!({ "id": id, "bank": bank, "kind": "duty", "power_w": 10, "duty": 0.2,
                "when": { "window": ["sunset", "22:00"] }, "where": "camp" }),
            _ => json!({ "id": id, "bank": bank, "kind": "hours", "power_w": 10,
                "hours_per_day": { "min": 0, "likely": 1, "max": 3 },
                "when": { "window": ["17:00", "22:00"] } }),
        }
    };
    let of_banks = |one: &dyn Fn(usize) -> Value| (0..banks).map(one).collect::<Vec<_>>();
    let scenario = json!({
        "format": 1, "title": "A cut for the benches", "system_voltage_v": 12,
        "itinerary": {
            "start": "2027-07-10T07:30", "time_zone": "Australia/Adelaide",
            "from": { "name": "Here", "lat": -29.65, "lon": 138.06 },
            "legs": [{ "to": "There", "lat": -29.40, "lon": 136.79, "depart": "08:30",
                "drive_hours": { "min": 2, "likely": 2.6, "max": 4.5 }, "nights": days,
                "local_drive_hours": { "min": 0, "likely": 0.5, "max": 2 } }],
        },
        "climate": { "kind": "monthly", "months": [
            { "month": 7, "sun_hours": 3.9, "day_min_c": 6.4, "day_max_c": 20.8 },
            { "month": 8, "sun_hours": 5.0, "day_min_c": 7.9, "day_max_c": 23.4 } ] },
        "banks": of_banks(&|bank| json!({ "id": format!("bank-{bank}"), "chemistry": "lfp",
            "capacity_ah": 100, "kept": "box" })),
        "alternator": { "rated_a": 200 },
        "chargers": of_banks(&|bank| json!({ "id": format!("dcdc-{bank}"), "kind": "dc-dc",
            "from": "alternator", "to": format!("bank-{bank}"), "output_a": 20 })),
        "solar": of_banks(&|bank| json!({ "id": format!("panel-{bank}"),
            "to": format!("bank-{bank}"), "panel_w": 100, "mount": "flat" })),
        "loads": (0..loads).map(kinds).collect::<Vec<_>>(),
    });
    // The alternator needs its starting battery.
    let mut scenario = scenario;
    if let Some(list) = scenario["banks"].as_array_mut() {
        list.push(
            json!({ "id": "starter", "role": "start", "chemistry": "flooded",
            "capacity_ah": 90 }),
        );
    }
    scenario_of(&scenario.to_string())
}
