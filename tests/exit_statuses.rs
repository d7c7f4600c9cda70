//! Each exit status of each command, and the limits that `--help` states.
//!
//! One job: 0 done, 1 no with `--strict`, 2 bad usage or input, 3 files and interruptions. The words of refusals
//! are in `refuses_scenarios.rs` and its neighbours; what is left on disk in `whole_outputs.rs`.

mod one_run;

use std::io::{BufRead as _, BufReader};
use std::process::{Command, Stdio};

use one_run::{BASE, Tideover, base_with};
use serde_json::{Value, json};

const STUDIES: [&str; 3] = ["trip", "budget", "stay"];
const OF_A_SCENARIO: [&str; 5] = ["check", "trip", "budget", "stay", "wiring"];

fn quick(command: &str) -> Tideover {
    Tideover::new().args([command, "base.json", "--trials", "16", "--step", "60"])
}

/// The base scenario with a bank far too small and no way to charge it.
fn doomed() -> String {
    let mut scenario: Value = serde_json::from_str(BASE).expect("JSON");
    scenario["banks"][0]["capacity_ah"] = json!(5);
    for sources in ["chargers", "solar", "runs"] {
        scenario[sources] = json!([]);
    }
    scenario.to_string()
}

#[test]
fn done_is_0() {
    for command in STUDIES {
        quick(command).scenario(BASE).succeeds();
    }
    for command in ["check", "wiring"] {
        Tideover::new()
            .scenario(BASE)
            .args([command, "base.json"])
            .succeeds();
    }
    Tideover::new().args(["new", "mine.json"]).succeeds();
    Tideover::new().args(["--version"]).succeeds();
}

#[cfg(target_os = "linux")]
#[test]
fn an_interruption_is_3_and_writes_nothing() {
    use std::process::{Command, Stdio};
    use std::time::{Duration, Instant};

    let folder = tempfile::tempdir().expect("a folder");
    std::fs::write(folder.path().join("base.json"), BASE).expect("written");
    let child = Command::new(env!("CARGO_BIN_EXE_tideover"))
        .args(["trip", "base.json", "--trials", "10000000", "--quiet"])
        .current_dir(folder.path())
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .stderr(Stdio::piped())
        .spawn()
        .expect("it starts");
    // The handler is set once it has its thread.
    let threads = format!("/proc/{}/task", child.id());
    let begun = Instant::now();
    while std::fs::read_dir(&threads).map_or(0, Iterator::count) < 2 {
        assert!(begun.elapsed() < Duration::from_mins(1), "no handler");
        std::thread::sleep(Duration::from_millis(5));
    }
    let killed = Command::new("kill")
        .args(["-INT", &child.id().to_string()])
        .status()
        .expect("kill is there");
    assert!(killed.success());
    let output = child.wait_with_output().expect("it ends");
    assert_eq!(output.status.code(), Some(3));
    assert_eq!(
        String::from_utf8_lossy(&output.stderr),
        "error: interrupted, and nothing written\n"
    );
    assert!(!folder.path().join("output").exists());
}

#[test]
fn no_is_1_with_strict_alone() {
    let doomed = doomed();
    for command in ["trip", "stay"] {
        quick(command).scenario(&doomed).succeeds();
        quick(command).args(["--strict"]).scenario(&doomed).fails(1);
        quick(command)
            .args(["--strict", "--json"])
            .scenario(&doomed)
            .fails(1)
            .stdout_has("\"chance_no_shortfall\"");
    }
    Tideover::new()
        .scenario(&doomed)
        .args(["check", "base.json", "--strict"])
        .fails(1);
}

#[test]
fn bad_input_is_2() {
    let bad = base_with(r#""reserve_soc": 0.1"#, r#""reserve_soc": 10"#);
    for command in OF_A_SCENARIO {
        let ran = Tideover::new()
            .scenario(&bad)
            .args([command, "base.json"])
            .fails(2);
        assert_eq!(ran.files().len(), 1, "{command} wrote something");
        Tideover::new().args([command]).fails(2);
        Tideover::new()
            .scenario(BASE)
            .args([command, "base.json", "--frobnicate"])
            .fails(2);
    }
}

/// A run whose trials have no room ends with a sentence before it starts.
#[cfg(target_os = "linux")]
#[test]
fn no_memory_is_3() {
    let folder = tempfile::tempdir().expect("a folder");
    std::fs::write(folder.path().join("base.json"), BASE).expect("written");
    let output = Command::new("sh")
        .args(["-c", "ulimit -v 400000; exec \"$0\" \"$@\""])
        .arg(env!("CARGO_BIN_EXE_tideover"))
        .args([
            "trip",
            "base.json",
            "--trials",
            "10000000",
            "--threads",
            "1",
        ])
        .current_dir(folder.path())
        .output()
        .expect("a shell");
    let words = String::from_utf8_lossy(&output.stderr);
    assert_eq!(output.status.code(), Some(3), "{words}");
    assert!(
        words.starts_with("error: 10000000 trials need some "),
        "{words}"
    );
    assert!(!folder.path().join("output").exists());
}

/// How much comes is said before it starts.
#[test]
fn long_studies_say_their_bound_first() {
    for command in ["shed", "why", "topup"] {
        let folder = tempfile::tempdir().expect("a folder");
        std::fs::write(folder.path().join("base.json"), BASE).expect("written");
        let mut child = Command::new(env!("CARGO_BIN_EXE_tideover"))
            .args([command, "base.json", "--trials", "1000000", "--step", "1"])
            .current_dir(folder.path())
            .stdout(Stdio::null())
            .stderr(Stdio::piped())
            .spawn()
            .expect("it starts");
        let mut line = String::new();
        let stderr = child.stderr.take().expect("piped");
        let read = BufReader::new(stderr).read_line(&mut line);
        let _ = child.kill();
        child.wait().expect("ours");
        read.expect("a line");
        assert!(line.starts_with("note: up to "), "{command}: {line}");
        assert!(
            line.contains(" runs of 1000000 trials in "),
            "{command}: {line}"
        );
    }
}

/// An option that a command always refuses does not stand in its help.
#[test]
fn help_names_no_option_that_is_always_refused() {
    for command in ["shed", "why", "topup", "compare"] {
        let help = Tideover::new()
            .args([command, "--help"])
            .succeeds()
            .stdout_text();
        assert!(
            !help.contains("--typical") && !help.contains("--precision"),
            "{command}"
        );
    }
    let help = Tideover::new().args(["trip", "--help"]).succeeds();
    help.stdout_has("--typical").stdout_has("--precision");
}

#[test]
fn threads_of_the_variable_have_the_limits_of_the_option() {
    for (threads, status) in [("4", 0), ("0", 0), ("1025", 2), ("many", 2)] {
        let ran = quick("trip")
            .scenario(BASE)
            .env("RAYON_NUM_THREADS", threads)
            .fails(status);
        if status == 2 {
            let wanted = format!("error: `RAYON_NUM_THREADS {threads}`: must be from 1 to 1024\n");
            ran.stderr(&wanted);
        }
    }
}

#[test]
fn refuses_utf_16_by_its_name() {
    let bytes: Vec<u8> = BASE.encode_utf16().flat_map(u16::to_le_bytes).collect();
    Tideover::new()
        .file("base.json", &bytes)
        .args(["check", "base.json"])
        .fails(2)
        .stderr(
            "error: `base.json` is UTF-16 text, but must be UTF-8\n\n    hint: save it as UTF-8\n",
        );
}

#[test]
fn missing_files_are_3() {
    for command in OF_A_SCENARIO {
        let ran = Tideover::new()
            .args([command, "missing.json"])
            .fails(3)
            .stderr_has("error: cannot open `missing.json`: ");
        assert!(ran.files().is_empty(), "{command} wrote something");
    }
}

#[test]
fn places_that_cannot_be_written_are_3() {
    for command in STUDIES {
        quick(command)
            .scenario(BASE)
            .args(["--out", "base.json"])
            .fails(3)
            .stderr_has("error: cannot create the folder `base.json`: ");
    }
}

/// The help of a command, its lines joined.
fn help(command: &[&str]) -> String {
    let mut run = Tideover::new();
    for word in command {
        run = run.args([*word]);
    }
    let text = run.args(["--help"]).succeeds().stdout_text();
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn help_states_the_limits() {
    let states = |command: &[&str], piece: &str| {
        let text = help(command);
        assert!(text.contains(piece), "no `{piece}` in: {text}");
    };
    states(&[], "1 to 10,000,000 trials");
    states(
        &[],
        "up to 400 legs, 366 days in all, 200 each of banks, chargers, panels and loads",
    );
    states(&[], "Exit status: 0 done");
    for command in STUDIES {
        for piece in [
            "1 to 10,000,000",
            "1 to 60, dividing the hour",
            "1 to 1024",
            "0.0005 to 0.5",
        ] {
            states(&[command], piece);
        }
    }
    states(&["stay"], "1 to 366");
}

#[test]
fn refuses_options_beyond_their_limits() {
    for (option, value) in [
        ("--trials", "0"),
        ("--trials", "10000001"),
        ("--step", "0"),
        ("--step", "7"),
        ("--step", "61"),
        ("--threads", "0"),
        ("--threads", "1025"),
        ("--precision", "0.0004"),
        ("--precision", "0.51"),
        ("--precision", "NaN"),
        ("--seed", "x"),
        ("--seed", "9007199254740992"),
    ] {
        let ran = Tideover::new()
            .scenario(BASE)
            .args(["trip", "base.json", option, value])
            .fails(2)
            .stderr_has(option);
        assert_eq!(ran.files().len(), 1, "{option} {value} wrote something");
    }
    for days in ["0", "367"] {
        Tideover::new()
            .scenario(BASE)
            .args(["stay", "base.json", "--horizon", days])
            .fails(2);
    }
}

#[test]
fn refuses_scenarios_beyond_their_limits() {
    let base: Value = serde_json::from_str(BASE).expect("JSON");
    let refused = |scenario: &Value, piece: &str| {
        Tideover::new()
            .scenario(&scenario.to_string())
            .args(["check", "base.json"])
            .fails(2)
            .stderr_has(piece);
    };
    for (list, most) in [
        ("banks", 200),
        ("loads", 200),
        ("chargers", 200),
        ("solar", 200),
    ] {
        let mut scenario = base.clone();
        let entry = scenario[list][0].clone();
        let entries = (0..=most).map(|index| {
            let mut entry = entry.clone();
            entry["id"] = json!(format!("{list}-{index}"));
            entry
        });
        scenario[list] = entries.collect();
        refused(&scenario, "200");
    }
    let mut legs = base.clone();
    let leg = legs["itinerary"]["legs"][0].clone();
    legs["itinerary"]["legs"] = std::iter::repeat_n(leg, 401).collect();
    refused(&legs, "400");
    let mut nights = base;
    nights["itinerary"]["legs"][0]["nights"] = json!(367);
    refused(&nights, "366");
}
