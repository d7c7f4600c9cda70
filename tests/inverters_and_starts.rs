//! Inverters and long starts in the engine, by hand. Invented systems.
//!
//! One job: what a curve of efficiency, an inverter asked for too much and a start of minutes come to.

mod small_trip;

use serde_json::{Value, json};
use small_trip::{checked, refused, trip, typical};
use tideover::study::settings::Settings;
use tideover::trials::Silent;

fn camp() -> Value {
    let mut whole = trip(0.0, 1);
    whole["banks"] = json!([{ "id": "house", "chemistry": "lfp", "capacity_ah": 400, "standby_ma": 0,
        "max_discharge_a": 400 }]);
    whole["inverters"] = json!([{ "id": "kitchen", "bank": "house", "rated_w": 1000, "idle_w": 0,
        "efficiency": 1 }]);
    whole
}

fn load_wh(whole: &Value) -> Vec<f64> {
    let loads = typical(whole).totals.loads;
    loads.iter().map(|load| load.wh).collect()
}

fn is_near(found: f64, by_hand: f64) {
    assert!((found - by_hand).abs() < 1e-6, "{found}, by hand {by_hand}");
}

/// 300 W for an hour are 0.3 of the rating: half way from 0.1 to 0.5 the curve is at 0.85. Of the 353 W
/// that go in 10 W are the idle power, which is drawn for 24 h: 300 / 0.85 − 10 for an hour, 10 for 24.
/// Beyond the last point the curve stays as it is there.
#[test]
fn by_hand_a_load_meets_the_efficiency_of_its_own_power() {
    let of = |power_w: f64| {
        let mut whole = camp();
        whole["inverters"][0]["idle_w"] = json!(10);
        whole["inverters"][0]["efficiency"] = json!([
            { "share": 0.1, "efficiency": 0.8 }, { "share": 0.5, "efficiency": 0.9 },
            { "share": 0.8, "efficiency": 0.85 }]);
        whole["loads"] = json!([{ "id": "tools", "bank": "house", "kind": "hours", "power_w": power_w,
            "hours_per_day": 1, "use_spread": 0, "inverter": "kitchen" }]);
        load_wh(&whole)[0]
    };
    is_near(of(300.0), 300.0 / 0.85 - 10.0 + 240.0);
    is_near(of(50.0), 50.0 / 0.8 - 10.0 + 240.0);
    is_near(of(900.0), 900.0 / 0.85 - 10.0 + 240.0);
}

/// A kettle of 700 W beside a steady 500 W on 1000 W: 500 W are left for it, 200 W for twelve minutes are
/// not supplied, from 10:00 on.
#[test]
fn by_hand_what_comes_on_top_of_a_full_inverter_is_supplied_in_part() {
    let mut whole = camp();
    whole["loads"] = json!([
        { "id": "cooler", "bank": "house", "kind": "steady", "power_w": 500, "use_spread": 0,
          "inverter": "kitchen", "when": ["09:00", "12:00"] },
        { "id": "kettle", "bank": "house", "kind": "event", "power_w": 700, "minutes": 12, "on": "daily",
          "at": "10:00", "use_spread": 0, "inverter": "kitchen" }]);
    let outcome = typical(&whole);
    is_near(outcome.totals.loads[0].wh, 1500.0);
    is_near(outcome.totals.loads[1].wh, 500.0 / 5.0);
    is_near(outcome.totals.loads[1].asked_wh, 700.0 / 5.0);
    is_near(outcome.overloads[0].missed_wh[0], 200.0 / 5.0);
    is_near(outcome.overloads[0].hours[0], 0.2);
    is_near(outcome.overloads[0].first_s[0], 2.0 * 3600.0);
    is_near(outcome.totals.banks[0].unserved_wh, 40.0);
    assert!(outcome.banks[0].worst_gap < 1e-9);
    assert!(outcome.banks[0].shortfall_s[0].is_infinite());
    let mut settings = Settings::default();
    settings.run.trials = 64;
    let answer = tideover::trip(&checked(&whole), &settings, &Silent).expect("weather");
    let told = &answer.result.overloads[0];
    assert_eq!(
        (told.inverter.as_str(), told.chance.value),
        ("kitchen", 1.0)
    );
    assert_eq!(told.first, "2027-07-03T10:00:00+02:00");
    assert_eq!(told.stop.as_deref(), Some("Pan"));
    assert_eq!(told.loads, ["cooler", "kettle"]);
    let verdict = tideover::present::words::trip_verdict(&answer);
    assert!(
        verdict.contains("Inverter kitchen is asked for more than its 1,000 W in 100 % of trips, first Saturday 3 July, 10:00 (Pan): 40 Wh not supplied to cooler or kettle."),
        "{verdict}"
    );
    // A larger one carries both.
    whole["inverters"][0]["rated_w"] = json!(1200);
    let outcome = typical(&whole);
    is_near(outcome.totals.loads[1].wh, 140.0);
    assert!(outcome.overloads.is_empty());
}

/// 120 W for ten minutes instead of 24 W are 16 Wh more at each start: of an event, and of what runs in a
/// window. Half a minute of it is left to the fuse.
#[test]
fn by_hand_a_long_start_is_energy() {
    let of = |kind: Value, peak_s: f64| {
        let mut whole = camp();
        let mut load = json!({ "id": "burner", "bank": "house", "power_w": 24, "peak_w": 120,
            "peak_s": peak_s, "use_spread": 0 });
        for (key, value) in kind.as_object().expect("keys") {
            load[key.as_str()] = value.clone();
        }
        whole["loads"] = json!([load]);
        load_wh(&whole)[0]
    };
    let event = json!({ "kind": "event", "on": "daily", "at": "20:00", "minutes": 60 });
    is_near(of(event.clone(), 600.0), 24.0 + 16.0);
    is_near(of(event, 30.0), 24.0);
    let duty = json!({ "kind": "duty", "duty": 0.5, "when": ["20:00", "06:00"] });
    is_near(of(duty.clone(), 600.0), 120.0 + 16.0);
    is_near(of(duty, 30.0), 120.0);
}

#[test]
fn refuses_a_curve_that_does_not_rise_in_its_shares() {
    let mut whole = camp();
    whole["inverters"][0]["efficiency"] =
        json!([{ "share": 0.5, "efficiency": 0.9 }, { "share": 0.5, "efficiency": 0.8 }]);
    let told = refused(&whole);
    assert!(
        told.contains("/inverters/0/efficiency/1/share")
            && told.contains("above the point before, which is at 0.5"),
        "{told}"
    );
}
