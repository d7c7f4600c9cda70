//! The answer of `trip`.
//!
//! One job: its shapes, the JSON result and what the screen and the pictures take besides. How it is
//! found is in `study::trip`.

use super::bank_figures::{Night, PerDayWh, WeakNight};
use super::cause::Cause;
use super::heading::{Heading, Warning};
use super::outage::{BankOutages, InverterOverload};
use super::percentiles::{AutonomyDays, Chance, P50P90, SocPercentiles};
use super::pictures::{Calendar, SocBand, SurvivalCurve};
use serde::Serialize;

/// One bank of a `trip`.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct TripBank {
    /// The bank's id.
    pub id: String,
    /// Chance that it never goes below its reserve.
    pub chance_no_shortfall: Chance,
    /// Chance that its loads are never dropped.
    pub chance_no_outage: Chance,
    /// Lowest state of charge of a trial.
    pub lowest_soc: SocPercentiles,
    /// State of charge at the end of a trial.
    pub end_soc: SocPercentiles,
    /// Time from departure to the first shortfall.
    pub autonomy_days: AutonomyDays,
    /// Night by night.
    pub nights: Vec<Night>,
    /// Energy budget.
    pub per_day_wh: PerDayWh,
    /// The weakest night; `None` with no night in doubt.
    pub weakest: Option<WeakNight>,
}

/// The alternator over a trip.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct AlternatorUse {
    /// Mean hours a trip in which more was asked of it than there was.
    pub oversubscribed_hours: f64,
    /// Largest current asked, the vehicle's own included; 99th percentile over trials.
    pub peak_a: f64,
}

/// One fridge over a trip.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct FridgeUse {
    /// The load's id.
    pub id: String,
    /// Hours above 8 °C (a freezer: above 6 K over its set point).
    pub hours_above_8c: P50P90,
    /// Mean share of the time its compressor ran.
    pub duty: f64,
}

/// The result of `trip`.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct TripResult {
    /// Tool, scenario, seed, trials.
    #[serde(flatten)]
    pub heading: Heading,
    /// Chance that no house bank ever goes below its reserve.
    pub chance_no_shortfall: Chance,
    /// Each bank.
    pub banks: Vec<TripBank>,
    /// Outages, by bank in file order; a bank without any is not in it.
    pub outages: Vec<BankOutages>,
    /// Inverters that are asked for more than they give; one that never is is not in it.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub overloads: Vec<InverterOverload>,
    /// The alternator; `None` without one.
    pub alternator: Option<AlternatorUse>,
    /// Each fridge.
    pub fridges: Vec<FridgeUse>,
    /// Departures put off; `None` where none may be.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub delays: Option<Delays>,
    /// The date by which it should have ended; `None` without one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub late: Option<Late>,
    /// What the reader should know.
    pub warnings: Vec<Warning>,
}

/// What came of departures that were put off.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Delays {
    /// Share of trips with a delay.
    pub share: f64,
    /// Mean days of delay of a trip that has one.
    pub mean_days: f64,
    /// Share of the trips with a shortfall that had a delay; `None` without a shortfall.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub share_of_shortfalls: Option<f64>,
    /// Share of the trips with a delay that have a shortfall; `None` without a delay.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub short_with_delay: Option<f64>,
}

/// Trips that end after the date by which they should have ended.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Late {
    /// The date, ISO 8601.
    pub no_later_than: String,
    /// Chance of a later end.
    pub chance: Chance,
}

/// The weak point of a trip, for the verdict.
#[derive(Debug, Clone, PartialEq)]
pub struct WeakPoint {
    /// Bank id.
    pub bank: String,
    /// The weakest night.
    pub night: WeakNight,
    /// The load that takes most of the bank's energy, and its share.
    pub dominant_load: Option<(String, f64)>,
    /// Why it falls short; `None` where no trial that was looked at does.
    pub cause: Option<Cause>,
}

/// Everything `trip` found.
#[derive(Debug, Clone, PartialEq)]
pub struct TripAnswer {
    /// The JSON result.
    pub result: TripResult,
    /// The confidence aimed at.
    pub aim_chance: f64,
    /// Length of the trip from departure to its end, days.
    pub length_days: f64,
    /// The weak point; `None` with no night in doubt.
    pub weak_point: Option<WeakPoint>,
    /// Bands for `trip.svg`, one a bank, house banks first.
    pub bands: Vec<SocBand>,
    /// Curves for `autonomy.svg`, one a house bank.
    pub survival: Vec<SurvivalCurve>,
    /// Under the pictures.
    pub calendar: Calendar,
    /// What would mend it; `None` where nothing has to be mended.
    pub mend: Option<MendHint>,
}

/// What would mend a trip that misses its aim.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum MendHint {
    /// The best change, in words.
    Found(String),
    /// It takes longer to find: a command of its own does.
    Command,
}
