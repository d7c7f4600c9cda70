//! How much driving keeps the banks up.
//!
//! One job: `topup` against arithmetic shown beside it, and its reasons where no driving does.

mod one_run;

use one_run::Tideover;
use serde_json::{Value, json};

/// Six nights in camp after a short leg, no sun; one house bank of 100 Ah that starts full, 25 A from a strong
/// alternator, 24.2 Ah a day.
fn camp() -> Value {
    json!({
        "format": 1, "title": "Camp", "seed": 5,
        "itinerary": { "start": "2027-07-03T08:00", "time_zone": "UTC",
            "from": { "name": "Town", "lat": -20, "lon": 0 },
            "legs": [ { "to": "Pan", "lat": -20, "lon": 0.1, "depart": "08:00", "drive_hours": 0.2, "nights": 6 } ] },
        "climate": { "kind": "monthly", "months": [
            { "month": 7, "kt": 0.5, "day_min_c": 24, "day_max_c": 26 } ] },
        "alternator": { "rated_a": 200, "idle_a": 100 },
        "banks": [ { "id": "main", "chemistry": "lfp", "capacity_ah": 100, "standby_ma": 0, "resistance_mohm": 0.01 } ],
        "chargers": [ { "id": "dcdc", "kind": "dc-dc", "to": "main", "output_a": 25 } ],
        "loads": [ { "id": "node", "bank": "main", "kind": "steady", "current_a": 24.2 / 24.0, "use_spread": 0 } ]
    })
}

fn topup(scenario: &Value) -> Value {
    topup_with(scenario, [])
}

fn topup_with<const N: usize>(scenario: &Value, words: [&str; N]) -> Value {
    let run = Tideover::new().scenario(&scenario.to_string());
    let own = run.args([
        "topup",
        "base.json",
        "--json",
        "--trials",
        "64",
        "--step",
        "5",
    ]);
    own.args(words).succeeds().json()
}

fn of(found: &Value, key: &str) -> f64 {
    found[key]
        .as_f64()
        .unwrap_or_else(|| panic!("{key} in {found}"))
}

/// A bank that starts full: 24.2 Ah a day and 0.1 of self-discharge behind 25 A at 0.99 are 0.98 h on each
/// day in camp; from the end of the first to that of the fifth two points may be missing, 0.5 Ah a day, so
/// 0.96 h. It said 11 h 40 min, since no night leaves a bank full. By the mean of six days, the first with
/// its leg of 0.2 h: (5 × 0.96 + 0.2) / 6.
#[test]
fn by_hand_a_full_lithium_bank() {
    let found = topup(&camp());
    let by_hand = (24.2 + 0.1 - 0.5) / 0.99 / 25.0;
    let in_camp = of(&found, "hours_per_camp_day");
    assert!(
        (in_camp / by_hand - 1.0).abs() < 0.03,
        "{in_camp} h, by hand {by_hand} h"
    );
    assert!((of(&found, "hours_per_driving_day") - 0.2).abs() < 1e-6);
    let hours = &found["hours_per_day"];
    let mean = of(hours, "value");
    assert!((mean - (5.0 * in_camp + 0.2) / 6.0).abs() < 1e-3, "{mean}");
    assert!(of(hours, "low") <= mean && mean <= of(hours, "high"));
    assert_eq!(found["like_days"]["kind"], "camp");
    assert_eq!(found["like_days"]["first"], "2027-07-04");
    assert_eq!(found["like_days"]["last"], "2027-07-08");
}

/// Two days in camp are behind, in which nobody drove: 100 − 2 × 24.3 Ah are left, and what the leg of 0.2 h could
/// put into a full bank, 5 Ah at most. More driving from now on does not fill it in the past; a day of it keeps the
/// charge.
#[test]
fn by_hand_from_here_on_what_is_past_is_as_planned() {
    let found = topup_with(&camp(), ["--now", "2027-07-05T08:00"]);
    let first = of(&found["banks"][0], "first_soc");
    assert!((0.50..0.57).contains(&first), "{first}");
    let in_camp = of(&found, "hours_per_camp_day");
    assert!((in_camp - 24.3 / 0.99 / 25.0).abs() < 0.05, "{in_camp}");
}

/// Flooded lead-acid of 200 Ah, full, with the same load and charger: what goes in counts between 80 and 100 %
/// (Copetti's efficiency near full), so 24.2 / 25 / 0.9 = 1.08 h and between 0.95 and 1.3 h. In winter,
/// around 0 °C, the capacity shrinks but not a day's ampere-hours: the same hours.
#[test]
fn by_hand_a_full_lead_acid_bank() {
    for (min_c, max_c) in [(24, 26), (-3, 3)] {
        let mut scenario = camp();
        scenario["banks"] = json!([{ "id": "main", "chemistry": "flooded", "capacity_ah": 200, "standby_ma": 0,
            "max_charge_a": 50 }]);
        scenario["climate"]["months"][0]["day_min_c"] = json!(min_c);
        scenario["climate"]["months"][0]["day_max_c"] = json!(max_c);
        let found = topup(&scenario);
        let in_camp = of(&found, "hours_per_camp_day");
        assert!(
            (0.85..1.3).contains(&in_camp),
            "{in_camp} h at {min_c} to {max_c} °C"
        );
    }
}

/// At idle the alternator gives 100 A × 0.85 less 35 A of the vehicle, so 50 A: 25 A out of the charger again,
/// and the same hours as driving. With 60 A at idle it has 16 A at 14.2 V to spare, which a charger of 0.9
/// turns into 16 × 14.2 × 0.9 / 13.3 V = 15.4 A: 25 / 15.4 = 1.63 times as long. Never less than driving.
#[test]
fn by_hand_idling_takes_what_the_alternator_has_at_idle() {
    for (idle_a, times) in [(100, 1.0), (60, 25.0 / (16.0 * 14.2 * 0.9 / 13.3))] {
        let mut scenario = camp();
        scenario["alternator"] = json!({ "rated_a": 200, "idle_a": idle_a, "hot_derate": 0.85, "vehicle_load_a": 35,
            "volts": 14.2, "idle_share": 0 });
        scenario["chargers"][0]["efficiency"] = json!(0.9);
        let found = topup(&scenario);
        let driving = of(&found, "hours_per_camp_day");
        let idling = of(&found["idling"], "hours_per_camp_day");
        assert!(idling >= driving - 1e-9, "{idling} and {driving} h");
        let ratio = idling / driving;
        assert!(
            (ratio / times - 1.0).abs() < 0.05,
            "{ratio}, by hand {times}"
        );
        let all = of(&found["idling"], "hours_per_day");
        assert!((all - (5.0 * idling + 0.2) / 6.0).abs() < 1e-3, "{all}");
    }
}

/// Each case has its own sentence, and no figure is a negative nothing.
#[test]
fn law_every_reason_is_its_own_sentence() {
    let reason = |change: &dyn Fn(&mut Value)| {
        let mut scenario = camp();
        change(&mut scenario);
        let found = topup(&scenario);
        assert!(found["hours_per_day"].is_null(), "{found}");
        let why = found["why_not"].as_str().expect("a reason").to_owned();
        assert!(!why.contains("-0"), "{why}");
        why
    };
    let low = reason(&|scenario| scenario["banks"][0]["start_soc"] = json!(0.08));
    assert!(
        low.starts_with("bank main starts at 8 %, below its reserve of 10 %"),
        "{low}"
    );
    // By the meter on the way, whatever the file begins with.
    let mut begins_low = camp();
    begins_low["banks"][0]["start_soc"] = json!(0.05);
    let by_meter = |soc: &str| {
        let found = topup_with(&begins_low, ["--now", "2027-07-05T08:00", "--soc", soc]);
        found["why_not"].as_str().map(str::to_owned)
    };
    let low_now = by_meter("main=8%").expect("a reason");
    assert!(
        low_now.starts_with("bank main is at 8 %, below its reserve of 10 %"),
        "{low_now}"
    );
    assert_eq!(by_meter("main=80%"), None);
    let trailer = reason(&|scenario| {
        scenario["banks"][0]["trailer"] = json!(true);
        scenario["chargers"][0]["needs"] = json!("towing");
    });
    assert!(
        trailer.starts_with("bank main stays in camp while you drive about"),
        "{trailer}"
    );
    let no_night = reason(&|scenario| {
        scenario["itinerary"]["legs"][0]["nights"] = json!(0);
        scenario["itinerary"]["legs"][0]["drive_hours"] = json!(11);
        scenario["banks"][0]["start_soc"] = json!(0.12);
        scenario["chargers"][0]["output_a"] = json!(0.1);
    });
    assert!(no_night.starts_with("the trip has no night"), "{no_night}");
    let small = reason(&|scenario| scenario["chargers"][0]["output_a"] = json!(1.5));
    assert!(
        small.contains("its chargers give at most 2 A, about 20 W"),
        "{small}"
    );
}

/// Two nights have no two like days: the chance alone is asked for, and it is said.
#[test]
fn law_a_trip_without_like_days_asks_for_the_chance_alone() {
    let mut scenario = camp();
    scenario["itinerary"]["legs"][0]["nights"] = json!(2);
    let text = scenario.to_string();
    let found = topup(&scenario);
    assert!(found["like_days"].is_null());
    assert!(found["binds"].is_null());
    Tideover::new()
        .scenario(&text)
        .args(["topup", "base.json", "--trials", "64", "--step", "20"])
        .succeeds()
        .stdout_has("The trip has no two like days");
}
