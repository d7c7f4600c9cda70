//! Valid random scenarios through every command, as the program is used.
//!
//! One job: what `random_scenario` draws goes through `trip` (`TIDEOVER_FUZZ_TRIPS` scenarios, 30 without it), and
//! every tenth through all other commands; `TIDEOVER_FUZZ_SEED` is the first seed. No panic, no figure that is not
//! finite, ledgers that close, chances that fit together, numbers well said. Broken files are in `fuzz_files.rs`.
//! `kept_for_the_page` writes 200 of them where the page's tests open them.

mod one_run;
mod random_scenario;

use std::path::Path;
use std::process::{Command, Stdio};

use one_run::texts;
use serde_json::Value;

/// The other commands with what they take, quick enough to be run a thousand times.
const OTHERS: [&[&str]; 11] = [
    &["check", "--json"],
    &["budget", "--trials", "16", "--step", "60"],
    &["stay", "--trials", "16", "--step", "60", "--horizon", "4"],
    &[
        "compare",
        "--trials",
        "16",
        "--step",
        "60",
        "--vary",
        "banks.bank0.capacity_ah=30,90",
    ],
    &["topup", "--trials", "16", "--step", "60"],
    &["shed", "--trials", "16", "--step", "60"],
    &["why", "--trials", "16", "--step", "60"],
    &["mend", "--trials", "16", "--step", "60"],
    &["wiring"],
    &["page"],
    &["report", "--trials", "16", "--step", "60"],
];

/// Part of the throughput that a ledger may lack, from six decimals and five figures printed.
const OPEN: f64 = 1e-6;

fn from_environment(name: &str, otherwise: u64) -> u64 {
    match std::env::var(name) {
        Ok(text) => text.parse().expect("a whole number"),
        Err(_) => otherwise,
    }
}

/// Runs a command on `random.json`; its screen, if it gave an answer. A study may have nothing to do.
fn run(folder: &Path, words: &[&str]) -> Option<String> {
    let writes: &[&str] = match words[0] {
        "check" => &[],
        _ => &["--out", "out"],
    };
    started(
        folder,
        &[&[words[0], "random.json"], &words[1..], writes].concat(),
    )
}

/// Runs the program with `words` in `folder`.
fn started(folder: &Path, words: &[&str]) -> Option<String> {
    let output = Command::new(env!("CARGO_BIN_EXE_tideover"))
        .args(words)
        .env("SOURCE_DATE_EPOCH", "1800000000")
        .current_dir(folder)
        .stdin(Stdio::null())
        .output()
        .expect("it starts");
    let said = String::from_utf8_lossy(&output.stderr);
    let has_nothing = output.status.code() == Some(2) && said.starts_with("error: ");
    // A study may have nothing to choose from, and the built-in climate does not reach every island.
    let may_refuse = ["topup", "shed", "why", "compare", "mend", "sky"].contains(&words[0]);
    if has_nothing && may_refuse {
        return None;
    }
    assert!(output.status.success(), "{words:?}: {said}");
    Some(String::from_utf8(output.stdout).expect("text"))
}

/// No number that is none, no zero with a sign, no "1 days".
fn assert_well_said(what: &str, text: &str) {
    for word in text.split(|c: char| !c.is_alphanumeric()) {
        let is_odd = matches!(word, "NaN" | "nan" | "inf" | "Infinity" | "infinity");
        assert!(!is_odd, "{what}: {word}");
    }
    for word in text.split(|c: char| !c.is_ascii_digit() && !matches!(c, '.' | '-')) {
        let is_signed_zero =
            word.starts_with('-') && word.parse::<f64>().is_ok_and(|n| n.abs() <= 0.0);
        assert!(!is_signed_zero, "{what}: `{word}`");
    }
    let words: Vec<&str> = text.split_whitespace().collect();
    for three in words.windows(3) {
        let is_many = ["days", "nights", "hours", "trials", "trips", "stops"]
            .contains(&three[2].trim_end_matches([',', '.', ';', ')']));
        let is_range = three[0] == "to";
        assert!(three[1] != "1" || !is_many || is_range, "{what}: {three:?}");
    }
}

fn number(value: &Value, path: &str) -> f64 {
    let found = value.pointer(path).and_then(Value::as_f64);
    found.unwrap_or_else(|| panic!("no number at {path}"))
}

/// Energy in less energy out is what was lost and what is stored.
fn assert_closed(result: &Value) {
    for bank in result["banks"].as_array().expect("banks") {
        let ledger = &bank["per_day_wh"];
        let of = |path: &str| number(ledger, path);
        let sum = |path: &str| -> f64 {
            let parts = ledger
                .pointer(path)
                .and_then(Value::as_object)
                .expect("parts");
            parts.values().filter_map(Value::as_f64).sum()
        };
        let (within, out) = (sum("/in"), sum("/out"));
        let gap = within - out - of("/losses") - of("/stored_change");
        let scale = within.abs() + out.abs() + 1.0;
        assert!(
            gap.abs() <= OPEN * scale,
            "{}: open by {gap} of {scale}",
            bank["id"]
        );
    }
}

/// Nobody is unharmed up to a night's end who was harmed in that night.
fn assert_nights(list: &Value) {
    for night in list.as_array().expect("nights") {
        let (own, so_far) = (
            number(night, "/chance_no_shortfall/value"),
            number(night, "/chance_so_far/value"),
        );
        assert!(so_far <= own, "{night}");
    }
}

fn json(folder: &Path, name: &str) -> Value {
    let text = std::fs::read_to_string(folder.join("out").join(name)).expect("written");
    assert_well_said(name, &text);
    serde_json::from_str(&text).expect("JSON")
}

/// One scenario through `trip`, and through the others if `all`; how many of them had an answer.
fn one(seed: u64, all: bool) -> usize {
    let folder = tempfile::tempdir().expect("a folder");
    let write = |name: &str, text: String| {
        std::fs::write(folder.path().join(name), text).expect("written");
    };
    write("random.json", random_scenario::text(seed));
    write("record.csv", random_scenario::record());
    let trip = ["trip", "--trials", "32", "--step", "60", "--threads", "1"];
    assert_well_said("trip", &run(folder.path(), &trip).expect("an answer"));
    let result = json(folder.path(), "trip.json");
    assert_closed(&result);
    for bank in result["banks"].as_array().expect("banks") {
        assert_nights(&bank["nights"]);
    }
    if !all {
        return 0;
    }
    let mut answered = 0;
    for words in OTHERS {
        let Some(screen) = run(folder.path(), words) else {
            continue;
        };
        answered += 1;
        assert_well_said(words[0], &screen);
    }
    let scenario: Value = serde_json::from_str(&random_scenario::text(seed)).expect("JSON");
    let from = &scenario["itinerary"]["from"];
    let place = format!("--at={},{}", from["lat"], from["lon"]);
    let sky = started(folder.path(), &["sky", &place, "--out", "out"]);
    assert_well_said("sky", &sky.unwrap_or_default());
    assert_closed(&json(folder.path(), "stay.json"));
    assert_nights(&json(folder.path(), "stay.json")["nights"]);
    for (name, text) in texts(&folder.path().join("out")) {
        assert!(!name.starts_with('.'), "{name} stays behind");
        match name.rsplit_once('.').map(|(_, kind)| kind) {
            Some("csv") => assert_well_said(&name, &text),
            Some("json") => drop(json(folder.path(), &name)),
            // A page carries scripts, whose words these are too.
            _ => assert!(name == "page.html" || !text.contains("NaN"), "{name}"),
        }
    }
    answered
}

#[expect(clippy::print_stderr, reason = "counts for those who run it for long")]
#[test]
fn law_any_valid_scenario_goes_through_every_command() {
    let first = from_environment("TIDEOVER_FUZZ_SEED", 1);
    let count = from_environment("TIDEOVER_FUZZ_TRIPS", 30);
    let mut answered = 0;
    let mut failed = Vec::new();
    for seed in first..first + count {
        let all = seed % 10 == 0;
        match std::panic::catch_unwind(|| one(seed, all)) {
            Ok(found) => answered += found,
            Err(_) => failed.push(seed),
        }
    }
    eprintln!("{count} through `trip`, {answered} answers of other commands");
    assert!(failed.is_empty(), "seeds {failed:?} fail: see above");
    assert!(answered > 0 || count < 10, "the others never answered");
}

#[test]
#[ignore = "writes files for the page's tests: into the folder TIDEOVER_FUZZ_KEEP"]
fn kept_for_the_page() {
    let folder = std::env::var_os("TIDEOVER_FUZZ_KEEP").expect("a folder to write to");
    let folder = Path::new(&folder);
    std::fs::create_dir_all(folder).expect("made");
    let write = |name: &str, text: String| {
        std::fs::write(folder.join(name), text).expect("written");
    };
    write("record.csv", random_scenario::record());
    for seed in 1..=200 {
        let text = random_scenario::text(seed);
        // As programs write them, as people do, and as some editors leave them.
        let wide = || {
            let value: Value = serde_json::from_str(&text).expect("JSON");
            serde_json::to_string_pretty(&value).expect("text")
        };
        let laid_out = match seed % 3 {
            0 => text,
            1 => wide() + "\n",
            _ => format!("\u{feff}{}\r\n", wide().replace('\n', "\r\n")),
        };
        random_scenario::checked(&laid_out);
        write(&format!("random-{seed}.json"), laid_out);
    }
}
