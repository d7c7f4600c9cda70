//! Chances, percentiles and their intervals: do they cover what they claim?
//!
//! One job: the statistics of many trials, on a small trip whose answer is known from 200,000
//! trials and on distributions whose quantiles are known by formula. What a trial does is not looked at.
#![expect(
    clippy::print_stderr,
    reason = "measured figures, for those who read the tests' output"
)]

use std::collections::BTreeMap;

use tideover::scenario::{Scenario, read};
use tideover::study::answer::TripResult;
use tideover::study::figures::{autonomy, chance, soc_percentiles};
use tideover::study::settings::Settings;
use tideover::study::trip::trip;
use tideover::timeline::Timeline;
use tideover::timeline::calendar::Plan;
use tideover::trials::intervals::wilson;
use tideover::trials::{
    Drawing, Ensemble, RunSettings, Silent, of_ranks, rank, rank_interval, run_trials,
};

/// Repetitions of a run: the share covered then has a standard error of 0.7 %.
const REPETITIONS: u64 = 1000;
/// Seeds of the repetitions; the long run has one of its own.
const LONG_RUN_SEED: u64 = 1_000_003;

/// One bank, two days parked, steps of an hour: `tests/scenarios/two-days.json` with a capacity.
fn small_trip(capacity_ah: f64) -> Scenario {
    let text = include_str!("scenarios/two-days.json");
    let capacity = format!("\"capacity_ah\": {capacity_ah}");
    let text = text.replace("\"capacity_ah\": 100", &capacity);
    match read(&text, "small.json", &|_| Err("none".to_owned())) {
        Ok(reading) => reading.scenario,
        Err(refusal) => panic!("{refusal}"),
    }
}

fn timeline(scenario: &Scenario) -> Timeline {
    Timeline::new(scenario, Plan::Trip, 60).expect("the climate is given")
}

fn run(scenario: &Scenario, timeline: &Timeline, seed: u64, settings: RunSettings) -> Ensemble {
    let drawing = Drawing::new(scenario, timeline, seed, &[]);
    run_trials(timeline, &drawing, &settings, &Silent)
}

/// On one thread: starting others takes longer than a few hundred of these trials.
fn trials(trials: u64) -> RunSettings {
    RunSettings {
        trials,
        threads: Some(1),
        precision: None,
    }
}

fn lasting(ensemble: &Ensemble) -> u64 {
    let days = ensemble.house_autonomy_days.iter();
    days.filter(|days| days.is_infinite()).count() as u64
}

#[expect(clippy::cast_precision_loss, reason = "counts of trials")]
fn share(part: u64, whole: u64) -> f64 {
    part as f64 / whole as f64
}

fn assert_covers(name: &str, covered: u64) {
    let covered = share(covered, REPETITIONS);
    assert!((0.93..=0.97).contains(&covered), "{name}: {covered}");
}

/// Over 1000 repetitions with seeds of their own, 400 trials each, the 95 % intervals of the chance (Wilson)
/// and of the P10 and P50 of autonomy (order statistics) contain the value of 200,000 trials in 93
/// to 97 % of them: within three standard errors of what is claimed.
#[test]
fn law_intervals_cover_the_long_run() {
    let scenario = small_trip(100.0);
    let timeline = timeline(&scenario);
    let long = run(&scenario, &timeline, LONG_RUN_SEED, trials(200_000));
    let true_chance = share(lasting(&long), long.trials);
    assert!((0.2..0.4).contains(&true_chance), "{true_chance}");
    let true_days = autonomy(&long.house_autonomy_days);
    let (p10, p50) = (true_days.p10.value, true_days.p50.value);
    let (p10, p50) = (p10.expect("within the trip"), p50.expect("within the trip"));
    assert!(p50 - p10 > 0.1, "{p10} {p50}");

    let mut covered: BTreeMap<&str, u64> = BTreeMap::new();
    for seed in 0..REPETITIONS {
        let ensemble = run(&scenario, &timeline, seed, trials(400));
        let found = chance(lasting(&ensemble), ensemble.trials);
        let days = autonomy(&ensemble.house_autonomy_days);
        let holds = |days: tideover::study::answer::Days, truth: f64| {
            days.low.is_some_and(|low| low <= truth) && days.high.is_none_or(|high| truth <= high)
        };
        *covered.entry("chance").or_default() +=
            u64::from((found.low..=found.high).contains(&true_chance));
        *covered.entry("P10").or_default() += u64::from(holds(days.p10, p10));
        *covered.entry("P50").or_default() += u64::from(holds(days.p50, p50));
    }
    eprintln!("chance {true_chance}, P10 {p10}, P50 {p50}; covered of {REPETITIONS}: {covered:?}");
    for (name, covered) in covered {
        assert_covers(name, covered);
    }
}

/// A plain generator of its own (a Weyl sequence through a mixer), so that the check leans on
/// nothing of the program.
struct Uniforms(u64);

impl Iterator for Uniforms {
    type Item = f64;

    fn next(&mut self) -> Option<f64> {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        let bits = (z ^ (z >> 31)) >> 11;
        #[expect(clippy::cast_precision_loss, reason = "53 bits")]
        let unit = (bits as f64 + 0.5) / 9_007_199_254_740_992.0;
        Some(unit)
    }
}

#[expect(clippy::cast_possible_truncation, reason = "as the program keeps them")]
fn narrow(value: f64) -> f32 {
    value as f32
}

/// Exponential times with mean 2 days, of which those beyond 3 days are not seen: the quantiles are
/// −2 ln(1 − p), the chance is e^(−1.5). Their intervals cover in 93 to 97 % of 1000 samples of 1000;
/// the P90 (4.6 days) is beyond the horizon in each.
#[test]
fn law_intervals_cover_known_quantiles() {
    let mut uniforms = Uniforms(5);
    let quantile = |p: f64| -2.0 * (1.0 - p).ln();
    let true_chance = (-1.5_f64).exp();
    let (mut p10, mut p50, mut chances) = (0, 0, 0);
    for _ in 0..REPETITIONS {
        let days: Vec<f32> = (&mut uniforms)
            .take(1000)
            .map(|u| -2.0 * u.ln())
            .map(|days| {
                if days > 3.0 {
                    f32::INFINITY
                } else {
                    narrow(days)
                }
            })
            .collect();
        let found = autonomy(&days);
        let covers = |low: Option<f64>, high: Option<f64>, truth: f64| {
            u64::from(low.is_some_and(|low| low <= truth) && high.is_none_or(|high| truth <= high))
        };
        p10 += covers(found.p10.low, found.p10.high, quantile(0.1));
        p50 += covers(found.p50.low, found.p50.high, quantile(0.5));
        assert!(found.p90.beyond_horizon && found.p90.value.is_none() && found.p90.low.is_none());
        let hits = days.iter().filter(|days| days.is_infinite()).count() as u64;
        let (low, high) = wilson(hits, 1000);
        chances += u64::from((low..=high).contains(&true_chance));
    }
    eprintln!("covered of {REPETITIONS}: P10 {p10}, P50 {p50}, chance {chances}");
    assert_covers("P10", p10);
    assert_covers("P50", p50);
    assert_covers("chance", chances);
}

/// Estimators on distributions with known quantiles: a uniform state of charge, 100,000 values:
/// within four standard errors, √(p (1 − p) / n).
#[test]
fn law_percentiles_find_known_quantiles() {
    let values: Vec<f32> = Uniforms(11).take(100_000).map(narrow).collect();
    let found = soc_percentiles(&values);
    for (p, value) in [
        (0.05, found.p05),
        (0.1, found.p10),
        (0.5, found.p50),
        (0.9, found.p90),
    ] {
        let error = (p * (1.0 - p) / 100_000.0_f64).sqrt();
        assert!((value - p).abs() < 4.0 * error, "{p}: {value}");
    }
}

/// The percentile is the order statistic of rank ⌈pN⌉ and never a mixture of two values; its
/// interval's ranks hold at least 95 % of the binomial distribution and would not if both were one nearer.
#[test]
fn law_percentiles_are_order_statistics() {
    let ten: Vec<u32> = (1..=10).collect();
    for (p, wanted) in [
        (0.1, 1),
        (0.1001, 2),
        (0.5, 5),
        (0.51, 6),
        (0.9, 9),
        (1.0, 10),
    ] {
        let found = of_ranks(&mut ten.clone(), [rank(p, ten.len())], u32::cmp);
        assert_eq!(found, [wanted], "{p}");
    }
    for count in [60_usize, 200, 1000] {
        for p in [0.1, 0.5, 0.9] {
            let (low, high) = rank_interval(p, count);
            // Chance that at least `low` and fewer than `high` values lie below the quantile.
            let held = binomial(count, p, low, high);
            assert!(held >= 0.95 - 1e-9, "{count} {p}: {held}");
            let narrower = binomial(count, p, low + 1, high - 1);
            assert!(narrower < 0.95, "{count} {p}: {narrower}");
        }
    }
}

/// Chance that a binomial count is in `low..high`, term by term in logarithms.
fn binomial(count: usize, p: f64, low: usize, high: usize) -> f64 {
    let n = f64::from(u32::try_from(count).expect("small"));
    let mut log_term = n * (1.0 - p).ln();
    let mut sum = 0.0;
    for k in 0..high {
        if k >= low {
            sum += log_term.exp();
        }
        let k = f64::from(u32::try_from(k).expect("small"));
        log_term += ((n - k) / (k + 1.0) * p / (1.0 - p)).ln();
    }
    sum
}

fn variance(values: &[f64]) -> f64 {
    let n = f64::from(u32::try_from(values.len()).expect("small"));
    let mean = values.iter().sum::<f64>() / n;
    values
        .iter()
        .map(|value| (value - mean).powi(2))
        .sum::<f64>()
        / (n - 1.0)
}

/// Mean lowest state of charge and chance of a run.
fn summary((scenario, timeline): &(Scenario, Timeline), seed: u64) -> (f64, f64) {
    let ensemble = run(scenario, timeline, seed, trials(200));
    let lowest: f64 = ensemble.banks[0]
        .lowest_soc
        .iter()
        .map(|&soc| f64::from(soc))
        .sum();
    (lowest / 200.0, share(lasting(&ensemble), 200))
}

/// Two capacities, 100 and 105 Ah: their difference over one seed spreads far less than over two.
/// By what factor the variance shrinks is printed; more than 3 is asked of the chance, more than
/// 10 of the mean lowest state of charge.
#[test]
fn law_common_random_numbers_narrow_a_difference() {
    let [small, large] = [100.0, 105.0].map(|capacity_ah| {
        let scenario = small_trip(capacity_ah);
        let timeline = timeline(&scenario);
        (scenario, timeline)
    });
    let (mut same, mut other) = ((Vec::new(), Vec::new()), (Vec::new(), Vec::new()));
    for seed in 0..120 {
        let base = summary(&small, seed);
        for (found, seed) in [(&mut same, seed), (&mut other, 10_000 + seed)] {
            let option = summary(&large, seed);
            found.0.push(option.0 - base.0);
            found.1.push(option.1 - base.1);
        }
    }
    let of_charge = variance(&other.0) / variance(&same.0);
    let of_chance = variance(&other.1) / variance(&same.1);
    eprintln!("variance of a difference shrinks by {of_charge} (charge), {of_chance} (chance)");
    assert!(of_charge > 10.0, "{of_charge}");
    assert!(of_chance > 3.0, "{of_chance}");
}

/// `--precision` goes on until the interval of the headline chance is within ± what was asked, and
/// not much further: at most twice the trials that Wilson's interval needs. Its trials are those of a plain run
/// of as many.
#[test]
fn law_precision_stops_when_promised() {
    let scenario = small_trip(100.0);
    let timeline = timeline(&scenario);
    for precision in [0.5, 0.05, 0.02, 0.01] {
        let settings = RunSettings {
            precision: Some(precision),
            ..trials(64)
        };
        let ensemble = run(&scenario, &timeline, 9, settings);
        let hits = lasting(&ensemble);
        let (low, high) = wilson(hits, ensemble.trials);
        assert!(
            0.5 * (high - low) <= precision,
            "{precision}: {low} to {high}"
        );
        let chance = share(hits, ensemble.trials);
        let needed = 1.96_f64.powi(2) * chance * (1.0 - chance) / precision.powi(2);
        assert!(
            share(ensemble.trials, 1) <= 2.0 * needed + 64.0,
            "{precision}"
        );
        let plain = run(&scenario, &timeline, 9, trials(ensemble.trials));
        assert_eq!(plain.house_autonomy_days, ensemble.house_autonomy_days);
    }
}

fn result(scenario: &Scenario, seed: u64, threads: usize) -> TripResult {
    let settings = Settings {
        seed,
        step_minutes: 60,
        run: RunSettings {
            threads: Some(threads),
            ..trials(1111)
        },
        ..Settings::default()
    };
    trip(scenario, &settings, &Silent)
        .expect("the climate is given")
        .result
}

/// The same seed gives the same answer to the bit for 1, 2 and 8 threads and again; another seed
/// another one; the first trials do not depend on how many follow.
#[test]
fn law_a_seed_is_an_answer() {
    let scenario = small_trip(100.0);
    let once = result(&scenario, 3, 1);
    for threads in [1, 2, 8] {
        assert_eq!(result(&scenario, 3, threads), once, "{threads} threads");
    }
    assert_ne!(result(&scenario, 4, 1).banks, once.banks);
    let timeline = timeline(&scenario);
    let few = run(&scenario, &timeline, 3, trials(37));
    let many = run(&scenario, &timeline, 3, trials(500));
    assert_eq!(few.house_autonomy_days[..], many.house_autonomy_days[..37]);
    assert_eq!(few.banks[0].lowest_soc[..], many.banks[0].lowest_soc[..37]);
}
