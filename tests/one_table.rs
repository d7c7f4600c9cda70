//! One table, three times: what a screen, a file and a page show of it is the same.
//!
//! One job: the tables of every command of two shipped examples, read back from the text of a screen, from CSV and
//! from HTML.

use std::collections::BTreeMap;

use tideover::command::{
    Answered, Asked, Options, Question, SkyQuestion, WiringQuestion, answer, sky, wiring,
};
use tideover::present::html::table_html;
use tideover::present::table::Table;
use tideover::present::tables::{Part, laid_out};
use tideover::scenario::{Scenario, read};
use tideover::trials::Silent;
use tideover::units::Units;

const CROSSING: &str = include_str!("../scenarios/desert-crossing.json");
const WEEKEND: &str = include_str!("../scenarios/weekend.json");

fn scenario(text: &str) -> Scenario {
    let files = |name: &str| Err(format!("no {name}"));
    let reading = read(text, "example.json", &files);
    reading.expect("an example").scenario
}

fn asked(scenario: &Scenario, question: &Question) -> Answered {
    let options = Options {
        trials: Some(24),
        step_minutes: Some(60),
        ..Options::default()
    };
    let asked = Asked {
        scenario,
        options: &options,
        files: &|name: &str| Err(format!("no {name}")),
        with_files: true,
        progress: &Silent,
    };
    answer(question, &asked).unwrap_or_else(|failure| panic!("{failure}"))
}

/// Commands whose tables are those of their files; `topup.csv` has the map.
const IN_FILES: [&str; 5] = ["budget", "shed", "compare", "why", "wiring"];

/// What commands answer, by their names; the cable schedule with them.
fn answers(scenario: &Scenario, names: &[&'static str]) -> BTreeMap<&'static str, Answered> {
    let question = |name: &str| match name {
        "trip" => Question::Trip,
        "budget" => Question::Budget,
        "stay" => Question::Stay { horizon_days: 20 },
        "shed" => Question::Shed,
        "why" => Question::Why { of: None },
        "topup" => Question::Topup { against: None },
        "mend" => Question::Mend { of: None },
        "compare" => Question::Compare {
            vary: vec![options(scenario)],
            option: Vec::new(),
        },
        other => panic!("no command {other}"),
    };
    let names = names.iter();
    let answers = names.map(|&name| (name, asked(scenario, &question(name))));
    let mut answers: BTreeMap<_, _> = answers.collect();
    let question = WiringQuestion {
        series: None,
        length: None,
    };
    let schedule = wiring(scenario, question, true).expect("a schedule");
    answers.insert("wiring", schedule);
    answers
}

/// What is compared.
fn options(scenario: &Scenario) -> String {
    format!("banks.{}.capacity_ah=90,150", scenario.banks[0].id)
}

fn tables(answered: &Answered) -> Vec<&Table> {
    let parts = answered.body.iter();
    let tables = parts.filter_map(|part| match part {
        Part::Table(table) => Some(table),
        _ => None,
    });
    tables.collect()
}

/// How to read a table stands with it, or as a sentence before it.
fn check_explained(name: &str, answered: &Answered) {
    let mut before: Option<&Part> = None;
    for part in &answered.body {
        if let Part::Table(table) = part {
            let is_told = !table.says.is_empty() || matches!(before, Some(Part::Note(_)));
            let first = &table.columns.iter().find(|it| !it.heading.is_empty());
            assert!(is_told, "{name}: how to read {first:?} is not said");
        }
        before = Some(part);
    }
}

fn plain(text: &str) -> String {
    let text = text.replace("<br>", "\n").replace('\u{a0}', " ");
    let text = text.replace("&lt;", "<").replace("&gt;", ">");
    let text = text.replace("&#39;", "'").replace("&quot;", "\"");
    text.replace("&amp;", "&")
}

/// Rows of a page's table, its headings first; the rows of the pieces of one that has no room side by side are joined.
fn on_page(table: &Table) -> Vec<Vec<String>> {
    let html = table_html(table, "");
    let names = usize::from(html.matches("<table").count() > 1);
    let mut whole: Vec<Vec<String>> = Vec::new();
    for piece in html.split("<table").skip(1) {
        let rows = piece.split("<tr>").skip(1).map(|row| {
            let cells = row.split("</t").filter_map(|cell| cell.split_once("<t"));
            let text = |(_, cell): (&str, &str)| cell.split_once('>').expect("a tag").1.to_owned();
            cells.map(|cell| plain(&text(cell))).collect::<Vec<_>>()
        });
        for (at, row) in rows.enumerate() {
            match whole.get_mut(at) {
                Some(before) => {
                    // The first columns stand in every piece.
                    let again = before.iter().zip(&row).take_while(|(a, b)| a == b).count();
                    before.extend_from_slice(&row[again.max(names)..]);
                }
                None => whole.push(row),
            }
        }
    }
    whole
}

/// The words of cells in any order: a cell may have lines on a screen.
fn words<S: AsRef<str>>(cells: impl IntoIterator<Item = S>) -> Vec<String> {
    let mut words: Vec<String> = Vec::new();
    for cell in cells {
        words.extend(cell.as_ref().split_whitespace().map(str::to_owned));
    }
    words.sort();
    words
}

/// Every row of people's columns is on the screen, cell by cell where each has one line, and as on the page.
fn check_screen_and_page(name: &str, table: &Table) -> usize {
    let page = on_page(table);
    let screen = laid_out(&[Part::Table(table.clone())], 10_000);
    let shown = screen.lines().filter(|line| !line.starts_with("---"));
    assert_eq!(
        words(page.iter().flatten()),
        words(shown),
        "{name}: {screen}"
    );
    let lines: Vec<Vec<&str>> = screen
        .lines()
        .map(|line| {
            let cells = line.split("  ").map(str::trim);
            cells.filter(|cell| !cell.is_empty()).collect()
        })
        .collect();
    let mut equal = 0;
    for row in &page[1..] {
        let row: Vec<&str> = row.iter().map(String::as_str).collect();
        let cells: Vec<&str> = row.into_iter().filter(|cell| !cell.is_empty()).collect();
        if cells
            .iter()
            .all(|cell| cell.chars().count() < 40 && !cell.contains('\n'))
        {
            assert!(lines.contains(&cells), "{name}: {cells:?} in\n{screen}");
            equal += cells.len();
        }
    }
    equal
}

/// The figure that a cell without words begins with and the least step of what it shows.
fn figure(shown: &str) -> Option<(f64, f64)> {
    if shown.contains(char::is_alphabetic) {
        return None;
    }
    let first = shown.split([' ', '\n']).next()?.replace(',', "");
    let value: f64 = first.parse().ok()?;
    let decimals = first.split_once('.').map_or(0, |(_, it)| it.len());
    let step = 10_f64.powi(-i32::try_from(decimals).ok()?);
    let step = if shown.contains('%') {
        0.01
    } else if value.abs() >= 999.5 {
        10.0
    } else {
        step.max(0.1)
    };
    let value = if shown.contains('%') {
        value / 100.0
    } else {
        value
    };
    Some((value, step))
}

/// Every row's figures stand in one record of the file, to the byte, and people see them rounded.
fn check_file(name: &str, table: &Table, csv: &[u8]) -> usize {
    let mut file = csv::Reader::from_reader(csv);
    let keys = file.headers().expect("a header").clone();
    let records: Vec<csv::StringRecord> = file.records().map(|it| it.expect("a row")).collect();
    let mut seen = 0;
    for row in &table.rows {
        let cells = || {
            table
                .columns
                .iter()
                .zip(row)
                .filter(|it| !it.0.key.is_empty())
        };
        let is_row = |record: &csv::StringRecord| {
            cells().all(|(column, cell)| {
                let place = keys.iter().position(|key| key == column.key);
                place.is_some_and(|place| record[place] == cell.filed)
            })
        };
        let found = records.iter().any(is_row);
        assert!(
            found,
            "{name}: {row:?} is not in the file:\n{}",
            String::from_utf8_lossy(csv)
        );
        for (at, column) in table.columns.iter().enumerate() {
            // The figure of a chance with its interval stands in the column after.
            let filed = if column.key.is_empty() {
                row.get(at + 1)
            } else {
                row.get(at)
            };
            let is_one = !column.key.is_empty() || row[at].shown.contains("% (");
            let Some((value, step)) = figure(&row[at].shown).filter(|_| is_one) else {
                continue;
            };
            let filed: f64 = filed.expect("a cell").filed.parse().expect("a figure");
            let room = 0.5 * step + 1e-6;
            assert!(
                (value - filed).abs() <= room,
                "{name}: {} and {filed}",
                row[at].shown
            );
            seen += 1;
        }
    }
    seen
}

#[test]
fn law_a_table_is_equal_on_screen_in_file_and_on_page() {
    let (mut cells, mut figures, mut count) = (0, 0, 0);
    for (example, names) in [
        (CROSSING, &["trip", "budget", "stay", "shed", "compare"][..]),
        (
            WEEKEND,
            &[
                "trip", "budget", "stay", "shed", "why", "topup", "mend", "compare",
            ],
        ),
    ] {
        for (name, answered) in answers(&scenario(example), names) {
            check_explained(name, &answered);
            let csv = format!("{name}.csv");
            let csv = answered.files.iter().find(|file| file.0 == csv);
            for table in tables(&answered) {
                cells += check_screen_and_page(name, table);
                count += 1;
                if let Some((_, csv)) = csv.filter(|_| IN_FILES.contains(&name)) {
                    figures += check_file(name, table, csv);
                }
            }
        }
    }
    let question = SkyQuestion {
        at: (-26.42, 135.5),
        height_m: None,
        month: None,
        units: Units::Us,
    };
    let year = sky(question, false).expect("a climate");
    check_explained("sky", &year);
    for table in tables(&year) {
        cells += check_screen_and_page("sky", table);
    }
    assert!(count >= 20, "{count} tables");
    assert!(
        cells > 600 && figures > 200,
        "{cells} cells, {figures} figures"
    );
}

/// What a cell shows in per cent is a share of the file; `<1 %` and `>99 %` stand for what rounds to certainty.
fn is_share(shown: &str, filed: &str) -> bool {
    let share: f64 = filed.parse().expect("a share");
    match shown.trim_end_matches(" %") {
        "<1" => share > 0.0 && share < 0.01,
        ">99" => share > 0.99 && share < 1.0,
        points => {
            let points: f64 = points.parse().expect("points");
            (points - 100.0 * share).abs() <= 0.5 + 1e-6
        }
    }
}

/// `trip.csv` has a row a bank and night, the screen a row a night: every charge at dawn and every chance of the one
/// stands on the other, read back from its text.
#[test]
fn law_the_nights_of_the_file_are_those_of_the_screen() {
    let mut seen = 0;
    for example in [CROSSING, WEEKEND] {
        let answered = asked(&scenario(example), &Question::Trip);
        let csv = answered.files.iter().find(|file| file.0 == "trip.csv");
        let mut file = csv::Reader::from_reader(&csv.expect("a file").1[..]);
        let keys = file.headers().expect("a header").clone();
        let place = |key: &str| keys.iter().position(|it| it == key).expect("a column");
        let records: Vec<csv::StringRecord> = file.records().map(|it| it.expect("a row")).collect();
        let nights = tables(&answered)
            .into_iter()
            .find(|table| table.columns[0].heading == "night");
        let page = on_page(nights.expect("a table of nights"));
        let (headings, rows) = page.split_first().expect("headings");
        for (at, heading) in headings.iter().enumerate() {
            let Some(bank) = heading.strip_suffix(" dawn") else {
                continue;
            };
            let of_bank = records
                .iter()
                .filter(|record| record[place("bank")] == *bank);
            let of_bank: Vec<_> = of_bank.collect();
            assert_eq!(of_bank.len(), rows.len(), "{bank}");
            for (record, row) in of_bank.into_iter().zip(rows) {
                assert_eq!(record[place("stop")], row[1]);
                let keys = ["dawn_soc_p10", "dawn_soc_p50", "dawn_soc_p90"];
                let dawn: Vec<&str> = row[at].split(" · ").collect();
                assert_eq!(dawn.len(), keys.len());
                for (key, shown) in keys.into_iter().zip(dawn) {
                    assert!(
                        is_share(shown, &record[place(key)]),
                        "{bank}: {row:?}, {record:?}"
                    );
                }
                let chance = &record[place("chance_no_shortfall")];
                assert!(
                    is_share(&row[at + 1], chance),
                    "{bank}: {row:?}, {record:?}"
                );
                seen += 4;
            }
        }
    }
    assert!(seen > 150, "{seen} figures");
}

/// The report shows the tables of the commands.
#[test]
fn law_the_report_has_the_tables_of_the_commands() {
    let scenario = scenario(CROSSING);
    let question = Question::Report {
        compare: vec![options(&scenario)],
        only: None,
        log: None,
        file_name: "example.json".to_owned(),
        date: "2027-01-15".to_owned(),
    };
    let report = asked(&scenario, &question);
    let page = report.files.iter().find(|file| file.0 == "report.html");
    let page = String::from_utf8(page.expect("a page").1.clone()).expect("text");
    // How to read the tables of the budget stands above all of them.
    let titles = page.split("<p class=\"title\"").skip(1);
    let mut heads = titles.map(|piece| piece.split("<table").next().expect("a head"));
    let untold = heads.find(|it| !it.contains("class=\"says\"") && !it.contains(" loads ask for "));
    assert_eq!(untold, None, "how to read it is not said");
    let answers = answers(&scenario, &["trip", "budget", "shed", "compare"]);
    for (name, firsts) in [
        ("trip", &["bank", "fridge"][..]),
        ("budget", &["what"]),
        ("shed", &["then also without"]),
        ("compare", &["option"]),
        ("wiring", &["run"]),
    ] {
        let mut found = 0;
        for table in tables(&answers[name]) {
            let mut headings = table.columns.iter().map(|it| it.heading.as_str());
            if !headings
                .find(|it| !it.is_empty())
                .is_some_and(|it| firsts.contains(&it))
            {
                continue;
            }
            let html = table_html(table, "");
            for body in html.split("<tbody>").skip(1) {
                let body = body.split("</tbody>").next().expect("a body");
                assert!(page.contains(body), "{name}: not in the report:\n{body}");
                found += 1;
            }
        }
        assert!(found >= firsts.len(), "{name}: {found} tables");
    }
}
