//! The answer of `stay`.
//!
//! One job: its shapes, the JSON result and what the screen and the pictures take besides. How it is
//! found is in `study::stay`.

use super::bank_figures::{Night, PerDayWh};
use super::heading::{Heading, Warning};
use super::percentiles::{AutonomyDays, Chance};
use super::pictures::{Calendar, SocBand, SurvivalCurve};
use super::trip::FridgeUse;
use serde::Serialize;

/// One bank of a `stay`.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct StayBank {
    /// The bank's id.
    pub id: String,
    /// Time from now to the first shortfall.
    pub autonomy_days: AutonomyDays,
    /// Night by night.
    pub nights: Vec<Night>,
    /// Energy budget.
    pub per_day_wh: PerDayWh,
}

/// A night of a stay: of all house banks together.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct StayNight {
    /// Date of its evening, ISO 8601.
    pub date: String,
    /// Chance that no house bank is short that night.
    pub chance_no_shortfall: Chance,
    /// Chance that none has been from now to this night's end.
    pub chance_so_far: Chance,
}

/// The rest of the trip after so many more nights here: of all house banks together.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct RestRow {
    /// Nights still spent here.
    pub nights_more: u32,
    /// When one leaves then, RFC 3339 with the local offset.
    pub leave: String,
    /// Chance of no shortfall until then.
    pub chance_here: Chance,
    /// Chance of no shortfall from then to the end of the trip.
    ///
    /// From the arrival at the next stop on, since the drive there wins back what was spent here.
    pub chance_rest: Chance,
    /// Chance of neither.
    pub chance_both: Chance,
}

/// What the drive from here brings a bank, in the median.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct NextDrive {
    /// The bank's id.
    pub bank: String,
    /// State of charge when one leaves.
    pub soc_before: f64,
    /// On arrival.
    pub soc_after: f64,
}

/// The result of `stay`.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct StayResult {
    /// Tool, scenario, seed, trials.
    #[serde(flatten)]
    pub heading: Heading,
    /// Name of the stop.
    pub stop: String,
    /// How far it looked, days.
    pub horizon_days: u32,
    /// Each bank.
    pub banks: Vec<StayBank>,
    /// All house banks together, night by night.
    pub nights: Vec<StayNight>,
    /// The morning after the last night whose `chance_so_far` meets the aim, ISO date; `None`: not one.
    pub stay_until: Option<String>,
    /// Until when the charge lasts at the aim's chance, RFC 3339; `None`: beyond the horizon.
    pub lasts_until: Option<String>,
    /// The rest of the trip by nights still spent here, from none; ten rows at most.
    pub rest: Vec<RestRow>,
    /// What the drive after the planned nights brings; empty at the last stop.
    pub next_drive: Vec<NextDrive>,
    /// Fridges.
    pub fridges: Vec<FridgeUse>,
    /// What the reader should know.
    pub warnings: Vec<Warning>,
}

/// Everything `stay` found.
#[derive(Debug, Clone, PartialEq)]
pub struct StayAnswer {
    /// The JSON result.
    pub result: StayResult,
    /// The confidence aimed at.
    pub aim_chance: f64,
    /// Number of nights up to `stay_until`.
    pub nights_at_aim: u32,
    /// Nights that the plan has left here, or that were asked about.
    pub nights_planned: u32,
    /// Whether the nights at the aim reach the horizon.
    pub aim_beyond_horizon: bool,
    /// The bank that is short first most often, if any is within the horizon.
    pub binding_bank: Option<String>,
    /// Curves for `stay.svg`: one a house bank.
    pub survival: Vec<SurvivalCurve>,
    /// Bands, one a bank.
    pub bands: Vec<SocBand>,
    /// Under the pictures.
    pub calendar: Calendar,
}

impl StayAnswer {
    /// Whether a time, RFC 3339, is before the first night: 18:00 of its evening.
    #[must_use]
    pub fn is_before_evening(&self, time: &str) -> bool {
        let first = self.result.nights.first().map(|night| night.date.as_str());
        let (date, clock) = time.split_once('T').unwrap_or((time, ""));
        first.is_none_or(|first| (date, clock) < (first, "18:00"))
    }
}
