//! Time of each stage of a trip, and of the least arithmetic that a bank's step can do.
//!
//! One job: reading, timeline, one batch, 1,000 and 10,000 trials, percentiles, and the floor, in
//! bank-steps a second where there are steps. How it grows is in `scaling.rs`.
//! Left out: starting the process and writing files.

mod desert;

use std::hint::black_box;

use criterion::{BatchSize, Criterion, Throughput, criterion_group, criterion_main};
use tideover::present::charts::trip_svg;
use tideover::study::settings::Settings;
use tideover::study::trip::trip_answer;
use tideover::trials::{Drawing, order_statistic};

use desert::{DESERT, SEED, bank_steps, scenario_of, timeline_of, trials};

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
    let timeline = timeline_of(&scenario);
    let drawing = Drawing::new(&scenario, &timeline, SEED, &[]);
    let ensemble = trials(&timeline, &drawing, 10_000, None);
    let settings = Settings {
        seed: SEED,
        ..Settings::default()
    };
    let mut group = c.benchmark_group("answers");
    group.sample_size(20);
    let lowest = ensemble.banks[0].lowest_soc.clone();
    group.bench_function("one percentile of 10000", |b| {
        b.iter_batched(
            || lowest.clone(),
            |mut values| {
                values.sort_unstable_by(f32::total_cmp);
                order_statistic(&values, 0.1)
            },
            BatchSize::SmallInput,
        );
    });
    group.bench_function("all percentiles and chances of 10000", |b| {
        b.iter(|| trip_answer(&scenario, &settings, &timeline, &ensemble, &[]));
    });
    let answer = trip_answer(&scenario, &settings, &timeline, &ensemble, &[]);
    group.bench_function("trip.svg", |b| b.iter(|| trip_svg(black_box(&answer))));
    group.finish();
}

/// One bank over all steps: current limits, a division, a root, the state. No weather, no
/// sharing, no ledger, no percentile: nothing that simulates a bank does less.
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

fn the_floor(c: &mut Criterion) {
    let load_w: Vec<f64> = (0_u8..72).cycle().take(STEPS).map(f64::from).collect();
    let source_w: Vec<f64> = load_w.iter().rev().map(|watts| watts * 0.9).collect();
    let mut group = c.benchmark_group("floor");
    group.throughput(Throughput::Elements((STEPS * LANES) as u64));
    group.bench_function("one bank, one batch", |b| {
        b.iter_batched_ref(
            || [0.9_f64; LANES],
            |soc| floor(black_box(&load_w), black_box(&source_w), soc),
            BatchSize::SmallInput,
        );
    });
    group.finish();
}

criterion_group!(
    stages,
    before_the_trials,
    the_trials,
    after_the_trials,
    the_floor
);
criterion_main!(stages);
