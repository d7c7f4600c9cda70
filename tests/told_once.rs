//! What a reader should know, told by every study alike.
//!
//! One job: the warnings of each command on one scenario, against each other. Which doubts there
//! are is in `warns_scenarios`.

mod one_run;

use one_run::Tideover;
use serde_json::Value;

const DESERT: &str = include_str!("../scenarios/desert-crossing.json");

/// The desert with the built-in climate, which has something to say of itself.
fn desert() -> Value {
    let mut scenario: Value = serde_json::from_str(DESERT).expect("JSON");
    let keys = scenario.as_object_mut().expect("an object");
    keys.remove("climate").expect("a climate");
    scenario
}

/// Path and text of each warning.
fn warnings(command: &[&str], text: &str) -> Vec<(String, String)> {
    let mut run = Tideover::new().scenario(text);
    for arg in [
        command,
        &["base.json", "--json", "--step", "30", "--trials", "64"],
    ]
    .concat()
    {
        run = run.args([arg]);
    }
    let found = run.succeeds().json();
    let told = found["warnings"].as_array().expect("warnings").iter();
    told.map(|warning| {
        let word = |key: &str| warning[key].as_str().expect("text").to_owned();
        (word("path"), word("text"))
    })
    .collect()
}

const COMMANDS: [&[&str]; 7] = [
    &["trip"],
    &["budget"],
    &["compare", "--vary", "banks.canopy.capacity_ah=60,100"],
    &["topup"],
    &["shed"],
    &["why"],
    &["report"],
];

/// Every study rests on the same file, climate and trials: it tells the same, each thing once.
/// The alternator is doubted by the file and measured by the trials: the measure stands.
#[test]
fn law_every_study_of_a_trip_tells_the_same_once() {
    let text = desert().to_string();
    let first = warnings(COMMANDS[0], &text);
    let of = |path: &str| first.iter().filter(|(known, _)| known == path).count();
    assert_eq!((of("/climate"), of("/alternator")), (1, 1), "{first:#?}");
    assert!(first.iter().any(|(_, text)| text.contains("h driven")));
    for command in &COMMANDS[1..] {
        let told = warnings(command, &text);
        for warning in &first {
            assert!(told.contains(warning), "{command:?} lacks {warning:?}");
        }
        for (path, text) in told.iter().filter(|warning| !first.contains(warning)) {
            let of_its_own = path.is_empty() || text.starts_with("option ");
            assert!(of_its_own, "{command:?} adds {path}: {text}");
        }
    }
}

/// A report tells on top what holds for all of it, and not again with each study inside.
#[test]
fn law_a_report_tells_each_thing_once() {
    let found = Tideover::new()
        .scenario(&desert().to_string())
        .args([
            "report",
            "base.json",
            "--json",
            "--step",
            "30",
            "--trials",
            "64",
        ])
        .args(["--compare", "banks.canopy.capacity_ah=60,100"])
        .succeeds()
        .json();
    let paths = |part: &Value| -> Vec<String> {
        let told = part["warnings"].as_array().expect("warnings").iter();
        told.map(|warning| warning["path"].as_str().expect("a path").to_owned())
            .filter(|path| !path.is_empty())
            .collect()
    };
    let on_top = paths(&found);
    assert!(!on_top.is_empty());
    for part in ["budget", "shed", "topup", "compared"] {
        let below = paths(&found[part]);
        assert!(
            below.iter().all(|path| !on_top.contains(path)),
            "{part}: {below:?}"
        );
    }
}

/// A start below the reserve is doubted by the file, and not told again in other words.
#[test]
fn law_a_start_below_reserve_is_told_once() {
    let mut scenario = desert();
    scenario["banks"][0]["start_soc"] =
        serde_json::json!({ "min": 0.02, "likely": 0.3, "max": 0.9 });
    let id = scenario["banks"][0]["id"]
        .as_str()
        .expect("an id")
        .to_owned();
    let text = scenario.to_string();
    for command in [&["trip"][..], &["stay"], &["budget"]] {
        let told = warnings(command, &text);
        let of_start: Vec<&String> = told
            .iter()
            .filter(|(path, _)| path.ends_with("start_soc"))
            .map(|(_, text)| text)
            .collect();
        assert_eq!(of_start.len(), 1, "{told:#?}");
        assert!(of_start[0].starts_with(&format!("bank {id} may be 0.02 at the start")));
    }
}
