//! Runs trials, on several threads where the `parallel` feature is in.
//!
//! One job: batches out to threads and back in order. Whatever the number of threads, sums are
//! made in the order of trials and counts are whole numbers: the result is the same to the bit.

use std::collections::BTreeMap;
use std::sync::Mutex;
use std::sync::atomic::{AtomicU64, Ordering};

use super::draw::Drawing;
use super::ensemble::{BatchResult, Ensemble};
use super::sample_counts::PartCounts;
use crate::engine::{LANES, Observer, Unobserved, run_batch};
use crate::timeline::Timeline;

/// Is told how far a run is.
pub trait Progress: Sync {
    /// `done` of `total` trials are through.
    fn advance(&self, done: u64, total: u64);

    /// At most so many runs come, of so many steps each: said before the first.
    fn expect(&self, _runs: u64, _steps: usize) {}
}

/// Says nothing.
#[derive(Debug, Clone, Copy)]
pub struct Silent;

impl Progress for Silent {
    fn advance(&self, _done: u64, _total: u64) {}
}

/// How to run.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RunSettings {
    /// Number of trials, 1 or more.
    pub trials: u64,
    /// Threads; `None`: as many as the machine has.
    pub threads: Option<usize>,
    /// Go on until the interval of the headline chance is within ± this.
    pub precision: Option<f64>,
}

/// Trials beyond which `precision` gives up.
const MOST_TRIALS: u64 = 10_000_000;

/// Batches that a round hands out: its samples are counted in two bytes.
const ROUND: u64 = 256;

const _: () = assert!(ROUND * LANES as u64 <= PartCounts::MOST_TRIALS);

/// Runs the trials of a plan.
#[must_use]
pub fn run_trials(
    timeline: &Timeline,
    drawing: &Drawing<'_>,
    settings: &RunSettings,
    progress: &dyn Progress,
) -> Ensemble {
    let mut ensemble = Ensemble::new(timeline);
    let mut target = settings.trials;
    loop {
        run_to(
            timeline,
            drawing,
            settings.threads,
            target,
            &mut ensemble,
            progress,
        );
        let Some(precision) = settings.precision else {
            break;
        };
        let hits = ensemble
            .house_autonomy_days
            .iter()
            .filter(|days| days.is_infinite())
            .count();
        let (low, high) = super::intervals::wilson(hits as u64, ensemble.trials);
        if 0.5 * (high - low) <= precision || target >= MOST_TRIALS {
            break;
        }
        // The interval narrows with the root of the number: aim at what is missing, at most 4 times.
        let lacking = (0.5 * (high - low) / precision).powi(2).clamp(1.1, 4.0);
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            clippy::cast_precision_loss,
            reason = "a number of trials"
        )]
        let next = (target as f64 * lacking) as u64;
        target = next
            .div_ceil(LANES as u64)
            .saturating_mul(LANES as u64)
            .min(MOST_TRIALS);
    }
    ensemble
}

/// Runs one trial without chance, seen by an observer.
#[must_use]
pub fn run_typical(
    timeline: &Timeline,
    drawing: &Drawing<'_>,
    observer: &mut impl Observer,
) -> Ensemble {
    let draws = drawing.typical();
    let outcome = run_batch(timeline, &draws, observer);
    let mut ensemble = Ensemble::new(timeline);
    ensemble.is_typical = true;
    let mut samples = PartCounts::new(outcome.banks.len(), sample_count(timeline));
    for (bank, outcome) in outcome.banks.iter().enumerate() {
        samples.count(bank, outcome, 1);
    }
    ensemble.samples.add(&samples);
    let result = BatchResult {
        outcome,
        counted_from_s: draws.counted_from_s(),
        overruns: 0,
    };
    ensemble.add(timeline, &result);
    ensemble
}

/// Samples that each bank leaves: one at the start, one every so many steps, one at the end.
fn sample_count(timeline: &Timeline) -> usize {
    let whole = timeline.steps / timeline.sample_every;
    1 + whole + usize::from(!timeline.steps.is_multiple_of(timeline.sample_every))
}

fn run_to(
    timeline: &Timeline,
    drawing: &Drawing<'_>,
    threads: Option<usize>,
    target: u64,
    ensemble: &mut Ensemble,
    progress: &dyn Progress,
) {
    let lanes = LANES as u64;
    // A last batch that was not full is not there yet: only `precision` comes back, with full ones.
    let mut first = ensemble.trials;
    ensemble.reserve(target - first);
    while first < target {
        let end = target.min(first + ROUND * lanes);
        let batches = (end - first).div_ceil(lanes);
        let round = Round {
            timeline,
            drawing,
            first,
            end,
            batches,
            target,
            progress,
        };
        for part in &round.run(threads, ensemble) {
            ensemble.samples.add(part);
        }
        first = end;
    }
}

/// Some batches in a row.
struct Round<'a, 'd> {
    timeline: &'a Timeline,
    drawing: &'a Drawing<'d>,
    first: u64,
    end: u64,
    batches: u64,
    target: u64,
    progress: &'a dyn Progress,
}

impl Round<'_, '_> {
    /// Takes batches until none is left.
    fn work(&self, next: &AtomicU64, done: &AtomicU64, results: &Mutex<InOrder<'_>>) -> PartCounts {
        let banks = self.timeline.plant.banks.len();
        let mut samples = PartCounts::new(banks, sample_count(self.timeline));
        loop {
            let batch = next.fetch_add(1, Ordering::Relaxed);
            if batch >= self.batches {
                return samples;
            }
            let first = self.first + batch * LANES as u64;
            let count = usize::try_from((self.end - first).min(LANES as u64)).unwrap_or(LANES);
            let (draws, overruns) = self.drawing.batch(first, count);
            let mut outcome = run_batch(self.timeline, &draws, &mut Unobserved);
            for (bank, outcome) in outcome.banks.iter_mut().enumerate() {
                samples.count(bank, outcome, count);
                outcome.samples = Vec::new();
            }
            let result = BatchResult {
                outcome,
                counted_from_s: draws.counted_from_s(),
                overruns,
            };
            if let Ok(mut results) = results.lock() {
                results.add(self.timeline, batch, result);
            }
            let through = done.fetch_add(count as u64, Ordering::Relaxed) + count as u64;
            self.progress.advance(self.first + through, self.target);
        }
    }

    fn run(&self, threads: Option<usize>, ensemble: &mut Ensemble) -> Vec<PartCounts> {
        let next = AtomicU64::new(0);
        let done = AtomicU64::new(0);
        let results = Mutex::new(InOrder {
            ensemble,
            added: 0,
            early: BTreeMap::new(),
        });
        on_threads(self.batches, threads, || self.work(&next, &done, &results))
    }
}

/// Adds up batches in the order of trials, whichever is ready first.
struct InOrder<'e> {
    ensemble: &'e mut Ensemble,
    added: u64,
    /// Batches that have to wait for one before them.
    early: BTreeMap<u64, BatchResult>,
}

impl InOrder<'_> {
    fn add(&mut self, timeline: &Timeline, batch: u64, result: BatchResult) {
        self.early.insert(batch, result);
        while let Some(result) = self.early.remove(&self.added) {
            self.ensemble.add(timeline, &result);
            self.added += 1;
        }
    }
}

/// Does the same work on every thread that is of use; what each gives, in order of threads.
#[cfg(feature = "parallel")]
fn on_threads(
    batches: u64,
    threads: Option<usize>,
    work: impl Fn() -> PartCounts + Sync,
) -> Vec<PartCounts> {
    let wanted = threads.unwrap_or_else(rayon::current_num_threads).max(1);
    let useful = wanted.min(usize::try_from(batches).unwrap_or(1)).max(1);
    if useful == 1 {
        return vec![work()];
    }
    match rayon::ThreadPoolBuilder::new().num_threads(useful).build() {
        Ok(pool) => pool.broadcast(|_| work()),
        // Without threads to be had, one does it all.
        Err(_) => vec![work()],
    }
}

/// Without threads, one does it all.
#[cfg(not(feature = "parallel"))]
fn on_threads(
    _batches: u64,
    _threads: Option<usize>,
    work: impl Fn() -> PartCounts + Sync,
) -> Vec<PartCounts> {
    vec![work()]
}
