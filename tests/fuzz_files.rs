//! Broken, odd and extreme files: no panic, no figure that is not finite, no hang.
//!
//! One job: mutated scenarios and weather records through the reader, and those that pass through
//! `trip`, `stay` and `budget` with every text and picture. `TIDEOVER_FUZZ_CASES` sets the number of scenarios
//! read (2000 without it; a thirtieth of them goes through trips), `TIDEOVER_FUZZ_SEED` the first seed. A failure names its
//! seed. What is written to disk is looked at in `whole_outputs.rs`.

#![expect(clippy::format_push_string, reason = "a table of a few hundred lines")]

mod mutation;
mod typical_years;

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::mpsc::{RecvTimeoutError, channel};
use std::time::Duration;

use mutation::{Dice, nudge, spoil, spoil_table, tear};
use serde_json::Value;
use tideover::present::charts::{autonomy_svg, budget_svg, stay_svg, trip_svg};
use tideover::present::csv::table_csv;
use tideover::present::tables::{
    budget_file, budget_tables, laid_out, nights_file, stay_tables, trip_tables,
};
use tideover::present::words::{budget_verdict, stay_verdict, trip_verdict};
use tideover::scenario::{Scenario, read};
use tideover::sky::history;
use tideover::study::budget::budget;
use tideover::study::from_here::{HereWords, from_stop};
use tideover::study::settings::Settings;
use tideover::study::simulation::Simulation;
use tideover::study::stay::{StayQuestion, stay};
use tideover::study::trip::trip_answer;
use tideover::timeline::Timeline;
use tideover::timeline::calendar::Plan;
use tideover::trials::{RunSettings, Silent};

const SOUND: [&str; 6] = [
    include_str!("../scenarios/desert-crossing.json"),
    include_str!("../scenarios/northern-autumn-van.json"),
    include_str!("../scenarios/oasis-truck.json"),
    include_str!("../scenarios/plateau-camp.json"),
    include_str!("../scenarios/weekend.json"),
    include_str!("one_run/base.json"),
];

/// No case may take longer: the machine may be slow, but not that slow.
const LONGEST: Duration = Duration::from_secs(90);

/// Trips beyond these are read only: long ones are slow and show nothing new.
const MOST_STEPS: usize = 24 * 40;
const MOST_PARTS: usize = 40;

/// Banks below this are not asked for a closed ledger.
const LEAST_AH: f64 = 10.0;

fn from_environment(name: &str, otherwise: u64) -> u64 {
    match std::env::var(name) {
        Ok(text) => text.parse().expect("a whole number"),
        Err(_) => otherwise,
    }
}

fn cases() -> u64 {
    from_environment("TIDEOVER_FUZZ_CASES", 2000)
}

/// Runs cases until `enough` of them count, each watched for panics and for time.
fn watch(most: u64, enough: u64, case: impl Fn(u64) -> bool + Send + 'static) -> u64 {
    let first = from_environment("TIDEOVER_FUZZ_SEED", 1);
    let (tell, told) = channel();
    std::thread::spawn(move || {
        let mut counted = 0;
        for seed in first..first + most {
            let _ = tell.send(Ok((seed, counted)));
            match catch_unwind(AssertUnwindSafe(|| case(seed))) {
                Ok(counts) => counted += u64::from(counts),
                Err(_) => drop(tell.send(Err(seed))),
            }
            if counted >= enough {
                break;
            }
        }
        let _ = tell.send(Ok((u64::MAX, counted)));
    });
    let (mut running, mut counted, mut failed) = (0, 0, Vec::new());
    while running != u64::MAX {
        match told.recv_timeout(LONGEST) {
            Ok(Ok(news)) => (running, counted) = news,
            Ok(Err(seed)) => failed.push(seed),
            Err(RecvTimeoutError::Timeout) => panic!("seed {running} hangs"),
            Err(RecvTimeoutError::Disconnected) => panic!("seed {running} ended the thread"),
        }
    }
    assert!(failed.is_empty(), "seeds {failed:?} fail: see above");
    counted
}

fn no_files(_: &str) -> Result<Vec<u8>, String> {
    Err("there are no files here".to_owned())
}

fn tree(dice: &mut Dice) -> Value {
    let sound: &&str = dice.pick(&SOUND);
    serde_json::from_str(sound).expect("sound")
}

/// A scenario's text with up to four faults.
fn spoilt(dice: &mut Dice) -> String {
    let mut root = tree(dice);
    for _ in 0..=dice.below(4) {
        if dice.one_in(3) {
            nudge(dice, &mut root);
        } else {
            spoil(dice, &mut root);
        }
    }
    let text = serde_json::to_string_pretty(&root).expect("JSON");
    if dice.one_in(4) {
        tear(dice, &text)
    } else {
        text
    }
}

/// Every refusal says something, names its place within the text, and never twice the same.
#[test]
fn law_any_scenario_is_read_or_refused() {
    let sound = watch(cases(), u64::MAX, |seed| {
        let mut dice = Dice::new(seed);
        let text = spoilt(&mut dice);
        match read(&text, "odd.json", &no_files) {
            Ok(_) => true,
            Err(refusal) => {
                let words = refusal.to_string();
                assert!(words.starts_with("error: `odd.json` has "), "{words}");
                let lines = text.split('\n').count();
                for problem in &refusal.problems {
                    assert!(
                        (1..=lines + 1).contains(&problem.line),
                        "line {}",
                        problem.line
                    );
                }
                false
            }
        }
    });
    assert!(
        sound > cases() / 100,
        "only {sound} of {} are sound: the faults are too rough",
        cases()
    );
    assert!(
        sound < cases() / 2,
        "{sound} of {} are sound: the faults are too mild",
        cases()
    );
}

/// Nulls stand only where the answer has none to give: a number that is not finite would be null.
fn assert_finite(value: &Value, path: &str) {
    const MAY_BE_NULL: [&str; 10] = [
        "/weakest",
        "/cause",
        "/lasts_until",
        "/next_drive",
        "/camp_day",
        "/driving_day",
        "/alternator",
        "/stay_until",
        "/days_without_charge",
        "/cold",
    ];
    match value {
        Value::Null => {
            let is_days = path.contains("/autonomy_days/");
            let may = is_days || MAY_BE_NULL.iter().any(|end| path.ends_with(end));
            assert!(may, "null at {path}");
        }
        Value::Array(list) => {
            for (index, child) in list.iter().enumerate() {
                assert_finite(child, &format!("{path}/{index}"));
            }
        }
        Value::Object(map) => {
            for (key, child) in map {
                assert_finite(child, &format!("{path}/{key}"));
            }
        }
        _ => {}
    }
}

fn assert_no_odd_number(text: &str) {
    for word in text.split(|c: char| !c.is_alphanumeric()) {
        assert!(
            !matches!(word, "NaN" | "nan" | "inf" | "Infinity" | "infinity"),
            "{word} in {text}"
        );
    }
}

fn settings(seed: u64) -> Settings {
    Settings {
        seed,
        step_minutes: 60,
        run: RunSettings {
            trials: 32,
            threads: Some(1),
            precision: None,
        },
        typical: false,
        here: None,
    }
}

/// Runs a scenario through everything; false where the weather lacks a day or the trip is too long.
fn runs_through(scenario: &Scenario, seed: u64) -> bool {
    let parts = scenario.banks.len() + scenario.loads.len() + scenario.chargers.len();
    let nights: u32 = scenario.itinerary.legs.iter().map(|leg| leg.nights).sum();
    if parts > MOST_PARTS || nights > 40 {
        return false;
    }
    let settings = settings(seed);
    let Ok(timeline) = Timeline::new(scenario, Plan::Trip, settings.step_minutes) else {
        return false;
    };
    if timeline.steps > MOST_STEPS {
        return false;
    }
    let trip = Simulation::trip(scenario, &settings, &Silent).expect("as before");
    for (bank, of_file) in trip.ensemble.banks.iter().zip(&scenario.banks) {
        // Smaller banks behind chargers and loads of many times what their resistance lets through
        // stand at the summit of the power curve, where the ledger does not close.
        if of_file.capacity_ah >= LEAST_AH {
            assert!(bank.worst_gap < 1e-9, "ledger open by {}", bank.worst_gap);
        }
        for (lowest, (end, days)) in bank
            .lowest_soc
            .iter()
            .zip(bank.end_soc.iter().zip(&bank.autonomy_days))
        {
            assert!(
                (0.0..=1.0).contains(lowest) && (0.0..=1.0).contains(end),
                "{lowest} {end}"
            );
            assert!(*days >= 0.0, "{days}");
        }
    }
    let answer = trip_answer(&trip);
    assert_finite(&serde_json::to_value(&answer.result).expect("JSON"), "");
    let table = table_csv(&nights_file(&answer.result)).expect("a table");
    assert_no_odd_number(&String::from_utf8(table).expect("text"));
    for picture in [trip_svg(&answer), autonomy_svg(&answer)] {
        assert_svg(&picture);
    }
    assert!(!trip_verdict(&answer).is_empty());
    assert!(!laid_out(&trip_tables(&answer), 100).is_empty());

    let found = budget(scenario, &settings, &Silent).expect("as before");
    assert_finite(&serde_json::to_value(&found).expect("JSON"), "");
    let table = table_csv(&budget_file(&found)).expect("a table");
    assert_no_odd_number(&String::from_utf8(table).expect("text"));
    assert_svg(&budget_svg(&found));
    assert!(
        !budget_verdict(&found).is_empty() && !laid_out(&budget_tables(&found), 100).is_empty()
    );

    let here = from_stop(scenario, &HereWords::default()).expect("the first stop");
    let mut question = StayQuestion::of(here);
    question.horizon_days = 3;
    if let Ok(answer) = stay(scenario, &question, &settings, &Silent) {
        assert_finite(&serde_json::to_value(&answer.result).expect("JSON"), "");
        assert_svg(&stay_svg(&answer));
        assert!(
            !stay_verdict(&answer).is_empty() && !laid_out(&stay_tables(&answer), 100).is_empty()
        );
    }
    true
}

fn assert_svg(picture: &str) {
    assert!(picture.trim_end().ends_with("</svg>"));
    // Titles and names are the user's words; coordinates are attributes.
    for attribute in picture.split('"').skip(1).step_by(2) {
        let odd = ["NaN", "inf"].iter().any(|word| {
            attribute
                .split([' ', ',', 'L', 'M', 'Z', '(', ')'])
                .any(|part| part.trim_start_matches('-') == *word)
        });
        assert!(!odd, "{attribute}");
    }
}

/// Sound scenarios with extreme numbers, through every study that runs trials.
#[test]
fn law_any_sound_scenario_runs_through() {
    let enough = (cases() / 30).max(1);
    let ran = watch(40 * enough, enough, |seed| {
        let mut dice = Dice::new(seed ^ 0xABCD_EF00);
        let mut root = tree(&mut dice);
        for _ in 0..=dice.below(6) {
            nudge(&mut dice, &mut root);
        }
        let text = root.to_string();
        match read(&text, "odd.json", &no_files) {
            Ok(reading) => {
                let scenario = reading.scenario;
                let ran = catch_unwind(AssertUnwindSafe(|| runs_through(&scenario, seed)));
                ran.unwrap_or_else(|_| panic!("seed {seed}: {text}"))
            }
            Err(_) => false,
        }
    });
    assert!(ran >= enough, "only {ran} of {enough} ran");
}

/// Found by earlier runs. A battery without resistance: its current was nothing over nothing, and the figures of
/// the trip null. An event without power: the budget's hours of it were null.
#[test]
fn law_what_was_found_stays_mended() {
    for (path, value) in [("/banks/0/resistance_mohm", 0), ("/loads/3/power_w", 0)] {
        let mut root: Value = serde_json::from_str(SOUND[5]).expect("sound");
        let (parent, key) = path.rsplit_once('/').expect("a path");
        root.pointer_mut(parent).expect("there")[key] = serde_json::json!(value);
        let reading = read(&root.to_string(), "odd.json", &no_files);
        let scenario = reading
            .unwrap_or_else(|refusal| panic!("{refusal}"))
            .scenario;
        assert!(runs_through(&scenario, 1), "{path}");
    }
}

/// Three winters of days, and hours of a few.
fn tables() -> Vec<(&'static str, String)> {
    let station = &typical_years::STATIONS[0];
    let mut daily = "date,ghi_kwh_m2,min_c,max_c\n".to_owned();
    for year in 2010..2013 {
        for month in 6..=8 {
            for day in 1..=30 {
                let sun = 2.0 + f64::from((day * 7 + month + year) % 30) / 10.0;
                let (low, high) = (day % 9, 15 + day % 7);
                daily += &format!("{year}-{month:02}-{day:02},{sun},{low},{high}\n");
            }
            if month != 6 {
                daily += &format!("{year}-{month:02}-31,3.5,4,20\n");
            }
        }
    }
    let some = |text: String, lines: usize| {
        let kept: Vec<&str> = text.lines().take(lines).collect();
        kept.join("\n")
    };
    vec![
        ("days.csv", daily),
        ("hours.csv", some(station.csv.to_owned(), 24 * 30 + 1)),
        ("year.epw", some(station.epw(), 24 * 30 + 8)),
        ("year.tmy3", some(station.tmy3(), 24 * 30 + 2)),
    ]
}

/// Weather records with faults: what is read has finite days; what a scenario takes runs through.
#[test]
fn law_any_weather_file_is_read_or_refused() {
    let tables = tables();
    let options = typical_years::STATIONS[0].options();
    let mut base: Value = serde_json::from_str(SOUND[5]).expect("sound");
    base["climate"] = serde_json::json!({ "kind": "history", "file": "days.csv" });
    let text = base.to_string();
    let sound_days = tables[0].1.clone().into_bytes();
    assert!(read(&text, "odd.json", &|_| Ok(sound_days.clone())).is_ok());
    let most = (cases() / 5).max(8);
    let sound = watch(most, u64::MAX, move |seed| {
        let mut dice = Dice::new(seed ^ 0x5EED_0001);
        let (name, table) = dice.pick(&tables);
        let bytes = spoil_table(&mut dice, table);
        let series = history::read(&bytes, name, &options);
        if let Ok(series) = &series {
            assert!(!series.days.is_empty());
            for day in &series.days {
                assert!((0.0..2.0).contains(&day.kt), "{day:?}");
                if let Some(hours) = &day.hours {
                    for light in hours.iter() {
                        assert!(light.directional.is_finite() && light.isotropic.is_finite());
                    }
                }
            }
        }
        if *name == "days.csv" {
            match read(&text, "odd.json", &|_| Ok(bytes.clone())) {
                Ok(reading) if dice.one_in(8) => drop(runs_through(&reading.scenario, seed)),
                Ok(_) => {}
                Err(refusal) => assert!(!refusal.problems.is_empty()),
            }
        }
        series.is_ok()
    });
    assert!(sound > 0 && sound < most, "{sound} of {most} are sound");
}
