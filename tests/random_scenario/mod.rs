//! Random sound scenarios, as the text of a file.
//!
//! One job: draw every kind of part that the file knows, from one number. The text is read through
//! the program's own door, so the reader is tested along. Invented data.
#![allow(
    dead_code,
    unreachable_pub,
    clippy::cast_precision_loss,
    clippy::cast_possible_truncation,
    clippy::format_push_string,
    reason = "small numbers; each test file uses its own part"
)]

use serde_json::{Value, json};
use tideover::scenario::{Scenario, read};

/// A source of numbers (splitmix64, public domain): the same seed gives the same scenario.
pub struct Numbers(u64);

impl Numbers {
    pub fn new(seed: u64) -> Self {
        Self(seed)
    }

    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    pub fn below(&mut self, count: usize) -> usize {
        (self.next() % count as u64) as usize
    }

    fn pick<T: Clone>(&mut self, of: &[T]) -> T {
        of[self.below(of.len())].clone()
    }

    fn chance(&mut self, share: f64) -> bool {
        self.between(0.0, 1.0) < share
    }

    /// With two decimals.
    fn between(&mut self, low: f64, high: f64) -> f64 {
        let share = (self.next() >> 11) as f64 / (1_u64 << 53) as f64;
        ((low + share * (high - low)) * 100.0).round() / 100.0
    }

    fn spread(&mut self, low: f64, high: f64) -> Value {
        let mut at = [(); 3].map(|()| self.between(low, high));
        at.sort_by(f64::total_cmp);
        if self.chance(0.3) {
            json!(at[1])
        } else {
            json!({ "min": at[0], "likely": at[1], "max": at[2] })
        }
    }
}

/// Zone, latitude, longitude and month.
const PLACES: [(&str, f64, f64, u32); 7] = [
    ("Africa/Gaborone", -20.1, 24.6, 7),
    ("Australia/Adelaide", -27.4, 135.8, 1),
    ("Europe/Oslo", 69.4, 19.1, 12),
    ("Europe/Oslo", 69.4, 19.1, 6),
    ("Asia/Kolkata", 33.8, 77.9, 2),
    ("America/Denver", 38.9, -109.9, 3),
    ("Pacific/Auckland", -43.1, 171.9, 9),
];

/// The same near the date line, on both sides of it, some of them with the sign of the longitude wrong.
const DATE_LINE: [(&str, f64, f64, u32); 5] = [
    ("Pacific/Apia", -13.8, -171.8, 1),
    ("Pacific/Kiritimati", 1.9, -157.4, 6),
    ("Pacific/Chatham", -43.9, -176.5, 1),
    ("Pacific/Auckland", -36.8, -174.8, 12),
    ("Pacific/Pago_Pago", -14.3, 170.7, 7),
];

/// Moves some scenarios to the date line, and lets them begin at any minute of the day.
fn any_minute(whole: &mut Value, numbers: &mut Numbers) {
    if whole["climate"]["kind"] == "built-in" || !numbers.chance(0.4) {
        return;
    }
    let (zone, lat, lon, month) = numbers.pick(&DATE_LINE);
    let minute = numbers.below(1440);
    let itinerary = &mut whole["itinerary"];
    itinerary["time_zone"] = json!(zone);
    itinerary["start"] = json!(format!(
        "2027-{month:02}-12T{:02}:{:02}",
        minute / 60,
        minute % 60
    ));
    (itinerary["from"]["lat"], itinerary["from"]["lon"]) = (json!(lat), json!(lon));
    for (index, leg) in itinerary["legs"]
        .as_array_mut()
        .expect("legs")
        .iter_mut()
        .enumerate()
    {
        leg["lat"] = json!(lat + 0.4 * (index as f64 + 1.0));
        leg["lon"] = json!(lon);
    }
}

/// Puts relays in the place of some chargers on the alternator.
fn any_relays(whole: &mut Value, numbers: &mut Numbers) {
    if !numbers.chance(0.35) {
        return;
    }
    let factor = whole["system_voltage_v"].as_f64().expect("volts") / 12.0;
    let mut ids = Vec::new();
    for charger in whole["chargers"].as_array_mut().expect("chargers") {
        if charger["from"] != "alternator" || !numbers.chance(0.7) {
            continue;
        }
        ids.push(charger["id"].clone());
        let mut relay = json!({ "id": charger["id"], "kind": "relay", "to": charger["to"],
            "rated_a": numbers.between(60.0, 200.0) });
        if let Some(needs) = charger.get("needs") {
            relay["needs"] = needs.clone();
        }
        if numbers.chance(0.3) {
            relay["senses"] = json!("ignition");
        } else if numbers.chance(0.5) {
            relay["joins_v"] = json!(factor * numbers.between(13.1, 14.0));
            relay["parts_v"] = json!(factor * numbers.between(12.2, 13.1));
        }
        *charger = relay;
    }
    for panel in whole["solar"].as_array_mut().expect("panels") {
        if panel
            .get("shares")
            .is_some_and(|shares| ids.contains(shares))
        {
            panel.as_object_mut().expect("an object").remove("shares");
        }
    }
}

/// The text of a random scenario.
pub fn text(seed: u64) -> String {
    value(&mut Numbers::new(seed)).to_string()
}

/// A daily record of three years for scenarios that name one.
pub fn record() -> String {
    let mut text = "date,ghi_kwh_m2,min_c,max_c\n".to_owned();
    let first = chrono::NaiveDate::from_ymd_opt(2015, 1, 1).expect("a date");
    for (day, date) in first.iter_days().take(1096).enumerate() {
        let wave = ((day * 37) % 17) as f64 / 17.0;
        let low_c = -4.0 + 12.0 * wave;
        text += &format!(
            "{date},{:.2},{low_c:.1},{:.1}\n",
            0.8 + 1.6 * wave,
            low_c + 9.0
        );
    }
    text
}

/// Reads a text that must be sound.
pub fn checked(text: &str) -> Scenario {
    let files = |_: &str| Ok(record().into_bytes());
    match read(text, "random.json", &files) {
        Ok(reading) => reading.scenario,
        Err(refusal) => panic!("{refusal}\n{text}"),
    }
}

pub fn value(numbers: &mut Numbers) -> Value {
    let (zone, lat, lon, month) = numbers.pick(&PLACES);
    let far_north = lat > 60.0;
    let voltage = numbers.pick(&[12, 24]);
    let (banks, has_alternator) = banks(numbers);
    let chargers = chargers(numbers, &banks, has_alternator);
    let solar = solar(numbers, &banks, &chargers);
    let mut loads: Vec<Value> = (0..=numbers.below(5))
        .map(|index| load(numbers, index, &banks))
        .collect();
    let inverters = inverters(&mut loads);
    let runs = runs(numbers, &banks, &chargers, &loads, has_alternator);
    let mut climate = match numbers.below(3) {
        0 => json!({ "kind": "built-in" }),
        1 if !far_north => json!({ "kind": "history", "file": "record.csv", "block_days": 3 }),
        _ => {
            let months: Vec<Value> = (1..=12)
                .map(|month| {
                    let low_c = numbers.between(-15.0, 15.0);
                    json!({ "month": month, "kt": numbers.between(0.3, 0.65), "kt_sd": 0.12,
                        "day_min_c": low_c, "day_max_c": low_c + numbers.between(3.0, 18.0) })
                })
                .collect();
            json!({ "kind": "monthly", "months": months })
        }
    };
    if climate["kind"] != "history" && numbers.chance(0.3) {
        let lag1 = numbers.between(0.0, 0.6);
        climate["kt_autocorrelation"] = json!([lag1, 0.8 * lag1 * lag1, 0.1 * lag1]);
    }
    let mut whole = json!({
        "format": 1, "title": "Drawn", "system_voltage_v": voltage,
        "itinerary": itinerary(numbers, zone, lat, lon, month),
        "climate": climate, "banks": banks, "chargers": chargers, "solar": solar,
        "loads": loads, "inverters": inverters, "runs": runs
    });
    if has_alternator {
        whole["alternator"] = json!({
            "rated_a": numbers.between(50.0, 160.0), "idle_share": numbers.between(0.0, 0.5),
            "vehicle_load_a": numbers.between(5.0, 40.0)
        });
    }
    // Numbers of its own: what was drawn before stays what it was.
    any_minute(&mut whole, &mut Numbers::new(numbers.0 ^ 0x5EED));
    any_relays(&mut whole, &mut Numbers::new(numbers.0 ^ 0xAE1A));
    whole
}

fn itinerary(numbers: &mut Numbers, zone: &str, lat: f64, lon: f64, month: u32) -> Value {
    let legs: Vec<Value> = (0..=numbers.below(3))
        .map(|leg| {
            let shade = if numbers.chance(0.5) {
                json!(numbers.between(0.0, 1.0))
            } else {
                json!([{ "window": ["sunrise", "10:00"], "shade": numbers.between(0.0, 1.0) },
                    { "window": ["15:00", "20:00"], "shade": 0.5 }])
            };
            json!({
                "to": format!("Stop {leg}"), "lat": lat + 0.4 * (leg as f64 + 1.0), "lon": lon,
                "depart": numbers.pick(&["07:30", "09:00", "13:10"]),
                "depart_spread_min": numbers.pick(&[0, 40]),
                "drive_hours": numbers.spread(0.5, 7.0), "nights": numbers.below(4),
                "local_drive_hours": numbers.spread(0.0, 2.0),
                "shade": shade, "mains": numbers.chance(0.3)
            })
        })
        .collect();
    let mut itinerary = json!({
        "start": format!("2027-{month:02}-{:02}T{}", 10 + numbers.below(15),
            numbers.pick(&["00:00", "06:45", "12:20"])),
        "time_zone": zone, "from": { "name": "Home", "lat": lat, "lon": lon },
        "heated": numbers.chance(0.5), "legs": legs
    });
    // No draw of its own, so that scenarios without it stay as they are.
    if month.is_multiple_of(4) {
        itinerary["legs"][0]["delay"] =
            json!({ "chance": 0.3, "days": { "min": 0, "likely": 1, "max": 2 } });
        itinerary["no_later_than"] = json!(format!("2027-{month:02}-28"));
    }
    if numbers.chance(0.7) {
        itinerary["lived_in"] = json!(numbers.pick(&[["17:00", "09:00"], ["07:00", "21:00"]]));
    }
    itinerary
}

fn banks(numbers: &mut Numbers) -> (Vec<Value>, bool) {
    let mut banks: Vec<Value> = (0..=numbers.below(3))
        .map(|index| {
            let chemistry = numbers.pick(&["lfp", "agm", "gel", "flooded"]);
            let mut bank = json!({
                "id": format!("bank{index}"), "chemistry": chemistry,
                "capacity_ah": numbers.between(40.0, 250.0),
                "start_soc": numbers.spread(0.4, 1.0),
                "reserve_soc": numbers.between(0.25, 0.6), "cutoff_soc": numbers.between(0.0, 0.25),
                "standby_ma": numbers.between(0.0, 40.0),
                "kept": numbers.pick(&["cabin", "box", "engine-bay"])
            });
            if numbers.chance(0.3) {
                bank["trailer"] = json!(true);
            }
            bank
        })
        .collect();
    let has_alternator = numbers.chance(0.8);
    if has_alternator {
        banks.push(json!({ "id": "starter", "role": "start",
            "chemistry": numbers.pick(&["flooded", "agm", "lfp"]), "capacity_ah": 80 }));
    }
    (banks, has_alternator)
}

fn chargers(numbers: &mut Numbers, banks: &[Value], has_alternator: bool) -> Vec<Value> {
    let mut chargers = Vec::new();
    for (index, bank) in banks.iter().enumerate() {
        if bank["role"] == "start" {
            continue;
        }
        let mut add = |kind: &str, from: Value, needs: Option<&str>, numbers: &mut Numbers| {
            let mut charger = json!({ "id": format!("charger{}", chargers.len()), "kind": kind,
                "from": from, "to": bank["id"], "output_a": numbers.between(5.0, 50.0),
                "priority": 1 + numbers.below(3) });
            if let Some(needs) = needs {
                charger["needs"] = json!(needs);
            }
            chargers.push(charger);
        };
        if has_alternator && numbers.chance(0.8) {
            let needs = numbers.pick(&[None, Some("driving"), Some("towing")]);
            add("dc-dc", json!("alternator"), needs, numbers);
        }
        if numbers.chance(0.4) {
            add("mains", json!("mains"), None, numbers);
        }
        // From a bank further down the list only, so that no ring can close.
        if index + 1 < banks.len() && banks[index + 1]["role"] != "start" && numbers.chance(0.5) {
            let needs = numbers.pick(&[None, Some("always"), Some("driving"), Some("towing")]);
            add("dc-dc", banks[index + 1]["id"].clone(), needs, numbers);
        }
    }
    chargers
}

fn solar(numbers: &mut Numbers, banks: &[Value], chargers: &[Value]) -> Vec<Value> {
    (0..numbers.below(4))
        .map(|index| {
            let bank = numbers.below(banks.len());
            let mount = match numbers.below(3) {
                0 => json!("flat"),
                1 => json!("portable"),
                _ => json!({ "tilt_deg": numbers.between(5.0, 60.0),
                    "azimuth_deg": numbers.between(0.0, 359.0) }),
            };
            let mut panel = json!({ "id": format!("panel{index}"), "to": banks[bank]["id"],
                "panel_w": numbers.between(40.0, 300.0), "mount": mount,
                "controller": numbers.pick(&["mppt", "pwm"]) });
            let dc_dc = chargers
                .iter()
                .find(|charger| charger["to"] == banks[bank]["id"] && charger["kind"] == "dc-dc");
            if let Some(charger) = dc_dc.filter(|_| numbers.chance(0.4)) {
                panel["shares"] = charger["id"].clone();
            }
            panel
        })
        .collect()
}

fn load(numbers: &mut Numbers, index: usize, banks: &[Value]) -> Value {
    let mut load = json!({
        "id": format!("load{index}"), "bank": banks[numbers.below(banks.len())]["id"],
        "use_spread": numbers.pick(&[0.0, 0.15, 0.4])
    });
    let kind = numbers.pick(&["steady", "duty", "hours", "event", "fridge"]);
    load["kind"] = json!(kind);
    let camp = numbers.pick(&["anywhere", "camp", "driving"]);
    match kind {
        "fridge" => {
            load["running_w"] = json!(numbers.between(37.0, 70.0));
            load["set_c"] = json!(numbers.pick(&[4, 6, -14]));
            load["starts"] = json!(numbers.pick(&["cold", "warm"]));
            load["rated"] = json!({ "average_a": numbers.between(0.6, 1.5), "at_ambient_c": 32,
                "at_inside_c": 4 });
        }
        "event" => {
            load["power_w"] = json!(numbers.between(100.0, 400.0));
            load["minutes"] = numbers.spread(2.0, 25.0);
            load["on"] = json!(numbers.pick(&["arrive", "depart", "daily"]));
        }
        _ => {
            if numbers.chance(0.3) {
                load["current_a"] = json!(numbers.between(0.1, 3.0));
            } else {
                load["power_w"] = json!(numbers.between(1.0, 60.0));
            }
            if kind == "duty" {
                load["duty"] = json!(numbers.between(0.0, 1.0));
            }
            if kind == "hours" {
                load["hours_per_day"] = numbers.spread(0.0, 3.0);
                load["when"] =
                    json!({ "window": numbers.pick(&[["17:00", "22:00"], ["22:00", "03:30"]]) });
                load["where"] = json!(camp);
            } else {
                load["when"] = match numbers.below(5) {
                    0 => json!("always"),
                    1 => json!("ignition"),
                    2 => json!("parked"),
                    3 => json!({ "window": ["sunset-0:30", "sunrise+1:00"] }),
                    _ => json!(["21:30", "06:10"]),
                };
                // Ignition in camp and parked on the road are no use to anyone.
                if load["when"] != "ignition" && load["when"] != "parked" {
                    load["where"] = json!(camp);
                }
            }
        }
    }
    if kind != "event" && kind != "fridge" && numbers.chance(0.3) {
        load["inverter"] = json!({ "efficiency": 0.87, "idle_w": numbers.between(0.0, 10.0) });
    }
    load
}

/// An inverter for the loads of a bank that want one: what the draw left in each becomes its id.
fn inverters(loads: &mut [Value]) -> Vec<Value> {
    let mut inverters: Vec<Value> = Vec::new();
    for load in loads {
        if load.get("inverter").is_none() {
            continue;
        }
        let known = inverters.iter().find(|unit| unit["bank"] == load["bank"]);
        let id = known.map_or_else(
            || json!(format!("inverter{}", inverters.len())),
            |unit| unit["id"].clone(),
        );
        if known.is_none() {
            let mut unit = load["inverter"].take();
            unit["id"] = id.clone();
            unit["bank"] = load["bank"].clone();
            unit["rated_w"] = json!(20_000);
            inverters.push(unit);
        }
        load["inverter"] = id;
    }
    inverters
}

fn runs(
    numbers: &mut Numbers,
    banks: &[Value],
    chargers: &[Value],
    loads: &[Value],
    has_alternator: bool,
) -> Vec<Value> {
    let mut runs = Vec::new();
    for charger in chargers {
        if has_alternator && charger["from"] == "alternator" && numbers.chance(0.6) {
            runs.push(
                json!({ "id": format!("run{}", runs.len()), "from": "starter",
                "to": charger["id"], "one_way_m": numbers.between(1.0, 8.0) }),
            );
        }
    }
    if numbers.chance(0.5) {
        let load = &loads[0];
        let bank = banks.iter().find(|bank| bank["id"] == load["bank"]);
        if let Some(bank) = bank {
            runs.push(
                json!({ "id": format!("run{}", runs.len()), "from": bank["id"],
                "to": load["id"], "one_way_m": numbers.between(0.5, 5.0), "mm2": 6 }),
            );
        }
    }
    runs
}
