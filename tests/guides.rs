//! The guides of DEVELOPERS.md name the files that a change takes.
//!
//! One job: what a guide names against the files that speak of one thing of that kind, so that neither grows without
//! the other. Left out: that the named paths are there, which `readme.rs` asks.

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

use serde_json::Value;
use tideover::scenario::json_schema;
use tideover::units::sister_of;

/// Files that one thing more may take.
const AT_MOST: usize = 6;

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).to_owned()
}

fn text_of(path: &str) -> String {
    std::fs::read_to_string(root().join(path)).expect("in the repository")
}

fn is_a(path: &str, ending: &str) -> bool {
    Path::new(path)
        .extension()
        .is_some_and(|found| found == ending)
}

/// The paths that the guide for a thing names.
fn named_for(thing: &str) -> BTreeSet<String> {
    let guides = text_of("DEVELOPERS.md");
    let begin = guides.find(&format!("- **{thing}**")).expect("a guide");
    let guide = &guides[begin + 2..];
    let end = ["\n- **", "\n\n"].iter().filter_map(|end| guide.find(end));
    let guide = &guide[..end.min().expect("it ends")];
    let marked = guide.split('`').skip(1).step_by(2);
    let paths = marked.filter(|word| is_a(word, "rs") || is_a(word, "md"));
    paths.map(str::to_owned).collect()
}

/// Sources in a folder, with their text.
fn sources(folder: &str) -> Vec<(String, String)> {
    let mut folders = vec![folder.to_owned()];
    let mut found = Vec::new();
    while let Some(folder) = folders.pop() {
        for entry in std::fs::read_dir(root().join(&folder)).expect("a folder") {
            let entry = entry.expect("readable");
            let path = format!("{folder}/{}", entry.file_name().to_string_lossy());
            if entry.path().is_dir() {
                folders.push(path);
            } else if is_a(&path, "rs") {
                let text = text_of(&path);
                found.push((path, text));
            }
        }
    }
    found
}

/// Sources of some folders that hold one of some words.
fn that_hold(folders: &[&str], words: &[&str]) -> BTreeSet<String> {
    let all = folders.iter().flat_map(|folder| sources(folder));
    let holds = |text: &str| words.iter().any(|word| text.contains(word));
    all.filter(|(_, text)| holds(text))
        .map(|(path, _)| path)
        .collect()
}

/// Loads that draw a share of their live time stand for a kind that the step loop has no way of its own for.
#[test]
fn law_a_load_kind_takes_the_files_of_its_guide() {
    let named = named_for("A load kind");
    let folders = [
        "src",
        "tests/random_scenario",
        "tests/drawn_kinds",
        "tests/twin",
    ];
    let words = [
        "LoadKind::Duty",
        "LoadKindWord::Duty",
        "Self::Duty",
        "Duty = \"duty\"",
        "\"steady\", \"duty\"",
    ];
    let mut found = that_hold(&folders, &words);
    assert!(text_of("README.md").contains("`duty`"));
    found.insert("README.md".to_owned());
    assert_eq!(named, found);
    let shown = text_of("src/scenario/templates/trailer.json");
    assert!(shown.contains("\"kind\": \"duty\""));
    assert!(named.len() < AT_MOST, "with a scenario that shows it");
}

/// What a bank's chargers lose on the way stands for a figure of the answers.
#[test]
fn law_a_result_key_takes_the_files_of_its_guide() {
    let named = named_for("A result key");
    let mut found = that_hold(
        &["src/study", "src/present"],
        &[" conversion:", ".conversion,"],
    );
    found.insert("CHANGELOG.md".to_owned());
    assert_eq!(named, found);
    assert!(named.len() <= AT_MOST);
}

/// Keys of the schema, with the number of parts that have them; spreads and the same in other units apart.
fn keys_of(schema: &Value, keys: &mut BTreeMap<String, usize>) {
    match schema {
        Value::Object(members) => {
            let properties = members.get("properties").and_then(Value::as_object);
            let is_spread = |keys: &serde_json::Map<String, Value>| keys.contains_key("likely");
            for key in properties.filter(|it| !is_spread(it)).into_iter().flatten() {
                *keys.entry(key.0.clone()).or_default() += 1;
            }
            members.values().for_each(|value| keys_of(value, keys));
        }
        Value::Array(items) => items.iter().for_each(|item| keys_of(item, keys)),
        _ => {}
    }
}

/// Each key of the format is declared once for each part that has it: one line, `name: type [range]`. Those of a place
/// stand once, deeper, and count for each section that is placed.
#[test]
fn law_every_key_of_the_format_is_declared_once() {
    let mut wanted = BTreeMap::new();
    keys_of(&json_schema(), &mut wanted);
    wanted.retain(|key, _| key != "note" && key != "$schema" && sister_of(key).is_none());
    let mut declared: BTreeMap<String, usize> = BTreeMap::new();
    let folders = ["src/scenario/parts", "src/scenario/file"];
    for (_, text) in folders.iter().flat_map(|folder| sources(folder)) {
        let placed = text.matches("\nplaced_section! {").count();
        let inside = text.lines().filter_map(|line| {
            let of_place = line.strip_prefix("                ");
            match of_place.filter(|_| placed > 0) {
                Some(line) => Some((line, placed)),
                None => Some((line.strip_prefix("        ")?, 1)),
            }
        });
        for (line, parts) in inside.filter(|(line, _)| !line.starts_with([' ', '/', '#'])) {
            let Some((name, rest)) = line.split_once(": ") else {
                continue;
            };
            let name = name.split_once("(\"").map_or(name, |(_, word)| {
                word.strip_suffix("\")").expect("its word in the file")
            });
            let is_key = rest.contains(" [") && !name.contains(' ');
            if is_key {
                *declared.entry(name.to_owned()).or_default() += parts;
            }
        }
    }
    assert!(wanted.len() > 100, "{}", wanted.len());
    assert_eq!(declared, wanted);
    // Where no rule is about it, nothing else of the stage speaks of it.
    let part = "src/scenario/parts/distribution.rs".to_owned();
    let found = that_hold(&["src/scenario"], &["contact_mohm"]);
    assert_eq!(found, BTreeSet::from([part]));
    let named = named_for("A key of the file");
    assert_eq!(
        named,
        BTreeSet::from(["src/scenario/parts/section.rs".to_owned()])
    );
}
