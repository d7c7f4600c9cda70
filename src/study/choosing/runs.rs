//! One run of a changed scenario, and what a choice needs of it.

use serde::Serialize;
use serde_json::Value;

use crate::scenario::{Role, Scenario};
use crate::study::settings::Settings as RunAs;
use crate::timeline::Timeline;
use crate::timeline::calendar::Plan;
use crate::timeline::weather_days::WeatherError;
use crate::trials::{Drawing, Ensemble, Progress, run_trials};

/// Keys and values, serialised as a JSON object in the order given.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Settings(pub Vec<(String, Value)>);

impl Serialize for Settings {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_map(self.0.iter().map(|(key, value)| (key, value)))
    }
}

/// A scenario run through its trials.
pub(super) struct Run {
    pub(super) timeline: Timeline,
    pub(super) ensemble: Ensemble,
}

impl Run {
    pub(super) fn new(
        scenario: &Scenario,
        plan: Plan,
        settings: &RunAs,
        start_soc: &[Option<f64>],
        progress: &dyn Progress,
    ) -> Result<Self, WeatherError> {
        let timeline = Timeline::new(scenario, plan, settings.step_minutes)?;
        let drawing = Drawing::new(scenario, &timeline, settings.seed, start_soc);
        let ensemble = run_trials(&timeline, &drawing, &settings.run, progress);
        Ok(Self { timeline, ensemble })
    }

    pub(super) fn trip(
        scenario: &Scenario,
        settings: &RunAs,
        progress: &dyn Progress,
    ) -> Result<Self, WeatherError> {
        Self::new(scenario, Plan::Trip, settings, &[], progress)
    }

    /// Whether each trial kept every house bank above its reserve.
    pub(super) fn kept(&self) -> Vec<bool> {
        let days = self.ensemble.house_autonomy_days.iter();
        days.map(|days| days.is_infinite()).collect()
    }

    /// Lowest state of charge of any house bank in each trial.
    pub(super) fn lowest(&self) -> Vec<f32> {
        lowest(&self.ensemble, &self.house())
    }

    pub(super) fn house(&self) -> Vec<usize> {
        let banks = self.timeline.plant.banks.iter().enumerate();
        banks
            .filter(|(_, bank)| bank.is_house)
            .map(|(index, _)| index)
            .collect()
    }
}

fn lowest(ensemble: &Ensemble, house: &[usize]) -> Vec<f32> {
    let trials = ensemble.house_autonomy_days.len();
    (0..trials)
        .map(|trial| {
            let of_banks = house
                .iter()
                .map(|&bank| ensemble.banks[bank].lowest_soc[trial]);
            of_banks.fold(f32::INFINITY, f32::min)
        })
        .collect()
}

/// Trials in which something held.
pub(super) fn hits(held: &[bool]) -> u64 {
    held.iter().filter(|&&held| held).count() as u64
}

/// Indices of the house banks.
pub(super) fn house_banks(scenario: &Scenario) -> Vec<usize> {
    (0..scenario.banks.len())
        .filter(|&bank| scenario.banks[bank].role == Role::House)
        .collect()
}
