//! Small systems whose sources and places can be worked out by hand.
//!
//! One job: who may feed a bank, when, and in which air. Invented systems.

mod small_trip;

use std::fmt::Write;

use serde_json::{Value, json};
use small_trip::{checked, drawn, trip, typical};
use tideover::engine::{Draws, Observer, Outcome, StepView, Unobserved, run_batch};
use tideover::scenario::read;
use tideover::study::settings::Settings;
use tideover::timeline::Timeline;
use tideover::timeline::calendar::Plan;
use tideover::trials::Drawing;

/// A half-full bank without standby, a starter and its alternator, driven for two hours.
fn two_hours_of_driving() -> Value {
    let mut whole = trip(2.0, 0);
    whole["banks"] = json!([
        { "id": "house", "chemistry": "lfp", "capacity_ah": 200, "start_soc": 0.5, "standby_ma": 0,
          "max_charge_a": 20 },
        { "id": "starter", "role": "start", "chemistry": "flooded", "capacity_ah": 90 }]);
    whole["alternator"] = json!({ "rated_a": 150, "idle_share": 0, "volts": 14.2 });
    whole
}

/// The alternator holds the starter at 14.2 V, above the 13 V that the charger wants: 20 A for 2 h are
/// 40 Ah. The starter at rest has 12.7 V.
#[test]
fn by_hand_a_charger_on_the_starter_works_while_the_engine_runs() {
    let mut whole = two_hours_of_driving();
    whole["chargers"] = json!([{ "id": "booster", "kind": "dc-dc", "from": "starter", "to": "house",
        "output_a": 20, "needs": "driving", "min_input_v": 13 }]);
    let outcome = typical(&whole);
    assert!(
        (outcome.totals.chargers[0].ah - 40.0).abs() < 1e-6,
        "{}",
        outcome.totals.chargers[0].ah
    );
}

/// The house bank takes 20 A. A bank at its reserve gives nothing, so the booster has them all, 40 Ah in
/// 2 h, whatever the other's priority; likewise beside one whose input would be at 13.2 V and wants 14.
#[test]
fn by_hand_what_gives_nothing_takes_no_place() {
    for (start_soc, min_input_v, priority) in [(0.1, 11.5, 1), (0.1, 11.5, 2), (0.9, 14.0, 1)] {
        let mut whole = two_hours_of_driving();
        whole["banks"].as_array_mut().expect("banks").push(json!({
            "id": "spare", "chemistry": "lfp", "capacity_ah": 100, "start_soc": start_soc,
            "standby_ma": 0 }));
        whole["chargers"] = json!([
            { "id": "booster", "kind": "dc-dc", "from": "alternator", "to": "house", "output_a": 20,
              "priority": 2 },
            { "id": "idle", "kind": "dc-dc", "from": "spare", "to": "house", "output_a": 20,
              "priority": priority, "min_input_v": min_input_v }]);
        let outcome = typical(&whole);
        let given_ah = outcome.totals.chargers[0].ah;
        // Self-discharge leaves some room beyond the limit of 20 A, and the spare bank some charge.
        assert!(
            (given_ah - 40.0).abs() < 0.1,
            "{given_ah} Ah beside {start_soc}, {priority}"
        );
    }
}

/// The freezer stands in the box of a trailer, which stays in camp: eight hours of local drives a day
/// change nothing in it.
#[test]
fn by_hand_a_trailer_left_in_camp_has_the_air_of_the_camp() {
    let after = |local_drive_hours: f64| {
        let mut whole = trip(1.0, 4);
        whole["itinerary"]["legs"][0]["local_drive_hours"] = json!(local_drive_hours);
        whole["banks"] = json!([{ "id": "trailer", "chemistry": "lfp", "capacity_ah": 300,
            "kept": "box", "trailer": true }]);
        whole["loads"] = json!([{ "id": "freezer", "bank": "trailer", "kind": "fridge", "kept": "box",
            "running_w": 60, "set_c": -14, "use_spread": 0,
            "rated": { "average_a": 1.3, "at_ambient_c": 32, "at_inside_c": 4 } }]);
        typical(&whole).totals.loads[0].wh
    };
    let (still_wh, driven_wh) = (after(0.0), after(8.0));
    assert!(still_wh > 500.0, "{still_wh}");
    assert!(
        (still_wh - driven_wh).abs() < 1e-9,
        "{still_wh} and {driven_wh} Wh"
    );
}

/// Arrival at 09:02, within a step; a pump of 600 W runs for 12 minutes from then, and the site's 60 A carry
/// it. So the bank stays full.
#[test]
fn by_hand_mains_carry_what_happens_on_arrival() {
    let mut whole = trip(62.0 / 60.0, 1);
    whole["itinerary"]["legs"][0]["mains"] = json!(true);
    whole["banks"] = json!([{ "id": "house", "chemistry": "lfp", "capacity_ah": 100, "standby_ma": 0,
        "max_charge_a": 80 }]);
    whole["chargers"] = json!([{ "id": "site", "kind": "mains", "to": "house", "output_a": 60 }]);
    whole["loads"] = json!([{ "id": "pump", "bank": "house", "kind": "event", "power_w": 600,
        "minutes": 12, "on": "arrive" }]);
    let outcome = typical(&whole);
    assert!((outcome.totals.loads[0].wh - 120.0).abs() < 1e-6);
    let lowest = outcome.banks[0].lowest_soc[0];
    assert!(lowest > 0.9995, "{lowest}");
}

/// Of 1.2 times a day's use all the heat is 1.2 times as much: so is the compressor's energy while the
/// cabinet is held at its set point. There is no opening and no food here.
#[test]
fn by_hand_the_spread_of_a_fridge_is_that_of_all_its_heat() {
    let mut whole = trip(0.0, 3);
    whole["banks"] = json!([{ "id": "house", "chemistry": "lfp", "capacity_ah": 400 }]);
    whole["loads"] = json!([{ "id": "fridge", "bank": "house", "kind": "fridge", "running_w": 45,
        "set_c": 4, "openings_per_day": 0, "warm_food_kg_per_day": 0,
        "rated": { "average_a": 1.3, "at_ambient_c": 32, "at_inside_c": 4 } }]);
    let scenario = checked(&whole);
    let (timeline, mut draws) = drawn(&scenario);
    let used_wh = |draws: &Draws| run_batch(&timeline, draws, &mut Unobserved).totals.loads[0].wh;
    let usual_wh = used_wh(&draws);
    for day in &mut draws.use_factor[0] {
        day.iter_mut().for_each(|factor| *factor *= 1.2);
    }
    let ratio = used_wh(&draws) / usual_wh;
    assert!((ratio - 1.2).abs() < 1e-6, "{ratio}");
}

/// What an observer notes of the first step: ambient, and the inside of the first fridge.
#[derive(Default)]
struct First {
    ambient_c: f64,
    inside_c: f64,
}

impl Observer for First {
    fn after_step(&mut self, view: &StepView<'_>) {
        if view.step() == 0 {
            (self.ambient_c, self.inside_c) = (view.air_c()[0], view.fridge_c(0));
        }
    }
}

/// At eight in the morning it is far below the mean of 4 and 36 °C, and the freezer's 20 Wh/K hold it there
/// for a step: a compressor of 37 W moves it by less than 1 K.
#[test]
fn by_hand_a_warm_freezer_starts_at_the_air_of_the_hour() {
    let mut whole = trip(0.0, 1);
    whole["climate"]["months"][0]["day_min_c"] = json!(4);
    whole["climate"]["months"][0]["day_max_c"] = json!(36);
    whole["banks"] = json!([{ "id": "house", "chemistry": "lfp", "capacity_ah": 100 }]);
    whole["loads"] = json!([{ "id": "freezer", "bank": "house", "kind": "fridge", "running_w": 37,
        "set_c": -14, "starts": "warm",
        "rated": { "average_a": 1.0, "at_ambient_c": 32, "at_inside_c": 4 } }]);
    let (timeline, draws) = drawn(&checked(&whole));
    let mut first = First::default();
    run_batch(&timeline, &draws, &mut first);
    let First {
        ambient_c,
        inside_c,
    } = first;
    assert!(ambient_c < 15.0, "{ambient_c}");
    assert!(
        (inside_c - ambient_c).abs() < 1.5,
        "{inside_c} in {ambient_c}"
    );
}

/// Two and a half hours on the road are 30 steps of 5 minutes; who may arrive later still adds none.
#[test]
fn by_hand_the_table_of_a_typical_trip_ends_with_it() {
    let mut whole = trip(2.5, 0);
    whole["itinerary"]["legs"][0]["drive_hours"] = json!({ "min": 1, "likely": 2, "max": 6 });
    whole["banks"] = json!([{ "id": "house", "chemistry": "lfp", "capacity_ah": 100 }]);
    let scenario = checked(&whole);
    let settings = Settings::default();
    let (_, table) = tideover::study::typical::typical(&scenario, &settings).expect("weather");
    assert_eq!(table.rows.len(), 30);
    let (time, last) = &table.rows[29];
    assert!(time.starts_with("2027-07-03T10:30"), "{time}");
    assert!((last.last().expect("driving") - 1.0).abs() < 1e-9);
}

/// A lamp from sunset to 22:00 where the sun does not rise: from its highest stand, at noon by the sun, on.
/// At 19° E by a clock of 15° E that is 11:44 less the equation of time, 10.3 h before 22:00; four evenings.
#[test]
fn by_hand_in_the_polar_night_sunset_is_noon() {
    let mut whole = trip(0.0, 4);
    whole["itinerary"]["start"] = json!("2027-12-18T08:00");
    whole["itinerary"]["time_zone"] = json!("Europe/Oslo");
    for place in ["/itinerary/from", "/itinerary/legs/0"] {
        let place = whole.pointer_mut(place).expect("a place");
        (place["lat"], place["lon"]) = (json!(69.4), json!(19.0));
    }
    whole["climate"]["months"][0]["month"] = json!(12);
    whole["banks"] = json!([{ "id": "house", "chemistry": "lfp", "capacity_ah": 100 }]);
    whole["loads"] = json!([{ "id": "lamp", "bank": "house", "kind": "steady", "power_w": 5,
        "when": { "window": ["sunset", "22:00"] } }]);
    let live_h = typical(&whole).totals.loads[0].live_h;
    assert!((live_h - 4.0 * 10.3).abs() < 0.3, "{live_h}");
}

/// 12.8 to 13.4 V behind 100 mΩ give 410 to 449 W at most; 1000 W are asked. What is not given is not
/// supplied, and the account closes.
#[test]
fn by_hand_a_bank_gives_no_more_than_its_resistance_lets_through() {
    let mut whole = trip(0.0, 1);
    whole["banks"] = json!([{ "id": "house", "chemistry": "lfp", "capacity_ah": 1000,
        "resistance_mohm": 100, "max_discharge_a": 1000, "standby_ma": 0 }]);
    whole["loads"] = json!([{ "id": "kettle", "bank": "house", "kind": "steady", "power_w": 1000,
        "use_spread": 0, "when": { "window": ["10:00", "11:00"] } }]);
    whole["solar"] = json!([{ "id": "roof", "to": "house", "panel_w": 100, "mount": "flat" }]);
    let outcome = typical(&whole);
    let sun_wh = outcome.totals.panels[0].wh;
    let served_wh = outcome.totals.loads[0].wh;
    assert!((410.0..449.0 + 100.0).contains(&served_wh), "{served_wh}");
    let bank = &outcome.banks[0];
    assert!((served_wh + outcome.totals.banks[0].unserved_wh - 1000.0).abs() < 1e-6);
    assert!((0.0..1000.0).contains(&sun_wh), "{sun_wh}");
    assert!(bank.worst_gap < 1e-9, "{}", bank.worst_gap);
}

/// A resistance of nothing leaves no account open.
#[test]
fn law_the_ledger_closes_without_resistance() {
    for volts in [12, 24] {
        let mut whole = trip(2.0, 3);
        whole["system_voltage_v"] = json!(volts);
        whole["banks"] = json!([{ "id": "house", "chemistry": "lfp", "capacity_ah": 100,
            "resistance_mohm": 0, "standby_ma": 1 }]);
        let outcome = typical(&whole);
        assert!(
            outcome.banks[0].worst_gap < 1e-9,
            "{}",
            outcome.banks[0].worst_gap
        );
    }
}

/// A year's record of daily sums, repeated as it was: two seeds are one trip.
#[test]
fn law_days_repeated_as_they_were_leave_nothing_to_chance() {
    let mut record = "date,ghi_kwh_m2,min_c,max_c\n".to_owned();
    let first = chrono::NaiveDate::from_ymd_opt(2015, 1, 1).expect("a date");
    for (day, date) in first.iter_days().take(365).enumerate() {
        let wave = f64::from(u32::try_from((day * 37) % 17).expect("small")) / 17.0;
        let (sun, low_c, high_c) = (2.0 + 4.0 * wave, 6.0 + wave, 20.0 + wave);
        writeln!(record, "{date},{sun:.2},{low_c:.1},{high_c:.1}").expect("room");
    }
    let mut whole = trip(2.0, 5);
    whole["climate"] = json!({ "kind": "history", "file": "record.csv", "replay": 2015 });
    whole["banks"] = json!([{ "id": "house", "chemistry": "lfp", "capacity_ah": 100,
        "start_soc": 0.5 }]);
    whole["solar"] = json!([{ "id": "roof", "to": "house", "panel_w": 100, "mount": "flat" }]);
    whole["loads"] = json!([{ "id": "load", "bank": "house", "kind": "steady", "power_w": 40,
        "use_spread": 0 }]);
    let files = |_: &str| Ok(record.clone().into_bytes());
    let reading = match read(&whole.to_string(), "by-hand.json", &files) {
        Ok(reading) => reading,
        Err(refusal) => panic!("{refusal}"),
    };
    let timeline = Timeline::new(&reading.scenario, Plan::Trip, 5).expect("weather");
    let outcome = |seed: u64| -> Outcome {
        let drawing = Drawing::new(&reading.scenario, &timeline, seed, &[]);
        run_batch(&timeline, &drawing.batch(0, 4).0, &mut Unobserved)
    };
    let (one, other) = (outcome(1), outcome(2));
    for lane in 0..4 {
        let (a, b) = (one.banks[0].end_soc[lane], other.banks[0].end_soc[0]);
        assert!((a - b).abs() < 1e-12, "{a} and {b}");
    }
}
