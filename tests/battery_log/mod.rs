//! Logs of a battery meter, as the slow twin lives them.
//!
//! One job: a vehicle whose parts differ from what its file says, lived second by second by other code than
//! the engine's, and what a meter with noise, drift and gaps writes down of it.
#![allow(
    dead_code,
    unreachable_pub,
    clippy::cast_possible_truncation,
    clippy::cast_precision_loss,
    clippy::cast_sign_loss,
    clippy::cast_possible_wrap,
    reason = "seconds and rows of a trip"
)]

use std::fmt::Write as _;

use serde_json::{Value, json};
use tideover::engine::{Draws, Lanes};
use tideover::scenario::{LoadKind, Scenario, read};
use tideover::timeline::Timeline;
use tideover::timeline::calendar::Plan;
use tideover::trials::Drawing;

use crate::twin::{Cooling, Lived, World};

/// A small generator of test data.
pub struct Dice(u64);

impl Dice {
    pub fn new(seed: u64) -> Self {
        Self(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) | 1)
    }

    /// From 0 to 1.
    pub fn share(&mut self) -> f64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0 >> 11) as f64 / (1_u64 << 53) as f64
    }

    pub fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.share()
    }

    /// Nearly normal, standard deviation 1.
    pub fn normal(&mut self) -> f64 {
        (0..12).map(|_| self.share()).sum::<f64>() - 6.0
    }
}

/// A scenario from its JSON.
pub fn sound(root: &Value) -> Scenario {
    match read(&root.to_string(), "log-test.json", &|_| {
        Err("no file".to_owned())
    }) {
        Ok(reading) => reading.scenario,
        Err(refusal) => panic!("{refusal}"),
    }
}

/// A camp of seventeen nights with a drive about every day, by the file.
pub fn camp() -> Value {
    json!({
        "format": 1,
        "title": "Log test camp",
        "itinerary": {
            "start": "2027-09-03T07:00",
            "time_zone": "Africa/Gaborone",
            "from": { "name": "Town", "lat": -19.98, "lon": 23.42 },
            "legs": [{
                "to": "Camp", "lat": -20.49, "lon": 25.18, "depart": "08:00",
                "drive_hours": { "min": 3, "likely": 4, "max": 6 }, "nights": 17,
                "local_drive_hours": { "min": 0.2, "likely": 0.8, "max": 1.6 },
                "local_depart": "10:00", "shade": 0.0
            }]
        },
        "climate": { "kind": "monthly", "months": [
            { "month": 9, "kt": 0.62, "day_min_c": 13, "day_max_c": 31, "kt_sd": 0.1 }
        ] },
        "banks": [
            { "id": "house", "chemistry": "lfp", "capacity_ah": 200, "start_soc": 0.6, "standby_ma": 20, "resistance_mohm": 6 }
        ],
        "alternator": { "rated_a": 150, "idle_a": 90 },
        "chargers": [
            { "id": "dcdc", "kind": "dc-dc", "from": "alternator", "to": "house", "output_a": 40 }
        ],
        "solar": [{ "id": "roof", "to": "house", "panel_w": 160, "mount": "flat", "losses": 0.1 }],
        "loads": [
            { "id": "fridge", "bank": "house", "kind": "fridge", "running_w": 48, "set_c": 4, "kept": "cabin",
              "rated": { "average_a": 1.4, "at_ambient_c": 32, "at_inside_c": 4 },
              "openings_per_day": 8, "warm_food_kg_per_day": 1 },
            { "id": "lights", "bank": "house", "kind": "steady", "power_w": 14, "when": { "window": ["sunset+0:20", "22:00"] } },
            { "id": "uplink", "bank": "house", "kind": "hours", "power_w": 40, "hours_per_day": { "min": 2, "likely": 3, "max": 4 },
              "when": { "window": ["18:00", "23:30"] } },
            { "id": "fan", "bank": "house", "kind": "steady", "current_a": 0.7, "when": { "window": ["22:00", "05:00"] } },
            { "id": "radio", "bank": "house", "kind": "steady", "current_a": 0.6, "when": "ignition" }
        ]
    })
}

/// The vehicle that is really there: keys that differ from the file, and their values.
pub fn really(seed: u64) -> Vec<(&'static str, f64)> {
    let mut dice = Dice::new(1000 + seed);
    for _ in 0..8 {
        dice.share();
    }
    vec![
        ("banks.house.standby_ma", dice.between(20.0, 900.0)),
        ("banks.house.capacity_ah", 200.0 * dice.between(0.75, 1.1)),
        ("banks.house.resistance_mohm", 6.0 * dice.between(0.7, 1.8)),
        ("chargers.dcdc.output_a", 40.0 * dice.between(0.65, 1.05)),
        ("solar.roof.losses", dice.between(0.03, 0.4)),
        (
            "loads.fridge.rated.average_a",
            1.4 * dice.between(0.75, 1.4),
        ),
        ("loads.fridge.running_w", 48.0 * dice.between(0.85, 1.2)),
        ("loads.lights.power_w", 14.0 * dice.between(0.6, 1.6)),
        ("loads.uplink.hours_per_day", 3.0 * dice.between(0.6, 1.4)),
        ("loads.fan.current_a", 0.7 * dice.between(0.5, 1.8)),
    ]
}

/// The scenario with these keys.
pub fn with_keys(scenario: &Scenario, keys: &[(&str, f64)]) -> Scenario {
    let mut changes = tideover::Changes::default();
    for (key, value) in keys {
        let value = (value * 1e4).round() / 1e4;
        changes = if key.ends_with(".hours_per_day") {
            let (min, max) = (0.8 * value, 1.2 * value);
            changes.and(*key, json!({ "min": min, "likely": value, "max": max }))
        } else {
            changes.and(*key, value)
        };
    }
    scenario.with(&changes).expect("sound")
}

/// What a meter does to the truth.
pub struct Flaws {
    pub every_s: i64,
    pub noise_a: f64,
    pub zero_a: f64,
    pub noise_v: f64,
    pub noise_soc: f64,
    /// Points of charge a day.
    pub drift_soc: f64,
    /// Hours without rows, from these hours of the trip on.
    pub gaps_h: Vec<(f64, f64)>,
}

impl Flaws {
    pub fn usual(every_s: i64) -> Self {
        Self {
            every_s,
            noise_a: 0.04,
            zero_a: 0.008,
            noise_v: 0.008,
            noise_soc: 0.002,
            drift_soc: 0.0008,
            gaps_h: vec![(61.2, 3.5), (170.0, 1.0)],
        }
    }
}

/// So many hours of the vehicle that is really there, days with habits of their own around their mean.
pub fn life(truth: &Scenario, seed: u64, every_s: i64, hours: f64) -> (Lived, Draws, i64) {
    let timeline = Timeline::with_step_s(truth, Plan::Trip, 300).expect("weather");
    let drawing = Drawing::new(truth, &timeline, seed, &[]);
    let mut draws = drawing.batch(seed, 1).0;
    let mut dice = Dice::new(77 + seed);
    for (load, days) in truth.loads.iter().zip(&mut draws.use_factor) {
        for day in days {
            let mean = match load.kind {
                LoadKind::Hours { hours_per_day, .. } => hours_per_day.mean(),
                _ => 1.0,
            };
            *day = Lanes([mean * (1.0 + 0.08 * dice.normal()).max(0.2); 64]);
        }
    }
    draws.end_s[0] = draws.end_s[0].min(3600.0 * hours);
    let world = World::new(truth, &timeline, timeline.days.len());
    let lived = world.live(&draws, 0, every_s, Cooling::Thermostat { half_band_k: 0.8 });
    (lived, draws, timeline.calendar.start_s)
}

/// What the meter writes of a bank from one hour of the trip to another: local times, per cent, volts, amps.
pub fn written(
    scenario: &Scenario,
    lived: &Lived,
    bank: usize,
    start_s: i64,
    flaws: &Flaws,
    (from_h, to_h): (f64, f64),
    seed: u64,
) -> String {
    let mut dice = Dice::new(5 + seed);
    let mut text = String::from("time,soc,volts,amps\n");
    for row in 0..lived.soc[bank].len() {
        let since_s = (row as i64 + 1) * flaws.every_s;
        let hour = since_s as f64 / 3600.0;
        let mut noise = |size: f64| size * dice.normal();
        let amps = lived.amps[bank][row] + flaws.zero_a + noise(flaws.noise_a);
        let volts = lived.volts[bank][row] + noise(flaws.noise_v);
        let drift = flaws.drift_soc * (hour / 24.0);
        let soc = (lived.soc[bank][row] + drift + noise(flaws.noise_soc)).clamp(0.0, 1.0);
        let is_gap = |(from_h, long_h): &(f64, f64)| hour > *from_h && hour < from_h + long_h;
        if hour < from_h || hour > to_h || flaws.gaps_h.iter().any(is_gap) {
            continue;
        }
        let local = scenario.itinerary.zone.local(start_s + since_s);
        let time = local.format("%Y-%m-%d %H:%M:%S");
        let _ = writeln!(text, "{time},{:.1},{volts:.2},{amps:.2}", 100.0 * soc);
    }
    text
}
