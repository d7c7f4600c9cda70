//! Studies that look first with few trials: what they answer is that of the run's own trials.
//!
//! One job: the short ways of `shed`, `topup` and `why` against the long ones, run in full.

#![expect(clippy::unwrap_used, reason = "a test fails by panicking")]

use std::path::Path;

use tideover::scenario::{Changes, Scenario, read};
use tideover::study::choosing::shed::{HORIZON_DAYS, shed};
use tideover::study::choosing::topup::topup;
use tideover::study::choosing::why::{Of, why};
use tideover::study::figures::autonomy;
use tideover::study::from_here::{HereWords, from_stop};
use tideover::study::settings::Settings;
use tideover::study::simulation::Simulation;
use tideover::timeline::calendar::Plan;
use tideover::trials::Silent;

fn example(name: &str) -> Scenario {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios");
    let text = std::fs::read_to_string(folder.join(name)).unwrap();
    let beside = |file: &str| std::fs::read(folder.join(file)).map_err(|error| error.to_string());
    read(&text, name, &beside)
        .map_err(|refusal| refusal.to_string())
        .unwrap()
        .scenario
}

fn settings(trials: u64, step_minutes: u32) -> Settings {
    let mut settings = Settings {
        step_minutes,
        ..Settings::default()
    };
    settings.run.trials = trials;
    settings
}

/// Switching a load off can only help: run in full, no other trial falls short than those that `shed` runs
/// again, load by load and with all before it off too.
#[test]
fn law_shed_gives_what_whole_runs_give() {
    for name in ["desert-crossing.json", "oasis-truck.json"] {
        let scenario = example(name);
        let settings = settings(192, 30);
        let base = Simulation::trip(&scenario, &settings, &Silent).unwrap();
        let found = shed(&scenario, &settings, &Silent).unwrap();
        let chance = |off: &[&str]| {
            let changes = off.iter().fold(Changes::default(), |changes, load| {
                changes.and(format!("loads.{load}.off"), true)
            });
            let changed = scenario.with(&changes).unwrap();
            let run = base.changed(&changed, &Silent).unwrap();
            run.chance_no_shortfall()
        };
        assert_eq!(found.chance_no_shortfall, base.chance_no_shortfall());
        for shed in &found.alone {
            assert_eq!(
                shed.chance_no_shortfall,
                chance(&[&shed.load]),
                "{name}, without {}",
                shed.load
            );
        }
        let loads: Vec<&str> = found.steps.iter().map(|shed| shed.load.as_str()).collect();
        for (last, shed) in found.steps.iter().enumerate() {
            let off = &loads[..=last];
            assert_eq!(
                shed.chance_no_shortfall,
                chance(off),
                "{name}, without {off:?}"
            );
        }
    }
}

/// The days of a stay are those of a whole month's run, however far it was looked at.
#[test]
fn law_sheds_days_are_those_of_a_whole_month() {
    let scenario = example("desert-crossing.json");
    let settings = settings(128, 30);
    let found = shed(&scenario, &settings, &Silent).unwrap();
    let mut longest = scenario.itinerary.legs.iter();
    let longest = longest.position(|leg| leg.stop.name == found.stop).unwrap();
    let there = HereWords {
        at: Some(found.stop.clone()),
        ..HereWords::default()
    };
    let plan = Plan::Stay {
        stop: longest,
        now_s: from_stop(&scenario, &there).unwrap().now_s,
        horizon_days: HORIZON_DAYS,
    };
    let base = Simulation::of_plan(&scenario, plan, &settings, &Silent).unwrap();
    let p10 = |run: &Simulation| autonomy(&run.ensemble.house_autonomy_days).p10;
    assert_eq!(found.days_p10, p10(&base));
    let mut changes = Changes::default();
    for shed in &found.steps {
        changes = changes.and(format!("loads.{}.off", shed.load), true);
        let changed = scenario.with(&changes).unwrap();
        let run = base.changed(&changed, &Silent).unwrap();
        let (found, whole) = (shed.days_p10, p10(&run));
        assert_eq!(found.value, whole.value, "then without {}", shed.load);
    }
}

/// The least driving reaches the aim on the run's own trials, and a minute less of it does not.
#[test]
fn law_a_minute_less_than_the_least_driving_fails() {
    let scenario = example("desert-crossing.json");
    let settings = settings(192, 30);
    let found = topup(&scenario, &settings, &Silent).unwrap();
    let setting = (found.hours_per_camp_day.unwrap() * 60.0).round() / 60.0;
    let reaches = |hours: f64| {
        let legs = 1..=scenario.itinerary.legs.len();
        let changes = legs.fold(Changes::default(), |changes, leg| {
            changes.and(format!("itinerary.legs.{leg}.local_drive_hours"), hours)
        });
        let changed = scenario.with(&changes).unwrap();
        let run = Simulation::trip(&changed, &settings, &Silent).unwrap();
        run.chance_no_shortfall().value >= scenario.aim_chance
    };
    assert!(setting > 0.1, "{setting} h");
    assert!(reaches(setting), "{setting} h");
    assert!(!reaches(setting - 1.0 / 60.0), "{setting} h");
}

/// The widest swings are those of whole runs; an input that moves nothing leaves the answer as it is.
#[test]
fn law_the_widest_swings_are_those_of_whole_runs() {
    let scenario = example("desert-crossing.json");
    let settings = settings(256, 30);
    let base = Simulation::trip(&scenario, &settings, &Silent).unwrap();
    let found = why(&scenario, Some(Of::Chance), &settings, &Silent).unwrap();
    for input in found.inputs.iter().take(4) {
        assert_eq!(input.trials, 256, "{}", input.path);
        for (end, told) in [(input.low, input.at_low), (input.high, input.at_high)] {
            let changed = scenario.with(&Changes::one(input.path.as_str(), end));
            let run = base.changed(&changed.unwrap(), &Silent).unwrap();
            let chance = run.chance_no_shortfall().value;
            assert!(
                (told - chance).abs() < 2e-6,
                "{}: {told}, {chance}",
                input.path
            );
        }
    }
    let last = found.inputs.last().unwrap();
    assert!(last.difference.value.abs() < 0.02, "{last:?}");
}
