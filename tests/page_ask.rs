//! The page's questions: the same answers as the command line, to the byte, and no input that breaks it.
//!
//! One job: `page::ask` against the program. The module is held to the program in `tests/page/answers.mjs`.

#![expect(clippy::unwrap_used, reason = "a test fails by panicking")]

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use serde_json::{Value, json};
use tideover::page::{Engine, ask};

/// Commands with the options of their own.
fn commands(bank: &str) -> [(&'static str, Value); 9] {
    [
        ("trip", json!({})),
        ("stay", json!({ "horizon": 6 })),
        ("budget", json!({})),
        ("shed", json!({})),
        ("why", json!({})),
        (
            "compare",
            json!({ "vary": [format!("banks.{bank}.capacity_ah=50,150")] }),
        ),
        ("mend", json!({})),
        ("topup", json!({})),
        ("wiring", json!({})),
    ]
}

fn examples() -> Vec<PathBuf> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let folders = ["scenarios", "src/scenario/templates"].map(|folder| root.join(folder));
    let mut found: Vec<PathBuf> = folders
        .iter()
        .flat_map(|folder| fs::read_dir(folder).unwrap())
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|ending| ending == "json"))
        .collect();
    found.sort();
    found
}

/// A scenario as a question carries it.
fn scenario(path: &Path) -> Value {
    let text = fs::read_to_string(path).unwrap();
    let root: Value = serde_json::from_str(&text).unwrap();
    let mut files = BTreeMap::new();
    if let Some(name) = root["climate"]["file"].as_str() {
        let beside = path.parent().unwrap().join(name);
        files.insert(name.to_owned(), fs::read_to_string(beside).unwrap());
    }
    json!({ "name": path.file_name().unwrap().to_str(), "text": text, "files": files })
}

/// What the program prints with `--json`, and the files it writes.
fn program(command: &str, path: &Path, options: &Value) -> (String, BTreeMap<String, Vec<u8>>) {
    let out = tempfile::tempdir().unwrap();
    let mut run = Command::new(env!("CARGO_BIN_EXE_tideover"));
    run.arg(command)
        .arg(path)
        .arg("--json")
        .arg("--out")
        .arg(out.path());
    for (name, value) in options.as_object().unwrap() {
        let values = value
            .as_array()
            .cloned()
            .unwrap_or_else(|| vec![value.clone()]);
        for value in values {
            let word = value
                .as_str()
                .map_or_else(|| value.to_string(), str::to_owned);
            run.arg(format!("--{name}")).arg(word);
        }
    }
    let done = run.output().unwrap();
    assert!(
        done.status.success(),
        "{}",
        String::from_utf8_lossy(&done.stderr)
    );
    let files = fs::read_dir(out.path()).unwrap().map(|entry| {
        let path = entry.unwrap().path();
        let name = path.file_name().unwrap().to_str().unwrap().to_owned();
        (name, fs::read(path).unwrap())
    });
    (String::from_utf8(done.stdout).unwrap(), files.collect())
}

#[test]
fn law_a_page_answers_as_the_command_line_does() {
    let mut engine = Engine::default();
    let mut compared = 0;
    for path in examples() {
        let of_page = scenario(&path);
        let root: Value = serde_json::from_str(of_page["text"].as_str().unwrap()).unwrap();
        for (command, mut options) in commands(root["banks"][0]["id"].as_str().unwrap()) {
            if command != "wiring" {
                options["trials"] = 4.into();
                options["step"] = 60.into();
            }
            let question = json!({
                "ask": "run", "command": command, "scenario": of_page, "options": options, "files": true,
            });
            let answer: Value = serde_json::from_str(&engine.ask(&question.to_string())).unwrap();
            let place = format!("{command} {}", path.display());
            assert_eq!(answer["status"], 0, "{place}: {answer}");
            let (json, files) = program(command, &path, &options);
            assert!(
                answer["json"].as_str() == Some(json.as_str()),
                "{place}: JSON"
            );
            let of_answer = answer["files"].as_object().unwrap();
            let names = |names: &mut dyn Iterator<Item = &String>| -> Vec<String> {
                let mut names: Vec<String> = names.cloned().collect();
                names.sort();
                names
            };
            assert_eq!(
                names(&mut of_answer.keys()),
                names(&mut files.keys()),
                "{place}"
            );
            for (name, bytes) in files {
                let text = of_answer[&name].as_str().unwrap();
                assert!(text.as_bytes() == bytes, "{place}: {name}");
            }
            compared += 1;
        }
    }
    assert!(compared >= 65, "{compared}");
}

/// The first figure of a change takes a shorter way: the trials as they are, of which only first shortfalls are run again.
#[test]
fn law_the_chance_of_a_change_is_that_of_the_changed_trip() {
    let mut engine = Engine::default();
    let mut asked = |question: &Value| -> Value {
        serde_json::from_str(&engine.ask(&question.to_string())).unwrap()
    };
    let (mut compared, mut moved) = (0, 0);
    for path in examples() {
        let of_page = scenario(&path);
        let numbers = asked(&json!({ "ask": "numbers", "scenario": of_page }));
        let outline = asked(&json!({ "ask": "outline", "scenario": of_page }));
        let load = outline["loads"][0]["id"].as_str().unwrap();
        let numbers = numbers["numbers"].as_array().unwrap();
        let mut changes = vec![
            json!({ "set": {} }),
            json!({ "set": {}, "off": [load] }),
            json!({ "set": { "seed": 4321 } }),
        ];
        // Banks, panels, chargers, loads, driving and nights, with whatever the way leads to.
        for number in numbers.iter().step_by(5) {
            let key = number["key"].as_str().unwrap();
            changes.push(json!({ "set": { key: number["min"] } }));
        }
        let mut first = None;
        for change in changes {
            let mut question = json!({
                "ask": "chance", "scenario": of_page, "options": { "trials": 24, "step": 60 },
                "set": change["set"], "off": change.get("off").unwrap_or(&json!([])),
            });
            let chance = asked(&question);
            question["ask"] = "run".into();
            question["command"] = "trip".into();
            let trip = asked(&question);
            assert_eq!(
                chance["status"],
                trip["status"],
                "{} {change}",
                path.display()
            );
            if trip["status"] != 0 {
                assert_eq!(chance, trip);
                continue;
            }
            let trip: Value = serde_json::from_str(trip["json"].as_str().unwrap()).unwrap();
            assert_eq!(
                chance["chance_no_shortfall"],
                trip["chance_no_shortfall"],
                "{} {change}",
                path.display()
            );
            compared += 1;
            moved += usize::from(*first.get_or_insert(chance.clone()) != chance);
        }
    }
    assert!(compared > 100 && moved > 20, "{compared} {moved}");
}

/// A question with changes is one about the file that `edit` gives.
#[test]
fn law_a_question_with_changes_is_about_the_edited_file() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios/weekend.json");
    let mut of_page = scenario(&path);
    let asked =
        |question: &Value| -> Value { serde_json::from_str(&ask(&question.to_string())).unwrap() };
    let (set, off) = (json!({ "banks.house.capacity_ah": 55 }), json!(["fridge"]));
    let options = json!({ "trials": 8, "step": 60 });
    let changed = asked(&json!({
        "ask": "run", "command": "trip", "scenario": of_page, "set": set, "off": off, "options": options,
    }));
    let edited = asked(&json!({ "ask": "edit", "scenario": of_page, "set": set, "off": off }));
    of_page["text"] = edited["text"].clone();
    let whole =
        asked(&json!({ "ask": "run", "command": "trip", "scenario": of_page, "options": options }));
    assert_eq!((&whole["status"], &whole), (&json!(0), &changed));
    for ask in ["run", "chance"] {
        let refused = asked(&json!({
            "ask": ask, "command": "trip", "scenario": of_page, "set": { "banks.house.capacity_ah": -1 },
        }));
        assert_eq!(
            (&refused["status"], &refused["problems"][0]["path"]),
            (&json!(2), &json!("/banks/0/capacity_ah"))
        );
    }
    let no_such = asked(
        &json!({ "ask": "chance", "scenario": of_page, "options": { "now": "2028-01-22T18:00" } }),
    );
    assert!(
        no_such["text"]
            .as_str()
            .unwrap()
            .contains("chance has no such option here")
    );
}

/// A question is text from outside: bytes changed at random never break the engine.
#[test]
fn refuses_without_a_panic_whatever_is_asked() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios/weekend.json");
    let of_page = scenario(&path);
    let questions = [
        json!({ "ask": "run", "command": "stay", "scenario": of_page,
                "options": { "trials": 2, "step": 60, "now": "2028-01-22T18:00", "soc": ["house=50%"] } }),
        json!({ "ask": "outline", "scenario": of_page, "now": "2028-01-22T18:00" }),
        json!({ "ask": "edit", "scenario": of_page, "set": { "banks.1.capacity_ah": 5 }, "off": ["fridge"] }),
        json!({ "ask": "chance", "scenario": of_page, "set": { "banks.1.capacity_ah": 5 }, "off": ["fridge"],
                "options": { "trials": 2, "step": 60 } }),
        json!({ "ask": "run", "command": "report", "scenario": of_page, "today": "2027-01-01",
                "options": { "typical": true, "step": 60 } }),
    ];
    let mut state = 7_u64;
    let mut draw = |below: usize| {
        state = state
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1);
        usize::try_from(state >> 33).unwrap() % below
    };
    for round in 0..400 {
        let mut bytes = questions[round % questions.len()].to_string().into_bytes();
        for _ in 0..=draw(3) {
            let at = draw(bytes.len());
            match draw(3) {
                0 => bytes[at] = b"0-9\"{}[]:,.eE\\ "[draw(15)],
                1 => drop(bytes.remove(at)),
                _ => bytes.insert(at, b"0-9\"{}[]:,"[draw(10)]),
            }
        }
        let question = String::from_utf8_lossy(&bytes);
        let answer: Value = serde_json::from_str(&ask(&question)).unwrap();
        assert!(answer["status"].is_u64(), "{question}");
    }
}

#[test]
fn law_the_options_of_a_page_are_those_of_the_command_line() {
    let about: Value = serde_json::from_str(&ask("{\"ask\":\"about\"}")).unwrap();
    for (command, options) in about["options"].as_object().unwrap() {
        let help = Command::new(env!("CARGO_BIN_EXE_tideover"))
            .args([command, "--help"])
            .output()
            .unwrap();
        let help = String::from_utf8(help.stdout).unwrap();
        for option in options.as_array().unwrap() {
            let option = format!("--{}", option.as_str().unwrap());
            assert!(help.contains(&option), "{command} {option}");
        }
    }
}
