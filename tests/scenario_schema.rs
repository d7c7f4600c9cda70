//! The JSON Schema against the scenarios: an editor that uses it and the program agree.

mod one_run;

use one_run::{BASE, Tideover, base_with};
use serde_json::Value;

fn schema() -> Value {
    let printed = Tideover::new().args(["check", "--schema"]).succeeds();
    let schema = printed.json();
    assert_eq!(
        schema["$schema"],
        "https://json-schema.org/draft/2020-12/schema"
    );
    schema
}

fn shipped() -> Vec<(String, String)> {
    let folders = ["scenarios", "src/scenario/templates"];
    folders
        .iter()
        .flat_map(|folder| std::fs::read_dir(folder).expect("in the repository"))
        .map(|entry| entry.expect("readable").path())
        .filter(|path| path.extension().is_some_and(|end| end == "json"))
        .map(|path| {
            let text = std::fs::read_to_string(&path).expect("text");
            (path.display().to_string(), text)
        })
        .collect()
}

#[test]
fn the_schema_accepts_every_shipped_scenario() {
    let schema = schema();
    let validator = jsonschema::draft202012::new(&schema).expect("a schema");
    let shipped = shipped();
    assert!(shipped.len() >= 11, "five scenarios and six templates");
    for (name, text) in shipped
        .iter()
        .chain([&("base".to_owned(), BASE.to_owned())])
    {
        let file: Value = serde_json::from_str(text).expect("JSON");
        let errors: Vec<String> = validator
            .iter_errors(&file)
            .map(|error| error.to_string())
            .collect();
        assert!(errors.is_empty(), "{name}: {errors:?}");
    }
}

#[test]
fn every_shipped_scenario_is_sound() {
    let none = |_: &str| Err(String::new());
    for (name, text) in shipped() {
        if let Err(refusal) = tideover::scenario::read(&text, &name, &none) {
            panic!("{refusal}");
        }
    }
}

/// What breaks the shape of a file is refused by schema and program alike.
#[test]
fn refuses_what_the_program_refuses() {
    let schema = schema();
    let validator = jsonschema::draft202012::new(&schema).expect("a schema");
    let broken = [
        (r#""current_a": 0.6"#, r#""curent_a": 0.6"#),
        (r#""reserve_soc": 0.1"#, r#""reserve_soc": 10"#),
        (r#""capacity_ah": 120"#, r#""capacity_ah": 0"#),
        (r#""capacity_ah": 120, "#, ""),
        (r#""panel_w": 200"#, r#""panel_w": "200""#),
        (r#""nights": 3"#, r#""nights": 2.5"#),
        (r#""nights": 3"#, r#""nights": null"#),
        (r#""chemistry": "agm""#, r#""chemistry": "amg""#),
        (r#""kind": "steady""#, r#""kind": "permanent""#),
        (r#""format": 1"#, r#""format": 2"#),
        (r#""title": "Base""#, r#""system_voltage_v": 48"#),
        (r#"["07:00", "21:00"]"#, r#"["07:00"]"#),
        (r#""lat": -20.49"#, r#""lat": -95"#),
        (r#""id": "radio""#, r#""id": "the radio""#),
        (r#""one_way_m": 4.5"#, r#""one_way_m": -4.5"#),
        (
            r#""one_way_m": 4.5"#,
            r#""one_way_m": 4.5, "drop_limit": 0.3"#,
        ),
        (
            r#""one_way_m": 4.5"#,
            r#""one_way_m": 4.5, "insulation_c": 100"#,
        ),
        (r#""mount": "flat""#, r#""mount": "steep""#),
        (
            r#""mount": "flat""#,
            r#""mount": { "tilt_deg": 120, "azimuth_deg": 0 }"#,
        ),
        (r#""when": "ignition""#, r#""when": "sometimes""#),
        (
            r#""hours_per_day": 2"#,
            r#""hours_per_day": { "min": 1, "likely": 2 }"#,
        ),
        (
            r#""drive_hours": { "min": 4, "likely": 5.5, "max": 8 }"#,
            r#""drive_hours": 101"#,
        ),
        (r#""title": "Base""#, r#""aim": { "chance": 1 }"#),
        (
            r#""kind": "monthly""#,
            r#""kind": "monthly", "kt_autocorrelation": [1.5]"#,
        ),
    ];
    for (piece, by) in broken {
        let text = base_with(piece, by);
        let file: Value = serde_json::from_str(&text).expect("JSON");
        assert!(!validator.is_valid(&file), "the schema accepts {by}");
        one_run::refusal_of(&text);
    }
}

/// Each key of the format stands in some shipped scenario, explained or at work.
#[test]
fn every_key_of_the_format_is_shown_somewhere() {
    let schema = schema();
    let mut keys = Vec::new();
    gather_keys(&schema, &mut keys);
    let all: String = shipped().into_iter().map(|(_, text)| text).collect();
    let rare = [
        // Keys of weather files, what few know of a climate, and what editors alone need.
        "$schema",
        "kt_autocorrelation",
        "file",
        "block_days",
        "season_days",
        "replay",
        "utc_offset_hours",
        "columns",
    ];
    let is_shown = |key: &str| all.contains(&format!("\"{key}\""));
    // The same quantity in another unit needs no scenario of its own.
    let sister_is_shown = |key: &str| {
        let sister = tideover::units::sister_of(key);
        sister.is_some_and(|sister| is_shown(&sister.key))
    };
    let missing: Vec<&String> = keys
        .iter()
        .filter(|key| !rare.contains(&key.as_str()) && !is_shown(key) && !sister_is_shown(key))
        .collect();
    assert!(missing.is_empty(), "in no scenario: {missing:?}");
}

fn gather_keys(schema: &Value, keys: &mut Vec<String>) {
    match schema {
        Value::Object(members) => {
            for (name, member) in members {
                if let ("properties", Value::Object(properties)) = (name.as_str(), member) {
                    keys.extend(properties.keys().cloned());
                }
                gather_keys(member, keys);
            }
        }
        Value::Array(items) => items.iter().for_each(|item| gather_keys(item, keys)),
        _ => {}
    }
}
