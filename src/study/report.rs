//! `report`: every answer about a scenario, for one document.
//!
//! One job: to run the studies and gather their answers. Laying them out is in `present::report`.

use serde::Serialize;

use super::answer::{BudgetResult, TripAnswer, TripResult, Warning};
use super::budget::budget_answer;
use super::climate_ground::{ClimateGround, climate_ground};
use super::driving_gain::{DrivingGain, driving_gains};
use super::nights_left::{NightsLeft, nights_left};
use super::settings::Settings;
use super::stop_days::{StopDays, stop_days};
use super::trip::trip_answer;
use crate::scenario::{Assumed, Scenario};
use crate::timeline::Timeline;
use crate::timeline::calendar::Plan;
use crate::timeline::weather_days::WeatherError;
use crate::trials::{Drawing, Progress, run_trials, run_typical};
use crate::wiring::schedule;
use crate::wiring::schedule::Schedule;

/// Everything in a report.
#[derive(Debug, Clone, PartialEq)]
pub struct ReportAnswer {
    /// The trip.
    pub trip: TripAnswer,
    /// The days, stop by stop.
    pub stops: Vec<StopDays>,
    /// What an hour of driving brings.
    pub driving: Vec<DrivingGain>,
    /// When to turn for home.
    pub nights_left: NightsLeft,
    /// The energy budget.
    pub budget: BudgetResult,
    /// Cables and fuses; `None` without runs.
    pub wiring: Option<Schedule>,
    /// What the weather rests on.
    pub climate: ClimateGround,
    /// What the file leaves to the defaults.
    pub assumed: Vec<Assumed>,
}

/// The JSON of a report: the answers by their names, those of `trip` on top.
#[derive(Debug, Serialize)]
pub struct ReportResult<'a> {
    #[serde(flatten)]
    trip: &'a TripResult,
    stops: &'a [StopDays],
    driving: &'a [DrivingGain],
    nights_left: &'a NightsLeft,
    budget: &'a BudgetResult,
    wiring: Option<&'a Schedule>,
    climate: &'a ClimateGround,
    assumed: &'a [Assumed],
}

impl ReportAnswer {
    /// What goes into JSON.
    #[must_use]
    pub fn result(&self) -> ReportResult<'_> {
        ReportResult {
            trip: &self.trip.result,
            stops: &self.stops,
            driving: &self.driving,
            nights_left: &self.nights_left,
            budget: &self.budget,
            wiring: self.wiring.as_ref(),
            climate: &self.climate,
            assumed: &self.assumed,
        }
    }
}

/// Runs every study of a report. `warnings` and `assumed` are those of the file.
///
/// # Errors
/// [`WeatherError`] where a day has no climate.
pub fn report(
    scenario: &Scenario,
    settings: &Settings,
    warnings: &[Warning],
    assumed: Vec<Assumed>,
    progress: &dyn Progress,
) -> Result<ReportAnswer, WeatherError> {
    let timeline = Timeline::new(scenario, Plan::Trip, settings.step_minutes)?;
    let drawing = Drawing::new(scenario, &timeline, settings.seed, &[]);
    let ensemble = if settings.typical {
        run_typical(&timeline, &drawing, &mut crate::engine::Unobserved)
    } else {
        run_trials(&timeline, &drawing, &settings.run, progress)
    };
    Ok(ReportAnswer {
        trip: trip_answer(scenario, settings, &timeline, &ensemble, warnings),
        stops: stop_days(scenario, &timeline, &ensemble),
        driving: driving_gains(scenario, &timeline, &ensemble),
        nights_left: nights_left(scenario, settings, &timeline)?,
        budget: budget_answer(scenario, settings, &timeline, &ensemble, warnings),
        wiring: (!scenario.runs.is_empty()).then(|| schedule(scenario, None)),
        climate: climate_ground(scenario),
        assumed,
    })
}
