//! One run of the program, or one reading of a scenario, as tests want it.
//!
//! One job: `Tideover::new().scenario("…").args([…]).fails(2).stderr("…")`, each run in a folder
//! of its own.
#![allow(
    dead_code,
    reason = "each file of tests is a program of its own and takes what it needs"
)]

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use tempfile::TempDir;

/// A small sound scenario that tests break in one place.
pub(crate) const BASE: &str = include_str!("base.json");

/// [`BASE`] with one piece replaced; the piece must be there exactly once.
pub(crate) fn base_with(piece: &str, by: &str) -> String {
    assert_eq!(
        BASE.matches(piece).count(),
        1,
        "`{piece}` in the base scenario"
    );
    BASE.replace(piece, by)
}

/// The whole message that refuses a text, read under the name `base.json`.
pub(crate) fn refusal_of(text: &str) -> String {
    let none = |_: &str| Err("it cannot be read: no such file".to_owned());
    match tideover::scenario::read(text, "base.json", &none) {
        Ok(reading) => panic!("accepted: {:?}", reading.scenario.title),
        Err(refusal) => refusal.to_string(),
    }
}

/// Names of the commands that `--help` lists, in its order.
pub(crate) fn commands() -> Vec<String> {
    let help = Tideover::new().args(["--help"]).succeeds().stdout_text();
    let lines = help
        .lines()
        .skip_while(|line| !line.starts_with("Commands:"))
        .skip(1)
        .take_while(|line| !line.is_empty())
        .filter(|line| line.starts_with("  ") && !line.starts_with("   "));
    let names = lines.filter_map(|line| line.split_whitespace().next());
    names.map(str::to_owned).collect()
}

/// The files of a folder: name and text.
pub(crate) fn texts(folder: &Path) -> Vec<(String, String)> {
    let entries = std::fs::read_dir(folder).expect("outputs");
    let texts = entries.map(|entry| {
        let entry = entry.expect("readable");
        let name = entry.file_name().to_string_lossy().into_owned();
        (name, std::fs::read_to_string(entry.path()).expect("text"))
    });
    texts.collect()
}

/// A run to be made.
pub(crate) struct Tideover {
    folder: TempDir,
    args: Vec<String>,
    variables: Vec<(String, String)>,
}

/// A run that was made.
pub(crate) struct Ran {
    folder: TempDir,
    output: Output,
}

impl Tideover {
    pub(crate) fn new() -> Self {
        Self {
            folder: tempfile::tempdir().expect("a folder"),
            args: Vec::new(),
            variables: Vec::new(),
        }
    }

    /// Puts the text into `base.json` of the run's folder.
    pub(crate) fn scenario(self, text: &str) -> Self {
        self.file("base.json", text.as_bytes())
    }

    pub(crate) fn file(self, name: &str, bytes: &[u8]) -> Self {
        std::fs::write(self.folder.path().join(name), bytes).expect("written");
        self
    }

    pub(crate) fn args<const N: usize>(mut self, args: [&str; N]) -> Self {
        self.args.extend(args.map(str::to_owned));
        self
    }

    /// Sets a variable of the environment.
    pub(crate) fn env(mut self, name: &str, value: &str) -> Self {
        self.variables.push((name.to_owned(), value.to_owned()));
        self
    }

    pub(crate) fn run(self) -> Ran {
        let output = Command::new(env!("CARGO_BIN_EXE_tideover"))
            .args(&self.args)
            .envs(self.variables)
            .current_dir(self.folder.path())
            .output()
            .expect("the program starts");
        Ran {
            folder: self.folder,
            output,
        }
    }

    pub(crate) fn succeeds(self) -> Ran {
        self.fails(0)
    }

    /// Runs, and expects this exit status.
    pub(crate) fn fails(self, status: i32) -> Ran {
        let ran = self.run();
        assert_eq!(
            ran.output.status.code(),
            Some(status),
            "stderr: {}",
            ran.stderr_text()
        );
        ran
    }
}

impl Ran {
    pub(crate) fn stdout_text(&self) -> String {
        String::from_utf8(self.output.stdout.clone()).expect("UTF-8")
    }

    pub(crate) fn stderr_text(&self) -> String {
        String::from_utf8_lossy(&self.output.stderr).into_owned()
    }

    pub(crate) fn stderr(self, expected: &str) -> Self {
        assert_eq!(self.stderr_text(), expected);
        self
    }

    pub(crate) fn stdout(self, expected: &str) -> Self {
        assert_eq!(self.stdout_text(), expected);
        self
    }

    pub(crate) fn stdout_has(self, piece: &str) -> Self {
        let text = self.stdout_text();
        assert!(text.contains(piece), "no `{piece}` in:\n{text}");
        self
    }

    pub(crate) fn stderr_has(self, piece: &str) -> Self {
        let text = self.stderr_text();
        assert!(text.contains(piece), "no `{piece}` in:\n{text}");
        self
    }

    pub(crate) fn json(&self) -> serde_json::Value {
        serde_json::from_slice(&self.output.stdout).expect("JSON on stdout")
    }

    pub(crate) fn folder(&self) -> &Path {
        self.folder.path()
    }

    /// Names of what lies in the run's folder, sorted.
    pub(crate) fn files(&self) -> Vec<PathBuf> {
        let entries = std::fs::read_dir(self.folder.path()).expect("there");
        let mut names: Vec<PathBuf> = entries
            .map(|entry| entry.expect("readable").file_name().into())
            .collect();
        names.sort();
        names
    }
}

/// Tests of refusals: a name, the piece of the sound scenario, what stands there instead, and
/// the whole message.
#[macro_export]
macro_rules! refuses {
    ($($name:ident: $piece:expr => $by:expr, $message:expr;)+) => {$(
        #[test]
        fn $name() {
            assert_eq!($crate::one_run::refusal_of(&$crate::one_run::base_with($piece, $by)), $message);
        }
    )+};
}
