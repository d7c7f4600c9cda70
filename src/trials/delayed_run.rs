//! Runs the trials of a plan whose departures may be put off.
//!
//! One job: trials that drew the same delays run together on a timeline of their own, and what they
//! leave is put back in the order of trials, so that results depend neither on groups nor on threads.

use super::behind::Behind;
use super::delays::DelayDraws;
use super::draw::{Drawing, Seeds};
use super::ensemble::{Ensemble, NightSeats};
use super::parallel::{Progress, ROUND, Round, RunSettings, Stage, run_order, until_precise};
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
            let timeline = self.room.put_off(self.scenario, days)?;
            let chosen = (trials.len(), |at: usize| trials[at]);
            self.on_stage(&timeline, |stage| {
                run_order(stage, chosen, settings, target, ensemble, progress);
            });
            order.extend(trials);
        }
        // Groups of one batch each, every one on its own thread.
        for groups in few.chunks(ROUND) {
            let round = Round {
                room: self.room,
                batches: groups.len(),
                threads: settings.threads,
                target,
                progress,
            };
            round.run(ensemble, |group, samples| {
                let (days, trials) = groups[group];
                let timeline = self.room.put_off(self.scenario, days)?;
                Ok(self.on_stage(&timeline, |stage| stage.batch(trials, samples)))
            })?;
            order.extend(groups.iter().flat_map(|(_, trials)| trials.iter()));
        }
        ensemble.put_in_order(first, &order);
        let days = (first..target).map(|trial| self.delays.days(trial).iter().sum::<u32>());
        ensemble.delay_days.extend(days);
        Ok(())
    }
}
