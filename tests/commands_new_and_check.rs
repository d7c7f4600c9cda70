//! `new` and `check` as programs: files, streams, exit statuses.

mod one_run;

use one_run::{BASE, Tideover, base_with};
use serde_json::json;

#[test]
fn every_template_is_written_and_accepted_by_check() {
    let listed = Tideover::new()
        .args(["new", "--list"])
        .succeeds()
        .stdout_text();
    let names: Vec<&str> = listed
        .lines()
        .skip(1)
        .filter_map(|line| line.split_whitespace().next())
        .collect();
    assert_eq!(
        names,
        [
            "weekend",
            "two-banks",
            "trailer",
            "van-lead-acid",
            "relay-van",
            "truck-24v",
            "three-banks"
        ]
    );
    for name in names {
        let ran = Tideover::new()
            .args(["new", "mine.json", "--from", name])
            .succeeds();
        assert_eq!(ran.files(), [std::path::PathBuf::from("mine.json")]);
        assert_eq!(
            ran.stdout_text(),
            format!(
                "wrote mine.json from the template {name}\nnext: edit it, then `tideover check mine.json`\n"
            )
        );
        let text = std::fs::read_to_string(ran.folder().join("mine.json")).expect("written");
        assert!(text.contains("\"note\""), "{name} explains itself");
        Tideover::new()
            .scenario(&text)
            .args(["check", "base.json"])
            .succeeds()
            .stdout_has(" is sound: ");
    }
}

#[test]
fn refuses_to_overwrite() {
    let ran = Tideover::new()
        .scenario("mine")
        .args(["new", "base.json"])
        .fails(2)
        .stderr("error: `base.json` exists already\n\n    hint: choose another name; `new` never overwrites\n");
    let kept = std::fs::read_to_string(ran.folder().join("base.json")).expect("still there");
    assert_eq!(kept, "mine");
}

#[test]
fn refuses_a_folder_that_is_not_there() {
    Tideover::new()
        .args(["new", "nowhere/mine.json"])
        .fails(3)
        .stderr_has("error: cannot write `nowhere/mine.json`: ");
}

#[cfg(unix)]
#[test]
fn a_new_file_has_the_usual_permissions() {
    use std::os::unix::fs::PermissionsExt as _;
    let ran = Tideover::new().args(["new", "mine.json"]).succeeds();
    std::fs::write(ran.folder().join("usual"), "").expect("written");
    let mode = |name: &str| {
        let found = std::fs::metadata(ran.folder().join(name)).expect("there");
        found.permissions().mode()
    };
    assert_eq!(mode("mine.json"), mode("usual"));
}

#[test]
fn a_sound_file_is_answered_on_stdout() {
    Tideover::new()
        .scenario(BASE)
        .args(["check", "base.json"])
        .succeeds()
        .stdout_has("base.json is sound: 1 leg, 3 nights, 2 house banks, 4 loads\n")
        .stdout_has("assumed, because the file does not say:")
        .stdout_has("\ndoubtful, worth finding out first:\n")
        .stdout_has("load fridge, radio, uplink, air: use_spread")
        .stdout_has("\nbanks:\n  bank main, spare: role ")
        .stderr("");
}

#[test]
fn problems_go_to_stderr_with_status_2() {
    Tideover::new()
        .scenario(&base_with(r#""reserve_soc": 0.1"#, r#""reserve_soc": 10"#))
        .args(["check", "base.json"])
        .fails(2)
        .stdout("")
        .stderr(concat!(
            "error: `base.json` has 1 problem\n",
            "\n",
            "  base.json:18:76  /banks/0/reserve_soc (main)\n",
            "    is 10, but must be from 0 to 1\n",
            "    hint: write 0.1 for 10 %\n",
        ));
}

#[test]
fn problems_as_json() {
    let ran = Tideover::new()
        .scenario(&base_with(r#""reserve_soc": 0.1"#, r#""reserve_soc": 10"#))
        .args(["check", "base.json", "--json"])
        .fails(2)
        .stderr_has("has 1 problem");
    let found = ran.json();
    assert_eq!(found["format"], 1);
    assert_eq!(found["warnings"], json!([]));
    assert_eq!(
        found["problems"],
        json!([{
            "path": "/banks/0/reserve_soc", "label": "main",
            "text": "is 10, but must be from 0 to 1", "hint": "write 0.1 for 10 %",
            "line": 18, "column": 76
        }])
    );
}

#[test]
fn assumptions_and_warnings_as_json() {
    let text = base_with(
        r#""current_a": 0.6, "when": "ignition""#,
        r#""current_a": 0.6, "when": "ignition", "where": "camp""#,
    );
    let ran = Tideover::new()
        .scenario(&text)
        .args(["check", "base.json", "--json"])
        .succeeds();
    let found = ran.json();
    assert_eq!(found["scenario"], "Base");
    assert_eq!(found["problems"], json!([]));
    assert_eq!(
        found["warnings"],
        json!([{
            "path": "/loads/1", "label": "radio",
            "text": "is never live: in camp the engine is off", "line": 33, "column": 5
        }])
    );
    let assumed = found["assumed"].as_array().expect("a list");
    assert!(assumed.contains(&json!({
        "path": "/banks/0/cutoff_soc", "value": "0.02",
        "reason": "the battery's own protection disconnects it when nearly empty"
    })));
}

#[test]
fn strict_says_no_to_any_warning() {
    let check = |text: &str| {
        Tideover::new()
            .scenario(text)
            .args(["check", "base.json", "--strict"])
    };
    check(BASE).succeeds();
    check(&base_with(r#""rated_a": 150"#, r#""rated_a": 80"#))
        .fails(1)
        .stdout_has("is oversubscribed: its chargers ask for 44 A together, and hot it has 33 A left at cruise");
}

#[test]
fn refuses_files_that_cannot_be_read() {
    Tideover::new()
        .args(["check", "missing.json"])
        .fails(3)
        .stderr("error: cannot open `missing.json`: No such file or directory (os error 2)\n");
    Tideover::new()
        .file("base.json", b"{ \"title\": \"\xff\" }")
        .args(["check", "base.json"])
        .fails(2)
        .stderr("error: `base.json` is not UTF-8 text: byte 13 belongs to no character\n");
    let climate = r#""climate": { "kind": "history", "file": "daily.csv" }, "banks": ["#;
    let text = base_with(r#""banks": ["#, climate).replace(
        r#""climate": { "kind": "monthly", "months": [
    { "month": 7, "sun_hours": 5.6, "day_min_c": 6, "day_max_c": 24, "kt_sd": 0.1 }
  ] },"#,
        "",
    );
    Tideover::new()
        .scenario(&text)
        .args(["check", "base.json"])
        .fails(3)
        .stderr_has(
            "is `daily.csv`, but it cannot be read: No such file or directory (os error 2)",
        );
}

#[test]
fn refuses_bad_usage_with_status_2() {
    Tideover::new().fails(2);
    Tideover::new().args(["check"]).fails(2);
    Tideover::new()
        .args(["new", "x.json", "--from", "yacht"])
        .fails(2);
    Tideover::new().args(["frobnicate"]).fails(2);
    Tideover::new()
        .args(["--help"])
        .succeeds()
        .stdout_has("Exit status: 0 done; 1 the answer is no");
    Tideover::new()
        .args(["--version"])
        .succeeds()
        .stdout_has("tideover ");
}

#[test]
fn control_characters_of_a_file_do_not_reach_the_terminal() {
    let text = base_with(
        r#""to": "Pan edge""#,
        "\"to\": \"\\u001b[31mPan\\u0007\u{202e}edge\"",
    )
    .replace(r#""nights": 3"#, r#""nights": -3"#);
    let ran = Tideover::new()
        .scenario(&text)
        .args(["check", "base.json"])
        .fails(2);
    let shown = ran.stderr_text();
    assert!(
        !shown
            .chars()
            .any(|c| (c.is_control() && c != '\n') || c == '\u{202e}'),
        "{shown:?}"
    );
    assert!(shown.contains("/itinerary/legs/0/nights ("), "{shown}");
}

#[cfg(target_os = "linux")]
#[test]
fn a_full_disk_is_status_3_and_a_closed_pipe_is_quiet() {
    use std::process::{Command, Stdio};
    let program = env!("CARGO_BIN_EXE_tideover");
    let full = std::fs::OpenOptions::new()
        .write(true)
        .open("/dev/full")
        .expect("Linux has it");
    let status = Command::new(program)
        .args(["check", "--schema"])
        .stdout(full)
        .stderr(Stdio::null())
        .status();
    assert_eq!(status.expect("runs").code(), Some(3));
    let mut child = Command::new(program)
        .args(["check", "--schema"])
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("runs");
    drop(child.stdout.take());
    let output = child.wait_with_output().expect("ends");
    assert_eq!(output.status.code(), Some(0));
    assert_eq!(output.stderr, b"");
}
