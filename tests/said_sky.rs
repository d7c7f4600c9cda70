//! A forecast in words against the sky's own distribution.
//!
//! One job: the thirds, what follows from them, and what they do to the charge. Invented systems; the expected
//! thirds are those of days drawn without a forecast.

use std::fmt::Write;
use std::sync::Arc;

use chrono::NaiveDate;
use serde_json::{Value, json};
use tideover::scenario::{Scenario, read};
use tideover::timeline::Timeline;
use tideover::timeline::calendar::{NominalCalendar, Plan};
use tideover::timeline::here::{Here, SkyWord};
use tideover::trials::{Chance, Drawing, RunSettings, Silent, run_trials, weather_days};

const TRIALS: u64 = 3000;

fn system(climate: &Value) -> Value {
    json!({
        "format": 1, "title": "Under a forecast",
        "itinerary": { "start": "2027-07-03T08:00", "time_zone": "Africa/Gaborone",
            "from": { "name": "Town", "lat": -20.0, "lon": 24.0 },
            "legs": [{ "to": "Pan", "lat": -20.0, "lon": 24.0, "depart": "08:00", "drive_hours": 0, "nights": 5 }] },
        "climate": climate,
        "banks": [{ "id": "bank", "chemistry": "lfp", "capacity_ah": 200, "start_soc": 0.65, "standby_ma": 0 }],
        "chargers": [],
        "solar": [{ "id": "roof", "to": "bank", "panel_w": 120, "mount": "flat" }],
        "loads": [{ "id": "load", "bank": "bank", "kind": "steady", "current_a": 1.5, "use_spread": 0 }]
    })
}

fn monthly() -> Value {
    json!({ "kind": "monthly", "months": [
        { "month": 7, "kt": 0.55, "kt_sd": 0.15, "day_min_c": 14, "day_max_c": 26 }] })
}

/// Five years of July and its neighbours, each day of a clearness of its own.
fn record() -> String {
    let mut text = "date,ghi_kwh_m2,min_c,max_c\n".to_owned();
    for year in 2016..2021 {
        let first = NaiveDate::from_ymd_opt(year, 1, 1).expect("a date");
        for (day, date) in first.iter_days().take(365).enumerate() {
            let turn = (day * 37 + usize::try_from(year).expect("a year") * 11) % 101;
            let ghi = 1.5 + 3.5 * f64::from(u32::try_from(turn).expect("small")) / 100.0;
            writeln!(text, "{date},{ghi:.3},12,24").expect("a string");
        }
    }
    text
}

fn scenario(climate: &Value) -> Scenario {
    let file = |_: &str| Ok(record().into_bytes());
    match read(&system(climate).to_string(), "case.json", &file) {
        Ok(reading) => reading.scenario,
        Err(refusal) => panic!("{refusal}"),
    }
}

fn date() -> NaiveDate {
    NaiveDate::from_ymd_opt(2027, 7, 5).expect("a date")
}

/// The plan from the second noon on, with a word for the 5th where one is said.
fn timeline(scenario: &Scenario, word: Option<SkyWord>) -> Timeline {
    let start_s = NominalCalendar::new(scenario, &Plan::Trip).start_s;
    let here = Here {
        sky: word.map(|word| (date(), word)).into_iter().collect(),
        ..Here::at(start_s + 28 * 3600)
    };
    Timeline::new(scenario, Plan::Onward(Arc::new(here)), 60).expect("weather")
}

/// Clearness of the day so many days after the 5th in every trial, in order of trials.
fn kts(timeline: &Timeline, later: u64) -> Vec<f64> {
    let wanted = date() + chrono::Days::new(later);
    weather_days(timeline, 5, (0..TRIALS).map(Chance::Trial))
        .map(|days| {
            let day = days.iter().find(|day| day.date == wanted);
            day.expect("a day of the plan").kt
        })
        .collect()
}

fn sorted(mut kts: Vec<f64>) -> Vec<f64> {
    kts.sort_by(f64::total_cmp);
    kts
}

fn mean(kts: &[f64]) -> f64 {
    kts.iter().sum::<f64>() / f64::from(u32::try_from(kts.len()).expect("few"))
}

/// Dull, mixed and bright days are the lower, middle and upper third of the days drawn without a word, each
/// evenly within: every tenth of a third is that of the whole.
#[test]
fn law_words_are_the_thirds_of_the_skys_own_distribution() {
    let record = json!({ "kind": "history", "file": "daily.csv" });
    for climate in [monthly(), record] {
        let scenario = scenario(&climate);
        let all = sorted(kts(&timeline(&scenario, None), 0));
        for (third, word) in [SkyWord::DULL, SkyWord::MIXED, SkyWord::BRIGHT]
            .into_iter()
            .enumerate()
        {
            let said = sorted(kts(&timeline(&scenario, Some(word)), 0));
            for tenth in 1..10 {
                let expected = all[(third * 10 + tenth) * all.len() / 30];
                let found = said[tenth * said.len() / 10];
                assert!(
                    (found - expected).abs() < 0.02,
                    "third {third}, tenth {tenth}: {found}, expected {expected}"
                );
            }
        }
    }
}

/// The days after follow: brighter after a bright one, dull after a dull one, and less so the later.
#[test]
fn law_the_days_after_follow_from_what_was_said() {
    let scenario = scenario(&monthly());
    let apart = |later: u64| {
        let after = |word| mean(&kts(&timeline(&scenario, Some(word)), later));
        after(SkyWord::BRIGHT) - after(SkyWord::DULL)
    };
    let (same, next, third) = (apart(0), apart(1), apart(3));
    assert!(
        same > 0.25 && next > 0.05 && next < 0.6 * same,
        "{same} {next}"
    );
    assert!(third < next, "{third}");
}

/// A figure is that day's clearness in every trial.
#[test]
fn law_a_figure_is_the_days_clearness() {
    let scenario = scenario(&monthly());
    let said = kts(&timeline(&scenario, Some(SkyWord::Kt(0.41))), 0);
    assert!(said.iter().all(|kt| (kt - 0.41).abs() < 1e-12));
}

/// Trial by trial a bright day leaves at least the charge of a mixed one, and that of a dull one, as long as no
/// bank is at its cut-off: loads that come back may take more than a brighter day brought.
#[test]
fn law_a_brighter_day_leaves_no_less_charge() {
    let scenario = scenario(&monthly());
    let ends = |word| {
        let timeline = timeline(&scenario, Some(word));
        let drawing = Drawing::new(&scenario, &timeline, 5, &[]);
        let settings = RunSettings {
            trials: 192,
            threads: Some(1),
            precision: None,
        };
        run_trials(&timeline, &drawing, &settings, &Silent).banks[0]
            .end_soc
            .clone()
    };
    let (dull, mixed, bright) = (
        ends(SkyWord::DULL),
        ends(SkyWord::MIXED),
        ends(SkyWord::BRIGHT),
    );
    for trial in 0..dull.len() {
        assert!(dull[trial] <= mixed[trial] + 1e-6 && mixed[trial] <= bright[trial] + 1e-6);
    }
    assert!(mean_of(&bright) > mean_of(&dull) + 0.02);
}

fn mean_of(socs: &[f32]) -> f64 {
    mean(&socs.iter().map(|&soc| f64::from(soc)).collect::<Vec<_>>())
}
