//! Broken scenario files, each with the exact words that refuse them.
//!
//! One job: JSON, keys, types and ranges; and that nothing brings the reader down. The sound scenario is in `one_run`.

mod one_run;

use one_run::{BASE, base_with, refusal_of};

refuses! {
    refuses_an_unknown_key:
        r#""current_a": 0.6"# => r#""curent_a": 0.6"#,
        concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:33:56  /loads/1/curent_a (radio)\n",
            "    is not a known key\n",
            "    hint: did you mean `current_a`?\n",
        );
    refuses_an_unknown_key_unlike_any:
        r#""rated_a": 150"# => r#""rated_a": 150, "zzz": 1"#,
        concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:22:35  /alternator/zzz\n",
            "    is not a known key\n",
            "    hint: known here: note, rated_a, idle_a, hot_derate, volts, vehicle_load_a, idle_share, efficiency\n",
        );
    refuses_a_share_written_in_per_cent:
        r#""reserve_soc": 0.1"# => r#""reserve_soc": 10"#,
        concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:18:76  /banks/0/reserve_soc (main)\n",
            "    is 10, but must be from 0 to 1\n",
            "    hint: write 0.1 for 10 %\n",
        );
    refuses_a_capacity_of_nothing:
        r#""capacity_ah": 120"# => r#""capacity_ah": 0"#,
        concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:18:56  /banks/0/capacity_ah (main)\n",
            "    is 0, but must be from 0.1 to 100000\n",
        );
    refuses_a_missing_key:
        r#""capacity_ah": 80"# => r#""note": "?""#,
        concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:19:5  /banks/1/capacity_ah (spare)\n",
            "    is missing, but must be a number from 0.1 to 100000\n",
        );
    refuses_a_number_in_quotes:
        r#""panel_w": 200"# => r#""panel_w": "200""#,
        concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:29:46  /solar/0/panel_w (roof)\n",
            "    is `200`, but must be a number from 0 to 100000\n",
            "    hint: write 200 without quotes\n",
        );
    refuses_a_null:
        r#""nights": 3"# => r#""nights": null"#,
        concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:11:73  /itinerary/legs/0/nights (Pan edge)\n",
            "    is null, but must be a whole number from 0 to 366\n",
        );
    refuses_a_fraction_of_a_night:
        r#""nights": 3"# => r#""nights": 2.5"#,
        concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:11:73  /itinerary/legs/0/nights (Pan edge)\n",
            "    is 2.5, but must be a whole number from 0 to 366\n",
        );
    refuses_a_number_beyond_all_bounds:
        r#""panel_w": 200"# => r#""panel_w": 1e999"#,
        concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:29:46  /solar/0/panel_w (roof)\n",
            "    is 1e999, but must be a number below 1e308\n",
        );
    refuses_an_unknown_chemistry:
        r#""chemistry": "agm""# => r#""chemistry": "amg""#,
        concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:19:35  /banks/1/chemistry (spare)\n",
            "    is `amg`, but must be `lfp`, `agm`, `gel` or `flooded`\n",
            "    hint: did you mean `agm`?\n",
        );
    refuses_an_unknown_kind_of_load:
        r#""kind": "steady""# => r#""kind": "permanent""#,
        concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:33:46  /loads/1/kind (radio)\n",
            "    is `permanent`, but must be `steady`, `duty`, `hours`, `event` or `fridge`\n",
        );
    refuses_another_format:
        r#""format": 1"# => r#""format": 2"#,
        concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:2:13  /format\n",
            "    is 2, but must be 1\n",
            "    hint: a newer program may have written this file\n",
        );
    refuses_another_system_voltage:
        r#""title": "Base""# => r#""system_voltage_v": 48"#,
        concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:3:23  /system_voltage_v\n",
            "    is 48, but must be 12 or 24\n",
        );
    refuses_a_list_in_place_of_an_object:
        r#""alternator": { "rated_a": 150 }"# => r#""alternator": [150]"#,
        concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:22:17  /alternator\n",
            "    is a list, but must be an object with `rated_a`\n",
        );
    refuses_a_window_of_one_end:
        r#"["07:00", "21:00"]"# => r#"["07:00"]"#,
        concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:8:17  /itinerary/lived_in\n",
            "    has 1 entry, but must have 2\n",
        );
    refuses_a_doubled_key:
        r#""panel_w": 200"# => r#""panel_w": 200, "panel_w": 300"#,
        concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:29:51  /solar/0/panel_w (roof)\n",
            "    stands twice in one object, first on line 29\n",
        );
    refuses_an_id_with_a_space:
        r#""id": "radio""# => r#""id": "the radio""#,
        concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:33:13  /loads/1/id (the radio)\n",
            "    is `the radio`, but must be an id of 1 to 60 letters, digits, `_` and `-`\n",
        );
    refuses_an_aim_of_certainty:
        r#""title": "Base""# => r#""aim": { "chance": 1 }"#,
        concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:3:22  /aim/chance\n",
            "    is 1, but must be above 0 and below 1\n",
        );
    refuses_a_comment:
        r#""format": 1,"# => r#""format": 1, // the version"#,
        concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:2:16\n",
            "    has a comment, which JSON does not allow\n",
            "    hint: write comments as `\"note\": \"…\"`\n",
        );
    refuses_a_trailing_comma:
        r#""rated_a": 150 }"# => r#""rated_a": 150, }"#,
        concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:22:33\n",
            "    has a comma with nothing after it\n",
            "    hint: remove the comma before the closing bracket\n",
        );
    refuses_a_missing_comma:
        r#""format": 1,"# => r#""format": 1"#,
        concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:3:3\n",
            "    has `\"` where `,` or `}` must be\n",
        );
    refuses_a_decimal_without_its_zero:
        r#""reserve_soc": 0.1"# => r#""reserve_soc": .1"#,
        concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:18:76\n",
            "    has `.1`, which is not a number of JSON\n",
            "    hint: put a 0 before the point\n",
        );
    refuses_an_open_string:
        r#""title": "Base","# => r#""title": "Base,"#,
        concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:3:12\n",
            "    has a string without its closing quote\n",
        );
    refuses_an_unknown_escape:
        r#""title": "Base""# => r#""title": "C:\camp""#,
        concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:3:15\n",
            "    has `\\c` in a string, which JSON does not know\n",
        );
    refuses_a_raw_control_character:
        r#""title": "Base""# => "\"title\": \"Ba\tse\"",
        concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:3:15\n",
            "    has the control character U+0009 in a string, but must have it escaped\n",
        );
}

#[test]
fn refuses_every_problem_in_one_go() {
    let text = base_with(r#""reserve_soc": 0.1"#, r#""reserve_soc": 10"#)
        .replace(r#""current_a": 0.6"#, r#""curent_a": 0.6"#)
        .replace(r#""nights": 3"#, r#""nights": -1"#);
    assert_eq!(
        refusal_of(&text),
        concat!(
            "error: `base.json` has 3 problems\n",
            "\n",
            "  base.json:11:73  /itinerary/legs/0/nights (Pan edge)\n",
            "    is -1, but must be a whole number from 0 to 366\n",
            "\n",
            "  base.json:18:76  /banks/0/reserve_soc (main)\n",
            "    is 10, but must be from 0 to 1\n",
            "    hint: write 0.1 for 10 %\n",
            "\n",
            "  base.json:33:56  /loads/1/curent_a (radio)\n",
            "    is not a known key\n",
            "    hint: did you mean `current_a`?\n",
        )
    );
}

#[test]
fn refuses_what_is_no_object_and_what_is_too_deep() {
    assert!(refusal_of("").contains("base.json:1:1\n    ends where a value must be\n"));
    assert!(refusal_of("[1, 2]").contains("is a list, but must be an object with `format`"));
    let deep = "[".repeat(100_000);
    assert!(refusal_of(&deep).contains("base.json:1:33\n    is nested more than 32 levels deep\n"));
    let deep_note = base_with(
        r#""title": "Base""#,
        &format!(r#""note": {}1{}"#, "[".repeat(40), "]".repeat(40)),
    );
    assert!(refusal_of(&deep_note).contains("is nested more than 32 levels deep"));
}

/// A mark at the start and CR LF are accepted, and lines and columns stay true.
#[test]
fn accepts_a_byte_order_mark_and_crlf() {
    let none = |_: &str| Err(String::new());
    let windows = |text: &str| format!("\u{feff}{}", text.replace('\n', "\r\n"));
    assert!(tideover::scenario::read(&windows(BASE), "base.json", &none).is_ok());
    let broken = base_with(r#""reserve_soc": 0.1"#, r#""reserve_soc": 10"#);
    assert_eq!(refusal_of(&windows(&broken)), refusal_of(&broken));
}

/// No text made by cutting or doubling the sound scenario brings the reader down.
#[test]
fn law_no_panic_on_cut_or_doubled_text() {
    let none = |_: &str| Err(String::new());
    for at in (0..BASE.trim_end().len()).filter(|at| BASE.is_char_boundary(*at)) {
        let cut = &BASE[..at];
        assert!(
            tideover::scenario::read(cut, "base.json", &none).is_err(),
            "cut at {at}"
        );
        let doubled = format!("{cut}{}", &BASE[at.saturating_sub(7)..]);
        let _ = tideover::scenario::read(&doubled, "base.json", &none);
    }
}

/// Every value of the sound scenario, replaced by each of these, is answered without a panic.
#[test]
fn law_no_panic_on_any_value_replaced() {
    let none = |_: &str| Err(String::new());
    let whole: serde_json::Value = serde_json::from_str(BASE).expect("JSON");
    let mut paths = Vec::new();
    gather(&whole, String::new(), &mut paths);
    for path in &paths {
        for by in [
            "null", "-1", "0", "1e-300", "1e300", "\"\"", "\"main\"", "[]", "{}", "[[]]", "true",
        ] {
            let mut broken = whole.clone();
            let by = serde_json::from_str(by).expect("JSON");
            *broken.pointer_mut(path).expect("gathered") = by;
            let _ = tideover::scenario::read(&broken.to_string(), "base.json", &none);
        }
    }
}

fn gather(value: &serde_json::Value, path: String, paths: &mut Vec<String>) {
    match value {
        serde_json::Value::Object(members) => {
            for (key, member) in members {
                gather(member, format!("{path}/{key}"), paths);
            }
        }
        serde_json::Value::Array(items) => {
            for (index, item) in items.iter().enumerate() {
                gather(item, format!("{path}/{index}"), paths);
            }
        }
        _ => {}
    }
    paths.push(path);
}

/// At most fifty problems are shown; a long key is cut.
#[test]
fn refuses_many_problems_briefly() {
    use std::fmt::Write as _;
    let mut keys = format!("\"{}\": 1", "k".repeat(1_000_000));
    for key in 0..40_000 {
        write!(keys, ", \"odd{key}\": 1").expect("text");
    }
    let message = refusal_of(&base_with(
        "\"rated_a\": 150",
        &format!("\"rated_a\": 150, {keys}"),
    ));
    assert!(message.starts_with("error: `base.json` has 40001 problems\n"));
    assert!(
        message.ends_with("\n  and 39951 more\n"),
        "{}",
        message.len()
    );
    assert!(message.len() < 20_000, "{}", message.len());
}

#[test]
fn refuses_half_a_surrogate_pair_by_its_name() {
    let message = refusal_of(&base_with("\"title\": \"", r#""title": "\ud83d"#));
    let wanted = "has `\\ud83d` in a string, a lone surrogate: half of a pair that only together makes a character";
    assert!(message.contains(wanted), "{message}");
}

#[test]
fn refuses_nan_without_a_hint_to_write_it() {
    let message = refusal_of(&base_with("\"rated_a\": 150", "\"rated_a\": \"nan\""));
    assert!(
        message.contains("is `nan`, but must be") && !message.contains("hint"),
        "{message}"
    );
    let message = refusal_of(&base_with("\"rated_a\": 150", "\"rated_a\": \"150\""));
    assert!(
        message.contains("hint: write 150 without quotes"),
        "{message}"
    );
}

/// A weather file's words are repeated if it lies with the scenario, and not if it lies elsewhere.
#[test]
fn refuses_to_repeat_a_file_from_elsewhere() {
    let secret = |_: &str| Ok(b"user:word\nmine:hidden\n".to_vec());
    let words = |name: &str| {
        let mut scenario: serde_json::Value = serde_json::from_str(one_run::BASE).expect("JSON");
        scenario["climate"] = serde_json::json!({ "kind": "history", "file": name });
        let read = tideover::scenario::read(&scenario.to_string(), "base.json", &secret);
        read.expect_err("no weather").to_string()
    };
    for beside in ["days.csv", "./years/../days.csv"] {
        assert!(words(beside).contains("user:word"), "{beside}");
    }
    for elsewhere in ["../days.csv", "/etc/days", "years/../../days.csv"] {
        let words = words(elsewhere);
        assert!(!words.contains("user:word"), "{words}");
        assert!(words.contains("outside the scenario's folder is not shown"));
    }
}

/// An inverter described within its load, as files once had it, is told what to become.
#[test]
fn refuses_an_inverter_within_its_load() {
    let text = base_with(
        r#""current_a": 0.6"#,
        r#""current_a": 0.6, "inverter": { "efficiency": 0.88, "idle_w": 8 }"#,
    );
    let refusal = refusal_of(&text);
    for words in [
        "/loads/1/inverter (radio)",
        "an inverter is a part of its own: beside `loads` write \"inverters\": [{ \"id\": \"inverter\"",
        "and here \"inverter\": \"inverter\"",
    ] {
        assert!(refusal.contains(words), "{refusal}");
    }
}

/// A load that asks for more than its inverter gives, and an inverter that is not there.
#[test]
fn refuses_a_load_beyond_its_inverter() {
    let with = |rated_w: u32, name: &str| {
        let text = base_with(
            r#""current_a": 0.6"#,
            &format!(r#""power_w": 900, "inverter": "{name}""#),
        );
        let unit = format!(
            r#""inverters": [{{ "id": "box", "bank": "main", "rated_w": {rated_w} }}], "loads""#
        );
        text.replace("\"loads\"", &unit)
    };
    let refusal = refusal_of(&with(600, "box"));
    assert!(
        refusal.contains(
            "an inverter whose `rated_w` is at least the 900 W that this load asks for, not 600"
        ),
        "{refusal}"
    );
    let refusal = refusal_of(&with(1000, "bux"));
    assert!(refusal.contains("did you mean `box`?"), "{refusal}");
}
