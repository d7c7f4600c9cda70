//! Time of each stage of a trip, and of the least arithmetic that a bank's step can do.
//!
//! One job: reading, schema, timeline, tables, one batch, 1,000 and 10,000 trials, percentiles, pictures,
//! twelve options compared, a stay, the mends, and the engine beside its floor, in bank-steps a second where there are
//! steps. How it grows is in `scaling.rs`.
//! Left out: starting the process and writing files.

mod desert;

use std::hint::black_box;

use criterion::{BatchSize, Criterion, Throughput, criterion_group, criterion_main};
use tideover::engine::{Unobserved, run_batch};
use tideover::present::charts::trip_svg;
use tideover::scenario::{Scenario, json_schema};
use tideover::study::choosing::compare::compare;
use tideover::study::choosing::options::choices;
use tideover::study::from_here::{HereWords, from_stop};
use tideover::study::mending::mend;
use tideover::study::settings::{DEFAULT_STEP_MINUTES, Settings};
use tideover::study::simulation::Simulation;
use tideover::study::stay::{StayQuestion, stay};
use tideover::study::trip::trip_answer;
use tideover::trials::{Drawing, Silent, of_ranks, rank};

use desert::{DESERT, SEED, bank_steps, cut, scenario_of, timeline_of, trials};

/// Trials side by side in the floor, as many as the engine has.
const LANES: usize = tideover::engine::LANES;

/// Steps of the floor: twelve days of five minutes.
const STEPS: usize = 12 * 288;

fn before_the_trials(c: &mut Criterion) {
    c.bench_function("read and check", |b| {
        b.iter(|| scenario_of(black_box(DESERT)));
    });
    let scenario = scenario_of(DESERT);
    c.bench_function("timeline", |b| b.iter(|| timeline_of(black_box(&scenario))));
    let timeline = timeline_of(&scenario);
    c.bench_function("tables of the draws", |b| {
        b.iter(|| Drawing::new(&scenario, &timeline, SEED, &[]));
    });
    c.bench_function("json schema", |b| b.iter(json_schema));
}

/// A dozen options on the same 2,000 trials each.
fn twelve_options(c: &mut Criterion) {
    let vary = [
        "banks.canopy.capacity_ah=50,60,80,100".to_owned(),
        "solar.roof.panel_w=110,160,220".to_owned(),
    ];
    let options = choices(&vary, &[]).expect("sound words");
    let as_it_is = scenario_of(DESERT);
    let scenarios: Vec<Scenario> = options
        .iter()
        .map(|option| as_it_is.with(&option.set).expect("a sound option"))
        .collect();
    assert_eq!(scenarios.len(), 12);
    let settings = Settings {
        seed: SEED,
        ..Settings::default()
    };
    let mut group = c.benchmark_group("answers");
    group.sample_size(10);
    group.bench_function("compare, 12 options of 2000", |b| {
        b.iter(|| compare(&options, &scenarios, &settings, &Silent));
    });
    group.finish();
}

/// What many trips are run for: day five at camp with two meters read, and the cheapest mend, as their commands run
/// them.
fn stay_and_mend(c: &mut Criterion) {
    let scenario = scenario_of(DESERT);
    let settings = Settings {
        seed: SEED,
        step_minutes: DEFAULT_STEP_MINUTES,
        ..Settings::default()
    };
    let words = HereWords {
        now: Some("2027-07-15T08:00".to_owned()),
        soc: vec!["main=62%".to_owned(), "trailer=48%".to_owned()],
        ..HereWords::default()
    };
    let here = from_stop(&scenario, &words).expect("a moment of the trip");
    let question = StayQuestion {
        step_minutes: Some(30),
        ..StayQuestion::of(here)
    };
    let mut group = c.benchmark_group("answers");
    group.sample_size(10);
    group.bench_function("stay on day five", |b| {
        b.iter(|| stay(&scenario, &question, &settings, &Silent));
    });
    group.bench_function("mend", |b| b.iter(|| mend(&scenario, &settings, &Silent)));
    group.finish();
}

fn the_trials(c: &mut Criterion) {
    let scenario = scenario_of(DESERT);
    let timeline = timeline_of(&scenario);
    let drawing = Drawing::new(&scenario, &timeline, SEED, &[]);
    let mut group = c.benchmark_group("trials");
    group.sample_size(10);
    for count in [1, LANES as u64, 1_000, 10_000] {
        group.throughput(Throughput::Elements(bank_steps(
            &scenario, &timeline, count,
        )));
        group.bench_function(format!("{count} on one thread"), |b| {
            b.iter(|| trials(&timeline, &drawing, count, Some(1)));
        });
    }
    group.finish();
}

fn after_the_trials(c: &mut Criterion) {
    let scenario = scenario_of(DESERT);
    let mut settings = Settings {
        seed: SEED,
        ..Settings::default()
    };
    settings.run.trials = 10_000;
    let trip = Simulation::trip(&scenario, &settings, &Silent).expect("has a climate");
    let mut group = c.benchmark_group("answers");
    group.sample_size(20);
    let lowest = trip.ensemble.banks[0].lowest_soc.clone();
    group.bench_function("one percentile of 10000", |b| {
        b.iter_batched(
            || lowest.clone(),
            |mut values| of_ranks(&mut values, [rank(0.1, 10_000)], f32::total_cmp),
            BatchSize::SmallInput,
        );
    });
    group.bench_function("all percentiles and chances of 10000", |b| {
        b.iter(|| trip_answer(&trip));
    });
    let answer = trip_answer(&trip);
    group.bench_function("trip.svg", |b| b.iter(|| trip_svg(black_box(&answer))));
    group.finish();
}

/// One bank over all steps: current limits, a division, a root, the state. No weather, no
/// sharing, no ledger, no percentile: nothing that simulates a bank does less.
#[inline(always)]
fn floor(load_w: &[f64], source_w: &[f64], soc: &mut [f64; LANES]) {
    const STEP_PER_CAPACITY: f64 = 5.0 / 60.0 / 100.0;
    const RESISTANCE: f64 = 0.008;
    for (load_w, source_w) in load_w.iter().zip(source_w) {
        for soc in soc.iter_mut() {
            let open_v = 12.8 + 0.6 * *soc;
            // The root of R·i² + V·i − P = 0 in the form that stands at R = 0.
            let net_w = source_w - load_w;
            let root = (open_v * open_v + 4.0 * RESISTANCE * net_w).sqrt();
            let amps = 2.0 * net_w / (open_v + root);
            let most_a = (1.0 - *soc) / STEP_PER_CAPACITY;
            let least_a = -*soc / STEP_PER_CAPACITY;
            let amps = if amps < most_a { amps } else { most_a };
            let amps = if amps > least_a { amps } else { least_a };
            *soc += amps * STEP_PER_CAPACITY;
        }
    }
}

/// The engine alone, its draws made before, and the floor, both with the widest instructions: what a
/// bank-step costs of each.
fn engine_and_floor(c: &mut Criterion) {
    let load_w: Vec<f64> = (0_u8..72).cycle().take(STEPS).map(f64::from).collect();
    let source_w: Vec<f64> = load_w.iter().rev().map(|watts| watts * 0.9).collect();
    let mut group = c.benchmark_group("engine and floor");
    group.throughput(Throughput::Elements((STEPS * LANES) as u64));
    group.bench_function("floor, one bank", |b| {
        b.iter_batched_ref(
            || [0.9_f64; LANES],
            |soc| {
                pulp::Arch::new().dispatch(
                    #[inline(always)]
                    || floor(black_box(&load_w), black_box(&source_w), soc),
                );
            },
            BatchSize::SmallInput,
        );
    });
    // Each bank with 10 loads and a panel, the start bank beside them; then one load more a bank.
    let cases = [
        ("engine, 2 banks, 10 loads each", cut(12, 2, 20)),
        ("engine, 2 banks, 11 loads each", cut(12, 2, 22)),
        ("engine, desert-crossing", scenario_of(DESERT)),
    ];
    for (name, scenario) in &cases {
        let timeline = timeline_of(scenario);
        let drawing = Drawing::new(scenario, &timeline, SEED, &[]);
        let (draws, _) = drawing.batch(0, LANES);
        group.throughput(Throughput::Elements(bank_steps(
            scenario,
            &timeline,
            LANES as u64,
        )));
        group.bench_function(*name, |b| {
            b.iter(|| run_batch(&timeline, black_box(&draws), &mut Unobserved));
        });
    }
    group.finish();
}

criterion_group!(
    stages,
    before_the_trials,
    the_trials,
    after_the_trials,
    twelve_options,
    stay_and_mend,
    engine_and_floor
);
criterion_main!(stages);
