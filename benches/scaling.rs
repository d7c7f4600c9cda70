//! How the time grows: with trials, days, banks, loads and threads.
//!
//! One job: one measure varied at a time, in bank-steps a second, so that a flat line is what the
//! design promises. The stages one by one are in `stages.rs`.
//! Left out: a million trials, which the program itself shows sooner.

mod desert;

use criterion::measurement::WallTime;
use criterion::{
    BenchmarkGroup, BenchmarkId, Criterion, Throughput, criterion_group, criterion_main,
};
use tideover::scenario::Scenario;
use tideover::trials::Drawing;

use desert::{DESERT, SEED, bank_steps, cut, scenario_of, timeline_of, trials};

/// Trials of a case that does not vary them.
const TRIALS: u64 = 512;

fn case(
    group: &mut BenchmarkGroup<'_, WallTime>,
    varied: usize,
    scenario: &Scenario,
    count: u64,
    threads: usize,
) {
    let timeline = timeline_of(scenario);
    let drawing = Drawing::new(scenario, &timeline, SEED, &[]);
    group.sample_size(10);
    group.throughput(Throughput::Elements(bank_steps(scenario, &timeline, count)));
    group.bench_function(BenchmarkId::from_parameter(varied), |b| {
        b.iter(|| trials(&timeline, &drawing, count, Some(threads)));
    });
}

fn in_trials(c: &mut Criterion) {
    let mut group = c.benchmark_group("trials");
    let scenario = scenario_of(DESERT);
    for count in [100, 1_000, 10_000, 100_000] {
        case(&mut group, count, &scenario, count as u64, 1);
    }
}

fn in_days(c: &mut Criterion) {
    let mut group = c.benchmark_group("days");
    for days in [1, 3, 10, 30] {
        case(&mut group, days, &cut(days, 2, 10), TRIALS, 1);
    }
}

fn in_banks(c: &mut Criterion) {
    let mut group = c.benchmark_group("banks");
    for banks in [1, 2, 4, 6] {
        case(&mut group, banks, &cut(12, banks, 12), TRIALS, 1);
    }
}

fn in_loads(c: &mut Criterion) {
    let mut group = c.benchmark_group("loads");
    for loads in [2, 10, 20, 40] {
        case(&mut group, loads, &cut(12, 2, loads), TRIALS, 1);
    }
}

fn in_threads(c: &mut Criterion) {
    let mut group = c.benchmark_group("threads");
    let scenario = scenario_of(DESERT);
    for threads in [1, 2] {
        case(&mut group, threads, &scenario, 10_000, threads);
    }
}

criterion_group!(scaling, in_trials, in_days, in_banks, in_loads, in_threads);
criterion_main!(scaling);
