//! Words of the user in every output: shown as typed, steering nothing.
//!
//! One job: a scenario full of markup, formulas and control characters through every command; its
//! pages, pictures, tables, JSON and screens are looked at. Where each format escapes is in
//! `present`.

mod one_run;

use std::path::Path;

use one_run::{BASE, Ran, Tideover};

/// A stop that would run in a page.
const STOP: &str = "<script>alert(1)</script>";

/// A title that would run in a spreadsheet, end an element, colour a terminal, turn the reading.
const TITLE: &str = "=HYPERLINK(1)</title>&amp;\"'\u{1b}[31m\u{202e}\u{0}";

/// Commands with the outputs that must be there.
const COMMANDS: [(&[&str], &[&str]); 9] = [
    (
        &["trip"],
        &["trip.svg", "autonomy.svg", "trip.csv", "trip.json"],
    ),
    (&["trip", "--typical"], &["trip.svg", "typical.csv"]),
    (&["stay"], &["stay.svg", "stay.json"]),
    (&["budget"], &["budget.svg", "budget.csv", "budget.json"]),
    (
        &["compare", "--vary", "banks.main.capacity_ah=60,120"],
        &["compare.svg", "compare.csv", "compare.json"],
    ),
    (&["topup"], &["topup.svg", "topup.csv", "topup.json"]),
    (&["shed"], &["shed.svg", "shed.csv", "shed.json"]),
    (&["wiring"], &["wiring.svg", "wiring.csv", "wiring.json"]),
    (
        &["report", "--compare", "banks.main.capacity_ah=60"],
        &["report.html"],
    ),
];

fn nasty() -> String {
    let mut scenario: serde_json::Value = serde_json::from_str(BASE).expect("JSON");
    scenario["title"] = TITLE.into();
    scenario["itinerary"]["legs"][0]["to"] = STOP.into();
    scenario["itinerary"]["from"]["name"] = "@SUM(A1)\r\n\t-1".into();
    // Ids may begin with a dash, which a spreadsheet takes for a formula.
    scenario["loads"][1]["id"] = "-radio".into();
    scenario["runs"][0]["id"] = "-feed".into();
    scenario.to_string()
}

/// Runs a command on the scenario, with few trials.
fn run(words: &[&str]) -> Ran {
    let mut tideover = Tideover::new().scenario(&nasty());
    for word in words {
        tideover = tideover.args([*word]);
    }
    let tideover = tideover.args(["base.json", "--out", "out"]);
    let needs_trials = words[0] != "wiring" && !words.contains(&"--typical");
    if needs_trials {
        tideover.args(["--trials", "40"]).succeeds()
    } else {
        tideover.succeeds()
    }
}

fn output(ran: &Ran, name: &str) -> String {
    let path = ran.folder().join("out").join(name);
    std::fs::read_to_string(&path).unwrap_or_else(|error| panic!("{name}: {error}"))
}

fn extension(name: &str) -> &str {
    Path::new(name)
        .extension()
        .and_then(|e| e.to_str())
        .unwrap_or("")
}

/// Control characters other than a line feed, and marks that turn the reading direction.
fn steering(text: &str) -> Option<char> {
    text.chars().find(|&c| {
        (c.is_control() && c != '\n')
            || matches!(c, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
    })
}

#[test]
fn law_nothing_of_the_user_steers_any_output() {
    for (words, names) in COMMANDS {
        let ran = run(words);
        let screen = ran.stdout_text();
        assert_eq!(steering(&screen), None, "{words:?} on the screen: {screen}");
        for name in names {
            let text = output(&ran, name);
            assert!(!text.is_empty(), "{name}");
            // CSV rows may end in CR LF.
            let plain = text.replace("\r\n", "\n");
            assert_eq!(steering(&plain), None, "{name}");
            match extension(name) {
                "svg" | "html" => check_markup(name, &text),
                "csv" => check_cells(name, &text),
                _ => check_json(name, &text),
            }
        }
    }
}

fn check_markup(name: &str, text: &str) {
    assert!(
        !text.contains("<script"),
        "{name} holds an element of the user's"
    );
    assert!(
        !text.contains("</title>&"),
        "{name}: the title ends its element"
    );
    let titles = text.matches("<title>").count() + text.matches("<title id").count();
    assert_eq!(titles, text.matches("</title>").count(), "{name}");
}

fn check_cells(name: &str, text: &str) {
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    for record in reader.records() {
        for cell in &record.expect("a row as long as the header") {
            let is_number = cell.parse::<f64>().is_ok();
            assert!(
                is_number || !cell.starts_with(['=', '+', '-', '@', '\t', '\r']),
                "{name}: `{cell}`"
            );
        }
    }
}

fn check_json(name: &str, text: &str) {
    let value: serde_json::Value =
        serde_json::from_str(text).unwrap_or_else(|error| panic!("{name}: {error}"));
    assert_eq!(
        value["scenario"], TITLE,
        "{name}: JSON keeps what was typed"
    );
}

#[test]
fn the_stop_is_shown_as_typed() {
    let trip = run(&["trip"]);
    run(&["stay"]).stdout_has(&format!(" at {STOP} "));
    let report = output(&run(&["report"]), "report.html");
    let escaped = "&#60;script&#62;alert(1)&#60;/script&#62;";
    assert!(report.contains(escaped), "in the page");
    assert!(output(&trip, "trip.csv").contains(STOP), "in the table");
}

#[test]
fn names_that_begin_with_a_dash_are_text_in_tables() {
    assert!(output(&run(&["budget"]), "budget.csv").contains(",'-radio,"));
    assert!(output(&run(&["wiring"]), "wiring.csv").contains("\nrun,'-feed,"));
}

#[test]
fn check_says_names_without_letting_them_steer() {
    let text = Tideover::new()
        .scenario(&nasty().replace("\"nights\":3", "\"nights\":-3"))
        .args(["check", "base.json"])
        .fails(2)
        .stderr_text();
    assert_eq!(steering(&text), None, "{text}");
    let sky = Tideover::new().args(["sky", "-20.5", "25.2"]).run();
    assert_eq!(steering(&sky.stdout_text()), None);
}
