//! `report`: every answer about a scenario, for one document.
//!
//! One job: to run the studies and gather their answers. Laying them out is in `present::report`.

use serde::Serialize;

use super::answer::{BudgetResult, TripAnswer, TripResult, Warning};
use super::budget::budget_answer;
use super::choosing::ChoosingError;
use super::choosing::compare::{CompareResult, OF_OPTION, compare};
use super::choosing::options::Choice;
use super::choosing::shed::{ShedResult, shed_of};
use super::choosing::topup::{TopupResult, topup_of};
use super::climate_ground::{ClimateGround, climate_ground};
use super::driving_gain::{DrivingGain, driving_gains};
use super::nights_left::{NightsLeft, nights_left};
use super::settings::Settings;
use super::simulation::Simulation;
use super::stop_days::{StopDays, stop_days};
use super::trip::trip_answer;
use crate::scenario::{Assumed, Scenario};
use crate::trials::Progress;
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
    /// What to switch off first, or why there is no such answer.
    pub shed: Result<ShedResult, String>,
    /// The least driving that keeps the banks topped up, or why there is no such answer.
    pub topup: Result<TopupResult, String>,
    /// When to turn for home.
    pub nights_left: NightsLeft,
    /// The energy budget.
    pub budget: BudgetResult,
    /// Options compared; `None` if none was asked for.
    pub compared: Option<CompareResult>,
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
    shed: Option<&'a ShedResult>,
    topup: Option<&'a TopupResult>,
    nights_left: &'a NightsLeft,
    budget: &'a BudgetResult,
    compared: Option<&'a CompareResult>,
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
            shed: self.shed.as_ref().ok(),
            topup: self.topup.as_ref().ok(),
            nights_left: &self.nights_left,
            budget: &self.budget,
            compared: self.compared.as_ref(),
            wiring: self.wiring.as_ref(),
            climate: &self.climate,
            assumed: &self.assumed,
        }
    }
}

/// What a report takes besides the scenario.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct ReportQuestion {
    /// Options to compare, the scenario as it is first, with their own scenarios.
    pub options: Vec<(Choice, Scenario)>,
}

/// Runs every study of a report.
///
/// # Errors
/// [`ChoosingError::Weather`] where a day has no climate.
pub fn report(
    scenario: &Scenario,
    settings: &Settings,
    question: ReportQuestion,
    progress: &dyn Progress,
) -> Result<ReportAnswer, ChoosingError> {
    let run = Simulation::trip(scenario, settings, progress)?;
    let Simulation {
        timeline, ensemble, ..
    } = &run;
    let mut shed = many_runs(settings, || shed_of(&run, progress))?;
    let mut topup = many_runs(settings, || topup_of(&run, progress))?;
    let nights_left = nights_left(scenario, settings, timeline)?;
    let trip = trip_answer(&run);
    let mut budget = budget_answer(&run);
    let mut compared = compared(settings, question.options, progress)?;
    let below = [
        Some(&mut budget.warnings),
        shed.as_mut().ok().map(|shed| &mut shed.warnings),
        topup.as_mut().ok().map(|topup| &mut topup.warnings),
        compared.as_mut().map(|compared| &mut compared.warnings),
    ];
    for warnings in below.into_iter().flatten() {
        leave_new(warnings, &trip.result.warnings);
    }
    Ok(ReportAnswer {
        trip,
        stops: stop_days(scenario, timeline, ensemble),
        driving: driving_gains(scenario, timeline, ensemble),
        shed,
        topup,
        nights_left,
        budget,
        compared,
        wiring: (!scenario.runs.is_empty()).then(|| schedule(scenario, None)),
        climate: climate_ground(scenario),
        assumed: scenario.assumed.clone(),
    })
}

/// What a report tells on top it does not tell again below.
fn leave_new(below: &mut Vec<Warning>, on_top: &[Warning]) {
    let is_told = |warning: &Warning| {
        let is_options_own = warning.text.starts_with(OF_OPTION);
        !is_options_own && on_top.iter().any(|told| told.path == warning.path)
    };
    below.retain(|warning| !is_told(warning));
}

/// A study of many runs, as its own command has it; why not, where the scenario gives it nothing to do.
fn many_runs<T>(
    settings: &Settings,
    study: impl FnOnce() -> Result<T, ChoosingError>,
) -> Result<Result<T, String>, ChoosingError> {
    if settings.typical {
        return Ok(Err("a trip without chance has no answer to this".to_owned()));
    }
    match study() {
        Ok(found) => Ok(Ok(found)),
        Err(ChoosingError::Nothing(why)) => Ok(Err(why.to_owned())),
        Err(other) => Err(other),
    }
}

/// The options against the scenario as it is.
fn compared(
    settings: &Settings,
    options: Vec<(Choice, Scenario)>,
    progress: &dyn Progress,
) -> Result<Option<CompareResult>, ChoosingError> {
    if options.is_empty() {
        return Ok(None);
    }
    let (choices, scenarios): (Vec<Choice>, Vec<Scenario>) = options.into_iter().unzip();
    compare(&choices, &scenarios, settings, progress).map(Some)
}
