//! The command line as people expect it: completions, manual pages, stdin, the verdict alone.

mod one_run;

use one_run::{BASE, Tideover, base_with, commands};
use std::io::Write as _;
use std::process::{Command, Stdio};

const SHORT: [&str; 4] = ["--trials", "20", "--step", "60"];

#[test]
fn law_completions_know_every_command() {
    let commands = commands();
    assert!(commands.len() >= 17, "{commands:?}");
    for shell in ["bash", "zsh", "fish", "powershell", "elvish"] {
        let script = Tideover::new()
            .args(["completions", shell])
            .succeeds()
            .stdout_text();
        for command in &commands {
            assert!(script.contains(command), "{shell}: {command}");
        }
        assert!(script.contains("tideover"), "{shell}");
    }
}

#[test]
fn law_each_command_has_a_manual_page_with_its_options() {
    let whole = Tideover::new().args(["man"]).succeeds().stdout_text();
    assert!(whole.contains(".TH tideover 1"), "{whole}");
    for word in ["wiring", "compare", "Exit status"] {
        assert!(whole.contains(word), "{word}");
    }
    let trip = Tideover::new()
        .args(["man", "trip"])
        .succeeds()
        .stdout_text();
    assert!(trip.contains(".TH tideover-trip 1"), "{trip}");
    assert!(trip.contains("trials"), "{trip}");
}

#[test]
fn refuses_a_manual_page_of_no_command() {
    Tideover::new()
        .args(["man", "drive"])
        .fails(2)
        .stderr_has("error: `man drive`: must be one of new, places, check");
}

/// A scenario through stdin: its findings, or the trip with its files in a folder of that name.
fn through_stdin(text: &str, args: &[&str]) -> (tempfile::TempDir, std::process::Output) {
    let folder = tempfile::tempdir().expect("a folder");
    let mut child = Command::new(env!("CARGO_BIN_EXE_tideover"))
        .args(args)
        .current_dir(folder.path())
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("it starts");
    let mut stdin = child.stdin.take().expect("piped");
    stdin.write_all(text.as_bytes()).expect("it reads");
    drop(stdin);
    let output = child.wait_with_output().expect("it ends");
    (folder, output)
}

#[test]
fn law_a_scenario_may_come_through_stdin() {
    let (_, checked) = through_stdin(BASE, &["check", "-"]);
    let text = String::from_utf8_lossy(&checked.stdout).into_owned();
    assert!(text.starts_with("stdin is sound: 1 leg"), "{text}");
    let args = ["trip", "-", SHORT[0], SHORT[1], SHORT[2], SHORT[3]];
    let (folder, ran) = through_stdin(BASE, &args);
    assert!(ran.status.success());
    assert!(folder.path().join("output/stdin/trip.json").is_file());
}

#[test]
fn refuses_a_broken_scenario_of_stdin_by_that_name() {
    let broken = base_with(r#""reserve_soc": 0.1"#, r#""reserve_soc": 10"#);
    let (_, refused) = through_stdin(&broken, &["check", "-"]);
    assert_eq!(refused.status.code(), Some(2));
    let text = String::from_utf8_lossy(&refused.stderr).into_owned();
    assert!(text.contains("stdin:18:76  /banks/0/reserve_soc"), "{text}");
}

#[test]
fn law_quiet_is_the_verdict_alone() {
    for command in ["trip", "stay", "budget"] {
        let run = |quiet: &[&str]| {
            let mut args = vec![command, "base.json"];
            args.extend(SHORT);
            args.extend(quiet);
            let folder = tempfile::tempdir().expect("a folder");
            std::fs::write(folder.path().join("base.json"), BASE).expect("written");
            let output = Command::new(env!("CARGO_BIN_EXE_tideover"))
                .args(args)
                .current_dir(folder.path())
                .output()
                .expect("it runs");
            assert!(output.stderr.is_empty());
            String::from_utf8(output.stdout).expect("text")
        };
        let whole = run(&[]);
        let quiet = run(&["--quiet"]);
        assert_eq!(quiet.lines().count(), 1, "{command}: {quiet}");
        assert!(whole.contains(&quiet), "{command}: {quiet}");
        assert!(whole.lines().count() > 10, "{command}");
    }
    Tideover::new()
        .scenario(BASE)
        .args(["check", "base.json", "--quiet"])
        .succeeds()
        .stdout("base.json is sound: 1 leg, 3 nights, 2 house banks, 4 loads\n");
}

/// Words of safety stand on the screen below the tables, of the loads, the batteries and the cables.
#[test]
fn law_cautions_stand_below_the_answer() {
    let desert = include_str!("../scenarios/desert-crossing.json");
    let whole = ["Caution: ", "lithium", "starting battery", "food authority"];
    for (command, words) in [
        ("trip", &whole[..]),
        (
            "stay",
            &[
                "Caution: lithium batteries",
                "Caution: whether food that has warmed",
            ],
        ),
        (
            "budget",
            &[
                "Caution: mains voltage can kill",
                "Caution: batteries can drive",
            ],
        ),
        (
            "wiring",
            &[
                "Caution: Local codes and licensed practice come first",
                "Caution: Fuse every cable at its source",
                "Caution: Never charge a lithium battery below 0 °C",
                "Caution: 230/120 V work",
            ],
        ),
    ] {
        let run = Tideover::new()
            .scenario(desert)
            .args([command, "base.json"]);
        let run = if command == "wiring" {
            run
        } else {
            run.args(SHORT)
        };
        let text = run.succeeds().stdout_text();
        for words in words {
            assert!(text.contains(words), "{command}: {words} in\n{text}");
        }
    }
}
