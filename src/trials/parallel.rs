//! Runs trials, on several threads where the `parallel` feature is in.
//!
//! One job: batches out to threads and back in order. Whatever the number of threads, sums are
//! made in the order of trials and counts are whole numbers: the result is the same to the bit.

use std::collections::BTreeMap;
use std::convert::Infallible;
use std::sync::atomic::{AtomicU64, AtomicUsize, Ordering};
use std::sync::{Arc, Mutex};

use super::draw::Drawing;
use super::ensemble::{BatchResult, Ensemble, NightSeats, days_between};
use super::kept_draws::KeptDraws;
use super::sample_counts::PartCounts;
use crate::engine::{Figures, LANES, Observer, first_shortfall_s, run_batch};
use crate::timeline::Timeline;
use crate::units::Whole;

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
pub(super) const ROUND: usize = 256;

const _: () = assert!(ROUND * LANES <= PartCounts::MOST_TRIALS);

/// Runs the trials of a plan.
#[must_use]
pub fn run_trials(
    timeline: &Timeline,
    drawing: &Drawing<'_>,
    settings: &RunSettings,
    progress: &dyn Progress,
) -> Ensemble {
    run_trials_for(Figures::All, timeline, drawing, settings, progress)
}

/// Runs the trials of a plan for some figures.
#[must_use]
pub fn run_trials_for(
    figures: Figures,
    timeline: &Timeline,
    drawing: &Drawing<'_>,
    settings: &RunSettings,
    progress: &dyn Progress,
) -> Ensemble {
    let stage = Stage {
        timeline,
        drawing,
        room: timeline,
        seats: NightSeats::own(timeline),
        figures,
    };
    let all = until_precise(timeline, settings, |ensemble, target| {
        // A last batch that was not full is not there yet: only `precision` comes back, with full ones.
        let first = ensemble.trials;
        ensemble.reserve(target - first);
        let count = usize::try_from(target - first).unwrap_or(usize::MAX);
        let in_row = (count, |at| first + at as u64);
        run_order(&stage, in_row, settings, target, ensemble, progress);
        Ok::<(), Infallible>(())
    });
    let Ok(ensemble) = all;
    ensemble
}

/// Runs trials until there are as many as the settings want: `run_to` adds those up to a number.
pub(super) fn until_precise<E>(
    room: &Timeline,
    settings: &RunSettings,
    mut run_to: impl FnMut(&mut Ensemble, u64) -> Result<(), E>,
) -> Result<Ensemble, E> {
    let mut ensemble = Ensemble::new(room);
    let mut target = settings.trials;
    loop {
        run_to(&mut ensemble, target)?;
        let Some(precision) = settings.precision else {
            return Ok(ensemble);
        };
        let (low, high) = super::intervals::wilson(ensemble.kept(), ensemble.trials);
        if 0.5 * (high - low) <= precision || target >= MOST_TRIALS {
            return Ok(ensemble);
        }
        // The interval narrows with the root of the number: aim at what is missing, at most 4 times.
        let lacking = (0.5 * (high - low) / precision).powi(2).clamp(1.1, 4.0);
        let next = u64::cut(target.real() * lacking);
        target = next
            .div_ceil(LANES as u64)
            .saturating_mul(LANES as u64)
            .min(MOST_TRIALS);
    }
}

/// Days from departure to the first shortfall of any house bank in each of some trials, picked by number;
/// infinite: never. `kept` has what a drawing of the same plan, seed and sky gave before.
#[must_use]
pub fn days_of(
    timeline: &Timeline,
    drawing: &Drawing<'_>,
    trials: &[u64],
    kept: Option<&KeptDraws<'_>>,
    threads: Option<usize>,
) -> Vec<f32> {
    let batches: Vec<&[u64]> = trials.chunks(LANES).collect();
    let days = each_of(batches.len(), threads, |batch| {
        let trials = batches[batch];
        let draws = match kept {
            Some(kept) => kept.of(drawing, trials),
            None => Arc::new(drawing.chosen(trials).0),
        };
        let (from_s, first_s) = (draws.counted_from_s(), first_shortfall_s(timeline, &draws));
        let days = |lane: usize| days_between(from_s[lane], first_s[lane]);
        (0..trials.len()).map(days).collect::<Vec<_>>()
    });
    days.concat()
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
        samples.count(bank, &outcome.samples, 1);
    }
    ensemble.samples.add(&samples);
    let result = BatchResult {
        outcome,
        counted_from_s: draws.counted_from_s(),
        end_s: draws.end_s,
        overruns: 0,
        seats: NightSeats::own(timeline),
    };
    ensemble.add(timeline, &result);
    ensemble
}

/// Samples that each bank leaves: one at the start, one every so many steps, one at the end.
fn sample_count(timeline: &Timeline) -> usize {
    let whole = timeline.steps / timeline.sample_every;
    1 + whole + usize::from(!timeline.steps.is_multiple_of(timeline.sample_every))
}

/// What batches run on and what they are counted on.
pub(super) struct Stage<'a, 'd> {
    pub(super) timeline: &'a Timeline,
    pub(super) drawing: &'a Drawing<'d>,
    /// The timeline whose nights and samples are counted.
    pub(super) room: &'a Timeline,
    pub(super) seats: NightSeats,
    pub(super) figures: Figures,
}

impl Stage<'_, '_> {
    /// Runs a batch, its samples counted.
    pub(super) fn batch(&self, trials: &[u64], samples: &mut PartCounts) -> BatchResult {
        let (draws, overruns) = self.drawing.chosen(trials);
        let mut outcome = self.figures.run(self.timeline, &draws);
        for (bank, outcome) in outcome.banks.iter_mut().enumerate() {
            if self.timeline.steps != self.room.steps {
                // The last sample of a shorter trip may lie between two of the others.
                let whole = self.timeline.steps / self.timeline.sample_every;
                outcome.samples.truncate(1 + whole);
            }
            samples.count(bank, &outcome.samples, trials.len());
            outcome.samples = Vec::new();
        }
        BatchResult {
            outcome,
            counted_from_s: draws.counted_from_s(),
            end_s: draws.end_s,
            overruns,
            seats: self.seats.clone(),
        }
    }
}

/// Runs trials in batches on threads, and adds them in their order: `count` of them, each by its place in it.
pub(super) fn run_order(
    stage: &Stage<'_, '_>,
    (count, trial): (usize, impl Fn(usize) -> u64 + Sync),
    settings: &RunSettings,
    target: u64,
    ensemble: &mut Ensemble,
    progress: &dyn Progress,
) {
    let batches = count.div_ceil(LANES);
    for first in (0..batches).step_by(ROUND) {
        let run = |batch: usize, samples: &mut PartCounts| {
            let from = (first + batch) * LANES;
            let trials: Vec<u64> = (from..count.min(from + LANES)).map(&trial).collect();
            Ok::<_, Infallible>(stage.batch(&trials, samples))
        };
        let round = Round {
            room: stage.room,
            batches: ROUND.min(batches - first),
            threads: settings.threads,
            target,
            progress,
        };
        let Ok(()) = round.run(ensemble, run);
    }
}

/// Some batches that are run side by side.
pub(super) struct Round<'a> {
    pub(super) room: &'a Timeline,
    pub(super) batches: usize,
    pub(super) threads: Option<usize>,
    pub(super) target: u64,
    pub(super) progress: &'a dyn Progress,
}

impl Round<'_> {
    /// Runs each batch by its number, and adds it in the order of these; the first error in it where there is one.
    pub(super) fn run<E: Send>(
        &self,
        ensemble: &mut Ensemble,
        run: impl Fn(usize, &mut PartCounts) -> Result<BatchResult, E> + Sync,
    ) -> Result<(), E> {
        let (next, done) = (AtomicUsize::new(0), AtomicU64::new(ensemble.trials));
        let refused: Mutex<BTreeMap<usize, E>> = Mutex::new(BTreeMap::new());
        let results = Mutex::new(InOrder::new(ensemble));
        let parts = on_threads(self.batches, self.threads, || {
            let room = self.room;
            let mut samples = PartCounts::new(room.plant.banks.len(), sample_count(room));
            loop {
                let batch = next.fetch_add(1, Ordering::Relaxed);
                if batch >= self.batches {
                    return samples;
                }
                match run(batch, &mut samples) {
                    Ok(result) => {
                        let count = result.outcome.count as u64;
                        if let Ok(mut results) = results.lock() {
                            results.add(room, batch, result);
                        }
                        let through = done.fetch_add(count, Ordering::Relaxed) + count;
                        self.progress.advance(through, self.target);
                    }
                    Err(error) => {
                        if let Ok(mut refused) = refused.lock() {
                            refused.insert(batch, error);
                        }
                    }
                }
            }
        });
        drop(results);
        for part in &parts {
            ensemble.samples.add(part);
        }
        let refused = refused.into_inner().unwrap_or_default();
        refused.into_values().next().map_or(Ok(()), Err)
    }
}

/// Adds up batches in the order of trials, whichever is ready first.
struct InOrder<'e> {
    ensemble: &'e mut Ensemble,
    added: usize,
    /// Batches that have to wait for one before them.
    early: BTreeMap<usize, BatchResult>,
}

impl<'e> InOrder<'e> {
    fn new(ensemble: &'e mut Ensemble) -> Self {
        Self {
            ensemble,
            added: 0,
            early: BTreeMap::new(),
        }
    }

    fn add(&mut self, room: &Timeline, batch: usize, result: BatchResult) {
        self.early.insert(batch, result);
        while let Some(result) = self.early.remove(&self.added) {
            self.ensemble.add(room, &result);
            self.added += 1;
        }
    }
}

/// Threads that are used where so many are wanted; `None`: as many as the machine has.
#[must_use]
pub fn useful_threads(wanted: Option<usize>) -> usize {
    #[cfg(feature = "parallel")]
    let all = rayon::current_num_threads;
    #[cfg(not(feature = "parallel"))]
    let all = || 1;
    wanted.unwrap_or_else(all).max(1)
}

/// What a piece of work gives for each of `count` numbers from 0, in their order, one thread a number.
#[must_use]
pub fn each_of<T: Send>(
    count: usize,
    threads: Option<usize>,
    work: impl Fn(usize) -> T + Sync,
) -> Vec<T> {
    let next = AtomicUsize::new(0);
    let by_thread = on_threads(count, threads, || {
        let mut own = Vec::new();
        loop {
            let at = next.fetch_add(1, Ordering::Relaxed);
            if at >= count {
                return own;
            }
            own.push((at, work(at)));
        }
    });
    let mut all: Vec<(usize, T)> = by_thread.into_iter().flatten().collect();
    all.sort_by_key(|(at, _)| *at);
    all.into_iter().map(|(_, found)| found).collect()
}

/// Does the same work on every thread that is of use; what each gives, in order of threads.
#[cfg(feature = "parallel")]
fn on_threads<T: Send>(
    batches: usize,
    threads: Option<usize>,
    work: impl Fn() -> T + Sync,
) -> Vec<T> {
    let useful = useful_threads(threads).min(batches).max(1);
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
fn on_threads<T>(_batches: usize, _threads: Option<usize>, work: impl Fn() -> T + Sync) -> Vec<T> {
    vec![work()]
}
