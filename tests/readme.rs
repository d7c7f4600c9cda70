//! README, DEVELOPERS and CHANGELOG say what is true.
//!
//! One job: the commands of the README run, its example file is sound, its verdict is the program's,
//! its notices are the crate's, and every path that one of the three names is there.
//! Left out: `cargo` itself, which `.ci/run` runs.

#![expect(clippy::unwrap_used, reason = "a test fails by panicking")]

mod one_run;

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use tempfile::TempDir;
use tideover::sky::world_climate::WORLD_CLIMATE_NOTICES;

const PAPERS: [&str; 3] = ["README.md", "DEVELOPERS.md", "CHANGELOG.md"];

/// Commands of code blocks that other checks run or that need a network.
const NOT_RUN_HERE: [&str; 2] = ["cargo test", "cargo install --locked --path ."];

/// What may stand before a command: the date that the report is to bear.
const REPORT_DATE: &str = "SOURCE_DATE_EPOCH=1800000000 ";

/// Commands that take `--trials`.
const WITH_TRIALS: [&str; 9] = [
    "trip", "stay", "budget", "compare", "topup", "shed", "why", "learn", "report",
];

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).to_owned()
}

fn paper(name: &str) -> String {
    std::fs::read_to_string(root().join(name)).unwrap()
}

/// The code blocks of a kind, in order.
fn blocks(text: &str, kind: &str) -> Vec<String> {
    let fence = format!("```{kind}\n");
    text.split(&fence)
        .skip(1)
        .map(|rest| rest.split("```").next().unwrap().to_owned())
        .collect()
}

/// Words of a command line; double quotes hold one together.
fn words(line: &str) -> Vec<String> {
    line.split('"')
        .enumerate()
        .flat_map(|(part, text)| {
            if part % 2 == 1 {
                vec![text.to_owned()]
            } else {
                text.split_whitespace().map(str::to_owned).collect()
            }
        })
        .collect()
}

fn run(folder: &Path, args: &[String]) -> Output {
    let output = Command::new(env!("CARGO_BIN_EXE_tideover"))
        .args(args)
        .current_dir(folder)
        .output()
        .unwrap();
    let talk = String::from_utf8_lossy(&output.stderr);
    assert_eq!(output.status.code(), Some(0), "{args:?}: {talk}");
    output
}

/// A folder with the examples in it.
fn with_scenarios() -> TempDir {
    let folder = tempfile::tempdir().unwrap();
    let copies = folder.path().join("scenarios");
    std::fs::create_dir(&copies).unwrap();
    for entry in std::fs::read_dir(root().join("scenarios")).unwrap() {
        let path = entry.unwrap().path();
        std::fs::copy(&path, copies.join(path.file_name().unwrap())).unwrap();
    }
    folder
}

#[test]
fn every_command_shown_runs() {
    let folder = with_scenarios();
    let mut runs = 0;
    for line in blocks(&paper("README.md"), "sh").join("").lines() {
        if NOT_RUN_HERE.contains(&line) {
            continue;
        }
        let command = line.strip_prefix("cargo run --release -- ").or_else(|| {
            line.trim_start_matches(REPORT_DATE)
                .strip_prefix("tideover ")
        });
        let mut args = words(command.unwrap_or_else(|| panic!("what is `{line}`?")));
        if WITH_TRIALS.contains(&args[0].as_str()) && !line.contains("--trials") {
            args.extend(["--trials", "64"].map(str::to_owned));
        }
        run(folder.path(), &args);
        runs += 1;
    }
    assert!(runs >= 14, "{runs} commands");
    assert!(folder.path().join("output/mine/trip.svg").is_file());
    assert!(
        folder
            .path()
            .join("output/desert-crossing/trip.svg")
            .is_file()
    );
}

#[test]
fn the_example_file_is_sound_and_answers() {
    let folder = tempfile::tempdir().unwrap();
    let files = blocks(&paper("README.md"), "json");
    assert_eq!(files.len(), 1);
    std::fs::write(folder.path().join("lake.json"), &files[0]).unwrap();
    let args = |line: &str| words(line);
    let checked = run(folder.path(), &args("check lake.json"));
    let text = String::from_utf8(checked.stdout).unwrap();
    assert!(text.contains("is sound"), "{text}");
    run(folder.path(), &args("trip lake.json --trials 64"));
}

/// To renew: put the line that the failure shows into the README.
#[test]
fn pinned_the_verdict_is_the_programs() {
    let folder = with_scenarios();
    let output = run(folder.path(), &words("trip scenarios/desert-crossing.json"));
    let answer = String::from_utf8(output.stdout).unwrap();
    let verdict = answer.lines().next().unwrap();
    let shown = blocks(&paper("README.md"), "text")[0]
        .split_whitespace()
        .collect::<Vec<_>>()
        .join(" ");
    assert_eq!(shown, verdict);
}

/// To renew: put the line that the failure shows into the README.
#[test]
fn pinned_the_first_path_ends_in_its_verdict() {
    let folder = tempfile::tempdir().unwrap();
    run(folder.path(), &words("new mine.json --from weekend"));
    let output = run(folder.path(), &words("trip mine.json --quiet"));
    let verdict = String::from_utf8(output.stdout).unwrap();
    let shown = blocks(&paper("README.md"), "text")[1]
        .split_whitespace()
        .collect::<Vec<_>>()
        .join(" ");
    assert_eq!(shown, verdict.trim_end());
    let file = std::fs::read_to_string(folder.path().join("mine.json")).unwrap();
    assert!(!file.contains("\"lat\""), "a coordinate was typed");
}

#[test]
fn the_notices_stand_word_for_word() {
    let text = paper("README.md");
    for notice in WORLD_CLIMATE_NOTICES {
        assert!(text.contains(notice), "{notice}");
    }
}

/// What a paper names: in backticks or as the target of a link, and inside this repository.
fn named_paths(text: &str) -> Vec<String> {
    let mut prose = String::new();
    for (part, piece) in text.split("```").enumerate() {
        if part % 2 == 0 {
            prose.push_str(piece);
        }
    }
    let in_ticks = prose.split('`').skip(1).step_by(2);
    let in_links = prose
        .split("](")
        .skip(1)
        .filter_map(|rest| rest.split(')').next());
    in_ticks
        .chain(in_links)
        .filter(|name| {
            let first = name.split('/').next().unwrap();
            let is_inside = ["src", "tests", "benches", "scenarios", "output", ".ci"];
            let is_file = std::path::Path::new(name)
                .extension()
                .is_some_and(|end| end == "md")
                || name.starts_with("LICENSE");
            !name.contains([' ', '*', '<', '…']) && (is_inside.contains(&first) || is_file)
        })
        .filter(|name| !name.starts_with("http") && !name.starts_with("output/mine"))
        .map(str::to_owned)
        .collect()
}

#[test]
fn every_path_named_is_there() {
    let mut count = 0;
    for name in PAPERS {
        for path in named_paths(&paper(name)) {
            assert!(root().join(&path).exists(), "{name} names {path}");
            count += 1;
        }
    }
    assert!(count > 40, "{count} paths");
}

#[test]
fn every_test_named_is_there() {
    for name in PAPERS {
        let text = paper(name);
        for test in text.split("--test ").skip(1) {
            let end = test.find(|c: char| !c.is_alphanumeric() && c != '_');
            let test = &test[..end.unwrap_or(test.len())];
            if test == "NAME" {
                continue;
            }
            let file = root().join("tests").join(format!("{test}.rs"));
            assert!(file.is_file(), "{name} names the test {test}");
        }
    }
}

#[test]
fn every_command_is_in_the_table() {
    let commands = one_run::commands();
    let text = paper("README.md");
    for command in commands.iter().filter(|name| *name != "help") {
        assert!(text.contains(&format!("| `{command}` |")), "{command}");
    }
    assert!(commands.len() > 7, "{commands:?}");
}
