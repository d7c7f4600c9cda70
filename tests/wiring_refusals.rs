//! The user's own cable and fuse, checked: each way to fail, in full, with its cure.
//!
//! One job: the words of problems. Figures by hand show their working.

mod systems;

use systems::{empty, index, line, run, small};
use tideover::scenario::{Insulation, Parts, Point, PointKind, RunEnd};
use tideover::wiring::schedule::ChosenBy;

/// By hand: 6 mm² carries AWG 10's 60 A × 0.931 = 55.9 A and reaches 40 + 65 (48.16/55.86)² = 88.3 °C; 3.3 × 1.2685 ×
/// 9.1 m = 38.1 mΩ, × 48.16 A = 1.83 V.
#[test]
fn the_users_own_choice_is_checked_and_cured() {
    let mut scenario = small();
    let feed = index(&scenario, "feed-main");
    scenario.runs[feed].mm2 = Some(6.0);
    scenario.runs[feed].fuse_a = Some(50.0);
    let run = line(&scenario, "feed-main");
    assert!(!run.pass && run.chosen_by == ChosenBy::User);
    let fails: Vec<&str> = run.problems.iter().map(|p| p.fails.as_str()).collect();
    assert_eq!(
        fails,
        [
            "fuse 50 A is below 1.25 × 48.2 A = 60.2 A",
            "drops 1.83 V (15.3 %), over the limit of 3.0 %",
            "12.37 V arrive of 14.20 V, main-dcdc stops below 13 V",
        ]
    );
    let cure = "35 mm² with a fuse of 75 A (terminal bolt (ISO 8820-6))";
    assert!(
        run.problems.iter().all(|p| p.would_do == cure),
        "{:?}",
        run.problems
    );
    assert!(
        run.warnings
            .iter()
            .any(|w| w.contains("\"6 mm\"") && w.contains("4.59 mm²")),
        "{:?}",
        run.warnings
    );
    // What would do, does.
    scenario.runs[feed].mm2 = Some(35.0);
    scenario.runs[feed].fuse_a = Some(75.0);
    let run = line(&scenario, "feed-main");
    assert!(run.pass, "{:?}", run.problems);
    assert!(run.far_end_v.expect("volts") > 13.0);
}

#[test]
fn refuses_a_fuse_above_what_the_conductor_carries() {
    let mut scenario = small();
    let feed = index(&scenario, "main-out");
    scenario.runs[feed].mm2 = Some(6.0);
    scenario.runs[feed].fuse_a = Some(100.0);
    let run = line(&scenario, "main-out");
    assert_eq!(
        run.problems[0].fails,
        "fuse 100 A is above the 55.9 A that 6 mm² carries here"
    );
    assert_eq!(
        run.problems[0].would_do,
        "at least 16 mm², or 6 mm² with a fuse of 50 A (terminal bolt (ISO 8820-6))"
    );
}

#[test]
fn refuses_each_hopeless_case_in_words() {
    let mut scenario = small();
    let feed = index(&scenario, "feed-main");
    let fails = |scenario: &Parts| line(scenario, "feed-main").problems[0].fails.clone();
    scenario.runs[feed].mm2 = Some(0.75);
    assert_eq!(
        fails(&scenario),
        "0.75 mm² is below AWG 18, the smallest size for which 33 CFR 183.425 gives a current"
    );
    scenario.runs[feed].mm2 = Some(2.5);
    assert_eq!(
        fails(&scenario),
        "2.5 mm² carries 32.6 A here, the run asks for 48.2 A"
    );
    scenario.runs[feed].mm2 = None;
    scenario.runs[feed].one_way_m = 60.0;
    assert_eq!(
        fails(&scenario),
        "no single conductor up to 120 mm² keeps the drop within 0.36 V over 60 m"
    );
    scenario.runs[feed].one_way_m = 4.5;
    scenario.runs[feed].insulation = Insulation::new(60).expect("a rating");
    scenario.runs[feed].ambient_c = 60.0;
    assert_eq!(
        fails(&scenario),
        "no single conductor up to 120 mm² carries here the 75 A of the fuse for 48.2 A"
    );
    scenario.runs[feed].ambient_c = 40.0;
    scenario.chargers[0].output_a = 900.0;
    assert_eq!(
        fails(&scenario),
        "no standard fuse of at least 1354.5 A breaks what this source can drive and bears what starts here"
    );
    scenario.chargers[0].output_a = 40.0;
    scenario.runs[feed].fuse_a = Some(77.0);
    assert_eq!(fails(&scenario), "77 A is not a standard rating");
    scenario.runs[feed].fuse_a = None;
    scenario.chargers[0].min_input_v = 14.4;
    let run = line(&scenario, "feed-main");
    assert!(
        run.problems[0].would_do.ends_with("no cable cures this"),
        "{:?}",
        run.problems
    );
}

#[test]
fn refuses_a_run_that_carries_nothing() {
    let mut scenario = empty("bare");
    scenario.banks = small().banks;
    scenario.runs = vec![run("odd", RunEnd::Alternator, RunEnd::Bank(0), 1.0, &[])];
    assert_eq!(
        line(&scenario, "odd").problems[0].fails,
        "nothing that the run carries draws current"
    );
}

/// A wrong fuse of one's own is the fault, not the conductor: with the right one there is a size.
#[test]
fn refuses_a_wrong_own_fuse_as_the_fault() {
    let mut scenario = small();
    let feed = index(&scenario, "feed-main");
    scenario.runs[feed].fuse_a = Some(500.0);
    let run = line(&scenario, "feed-main");
    assert_eq!(
        run.problems[0].fails,
        "the fuse of 500 A is too large: 48.2 A ask for one of at least 60.2 A, and no single conductor up to 120 mm² carries 500 A here"
    );
    assert_eq!(
        run.problems[0].would_do,
        "35 mm² with a fuse of 75 A (terminal bolt (ISO 8820-6))"
    );
}

/// By hand: 16 mm² at 48.16 A has 1.21 × 1.0877 × 9.1 m … the drop over 4.5 m is above 0.36 V; the cure gives
/// the length at which it is not, and with that length it is none.
#[test]
fn refuses_terminals_too_small_and_says_what_fits() {
    let mut scenario = small();
    let feed = index(&scenario, "feed-main");
    scenario.runs[feed].largest_mm2 = Some(16.0);
    let run = line(&scenario, "feed-main");
    assert_eq!(
        run.problems[0].fails,
        "its terminals take up to 16 mm², the run asks for 35 mm²"
    );
    let cure = &run.problems[0].would_do;
    assert!(
        cure.starts_with("16 mm² over at most ") && cure.ends_with("or terminals for 35 mm²"),
        "{cure}"
    );
    let longest = cure
        .split_whitespace()
        .nth(5)
        .and_then(|word| word.parse::<f64>().ok());
    scenario.runs[feed].one_way_m = longest.expect("a length") - 0.1;
    let run = line(&scenario, "feed-main");
    assert!(run.pass && run.mm2 == Some(16.0), "{:?}", run.problems);
}

/// A plug's own rating: 48.16 A through 40 A.
#[test]
fn refuses_more_than_a_plug_is_rated_for() {
    let mut scenario = small();
    let feed = index(&scenario, "feed-main");
    scenario.distribution.push(Point {
        id: "tail".to_string(),
        kind: PointKind::Plug,
        rated_a: Some(40.0),
        contact_mohm: 2.0,
        largest_mm2: None,
    });
    scenario.runs[feed].to = RunEnd::Point(0);
    let mut on = run(
        "tail-on",
        RunEnd::Point(0),
        RunEnd::Charger(0),
        1.0,
        &[RunEnd::Charger(0)],
    );
    on.drop_limit = 0.03;
    scenario.runs.push(on);
    let answer = tideover::wiring::schedule(&scenario, None);
    let plug = answer
        .distribution
        .iter()
        .find(|piece| piece.id == "tail")
        .expect("listed");
    assert_eq!(
        plug.problems[0].fails,
        "48.2 A pass through tail, which is rated 40 A"
    );
    assert!(!answer.pass);
    // Its contacts count: 2 mΩ × 48.16 A = 0.096 V on the run that leads there.
    let feed = answer
        .runs
        .iter()
        .find(|run| run.id == "feed-main")
        .expect("scheduled");
    let copper_v = feed.resistance_mohm.expect("known") * feed.design_current_a / 1000.0;
    assert!((feed.drop_v.expect("known") - copper_v - 0.096_32).abs() < 1e-4);
}
