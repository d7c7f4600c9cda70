//! The house itself: one direction, one place for the outside world, short files with a header.
//!
//! One job: to read the lines of `src/` and name file and line where a rule is broken. Rules that
//! the compiler or clippy can hold are left to them.

#![expect(clippy::unwrap_used, reason = "a test fails by panicking")]

use std::fmt::Write as _;
use std::path::{Path, PathBuf};

/// The stages in the order of the data, and what each may take from besides the stages before it.
const STAGES: [&str; 8] = [
    "scenario", "timeline", "engine", "trials", "study", "present", "command", "page",
];

/// What a shelf may take from; every stage may take from every shelf, but `scenario` not from
/// `log` and `wiring`, which take from it.
const SHELVES: [(&str, &[&str]); 6] = [
    ("log", &["log", "scenario"]),
    ("places", &["places", "sky"]),
    ("sky", &["sky", "units"]),
    ("system", &["system", "sky"]),
    ("units", &["units"]),
    ("wiring", &["wiring", "system", "sky", "units", "scenario"]),
];

/// Lines of a file at most, tests included.
const LINES_AT_MOST: usize = 450;

/// Words that reach the world outside: files, screen, clock, surroundings, threads of our own.
const OUTSIDE: [&str; 14] = [
    "std::fs",
    "std::env",
    "std::process",
    "std::net",
    "std::thread",
    "stdin()",
    "stdout()",
    "stderr()",
    "print!(",
    "println!(",
    "Instant::now",
    "SystemTime",
    "Utc::now",
    "Local::now",
];

struct Source {
    /// Path below `src/`, with slashes.
    path: String,
    text: String,
}

impl Source {
    /// The first folder or file name below `src/`: a stage, a shelf, `cli`, `lib` or `main`.
    fn part(&self) -> &str {
        let first = self.path.split('/').next().unwrap();
        first.strip_suffix(".rs").unwrap_or(first)
    }

    /// Numbered lines of the program itself: no comments, and nothing of its tests.
    fn program(&self) -> impl Iterator<Item = (usize, &str)> {
        let lines: Vec<&str> = self.text.lines().collect();
        let end = (1..lines.len())
            .find(|&at| lines[at - 1].starts_with("#[cfg(test)]") && lines[at].ends_with('{'))
            .unwrap_or(lines.len());
        (1..)
            .zip(lines.into_iter().take(end))
            .filter(|(_, line)| !line.trim_start().starts_with("//"))
    }
}

fn sources() -> Vec<Source> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut folders = vec![root.clone()];
    let mut files: Vec<PathBuf> = Vec::new();
    while let Some(folder) = folders.pop() {
        for entry in std::fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                folders.push(path);
            } else if path.extension().is_some_and(|ending| ending == "rs") {
                files.push(path);
            }
        }
    }
    files.sort();
    let sources: Vec<Source> = files
        .iter()
        .map(|file| Source {
            path: file
                .strip_prefix(&root)
                .unwrap()
                .to_str()
                .unwrap()
                .replace('\\', "/"),
            text: std::fs::read_to_string(file).unwrap(),
        })
        .collect();
    assert!(sources.len() > 100, "{} files found", sources.len());
    sources
}

/// Files and folders that are compiled for tests only, as paths below `src/` without an ending.
fn for_tests_only(sources: &[Source]) -> Vec<String> {
    let mut found = Vec::new();
    for source in sources {
        let folder = source
            .path
            .rsplit_once('/')
            .map_or("", |(folder, _)| folder);
        let lines: Vec<&str> = source.text.lines().collect();
        for pair in lines.windows(2) {
            let module = pair[1].split("mod ").nth(1);
            if let (true, Some(name)) = (
                pair[0].starts_with("#[cfg(test)]"),
                module.and_then(|name| name.strip_suffix(';')),
            ) {
                found.push(format!("{folder}/{name}"));
            }
        }
    }
    found
}

fn is_for_tests(source: &Source, for_tests: &[String]) -> bool {
    for_tests.iter().any(|path| {
        source
            .path
            .strip_prefix(path.as_str())
            .is_some_and(|rest| rest.starts_with('/') || rest == ".rs")
    })
}

/// What a part may name after `crate::`, or `None` for a part that this test does not know.
fn allowed(part: &str) -> Option<Vec<&'static str>> {
    if let Some((_, allowed)) = SHELVES.iter().find(|(shelf, _)| *shelf == part) {
        return Some(allowed.to_vec());
    }
    let place = STAGES.iter().position(|stage| *stage == part)?;
    let mut allowed = STAGES[..=place].to_vec();
    allowed.extend(SHELVES.iter().map(|(shelf, _)| *shelf));
    if part == "scenario" {
        allowed.retain(|shelf| !["log", "wiring"].contains(shelf));
    }
    Some(allowed)
}

/// The names that follow `crate::` in a line.
fn named_after_crate(line: &str) -> impl Iterator<Item = &str> {
    line.split("crate::").skip(1).map(|rest| {
        let end = rest.find(|c: char| !c.is_alphanumeric() && c != '_');
        &rest[..end.unwrap_or(rest.len())]
    })
}

/// What breaks the one direction in a file, one line each.
fn downstream(source: &Source) -> String {
    let mut wrong = String::new();
    let Some(allowed) = allowed(source.part()) else {
        return format!(
            "{}: a part that tests/layout.rs does not know\n",
            source.path
        );
    };
    // From a/b.rs one `super` is a, two are the crate; a/mod.rs stands one higher.
    let depth = source.path.split('/').count() - usize::from(source.path.ends_with("mod.rs"));
    for (number, line) in source.program() {
        for name in named_after_crate(line) {
            if !allowed.contains(&name) {
                let _ = writeln!(wrong, "{}:{number}: takes from `{name}`", source.path);
            }
        }
        if line.contains(&"super::".repeat(depth)) {
            let _ = writeln!(wrong, "{}:{number}: climbs out of its part", source.path);
        }
    }
    wrong
}

#[test]
fn law_data_flows_one_way() {
    let sources = sources();
    let wrong: String = sources
        .iter()
        .filter(|source| !["cli", "lib", "main", "module"].contains(&source.part()))
        .map(downstream)
        .collect();
    assert!(wrong.is_empty(), "\n{wrong}");
}

#[test]
fn law_this_test_sees_what_it_forbids() {
    let file = |path: &str, text: &str| Source {
        path: path.to_owned(),
        text: text.to_owned(),
    };
    let wrong = |path, text| !downstream(&file(path, text)).is_empty();
    assert!(wrong("engine/run.rs", "use crate::trials::Stream;"));
    assert!(wrong("sky/tilt.rs", "let a = crate::scenario::Zone;"));
    assert!(wrong("scenario/zone.rs", "use crate::wiring::schedule;"));
    assert!(wrong("engine/run.rs", "use super::super::trials::Stream;"));
    assert!(wrong("engine/mod.rs", "use super::trials::Stream;"));
    assert!(wrong("trials/draw.rs", "use crate::{engine, study};"));
    assert!(wrong("elsewhere/new.rs", ""));
    assert!(!wrong("trials/draw.rs", "use crate::engine::Draws;"));
    assert!(!wrong("trials/draw.rs", "// crate::study comes next"));
    assert!(!wrong("wiring/sizing.rs", "use crate::scenario::Run;"));
    let tested = "fn a() {}\n#[cfg(test)]\nmod tests {\n    use crate::study::trip;\n}\n";
    assert!(!wrong("engine/run.rs", tested));
}

#[test]
fn law_the_library_cannot_reach_the_command_line() {
    for source in sources() {
        let declares = source
            .program()
            .any(|(_, line)| line.trim_end().ends_with("mod cli;"));
        assert_eq!(declares, source.path == "main.rs", "{}", source.path);
    }
}

#[test]
fn law_only_the_command_line_meets_the_outside_world() {
    let sources = sources();
    let for_tests = for_tests_only(&sources);
    assert!(
        for_tests.contains(&"present/sample".to_owned()),
        "{for_tests:?}"
    );
    let mut wrong = String::new();
    let mut met = 0;
    for source in &sources {
        for (number, line) in source.program() {
            for word in OUTSIDE.iter().filter(|word| line.contains(**word)) {
                if ["cli", "main", "module"].contains(&source.part()) {
                    met += 1;
                } else if !is_for_tests(source, &for_tests) {
                    let _ = writeln!(wrong, "{}:{number}: `{word}` outside cli", source.path);
                }
            }
        }
    }
    assert!(wrong.is_empty(), "\n{wrong}");
    assert!(met > 3, "the words are found where they may stand");
}

#[test]
fn law_files_are_short_and_say_what_they_do() {
    let mut wrong = String::new();
    for source in sources() {
        let lines = source.text.lines().count();
        if lines > LINES_AT_MOST {
            let _ = writeln!(wrong, "{}: {lines} lines: split it", source.path);
        }
        if !source.text.starts_with("//! ") {
            let _ = writeln!(wrong, "{}:1: no header", source.path);
        }
    }
    assert!(wrong.is_empty(), "\n{wrong}");
}
