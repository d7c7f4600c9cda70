//! Runs the trials of a plan whose departures may be put off.
//!
//! One job: trials that drew the same delays run together on a timeline of their own, and what they
//! leave is put back in the order of trials, so that results depend neither on groups nor on threads.

use std::collections::BTreeMap;
use std::sync::Mutex;
use std::sync::atomic::{AtomicU64, Ordering};

use super::behind::Behind;
use super::delays::DelayDraws;
use super::draw::{Drawing, Seeds};
use super::ensemble::{Ensemble, NightSeats};
use super::parallel::{
    InOrder, Order, Progress, ROUND, RunSettings, Stage, on_threads, run_order, sample_count,
    until_precise,
};
use super::sample_counts::PartCounts;
use crate::engine::{Figures, LANES};
use crate::scenario::Scenario;
use crate::timeline::Timeline;
use crate::timeline::weather_days::WeatherError;

/// A plan with delays: what is drawn and on what it is counted.
#[derive(Debug)]
pub struct DelayedPlan<'a> {
    /// What is run.
    pub scenario: &'a Scenario,
    /// The plan with room for the delays: see [`Timeline::with_room`].
    pub room: &'a Timeline,
    /// The delays.
    pub delays: &'a DelayDraws,
    /// Seeds of all else.
    pub seeds: Seeds,
    /// State of charge of each bank at the start where it is not the file's.
    pub start_soc: &'a [Option<f64>],
    /// What the trials have behind them, where that is known.
    pub behind: Option<&'a Behind<'a>>,
    /// What of them is worked out.
    pub figures: Figures,
}

/// A group of trials that drew the same delays.
type Group<'g> = (&'g Vec<u32>, &'g Vec<u64>);

impl DelayedPlan<'_> {
    /// Runs the trials.
    ///
    /// # Errors
    /// [`WeatherError`] where a day that a delay leads to has no climate.
    pub fn run(
        &self,
        settings: &RunSettings,
        progress: &dyn Progress,
    ) -> Result<Ensemble, WeatherError> {
        until_precise(self.room, settings, |ensemble, target| {
            self.run_to(settings, target, ensemble, progress)
        })
    }

    /// What trials with the delays of a timeline come to.
    fn on_stage<R>(&self, timeline: &Timeline, run: impl FnOnce(&Stage<'_, '_>) -> R) -> R {
        let (scenario, seeds) = (self.scenario, self.seeds);
        let (start_soc, behind) = (self.start_soc, self.behind);
        run(&Stage {
            timeline,
            drawing: &Drawing::going_on(scenario, timeline, seeds, start_soc, behind),
            room: self.room,
            seats: NightSeats::of(self.room, timeline),
            figures: self.figures,
        })
    }

    fn run_to(
        &self,
        settings: &RunSettings,
        target: u64,
        ensemble: &mut Ensemble,
        progress: &dyn Progress,
    ) -> Result<(), WeatherError> {
        let first = ensemble.trials;
        ensemble.reserve(target - first);
        let groups = self.delays.groups(first..target);
        let (many, few): (Vec<Group<'_>>, Vec<Group<'_>>) =
            groups.iter().partition(|(_, trials)| trials.len() > LANES);
        let mut order = Vec::new();
        for (days, trials) in many {
            let chosen = Order::Chosen(trials);
            let timeline = self.room.put_off(self.scenario, days)?;
            self.on_stage(&timeline, |stage| {
                run_order(stage, &chosen, settings.threads, target, ensemble, progress);
            });
            order.extend(trials);
        }
        for round in few.chunks(usize::try_from(ROUND).unwrap_or(1)) {
            self.run_few(round, settings.threads, target, ensemble, progress)?;
            order.extend(round.iter().flat_map(|(_, trials)| trials.iter()));
        }
        ensemble.put_in_order(first, &order);
        let days = (first..target).map(|trial| self.delays.days(trial).iter().sum::<u32>());
        ensemble.delay_days.extend(days);
        Ok(())
    }

    /// Groups of one batch each, every one on its own thread.
    fn run_few(
        &self,
        groups: &[Group<'_>],
        threads: Option<usize>,
        target: u64,
        ensemble: &mut Ensemble,
        progress: &dyn Progress,
    ) -> Result<(), WeatherError> {
        let (next, done) = (AtomicU64::new(0), AtomicU64::new(ensemble.trials));
        let refused: Mutex<BTreeMap<usize, WeatherError>> = Mutex::new(BTreeMap::new());
        let results = Mutex::new(InOrder::new(ensemble));
        let parts = on_threads(groups.len() as u64, threads, || {
            let banks = self.room.plant.banks.len();
            let mut samples = PartCounts::new(banks, sample_count(self.room));
            loop {
                let number = next.fetch_add(1, Ordering::Relaxed);
                let at = usize::try_from(number).unwrap_or(usize::MAX);
                let Some((days, trials)) = groups.get(at) else {
                    return samples;
                };
                match self.room.put_off(self.scenario, days) {
                    Ok(timeline) => {
                        let result =
                            self.on_stage(&timeline, |stage| stage.batch(trials, &mut samples));
                        if let Ok(mut results) = results.lock() {
                            results.add(self.room, number, result);
                        }
                    }
                    Err(error) => {
                        if let Ok(mut refused) = refused.lock() {
                            refused.insert(at, error);
                        }
                    }
                }
                let count = trials.len() as u64;
                progress.advance(done.fetch_add(count, Ordering::Relaxed) + count, target);
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
