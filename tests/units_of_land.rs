//! What the program shows in units of the United States, against what it shows in its own.
//!
//! One job: every output of one example in both: converted back by factors that stand here alone, they tell the same;
//! JSON is the same to the byte; neither holds a unit of the other.
//! Left out: places of labels in pictures, which move with their width.

mod one_run;

use std::collections::BTreeMap;
use std::path::Path;
use std::sync::LazyLock;

use one_run::{Tideover, base_with, refusal_of};
use serde_json::{Value, json};
use tideover::page::ask;
use tideover::units::{Amount, Units};

/// A cold trip in which something fails, with masses, prices, a run that is too long and places by name.
fn scenario() -> String {
    let cold = base_with(
        "\"day_min_c\": 6, \"day_max_c\": 24",
        "\"day_min_c\": -9, \"day_max_c\": 3",
    );
    let part = |text: String, from: &str, to: &str| {
        assert!(text.contains(from), "`{from}` in the base scenario");
        text.replace(from, to)
    };
    let text = part(
        cold,
        "\"capacity_ah\": 120, \"reserve_soc\": 0.1",
        "\"capacity_ah\": 120, \"reserve_soc\": 0.1, \"mass_kg\": 13, \"mass_kg_per_ah\": 0.11, \"price\": 900, \"price_per_ah\": 8",
    );
    let text = part(
        text,
        "\"one_way_m\": 4.5",
        "\"one_way_m\": 4.5, \"largest_mm2\": 6, \"drop_limit\": 0.02",
    );
    let legs = "\"nights\": 3, \"mains\": true }";
    let back = ", { \"to\": \"Maun\", \"near\": \"Maun, BW\", \"km\": 30, \"bearing\": \"NW\", \"depart\": \"10:00\", \"drive_hours\": 6 }";
    part(
        text,
        legs,
        &format!("\"nights\": 3, \"mains\": true }}{back}"),
    )
}

/// What each command tells and writes in one kind of units.
struct Outputs {
    /// What is told, a cell or sentence a line, and files by name.
    texts: BTreeMap<String, String>,
    /// The answers for programs, by command.
    json: BTreeMap<String, String>,
}

/// The answer of a command with its files, as a page gets it: cells and sentences before they are laid out.
fn answered(command: &str, options: &Value, units: &str) -> Value {
    let mut options = options.clone();
    options["units"] = units.into();
    let mut file: Value = serde_json::from_str(&scenario()).expect("JSON");
    if command == "report" {
        // Its conductors are of the series of the land; they are compared by `wiring`, where a series can be asked for.
        file.as_object_mut().expect("an object").remove("runs");
    }
    let scenario = json!({ "name": "base.json", "text": file.to_string() });
    let question = json!({
        "ask": "run", "command": command, "options": options, "scenario": scenario, "files": true, "today": "2027-01-15",
    });
    let answer: Value = serde_json::from_str(&ask(&question.to_string())).expect("JSON");
    assert_eq!(answer["status"], 0, "{command}: {answer}");
    answer
}

fn outputs(units: &str) -> Outputs {
    let mut found = Outputs {
        texts: BTreeMap::new(),
        json: BTreeMap::new(),
    };
    let sizes = json!({ "trials": 64, "step": 60, "vary": ["banks.main.capacity_ah=120,200"] });
    let compared =
        json!({ "trials": 64, "step": 60, "compare": ["banks.main.capacity_ah=120,200"] });
    let here = json!({ "trials": 64, "step": 60, "now": "2027-07-04T18:00", "soc": ["main=40%"] });
    let stay = json!({ "trials": 64, "step": 60, "at": "Pan edge", "horizon": 4 });
    let plain = json!({ "trials": 64, "step": 60 });
    for (name, command, options) in [
        ("trip", "trip", &plain),
        ("here", "trip", &here),
        ("typical", "trip", &json!({ "typical": true, "step": 60 })),
        ("budget", "budget", &plain),
        ("stay", "stay", &stay),
        ("compare", "compare", &sizes),
        ("mend", "mend", &plain),
        ("topup", "topup", &plain),
        ("shed", "shed", &plain),
        ("why", "why", &plain),
        ("report", "report", &compared),
        ("wiring", "wiring", &json!({ "cable": "awg" })),
        ("check", "check", &json!({})),
        ("sky", "sky", &json!({ "at": "39.07,-108.55" })),
    ] {
        let answer = answered(command, options, units);
        let mut told = String::new();
        let mut tell = |value: &Value| pieces(value, &mut told);
        for part in ["from", "verdict", "tables", "warnings", "cautions"] {
            tell(&answer[part]);
        }
        found.texts.insert(format!("{name}.txt"), told);
        let json = answer["json"].as_str().expect("text");
        found.json.insert(name.to_owned(), json.to_owned());
        for (file, text) in answer["files"].as_object().expect("files") {
            let text = text.as_str().expect("text").to_owned();
            let is_json = is(file, "json");
            let list = if is_json {
                &mut found.json
            } else {
                &mut found.texts
            };
            list.insert(format!("{name}/{file}"), text);
        }
    }
    found
}

/// Every text of a value, a line each.
fn pieces(value: &Value, told: &mut String) {
    match value {
        Value::String(text) => {
            told.push_str(text);
            told.push('\n');
        }
        Value::Array(items) => items.iter().for_each(|item| pieces(item, told)),
        Value::Object(members) => members.values().for_each(|member| pieces(member, told)),
        _ => {}
    }
}

static SI: LazyLock<Outputs> = LazyLock::new(|| outputs("si"));
static US: LazyLock<Outputs> = LazyLock::new(|| outputs("us"));

/// Units of several words, as one.
const LAPSE: &str = "°F/kft";
const HEAT: &str = "Wh/lb°F";

/// A unit of the United States, that of the program, and what one of it is there. NIST SP 811 (2008), appendix B.8, and
/// Handbook 44, appendix C: foot, mile, inch, pound and gallon exact; 1 circular mil = π/4 · (0.0254 mm)².
const FACTORS: [(&str, &str, f64); 11] = [
    (LAPSE, "K/km", 1.0 / 1.8 / 0.3048),
    (HEAT, "Wh/kgK", 1.8 / 0.453_592_37),
    ("ft", "m", 0.3048),
    ("mi", "km", 1.609_344),
    ("in", "mm", 25.4),
    ("lb", "kg", 0.453_592_37),
    ("gal", "litres", 3.785_411_784),
    ("mph", "km/h", 1.609_344),
    ("kcmil", "mm²", 0.506_707_479),
    ("°F", "K", 1.0 / 1.8),
    ("°F", "°C", 1.0 / 1.8),
];

/// Where the zeros of the two scales of temperature lie apart, °F.
const ZERO_F: f64 = 32.0;

fn back(us: f64, unit: &str) -> f64 {
    let (_, _, factor) = FACTORS
        .into_iter()
        .find(|(_, si, _)| *si == unit)
        .expect("known");
    if unit == "°C" {
        (us - ZERO_F) * factor
    } else {
        us * factor
    }
}

/// Outside: the factors above against the one rule that every output takes its figures from.
#[test]
fn outside_factors_of_nist() {
    for (amount, unit) in [
        (Amount::Metres, "m"),
        (Amount::Kilometres, "km"),
        (Amount::Millimetres, "mm"),
        (Amount::Kilograms, "kg"),
        (Amount::Litres, "litres"),
        (Amount::KilometresAnHour, "km/h"),
        (Amount::SquareMillimetres, "mm²"),
        (Amount::Kelvin, "K"),
        (Amount::Celsius, "°C"),
    ] {
        for value in [-40.0, 0.0, 1.0, 37.0, 1234.5] {
            let shown = Units::Us.value(amount, value);
            assert!(
                (back(shown, unit) - value).abs() < 1e-6 * (1.0 + f64::abs(value)),
                "{value} {unit}: {shown}"
            );
        }
        let (us, si) = (Units::Us.symbol(amount), Units::Si.symbol(amount));
        assert!(
            FACTORS
                .iter()
                .any(|(theirs, ours, _)| *theirs == us && *ours == si),
            "{us} for {si}"
        );
    }
    assert_eq!(Units::Us.shown(Amount::Celsius, -40.0, 0), "-40 °F");
    assert_eq!(Units::Us.shown(Amount::Celsius, -17.8, 0), "0 °F");
    assert_eq!(
        Units::Us.sentence("within ‹178 mm› of ‹16 mm²›, ‹24 °C above› the air"),
        "within 7 in of 31.6 kcmil, 43 °F above the air"
    );
    assert_eq!(
        Units::Us.sentence("‹81.437 km:0› from ‹5 km, ‹Salt› Pan› on ‹2027-07-05›, ‹17:00›"),
        "51 mi from ‹5 km, ‹Salt› Pan› on Jul 5, 2027, 5:00 PM"
    );
}

#[test]
fn law_json_is_the_same_to_the_byte() {
    assert!(SI.json.len() >= 24, "{:?}", SI.json.keys());
    for (name, text) in &SI.json {
        assert_eq!(Some(text), US.json.get(name), "{name}");
    }
}

/// The text of a page or picture without its marks, styles and paths.
fn bare(text: &str) -> String {
    let mut bare = String::new();
    let mut rest = text;
    while let Some((before, after)) = rest.split_once('<') {
        bare.push_str(before);
        bare.push(' ');
        let after = match after.strip_prefix("style") {
            Some(style) => style.split_once("</style").map_or("", |(_, after)| after),
            None => after,
        };
        rest = after.split_once('>').map_or("", |(_, after)| after);
    }
    bare.push_str(rest);
    bare.replace("&#39;", "'")
        .replace("&quot;", "\"")
        .replace('\u{a0}', " ")
}

/// Whether a name ends so.
fn is(name: &str, end: &str) -> bool {
    Path::new(name)
        .extension()
        .is_some_and(|known| known == end)
}

/// What is read of an output: tables as they are, pages and pictures without their marks.
fn read(name: &str, text: &str) -> String {
    if is(name, "svg") || is(name, "html") {
        bare(text)
    } else {
        text.to_owned()
    }
}

#[test]
fn law_no_unit_of_the_other_land_remains() {
    // The sentence about the command names no quantity.
    let is_there = |text: &str, unit: &str| {
        let words: Vec<&str> = text.split_whitespace().collect();
        words.windows(2).any(|pair| {
            let is_figure = pair[0]
                .trim_start_matches(['(', '−', '-'])
                .starts_with(|c: char| c.is_ascii_digit());
            is_figure && pair[1].trim_end_matches([',', ';', ':', '.', ')']) == unit
        })
    };
    for (outputs, others) in [
        (
            &*US,
            ["°C", "km", "mm²", "kg", "m", "mm", "km/h", "litres", "K"].as_slice(),
        ),
        (
            &*SI,
            ["°F", "mi", "kcmil", "lb", "ft", "mph", "gal", "AM", "PM"].as_slice(),
        ),
    ] {
        for (name, text) in &outputs.texts {
            let text = read(name, text);
            for unit in others {
                assert!(!is_there(&text, unit), "{unit} in {name}");
            }
            for sign in others.iter().filter(|unit| unit.contains(['°', '²'])) {
                assert!(!text.contains(sign), "{sign} in {name}");
            }
        }
    }
    for (name, text) in &US.texts {
        for key in ["_c,", "_m,", "_kg,", "mm2,"] {
            assert!(
                !is(name, "csv") || !text.lines().next().unwrap_or("").contains(key),
                "{key} in {name}"
            );
        }
    }
}

const MONTHS: [&str; 12] = [
    "Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec",
];

fn month(word: &str) -> Option<usize> {
    let is_name = word.chars().all(char::is_alphabetic);
    MONTHS
        .iter()
        .position(|month| is_name && word.starts_with(month) && word != "Mean" && word != "Decided")
}

fn number(word: &str) -> Option<f64> {
    word.replace(',', "").replace('−', "-").parse().ok()
}

/// Half of the last digit that is shown.
fn half_digit(word: &str) -> f64 {
    let decimals = word.split_once('.').map_or(0, |(_, part)| part.len());
    0.5 * 0.1_f64.powi(i32::try_from(decimals).expect("few"))
}

/// Words without the marks at their ends, dates and clock times in one form.
fn words(text: &str) -> Vec<String> {
    let ends = [',', ';', ':', '.', '(', ')', '“', '”', '"'];
    let text = text.replace("°F per 1,000 ft", LAPSE);
    let text = text
        .replace("Wh per lb and °F", HEAT)
        .replace("Wh per kg and K", "Wh/kgK");
    let plain: Vec<&str> = text
        .split_whitespace()
        .map(|word| word.trim_matches(ends))
        .filter(|word| !word.is_empty())
        .collect();
    let mut found = Vec::new();
    let mut at = 0;
    while at < plain.len() {
        let next = |more: usize| plain.get(at + more).copied().unwrap_or("");
        let iso: Vec<&str> = plain[at].split('-').collect();
        if let ([year, number, day], true) = (iso.as_slice(), plain[at].len() == 10)
            && let (Ok(number), Ok(day), true) =
                (number.parse::<usize>(), day.parse::<u32>(), year.len() == 4)
        {
            found.extend([
                day.to_string(),
                MONTHS[number - 1].to_owned(),
                (*year).to_owned(),
            ]);
            at += 1;
        } else if month(plain[at]).is_some() && next(1).len() <= 2 && next(1).parse::<u32>().is_ok()
        {
            found.extend([next(1).to_owned(), plain[at].to_owned()]);
            at += 2;
        } else if let (Some((hour, minute)), "AM" | "PM") = (plain[at].split_once(':'), next(1)) {
            let hour: u32 = hour.parse().expect("an hour");
            let hour = hour % 12 + if next(1) == "PM" { 12 } else { 0 };
            found.push(format!("{hour:02}:{minute}"));
            at += 2;
        } else {
            found.push(plain[at].to_owned());
            at += 1;
        }
    }
    found
}

/// Whether words in units of the United States tell what those of the program do.
fn tells(us: &[String], si: &[String], at: usize) -> bool {
    let (theirs, ours) = (&us[at], &si[at]);
    if theirs == ours || (theirs == "us" && ours == "si") {
        return true;
    }
    // A unit, alone in a heading or behind its figure.
    if FACTORS.iter().any(|(us, si, _)| us == theirs && si == ours) {
        return true;
    }
    // A key by its word for the unit.
    let words = [
        ("_f", "_c"),
        ("_ft", "_m"),
        ("_mi", "_km"),
        ("_lb", "_kg"),
        ("_mph", "_kmh"),
    ];
    if words.iter().any(|(us, si)| {
        let (head, tail) = theirs.split_once("_per_").unwrap_or((theirs, ""));
        let stem = head.strip_suffix(us);
        stem.is_some_and(|stem| match tail {
            "" => *ours == format!("{stem}{si}"),
            tail => *ours == format!("{stem}{si}_per_{tail}"),
        })
    }) {
        return true;
    }
    let (Some(shown), Some(value)) = (number(theirs), number(ours)) else {
        return false;
    };
    // The unit follows, at once or behind a second figure; in a table it stands in a heading, and any may be meant.
    let unit_at = |at: usize| si.get(at).map_or("", String::as_str);
    let behind = if unit_at(at + 1) == "to" {
        unit_at(at + 3)
    } else {
        unit_at(at + 1)
    };
    let is_named = FACTORS.iter().any(|(_, si, _)| *si == behind);
    FACTORS
        .iter()
        .filter(|(_, si, _)| !is_named || *si == behind)
        .any(|(_, unit, factor)| {
            // Three figures of a large number are shown.
            let rounded = if value.abs() >= 1000.0 {
                0.005 * value.abs()
            } else {
                0.0
            };
            let slack = half_digit(theirs) * factor + half_digit(ours) + rounded + 1e-9;
            let is_difference = *unit == "°C" && unit_at(at + 2) == "above";
            let value_of = |us: f64| {
                if is_difference {
                    us * factor
                } else {
                    back(us, unit)
                }
            };
            (value_of(shown) - value).abs() <= slack
        })
}

#[test]
fn law_texts_and_pages_convert_back() {
    let mut compared = 0;
    for (name, si) in &SI.texts {
        let us = US.texts.get(name).expect("both write it");
        let is_page = is(name, "html");
        if !is_page && !is(name, "txt") {
            continue;
        }
        // Labels within pictures may move, and stand in the pictures' own comparison.
        let without_pictures = |text: &str| -> String {
            let mut parts = text.split("<svg");
            let first = parts.next().unwrap_or("").to_owned();
            let rest = parts.filter_map(|part| part.split_once("</svg>"));
            rest.fold(first, |page, (_, after)| page + after)
        };
        let [us, si] = [us, si].map(|text| words(&read(name, &without_pictures(text))));
        for at in 0..si.len().min(us.len()) {
            let near =
                |words: &[String]| words[at.saturating_sub(6)..(at + 6).min(words.len())].join(" ");
            assert!(
                tells(&us, &si, at),
                "{name}: `{}` for `{}`",
                near(&us),
                near(&si)
            );
            compared += 1;
        }
        assert_eq!(us.len(), si.len(), "{name}");
    }
    assert!(compared > 5000, "{compared} words");
    // What is looked for is there.
    for piece in [
        "°F",
        " lb",
        "PM",
        " ft",
        " in of it",
        "Saturday, July 3",
        "_f  ",
    ] {
        assert!(
            US.texts.values().any(|text| text.contains(piece)),
            "{piece}"
        );
    }
}

#[test]
fn law_labels_of_pictures_convert_back() {
    for (name, si) in SI.texts.iter().filter(|(name, _)| is(name, "svg")) {
        let labels = |text: &str| -> Vec<Vec<String>> {
            let pieces = text
                .split("<text")
                .skip(1)
                .filter_map(|piece| piece.split_once('>'));
            pieces
                .map(|(_, piece)| words(&bare(piece.split("</text").next().unwrap_or(""))))
                .collect()
        };
        let (us, si) = (labels(&US.texts[name]), labels(si));
        assert!(!us.is_empty() || si.is_empty(), "{name}");
        for label in &us {
            let is_told = si.iter().any(|other| {
                other.len() == label.len() && (0..label.len()).all(|at| tells(label, other, at))
            });
            // Ticks of a scale of temperature are round in its own unit.
            let is_tick = name == "sky/sky.svg"
                && label.len() == 1
                && number(&label[0]).is_some_and(|tick| tick % 5.0 == 0.0);
            assert!(is_told || is_tick, "{name}: {label:?}");
        }
    }
}

#[test]
fn law_tables_in_files_convert_back() {
    let mut converted = 0;
    for (name, si) in SI.texts.iter().filter(|(name, _)| is(name, "csv")) {
        let rows = |text: &str| -> Vec<Vec<String>> {
            let mut reader = csv::ReaderBuilder::new()
                .has_headers(false)
                .from_reader(text.as_bytes());
            let records = reader.records().map(|record| record.expect("a row"));
            records
                .map(|record| record.iter().map(str::to_owned).collect())
                .collect()
        };
        let (us, si) = (rows(&US.texts[name]), rows(si));
        assert_eq!(us.len(), si.len(), "{name}");
        for (column, (theirs, ours)) in us[0].iter().zip(&si[0]).enumerate() {
            let ends = [
                ("_f", "_c", "°C"),
                ("_ft", "_m", "m"),
                ("_lb", "_kg", "kg"),
                ("kcmil", "mm2", "mm²"),
            ];
            let unit = ends.into_iter().find(|(us, si, _)| {
                theirs != ours
                    && theirs
                        .strip_suffix(us)
                        .is_some_and(|stem| ours.strip_suffix(si) == Some(stem))
            });
            assert!(
                theirs == ours || unit.is_some(),
                "{name}: {theirs} for {ours}"
            );
            for (theirs, ours) in us
                .iter()
                .zip(&si)
                .skip(1)
                .map(|(us, si)| (&us[column], &si[column]))
            {
                match unit {
                    Some((.., unit)) if !ours.is_empty() => {
                        let (theirs, ours): (f64, f64) = (
                            theirs.parse().expect("a figure"),
                            ours.parse().expect("a figure"),
                        );
                        assert!(
                            (back(theirs, unit) - ours).abs() < 1e-5 * (1.0 + ours.abs()),
                            "{name}: {theirs} for {ours}"
                        );
                        converted += 1;
                    }
                    _ => {
                        let (us, si) = (words(theirs), words(ours));
                        let is_told =
                            us.len() == si.len() && (0..us.len()).all(|at| tells(&us, &si, at));
                        assert!(is_told, "{name}: {theirs} for {ours}");
                    }
                }
            }
        }
    }
    assert!(converted > 300, "{converted} figures");
}

/// The file's own `units`, which `--units` overrides; wiring by gauge and feet where they are of the United States.
#[test]
fn law_the_file_says_and_the_option_overrides() {
    let text = scenario().replace(
        "\"title\": \"Base\",",
        "\"title\": \"Base\", \"units\": \"us\",",
    );
    let wiring = |more: &[&str]| {
        let mut run = Tideover::new()
            .scenario(&text)
            .args(["wiring", "base.json"]);
        for word in more {
            run = run.args([*word]);
        }
        run.run().stdout_text()
    };
    let us = wiring(&[]);
    assert!(
        us.contains("AWG") && us.contains(" in of it along") && !us.contains("mm²"),
        "{us}"
    );
    let si = wiring(&["--units", "si"]);
    assert!(si.contains("mm²") && !si.contains("ft"), "{si}");
    let words = ["report", "base.json", "--only", "wiring", "--trials", "16"];
    let report = Tideover::new().scenario(&text).args(words).succeeds();
    let page = std::fs::read_to_string(report.folder().join("output/base/report.html"));
    let page = page.expect("written");
    assert!(page.contains("take AWG") && page.contains("one way ft") && !page.contains("mm²"));
    assert_eq!(wiring(&["--json"]), wiring(&["--units", "si", "--json"]));
}

#[test]
fn refuses_units_of_no_land() {
    let typed = base_with(
        "\"title\": \"Base\",",
        "\"title\": \"Base\", \"units\": \"imperial\",",
    );
    assert_eq!(
        refusal_of(&typed),
        "error: `base.json` has 1 problem\n\n  base.json:3:29  /units\n    is `imperial`, but must be `si` or `us`\n"
    );
    Tideover::new()
        .scenario(&typed)
        .args(["trip", "base.json", "--units", "imperial"])
        .fails(2)
        .stderr_has("[possible values: si, us]");
}
