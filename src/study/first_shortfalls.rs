//! When a changed scenario first falls short in the trials of a simulation.
//!
//! One job: nothing else of the trials is worked out, and what was drawn for them before is met again.

use super::simulation::{Besides, Simulation, trip_days};
use crate::scenario::Scenario;
use crate::timeline::Timeline;
use crate::timeline::weather_days::WeatherError;
use crate::trials::{Drawing, DrawnBatches, KeptDraws, Silent, days_of};

/// How a changed scenario meets the trials of a simulation.
#[derive(Debug, Clone, Copy)]
pub struct Meeting<'a> {
    /// The seed of all draws.
    pub seed: u64,
    /// What was drawn for them before.
    pub kept: Option<&'a KeptDraws<'a>>,
    /// Threads; `None`: as many as the machine has.
    pub threads: Option<usize>,
}

/// When trials of a changed scenario first fall short.
#[derive(Debug, Clone, PartialEq)]
pub struct ShortDays {
    /// Days to the first shortfall of any house bank; infinite: never.
    pub days: Vec<f32>,
    /// Days from the departure to the nominal end.
    pub horizon: f32,
}

impl Simulation {
    /// Days to the first shortfall of any house bank in some trials, by number, of a changed scenario. Of a trip
    /// that is taken up on the way what is past is as it was: there the change may switch off loads, no more.
    ///
    /// # Errors
    /// [`WeatherError`] where a day has no climate.
    pub fn days_of(
        &self,
        scenario: &Scenario,
        trials: &[u64],
        meeting: &Meeting<'_>,
    ) -> Result<ShortDays, WeatherError> {
        let mut settings = self.settings.clone();
        let Meeting {
            seed,
            kept,
            threads,
        } = *meeting;
        (settings.seed, settings.run.threads) = (seed, threads);
        let timeline = self.timeline.of_switched_off(&self.scenario, scenario)?;
        let horizon = trip_days(&timeline);
        if self.delays().is_some() || settings.typical {
            // Each trial has a calendar of its own.
            let run = Self::run(scenario, &settings, timeline, &Besides::default(), &Silent)?;
            let days = run.ensemble.house_autonomy_days;
            let of = |trial: &u64| usize::try_from(*trial).map_or(f32::INFINITY, |at| days[at]);
            let days = trials.iter().map(of).collect();
            return Ok(ShortDays { days, horizon });
        }
        let drawing = Drawing::new(scenario, &timeline, seed, &[]);
        let kept = kept.filter(|_| {
            seed == self.settings.seed && Timeline::has_same_weather(&self.scenario, scenario)
        });
        let days = days_of(&timeline, &drawing, trials, kept, threads);
        Ok(ShortDays { days, horizon })
    }

    /// Room for what was drawn for its trials, which changed scenarios meet too.
    #[must_use]
    pub fn kept_draws(&self) -> KeptDraws<'_> {
        self.kept_draws_with(DrawnBatches::new())
    }

    /// The same with what was drawn for them before.
    #[must_use]
    pub fn kept_draws_with(&self, drawn: DrawnBatches) -> KeptDraws<'_> {
        KeptDraws::new(&self.scenario, &self.timeline, self.settings.seed, drawn)
    }
}
