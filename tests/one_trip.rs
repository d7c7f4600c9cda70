//! One trip without chance, and one trial.
//!
//! One job: that the two are told apart, and that nothing without chance is told with a spread.

mod one_run;

use one_run::{BASE, Tideover};
use serde_json::Value;

fn ran(more: &[&str]) -> (Value, String) {
    let mut run = Tideover::new().scenario(BASE);
    for arg in [&["trip", "base.json", "--step", "30"], more].concat() {
        run = run.args([arg]);
    }
    let ran = run.succeeds();
    let written = std::fs::read_to_string(ran.folder().join("output/base/trip.json"));
    let found = serde_json::from_str(&written.expect("written")).expect("JSON");
    (found, ran.stdout_text())
}

/// Every chance of an answer, as its three figures.
fn chances(value: &Value, found: &mut Vec<[f64; 3]>) {
    match value {
        Value::Object(members) => {
            let figure = |key: &str| members.get(key).and_then(Value::as_f64);
            if let (Some(value), Some(low), Some(high)) =
                (figure("value"), figure("low"), figure("high"))
            {
                found.push([low, value, high]);
            }
            members.values().for_each(|member| chances(member, found));
        }
        Value::Array(items) => items.iter().for_each(|item| chances(item, found)),
        _ => {}
    }
}

#[test]
fn law_a_trip_without_chance_has_no_interval() {
    let (found, shown) = ran(&["--typical"]);
    let mut figures = Vec::new();
    chances(&found, &mut figures);
    assert!(figures.len() > 4, "{figures:?}");
    for [low, value, high] in figures {
        assert!(
            (low - value).abs() < 1e-12 && (high - value).abs() < 1e-12,
            "{low} {value} {high}"
        );
    }
    for words in ["9 in 10", "half last", "95 %", "1 in 10 are above"] {
        assert!(!shown.contains(words), "`{words}` in\n{shown}");
    }
    assert!(shown.contains("lasts"), "{shown}");
}

/// One trial of two ends of a chance: by Wilson's interval at 95 % from 1 of 1, 1 / (1 + 1.96²) = 0.21
/// at the least.
#[test]
fn by_hand_one_trial_is_no_trip_without_chance() {
    let (found, shown) = ran(&["--trials", "1"]);
    let chance = &found["chance_no_shortfall"];
    let figure = |key: &str| chance[key].as_f64().expect("a number");
    assert!(
        (figure("high") - figure("low") - 0.79).abs() < 0.01,
        "{chance}"
    );
    assert!(!shown.contains("without surprises"), "{shown}");
    assert!(shown.contains("the one trial trip"), "{shown}");
}
