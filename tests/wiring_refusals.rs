//! The user's own cable and fuse, checked: each way to fail, in full, with its cure.
//!
//! One job: the words of problems. Figures by hand show their working.

mod systems;

use systems::{empty, index, line, run, small};
use tideover::scenario::{Insulation, RunEnd, Scenario};
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
    let fails = |scenario: &Scenario| line(scenario, "feed-main").problems[0].fails.clone();
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
        "no standard fuse of at least 1354.5 A breaks what this source can drive"
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
