//! Relays in the place of chargers: their current against circuits worked out by hand.
//!
//! One job: what flows through a relay, how several share an alternator, when they part, what is said of
//! them. Kirchhoff's laws; open-circuit voltages are nodes of the curves that `system` documents: a
//! lithium battery half full stands at 4 × 3.221 = 12.884 V, at 20 % at 4 × 3.159 = 12.636 V, a flooded
//! one half full at 12.24 V. Invented systems.

mod small_trip;

use serde_json::{Value, json};
use small_trip::{checked, typical};
use tideover::engine::Outcome;
use tideover::study::settings::Settings;
use tideover::study::trip::trip;
use tideover::trials::Silent;
use tideover::wiring::run_resistance_ohm;
use tideover::wiring::schedule::schedule;

const HALF_V: f64 = 12.884;
const FIFTH_V: f64 = 12.636;
const STEP_H: f64 = 1.0 / 12.0;

/// Five minutes of driving, one step: one lithium bank behind a relay, and an alternator of 400 A.
fn joined() -> Value {
    let mut whole = small_trip::trip(STEP_H, 0);
    whole["banks"] = json!([{ "id": "house", "chemistry": "lfp", "capacity_ah": 300, "start_soc": 0.5,
        "standby_ma": 0, "max_charge_a": 300, "resistance_mohm": 10 }]);
    whole["alternator"] = json!({ "rated_a": 400, "idle_share": 0, "hot_derate": 1, "vehicle_load_a": 0,
        "volts": 14.2 });
    whole["chargers"] = json!([{ "id": "relay", "kind": "relay", "to": "house", "rated_a": 200 }]);
    whole
}

/// Mean current of a charger over the step, A.
fn amps(outcome: &Outcome, charger: usize) -> f64 {
    outcome.totals.chargers[charger].ah / STEP_H
}

fn is_near(found: f64, by_hand: f64) {
    assert!((found - by_hand).abs() < 1e-6, "{found}, by hand {by_hand}");
}

/// `(14.2 − 12.884) / (10 mΩ + run)`. What the alternator gives is in the bank or was lost in the run.
#[test]
fn by_hand_lithium_takes_what_the_resistances_let_through() {
    is_near(amps(&typical(&joined()), 0), 131.6);
    let mut whole = joined();
    whole["banks"].as_array_mut().expect("banks").push(
        json!({ "id": "starter", "role": "start", "chemistry": "flooded", "capacity_ah": 70 }),
    );
    whole["runs"] = json!([
        { "id": "in", "from": "starter", "to": "relay", "one_way_m": 1, "mm2": 35, "carries": ["relay"] },
        { "id": "out", "from": "relay", "to": "house", "one_way_m": 4, "mm2": 35, "carries": ["relay"] }]);
    let scenario = checked(&whole);
    let run_ohm = run_resistance_ohm(&scenario, 0) + run_resistance_ohm(&scenario, 1);
    assert!((0.005..0.008).contains(&run_ohm), "{run_ohm}");
    let outcome = typical(&whole);
    let by_hand_a = (14.2 - HALF_V) / (0.01 + run_ohm);
    is_near(amps(&outcome, 0), by_hand_a);
    let lost_wh = outcome.totals.banks[0].conversion_wh;
    is_near(lost_wh / STEP_H, run_ohm * by_hand_a * by_hand_a);
    is_near(
        (outcome.totals.chargers[0].wh + lost_wh) / STEP_H,
        14.2 * by_hand_a,
    );
}

/// Of 6 A that a load takes the bank would have to give what the drop over its own resistance asks:
/// `(14.2 − 12.884 + 6 A · 10 mΩ) / 10 mΩ`.
#[test]
fn by_hand_a_load_beside_the_bank_draws_through_the_relay_too() {
    let mut whole = joined();
    whole["loads"] = json!([{ "id": "lamp", "bank": "house", "kind": "steady", "current_a": 6,
        "use_spread": 0 }]);
    is_near(amps(&typical(&whole), 0), 137.6);
}

/// Behind 100 mΩ of thin cable and battery it is the circuit, `1.96 V / R`; behind short copper the
/// battery's own acceptance, as from any charger that could give more.
#[test]
fn by_hand_lead_acid_takes_the_lesser_of_circuit_and_acceptance() {
    let flooded = |mohm: f64, max_charge_a: f64| {
        let mut whole = joined();
        whole["banks"][0] = json!({ "id": "house", "chemistry": "flooded", "capacity_ah": 100,
            "start_soc": 0.5, "standby_ma": 0, "max_charge_a": max_charge_a, "resistance_mohm": mohm });
        whole
    };
    is_near(amps(&typical(&flooded(100.0, 200.0)), 0), 19.6);
    is_near(amps(&typical(&flooded(10.0, 15.0)), 0), 15.0);
    let by_relay = amps(&typical(&flooded(10.0, 200.0)), 0);
    let mut with_charger = flooded(10.0, 200.0);
    with_charger["chargers"] =
        json!([{ "id": "big", "kind": "dc-dc", "to": "house", "output_a": 150 }]);
    is_near(by_relay, amps(&typical(&with_charger), 0));
    // 50 Ah missing over the taper's 1.5 h are 33 A at first, a little less in the mean.
    assert!((31.0..33.4).contains(&by_relay), "{by_relay}");
}

/// Two banks on an alternator with `spare_a` for them: one at half charge behind 10 mΩ, one at a fifth
/// behind 20 mΩ.
fn two_banks(spare_a: f64) -> Value {
    let mut whole = joined();
    whole["banks"].as_array_mut().expect("banks").push(
        json!({ "id": "second", "chemistry": "lfp", "capacity_ah": 300, "start_soc": 0.2,
            "standby_ma": 0, "max_charge_a": 300, "resistance_mohm": 20 }),
    );
    whole["chargers"]
        .as_array_mut()
        .expect("chargers")
        .push(json!({ "id": "other", "kind": "relay", "to": "second", "rated_a": 200 }));
    whole["alternator"]["rated_a"] = json!(spare_a + 10.0);
    whole["alternator"]["vehicle_load_a"] = json!(10);
    whole
}

/// At 14.2 V they would take 131.6 and 78.2 A. Of 100 A: `(V − 12.884) / 10 mΩ + (V − 12.636) / 20 mΩ`
/// is 100 A at V = (100 + 1288.4 + 631.8) / 150 = 13.468 V.
#[test]
fn by_hand_two_banks_share_a_weak_alternator_at_one_voltage() {
    let outcome = typical(&two_banks(100.0));
    let common_v = 2020.2 / 150.0;
    is_near(amps(&outcome, 0), (common_v - HALF_V) / 0.01);
    is_near(amps(&outcome, 1), (common_v - FIFTH_V) / 0.02);
    assert!(
        outcome.oversubscribed_h[0] > 0.08,
        "{:?}",
        outcome.oversubscribed_h[0]
    );
}

/// The start bank is on the same voltage, `(V − 12.45) / 10 mΩ` at three quarters; a DC-DC charger takes
/// its power whatever the voltage: `100 (V − 12.884) + 50 (V − 12.636) + 100 (V − 12.45) + P / V = 100`.
#[test]
fn by_hand_start_bank_and_chargers_share_that_voltage() {
    let mut whole = two_banks(150.0);
    whole["banks"].as_array_mut().expect("banks").extend([
        json!({ "id": "starter", "role": "start", "chemistry": "flooded", "capacity_ah": 300,
            "start_soc": 0.75, "standby_ma": 0, "resistance_mohm": 10, "max_charge_a": 300 }),
        json!({ "id": "third", "chemistry": "lfp", "capacity_ah": 100, "start_soc": 0.5,
            "standby_ma": 0, "resistance_mohm": 0 }),
    ]);
    whole["chargers"].as_array_mut().expect("chargers").push(
        json!({ "id": "dcdc", "kind": "dc-dc", "to": "third", "output_a": 20, "min_input_v": 11 }),
    );
    let outcome = typical(&whole);
    let power_w = 20.0 * HALF_V / 0.92;
    let over_a = |v: f64| {
        // What the start bank accepts is less than its circuit: 75 Ah missing over 1.5 h.
        100.0 * (v - HALF_V) + 50.0 * (v - FIFTH_V) + power_w / v - 150.0
    };
    let start_a = outcome.totals.banks[2].alternator_ah / STEP_H;
    assert!((40.0..75.0).contains(&start_a), "{start_a}");
    let (mut low, mut high) = (12.0, 14.2);
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        if over_a(middle) + start_a > 0.0 {
            high = middle;
        } else {
            low = middle;
        }
    }
    let near = |found: f64, by_hand: f64| {
        assert!((found - by_hand).abs() < 1e-3, "{found}, by hand {by_hand}");
    };
    near(amps(&outcome, 2), 20.0);
    near(amps(&outcome, 0), (low - HALF_V) / 0.01);
    near(amps(&outcome, 1), (low - FIFTH_V) / 0.02);
}

/// With 20 A the common voltage is 1940.2 / 150 = 12.935 V: relays that part at 12.8 V hold, at 13 V they
/// part, by ignition they hold. An alternator of 13.2 V never makes them join at 13.3 V.
#[test]
fn by_hand_relays_part_below_their_voltage() {
    let with = |keys: &[(&str, Value)], volts: f64| {
        let mut whole = two_banks(20.0);
        whole["alternator"]["volts"] = json!(volts);
        for relay in whole["chargers"].as_array_mut().expect("relays") {
            for (key, value) in keys {
                relay[*key] = value.clone();
            }
        }
        typical(&whole)
    };
    let sum = |outcome: &Outcome| amps(outcome, 0) + amps(outcome, 1);
    is_near(sum(&with(&[], 14.2)), 20.0);
    is_near(sum(&with(&[("senses", json!("ignition"))], 14.2)), 20.0);
    let parted = with(&[("parts_v", json!(13.0))], 14.2);
    is_near(sum(&parted), 0.0);
    is_near(parted.totals.chargers[0].starved_h, STEP_H);
    let never = with(&[], 13.2);
    is_near(sum(&never), 0.0);
    is_near(never.totals.chargers[1].starved_h, STEP_H);
}

/// At −20 °C its protection takes no charge, and the relay changes nothing about it; the engine off, no
/// current flows at all.
#[test]
fn by_hand_cold_lithium_takes_nothing_through_a_relay() {
    let mut whole = joined();
    whole["banks"][0]["kept"] = json!("box");
    whole["climate"]["months"][0]["day_min_c"] = json!(-25);
    whole["climate"]["months"][0]["day_max_c"] = json!(-15);
    is_near(amps(&typical(&whole), 0), 0.0);
    let mut parked = joined();
    parked["itinerary"]["legs"][0]["drive_hours"] = json!(0);
    parked["itinerary"]["legs"][0]["nights"] = json!(1);
    is_near(typical(&parked).totals.chargers[0].ah, 0.0);
}

fn warnings(whole: &Value) -> String {
    let scenario = checked(whole);
    let told = scenario.warnings.iter();
    let told = told.map(|warning| format!("{} {}", warning.path, warning.text));
    told.collect::<Vec<_>>().join("\n")
}

/// 14.2 V against 12.272 V at the reserve of 10 % over 10 mΩ are 193 A, the alternator is rated 90 A.
#[test]
fn by_hand_lithium_behind_a_relay_is_warned_of() {
    let mut whole = joined();
    whole["alternator"]["rated_a"] = json!(90);
    let told = warnings(&whole);
    assert!(
        told.contains("/chargers/0 lets lithium draw on the alternator"),
        "{told}"
    );
    assert!(
        told.contains("193 A") && told.contains("rated 90 A"),
        "{told}"
    );
    whole["banks"][0]["chemistry"] = json!("agm");
    whole["chargers"][0]["senses"] = json!("ignition");
    let told = warnings(&whole);
    assert!(told.contains("below the 14.4 V"), "{told}");
    assert!(told.contains("the engine running or not"), "{told}");
}

fn refused(change: impl Fn(&mut Value)) -> String {
    let mut whole = joined();
    change(&mut whole);
    small_trip::refused(&whole)
}

#[test]
fn refuses_what_a_relay_has_not() {
    let told = refused(|whole| whole["chargers"][0]["output_a"] = json!(30));
    assert!(told.contains("/chargers/0/output_a (relay)\n    does not belong to the kind `relay`, but to `dc-dc` and `mains`"), "{told}");
    let told = refused(|whole| whole["chargers"][0]["from"] = json!("mains"));
    assert!(
        told.contains("but must be `alternator` or the starting battery"),
        "{told}"
    );
    let told = refused(|whole| {
        whole["chargers"][0]["joins_v"] = json!(13.0);
        whole["chargers"][0]["parts_v"] = json!(13.5);
    });
    assert!(
        told.contains("is 13.5, but must be at most `joins_v`, which is 13"),
        "{told}"
    );
    let told = refused(|whole| {
        whole["chargers"][0]["senses"] = json!("ignition");
        whole["chargers"][0]["parts_v"] = json!(12.0);
    });
    assert!(
        told.contains("does not belong to the relay that senses `ignition`"),
        "{told}"
    );
    let told = refused(|whole| {
        let again = whole["chargers"][0].clone();
        whole["chargers"]
            .as_array_mut()
            .expect("chargers")
            .push(again);
        whole["chargers"][1]["id"] = json!("again");
    });
    assert!(told.contains("a bank that no other relay joins"), "{told}");
    let told = refused(|whole| {
        whole["chargers"][0] = json!({ "id": "dcdc", "kind": "dc-dc", "to": "house" });
    });
    assert!(
        told.contains("/chargers/0/output_a") && told.contains("is missing"),
        "{told}"
    );
    let told = refused(|whole| {
        whole
            .as_object_mut()
            .expect("an object")
            .remove("alternator");
    });
    assert!(told.contains("/chargers/0 (relay)"), "{told}");
}

/// The run is sized for the largest of the relay's 60 A, the alternator's 120 A and what alternator and
/// starting battery drive into an empty bank; each battery's end has its fuse; a relay for less than can last is a fault of the plan.
#[test]
fn by_hand_the_run_of_a_relay_is_fused_at_both_ends() {
    let mut whole = joined();
    whole["banks"].as_array_mut().expect("banks").push(
        json!({ "id": "starter", "role": "start", "chemistry": "flooded", "capacity_ah": 700,
            "resistance_mohm": 1 }),
    );
    whole["banks"][0]["resistance_mohm"] = json!(4);
    whole["banks"][0]["reserve_soc"] = json!(0.05);
    whole["alternator"] = json!({ "rated_a": 120, "vehicle_load_a": 20 });
    whole["chargers"][0]["rated_a"] = json!(60);
    whole["runs"] = json!([{ "id": "split", "from": "starter", "to": "house", "one_way_m": 5,
        "carries": ["relay"], "drop_limit": 0.1, "mm2": 50 }]);
    let scenario = checked(&whole);
    let plan = schedule(&scenario, None);
    let run = &plan.runs[0];
    // 120 A + (12.65 V − V) / 1 mΩ = (V − 10.162 V) / R at the reserve of 5 %.
    let ohm = 0.004 + run_resistance_ohm(&scenario, 0);
    let common_v = (120.0 + 12650.0 + 10.162 / ohm) / (1000.0 + 1.0 / ohm);
    let by_hand_a = (common_v - 10.162) / ohm;
    assert!(by_hand_a > 200.0, "{by_hand_a}");
    assert!(
        (run.design_current_a - by_hand_a).abs() < 1e-6,
        "{}",
        run.design_current_a
    );
    let places: Vec<&str> = run
        .fuse
        .as_ref()
        .expect("a fuse")
        .places
        .iter()
        .map(|place| place.at.as_str())
        .collect();
    assert_eq!(places, ["starter", "house"]);
    let piece = plan
        .distribution
        .iter()
        .find(|piece| piece.kind == "relay")
        .expect("told");
    is_near(piece.current_a, 100.0);
    assert_eq!(piece.rating_a, Some(60.0));
    assert!(
        piece.problems[0]
            .fails
            .contains("100 A can flow through relay"),
        "{:?}",
        piece.problems
    );
    assert!(!plan.pass);
}

/// Any number of threads, the same bytes.
#[test]
fn law_threads_change_nothing_with_relays() {
    let mut whole = two_banks(60.0);
    whole["itinerary"]["legs"][0]["drive_hours"] = json!({ "min": 1, "likely": 3, "max": 5 });
    whole["alternator"]["idle_share"] = json!(0.2);
    let scenario = checked(&whole);
    let told = |threads: usize| {
        let mut settings = Settings::default();
        settings.run.trials = 300;
        settings.run.threads = Some(threads);
        let answer = trip(&scenario, &settings, &Silent).expect("weather");
        serde_json::to_string(&answer.result).expect("figures")
    };
    let one = told(1);
    assert_eq!(one, told(2));
    assert_eq!(one, told(8));
}
