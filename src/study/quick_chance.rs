//! The chance of a trip, change after change.
//!
//! One job: the trials of a trip as it is, kept between one change of it and the next, so that of a changed trip only
//! the first shortfalls are worked out. The chance is that which the whole trip gives.

use super::answer::Chance;
use super::figures::chance_in;
use super::first_shortfalls::Meeting;
use super::settings::Settings;
use super::simulation::Simulation;
use crate::scenario::Scenario;
use crate::timeline::weather_days::WeatherError;
use crate::trials::{DrawnBatches, Silent};

/// A trip with its trials and what was drawn for them.
#[derive(Debug)]
pub struct QuickChance {
    trip: Simulation,
    drawn: DrawnBatches,
}

impl QuickChance {
    /// The trip of a scenario from its departure.
    ///
    /// # Errors
    /// [`WeatherError`] where a day has no climate.
    pub fn new(scenario: &Scenario, settings: &Settings) -> Result<Self, WeatherError> {
        Ok(Self {
            trip: Simulation::trip(scenario, settings, &Silent)?,
            drawn: DrawnBatches::new(),
        })
    }

    /// Chance that no house bank of the changed trip falls short, in the same trials.
    ///
    /// # Errors
    /// [`WeatherError`] where a day has no climate.
    pub fn of(&mut self, changed: &Scenario) -> Result<Chance, WeatherError> {
        let trip = &self.trip;
        let kept = trip.kept_draws_with(std::mem::take(&mut self.drawn));
        let trials: Vec<u64> = (0..trip.ensemble.trials).collect();
        let meeting = Meeting {
            seed: trip.settings.seed,
            kept: Some(&kept),
            threads: trip.settings.run.threads,
        };
        let found = trip.days_of(changed, &trials, &meeting);
        self.drawn = kept.into_known();
        let days = found?.days;
        let hits = days.iter().filter(|days| days.is_infinite()).count();
        Ok(chance_in(&trip.ensemble, hits as u64))
    }
}
