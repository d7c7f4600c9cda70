//! What `wiring` writes: JSON, csv, table, and the runs it suggests.
//!
//! One job: that every output carries the figures and the cautions. The diagram has its own file.

mod systems;

use std::collections::HashSet;

use systems::{empty, large, run, small};
use tideover::present::csv::table_csv;
use tideover::present::tables::wiring_file;
use tideover::scenario::RunEnd;
use tideover::wiring::suggest::snippet;
use tideover::wiring::{schedule, suggest};

#[test]
fn the_json_has_heading_runs_and_cautions() {
    let value = serde_json::to_value(schedule(&small(), None)).expect("it serialises");
    assert_eq!(value["format"], 1);
    assert!(
        value["tool"]
            .as_str()
            .expect("text")
            .starts_with("tideover ")
    );
    assert_eq!(value["scenario"], "Weekend ute");
    let run = &value["runs"][0];
    for key in [
        "id",
        "from",
        "to",
        "carries",
        "one_way_m",
        "design_current_a",
        "current_basis",
        "continuous",
        "by_ampacity_mm2",
        "by_drop_mm2",
        "ruled_by",
        "chosen_by",
        "mm2",
        "awg",
        "ampacity_a",
        "conductor_c",
        "resistance_mohm",
        "drop_v",
        "drop_percent",
        "far_end_v",
        "heat_w",
        "heat_wh_trip",
        "pass",
        "problems",
        "warnings",
        "where",
    ] {
        assert!(!run[key].is_null(), "{key}");
    }
    assert_eq!(
        (&run["ruled_by"], &run["fuse"]["kind"]),
        (&"drop".into(), &"terminal-bolt".into())
    );
    assert_eq!(value["cautions"].as_array().expect("a list").len(), 7);
}

/// Each caution that the trade expects is there, in words of its own.
#[test]
fn the_cautions_cover_what_they_must() {
    let answer = schedule(&small(), None);
    for (what, words) in [
        (
            "local codes",
            "Local codes and licensed practice come first",
        ),
        ("no certificate", "not a certificate"),
        ("fuse at the source", "Fuse every cable at its source"),
        ("disconnect", "Disconnect the batteries before you work"),
        ("lithium short circuit", "thousands of amperes"),
        ("frost", "below 0 °C"),
        ("mains", "230/120 V work"),
    ] {
        assert_eq!(
            answer.cautions.iter().filter(|c| c.contains(words)).count(),
            1,
            "{what}"
        );
    }
}

#[test]
fn the_csv_has_a_row_a_run_and_the_cautions_below() {
    let mut scenario = small();
    scenario.runs[0].id = "-2+3".to_string();
    let answer = schedule(&scenario, None);
    let text = table_csv(&wiring_file(&answer)).expect("it writes");
    let mut reader = csv::Reader::from_reader(text.as_slice());
    let headers = reader.headers().expect("a header").clone();
    let column = |name: &str| headers.iter().position(|h| h == name).expect("a column");
    let records: Vec<csv::StringRecord> = reader
        .records()
        .map(|r| r.expect("a row of the same length"))
        .collect();
    let runs: Vec<_> = records.iter().filter(|r| &r[0] == "run").collect();
    let cautions: Vec<_> = records.iter().filter(|r| &r[0] == "caution").collect();
    assert_eq!(
        (runs.len(), cautions.len()),
        (answer.runs.len(), answer.cautions.len())
    );
    assert_eq!(&runs[0][column("run")], "'-2+3");
    assert_eq!(
        (&runs[0][column("mm2")], &runs[0][column("fuse_a")]),
        ("35", "75")
    );
    assert_eq!(&runs[0][column("design_current_a")], "48.16");
    assert_eq!(&cautions[0][column("remarks")], answer.cautions[0]);
}

#[cfg(feature = "cli")]
#[test]
fn the_table_says_verdict_figures_and_cures_within_the_width() {
    use tideover::present::tables::{laid_out, wiring_tables};
    use tideover::present::wiring_rows::wiring_verdict;
    use tideover::units::Units;
    let mut scenario = small();
    scenario.runs[0].mm2 = Some(6.0);
    let answer = schedule(&scenario, None);
    assert_eq!(wiring_verdict(&answer), "1 of 7 runs fails: feed-main.");
    for width in [60, 80, 100, 160] {
        let text = laid_out(&wiring_tables(&answer, Units::Si), width);
        let plain = text.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(plain.contains("fails: drops 1.83 V (15.3 %)"), "{text}");
        for run in &answer.runs {
            let is_whole = plain.contains(&format!(" {} ", run.id));
            assert!(is_whole, "{} at {width}:\n{text}", run.id);
        }
        let widest = text.lines().map(|line| line.chars().count()).max();
        assert!(widest <= Some(width), "{widest:?} of {width}:\n{text}");
    }
    scenario.runs.clear();
    assert!(wiring_verdict(&schedule(&scenario, None)).contains("--suggest"));
}

/// No figure of the table is parted or left out, whatever the width.
#[cfg(feature = "cli")]
#[test]
fn law_no_number_is_broken_at_60_and_80_columns() {
    use tideover::present::tables::{laid_out, wiring_tables};
    use tideover::present::wiring_rows::length_figure;
    use tideover::units::Units;
    let mut scenario = large();
    scenario.runs[0].id = "a-name-too-long-for-its-column-of-the-table".to_string();
    let answer = schedule(&scenario, None);
    for width in [60, 80] {
        let tables = wiring_tables(&answer, Units::Us);
        let text = laid_out(&tables[..1], width);
        let words: HashSet<&str> = text.split_whitespace().collect();
        for run in &answer.runs {
            let drop = format!("{:.1}", run.drop_percent.expect("a drop"));
            let mm2 = run.mm2.expect("a size").to_string();
            let one_way = length_figure(run.one_way_m, Units::Us);
            for figure in [format!("{:.1}", run.design_current_a), one_way, drop, mm2] {
                let is_whole = words.contains(figure.as_str());
                assert!(is_whole, "{width}: {figure} of {}\n{text}", run.id);
            }
        }
        assert!(
            text.lines().all(|line| line.chars().count() <= width),
            "{text}"
        );
    }
}

#[test]
fn the_sheet_has_every_run_what_to_buy_and_the_checks() {
    use tideover::present::wiring_sheet::{CHECKS, wiring_sheet};
    use tideover::units::Units;
    let mut scenario = small();
    scenario.title = "<b>&".to_string();
    let answer = schedule(&scenario, None);
    let page = wiring_sheet(&scenario, &answer, Units::Si);
    assert!(page.contains("<svg ") && page.contains("&lt;b&gt;&amp;") && !page.contains("<b>&"));
    for run in &answer.runs {
        assert!(page.contains(&format!(">{}</th>", run.id)), "{}", run.id);
    }
    for check in CHECKS.map(|check| Units::Si.sentence(check)) {
        assert!(
            page.contains(check.split(':').next().expect("words")),
            "{check}"
        );
    }
    // By hand: 35 mm² is on feed-main alone, 4.5 m and a tenth are 4.95 m, to the half metre 5 m each way.
    let thick = answer
        .shopping
        .cable
        .iter()
        .find(|c| c.conductor == "35 mm²")
        .expect("bought");
    assert!((thick.positive_m - 5.0).abs() < 1e-9 && (thick.negative_m - 5.0).abs() < 1e-9);
    assert_eq!(thick.lugs, 4);
    let fuses: usize = answer
        .runs
        .iter()
        .filter_map(|run| run.fuse.as_ref())
        .map(|f| f.number)
        .sum();
    let bought: usize = answer.shopping.fuses.iter().map(|fuse| fuse.number).sum();
    assert_eq!(bought, fuses);
}

#[test]
fn every_part_is_reached_by_a_suggested_run() {
    let mut scenario = large();
    scenario.runs.clear();
    let list = suggest(&scenario);
    let ids: HashSet<&str> = list.iter().map(|run| run.id.as_str()).collect();
    assert_eq!(ids.len(), list.len(), "ids are free");
    for charger in &scenario.chargers {
        let into = list
            .iter()
            .filter(|r| r.to == charger.id && r.carries == [charger.id.as_str()])
            .count();
        let out = list.iter().filter(|r| r.from == charger.id).count();
        let mains = charger.from == tideover::scenario::ChargerSource::Mains;
        assert_eq!((into, out), (usize::from(!mains), 1), "{}", charger.id);
    }
    for panel in &scenario.solar {
        assert_eq!(
            list.iter().filter(|r| r.from == panel.id).count(),
            1,
            "{}",
            panel.id
        );
    }
    // A load behind an inverter is reached by the inverter's run; its own side is not ours to wire.
    for load in &scenario.loads {
        let id = load
            .inverter
            .map_or(&load.id, |its| &scenario.inverters[its.unit].id);
        let own = list
            .iter()
            .filter(|r| r.to == *id && r.carries == [id.as_str()])
            .count();
        let block = list
            .iter()
            .filter(|r| r.carries.len() > 1 && r.carries.contains(id))
            .count();
        assert_eq!((own, block), (1, 1), "{}", load.id);
    }
    assert!(
        list.iter()
            .all(|r| r.one_way_m > 0.0 && r.note.contains("the length one way is a guess"))
    );
}

#[test]
fn what_is_there_is_not_suggested_again() {
    let scenario = large();
    assert_eq!(suggest(&scenario), []);
    let mut one_less = scenario.clone();
    let gone = one_less.runs.remove(3);
    let list = suggest(&one_less);
    assert_eq!(list.len(), 1);
    assert_eq!(list[0].id, gone.id);
    // A taken id is not used twice.
    one_less
        .runs
        .push(run(&gone.id, RunEnd::Bank(0), RunEnd::Bank(1), 1.0, &[]));
    assert_eq!(suggest(&one_less)[0].id, format!("{}-2", gone.id));
}

#[test]
fn the_snippet_is_the_key_runs_of_the_file() {
    let mut scenario = small();
    scenario.runs.clear();
    let text = snippet(&suggest(&scenario)).expect("it serialises");
    let value: serde_json::Value =
        serde_json::from_str(&format!("{{{text}}}")).expect("JSON once in braces");
    let runs = value["runs"].as_array().expect("a list");
    assert_eq!(runs[0]["id"], "main-dcdc-in");
    assert_eq!(runs[0]["where"], "engine-bay");
    assert!(runs[0]["one_way_m"].is_number() && runs[0]["drop_limit"].is_number());
    let allowed = [
        "id",
        "from",
        "to",
        "one_way_m",
        "carries",
        "drop_limit",
        "where",
        "note",
    ];
    for run in runs {
        let keys = run.as_object().expect("an object").keys();
        assert!(
            keys.clone().all(|key| allowed.contains(&key.as_str())),
            "{run}"
        );
    }
    assert_eq!(suggest(&empty("bare")), []);
}
