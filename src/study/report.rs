//! `report`: every answer about a scenario, for one document.
//!
//! One job: to run the studies and gather their answers. Laying them out is in `present::report`.

use serde::{Serialize, Serializer};

use super::answer::{BudgetResult, TripAnswer, Warning};
use super::budget::budget_answer;
use super::choosing::ChoosingError;
use super::choosing::compare::{CompareResult, OF_OPTION, compare};
use super::choosing::options::Choice;
use super::choosing::shed::{ShedResult, shed_of};
use super::choosing::topup::{TopupResult, topup_of};
use super::climate_ground::{ClimateGround, climate_ground};
use super::driving_gain::{DrivingGain, driving_gains};
use super::learning::LearnAnswer;
use super::mending::{MendResult, is_mended_in_passing, mend_of};
use super::nights_left::{NightsLeft, nights_left};
use super::settings::Settings;
use super::simulation::Simulation;
use super::stop_days::{StopDays, stop_days};
use super::trip::trip_answer;
use crate::scenario::{Assumed, Scenario};
use crate::trials::Progress;
use crate::wiring::schedule::Schedule;
use crate::wiring::{schedule, schedule_shown};

/// A part of a report.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ReportPart {
    /// The verdict, the key table and the picture of the trip.
    Glance,
    /// Stops and nights.
    Days,
    /// What to do if the banks run low.
    WhatIf,
    /// What would mend it.
    Mend,
    /// The energy budget.
    Budget,
    /// Options compared.
    Options,
    /// Cables and fuses.
    Wiring,
    /// A log against the model.
    Log,
    /// What the figures rest on.
    Grounds,
    /// Cautions, which stand below every other part too.
    Cautions,
    /// How far to trust it.
    Trust,
}

impl ReportPart {
    /// All, in their order.
    pub const ALL: [Self; 11] = [
        Self::Glance,
        Self::Days,
        Self::WhatIf,
        Self::Mend,
        Self::Budget,
        Self::Options,
        Self::Wiring,
        Self::Log,
        Self::Grounds,
        Self::Cautions,
        Self::Trust,
    ];

    /// The part of that name.
    #[must_use]
    pub fn of_id(id: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|part| part.id() == id)
    }

    /// Its name on the command line and its anchor in the page.
    #[must_use]
    pub fn id(self) -> &'static str {
        match self {
            Self::Glance => "glance",
            Self::Days => "days",
            Self::WhatIf => "what-if",
            Self::Mend => "mend",
            Self::Budget => "budget",
            Self::Options => "options",
            Self::Wiring => "wiring",
            Self::Log => "log",
            Self::Grounds => "grounds",
            Self::Cautions => "cautions",
            Self::Trust => "trust",
        }
    }
}

/// Everything in a report; its JSON has the answers by their names, those of `trip` on top.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ReportAnswer {
    /// The part that was asked for alone; `None`: all.
    #[serde(skip)]
    pub only: Option<ReportPart>,
    /// The trip.
    #[serde(flatten, serialize_with = "result_of")]
    pub trip: TripAnswer,
    /// The days, stop by stop.
    pub stops: Vec<StopDays>,
    /// What an hour of driving brings.
    pub driving: Vec<DrivingGain>,
    /// What to switch off first, or why there is no such answer.
    #[serde(serialize_with = "if_found")]
    pub shed: Result<ShedResult, String>,
    /// The least driving that keeps the banks topped up, or why there is no such answer.
    #[serde(serialize_with = "if_found")]
    pub topup: Result<TopupResult, String>,
    /// What would mend it; `None` where the trip reaches its aim or it takes long to find, unless it was asked for
    /// alone.
    pub mend: Option<MendResult>,
    /// When to turn for home.
    pub nights_left: NightsLeft,
    /// The energy budget.
    pub budget: BudgetResult,
    /// Options compared; `None` if none was asked for.
    pub compared: Option<CompareResult>,
    /// Cables and fuses, in units of the program; `None` without runs.
    pub wiring: Option<Schedule>,
    /// The same as it is shown, in units and sizes of the land.
    #[serde(skip)]
    pub wiring_shown: Option<Schedule>,
    /// What a log says of the file; `None` without a log.
    pub learned: Option<LearnAnswer>,
    /// What the weather rests on.
    pub climate: ClimateGround,
    /// What the file leaves to the defaults.
    pub assumed: Vec<Assumed>,
}

fn result_of<S: Serializer>(trip: &TripAnswer, serializer: S) -> Result<S::Ok, S::Error> {
    trip.result.serialize(serializer)
}

fn if_found<T: Serialize, S: Serializer>(
    found: &Result<T, String>,
    serializer: S,
) -> Result<S::Ok, S::Error> {
    found.as_ref().ok().serialize(serializer)
}

/// What a report takes besides the scenario.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct ReportQuestion {
    /// Options to compare, the scenario as it is first, with their own scenarios.
    pub options: Vec<(Choice, Scenario)>,
    /// What a log of the trip says, where there is one.
    pub learned: Option<LearnAnswer>,
    /// One part alone: what only others need is not worked out.
    pub only: Option<ReportPart>,
}

/// Runs every study of a report.
///
/// # Errors
/// [`ChoosingError::Weather`] where a day has no climate.
pub fn report(
    scenario: &Scenario,
    settings: &Settings,
    mut question: ReportQuestion,
    progress: &dyn Progress,
) -> Result<ReportAnswer, ChoosingError> {
    let run = Simulation::trip(scenario, settings, progress)?;
    let only = question.only;
    let many = Settings {
        typical: settings.typical || only.is_some_and(|only| only != ReportPart::WhatIf),
        ..settings.clone()
    };
    let mut shed = many_runs(&many, || shed_of(&run, progress))?;
    let mut topup = many_runs(&many, || topup_of(&run, progress))?;
    let mends = match only {
        Some(only) => only == ReportPart::Mend,
        None => is_mended_in_passing(&run),
    };
    let mut mend = if mends && !settings.typical {
        Some(mend_of(&run, progress)?)
    } else {
        None
    };
    let nights_left = match only {
        None | Some(ReportPart::WhatIf) => nights_left(scenario, settings, &run.timeline)?,
        Some(_) => NightsLeft::default(),
    };
    let trip = trip_answer(&run);
    let mut budget = budget_answer(&run);
    let mut compared = compared(settings, question.options, progress)?;
    let below = [
        Some(&mut budget.warnings),
        shed.as_mut().ok().map(|shed| &mut shed.warnings),
        topup.as_mut().ok().map(|topup| &mut topup.warnings),
        mend.as_mut().map(|mend| &mut mend.warnings),
        compared.as_mut().map(|compared| &mut compared.warnings),
        (question.learned.as_mut()).map(|learned| &mut learned.warnings),
    ];
    for warnings in below.into_iter().flatten() {
        leave_new(warnings, &trip.result.warnings);
    }
    Ok(ReportAnswer {
        only,
        trip,
        stops: stop_days(&run),
        driving: driving_gains(&run),
        shed,
        topup,
        mend,
        nights_left,
        budget,
        compared,
        learned: question.learned,
        wiring: (!scenario.runs.is_empty()).then(|| schedule(scenario, None)),
        wiring_shown: (!scenario.runs.is_empty()).then(|| schedule_shown(scenario, None)),
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
