//! The answer of `budget`.
//!
//! One job: its shapes. How it is found is in `study::budget`.

use serde::Serialize;

use super::heading::{Heading, Warning};
use crate::scenario::Role;

/// Which circuit a load depends on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Live {
    /// Round the clock.
    Always,
    /// With the engine.
    Ignition,
    /// With the engine off.
    Parked,
    /// In camp.
    Camp,
    /// Some hours of the day, anywhere.
    Hours,
}

/// Energy and charge of a day.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize)]
pub struct DayFlow {
    /// Energy at the bank.
    pub wh: f64,
    /// Charge at the bank.
    pub ah: f64,
}

/// Energy and charge a day: the mean over the trip, and on a day of either kind.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct PerDay {
    /// Energy per 24 h of the trip.
    pub wh_per_day: f64,
    /// Charge per 24 h of the trip.
    pub ah_per_day: f64,
    /// On a day in camp, local drives or not; null without a whole one.
    pub camp_day: Option<DayFlow>,
    /// On a day with a leg; null without a whole one.
    pub driving_day: Option<DayFlow>,
}

/// A load in the budget.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct BudgetLoad {
    /// The load's id; `standby`, or a bank-fed charger's id.
    pub id: String,
    /// Which circuit it depends on.
    pub live: Live,
    /// Hours a day it is live, mean over the trip.
    pub live_hours_per_day: f64,
    /// What it asks for, supplied or not.
    #[serde(flatten)]
    pub asked: PerDay,
    /// Of that, what the bank does not supply, Wh a day.
    pub not_supplied_wh_per_day: f64,
    /// Share of all that is asked of the bank.
    pub share: f64,
}

/// A source in the budget.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct BudgetSource {
    /// Charger or panel id; `alternator` for a start bank.
    pub id: String,
    /// Into the bank.
    #[serde(flatten)]
    pub given: PerDay,
}

/// A bank on a day of one kind, Wh.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct BudgetDay {
    /// What the loads ask for.
    pub asked: DayFlow,
    /// What the sources give.
    pub given: DayFlow,
    /// Sources less what is asked for less losses inside the bank.
    pub balance_wh: f64,
    /// Usable energy over what such a day asks for, without any charge.
    pub days_without_charge: Option<f64>,
}

/// A bank in the budget.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct BudgetBank {
    /// The bank's id.
    pub id: String,
    /// What it is for.
    pub role: Role,
    /// Loads, largest first.
    pub loads: Vec<BudgetLoad>,
    /// Sources, in file order.
    pub sources: Vec<BudgetSource>,
    /// What the loads ask for.
    pub asked_wh_per_day: f64,
    /// The same as charge.
    pub asked_ah_per_day: f64,
    /// What they get.
    pub out_wh_per_day: f64,
    /// The same as charge.
    pub out_ah_per_day: f64,
    /// Sum of the sources.
    pub in_wh_per_day: f64,
    /// Sum of the sources.
    pub in_ah_per_day: f64,
    /// Sources less what is asked for less losses inside the bank.
    pub balance_wh_per_day: f64,
    /// Lost inside the bank.
    pub losses_wh_per_day: f64,
    /// Sun left over.
    pub curtailed_wh_per_day: f64,
    /// Asked for and not supplied.
    pub unserved_wh_per_day: f64,
    /// A day in camp; null without a whole one.
    pub camp_day: Option<BudgetDay>,
    /// A day with a leg; null without a whole one.
    pub driving_day: Option<BudgetDay>,
    /// Energy from full to reserve.
    pub usable_wh: f64,
    /// The textbook figure: usable energy over what an average day asks for, without any charge. `None`
    /// without loads.
    pub days_without_charge: Option<f64>,
}

/// The result of `budget`.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct BudgetResult {
    /// Tool, scenario, seed, trials.
    #[serde(flatten)]
    pub heading: Heading,
    /// Whole days in camp of the trip.
    pub camp_days: usize,
    /// Whole days with a leg.
    pub driving_days: usize,
    /// Each bank.
    pub banks: Vec<BudgetBank>,
    /// What the reader should know.
    pub warnings: Vec<Warning>,
}
