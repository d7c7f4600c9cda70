//! What is learned from a log, against the vehicle that wrote it.
//!
//! One job: logs of the slow twin, which is other code than the engine, with parts that differ from the
//! file: does the truth lie in the intervals, do predictions get better, is nothing told that a log does
//! not hold.
#![allow(clippy::print_stderr, reason = "what was measured is told")]

mod battery_log;
mod twin;

use std::collections::BTreeMap;

use battery_log::{Flaws, camp, life, really, sound, with_keys, written};
use tideover::log::{ColumnWords, read_log};
use tideover::scenario::Scenario;
use tideover::study::learning::{LearnAnswer, LearnQuestion, learn};
use tideover::{Settings, Silent};

fn settings() -> Settings {
    let mut settings = Settings::default();
    settings.run.trials = 128;
    settings
}

fn learned(scenario: &Scenario, text: &str, start_s: i64) -> (LearnAnswer, Scenario) {
    let zone = &scenario.itinerary.zone;
    let log = read_log(
        text.as_bytes(),
        "log.csv",
        &ColumnWords::default(),
        zone,
        start_s,
    );
    let log = log.unwrap_or_else(|error| panic!("{error}"));
    let question = LearnQuestion {
        logs: vec![(0, log)],
        drives: None,
    };
    learn(scenario, &settings(), &question, &Silent).unwrap_or_else(|error| panic!("{error}"))
}

/// Sets of wrong parameters: a few by default; `TIDEOVER_LEARN_SETS=20` for all.
fn sets() -> u64 {
    let given = std::env::var("TIDEOVER_LEARN_SETS").ok();
    given.and_then(|sets| sets.parse().ok()).unwrap_or(4)
}

/// From logs of 3, 7 and 14 days the truth lies in the intervals of 8 in 10 about as often as they say, and
/// the next three days are predicted better.
#[test]
fn law_the_truth_lies_in_the_intervals_and_predictions_improve() {
    let file = sound(&camp());
    let mut hits: BTreeMap<(u32, String), (u32, u32)> = BTreeMap::new();
    let mut rms: BTreeMap<u32, Vec<(f64, f64)>> = BTreeMap::new();
    for set in 0..sets() {
        let keys = really(set);
        let truth = with_keys(&file, &keys);
        let flaws = Flaws::usual(60);
        let begin = std::time::Instant::now();
        let (lived, _, start_s) = life(&truth, set, 60, 24.0 * 17.5);
        eprintln!("set {set}: lived in {:?}", begin.elapsed());
        let of = |from_h: f64, to_h: f64| {
            written(&truth, &lived, 0, start_s, &flaws, (from_h, to_h), set)
        };
        for days in [3, 7, 14] {
            let end_h = 24.0 * f64::from(days);
            let begin = std::time::Instant::now();
            let (answer, right) = learned(&file, &of(0.0, end_h), start_s);
            eprintln!("learned in {:?}", begin.elapsed());
            for found in &answer.found {
                let Some((_, truth)) = keys.iter().find(|(key, _)| *key == found.key) else {
                    continue;
                };
                let (hit, all) = hits.entry((days, found.key.clone())).or_default();
                let is_in = (found.low..=found.high).contains(truth);
                *hit += u32::from(is_in);
                *all += 1;
                eprintln!(
                    "set {set} {days:2} days {:32} file {:8.3} truth {truth:8.3} is {:8.3} ({:8.3} to {:8.3}) {}",
                    found.key,
                    found.was,
                    found.is,
                    found.low,
                    found.high,
                    if is_in { "" } else { found.how.as_str() }
                );
            }
            let next = of(end_h, end_h + 73.0);
            let by_file = learned(&file, &next, start_s).0.fit.rms_points;
            let by_right = learned(&right, &next, start_s).0.fit.rms_points;
            rms.entry(days).or_default().push((by_file, by_right));
            eprintln!(
                "set {set} {days:2} days: next three days, rms {by_file:.2} points, put right {by_right:.2}"
            );
        }
    }
    for ((days, key), (hit, all)) in &hits {
        eprintln!("{days:2} days {key:32} {hit} of {all}");
    }
    eprintln!("days  truth in interval  rms before  rms put right");
    for (days, pairs) in &rms {
        let of_days = hits.iter().filter(|((of, _), _)| of == days);
        let (hit, all) = of_days.fold((0, 0), |sum, (_, (hit, all))| (sum.0 + hit, sum.1 + all));
        let n = pairs.len() as f64;
        let mean = |of: fn(&(f64, f64)) -> f64| {
            (pairs.iter().map(|pair| of(pair).powi(2)).sum::<f64>() / n).sqrt()
        };
        let (before, after) = (mean(|pair| pair.0), mean(|pair| pair.1));
        let share = f64::from(hit) / f64::from(all);
        eprintln!("{days:4}  {hit:4} of {all:4} = {share:.2}  {before:10.2}  {after:13.2}");
    }
}
