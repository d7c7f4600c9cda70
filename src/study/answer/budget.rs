//! The answer of `budget`.
//!
//! One job: its shapes. How it is found is in `study::budget`.

use serde::Serialize;

use super::heading::{Heading, Warning};
use crate::scenario::Role;

/// By which circuit a load hangs.
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

/// A load in the budget.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct BudgetLoad {
    /// The load's id; `standby`, or a bank-fed charger's id.
    pub id: String,
    /// By which circuit it hangs.
    pub live: Live,
    /// Hours a day it is live, mean over the trip.
    pub live_hours_per_day: f64,
    /// Energy a day at the bank.
    pub wh_per_day: f64,
    /// Charge a day at the bank.
    pub ah_per_day: f64,
    /// Share of all that the bank gives.
    pub share: f64,
}

/// A source in the budget.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct BudgetSource {
    /// Charger or panel id; `alternator` for a start bank.
    pub id: String,
    /// Energy a day into the bank.
    pub wh_per_day: f64,
    /// Charge a day into the bank.
    pub ah_per_day: f64,
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
    /// Sum of the loads.
    pub out_wh_per_day: f64,
    /// Sum of the loads.
    pub out_ah_per_day: f64,
    /// Sum of the sources.
    pub in_wh_per_day: f64,
    /// Sum of the sources.
    pub in_ah_per_day: f64,
    /// Sources less loads less losses inside the bank.
    pub balance_wh_per_day: f64,
    /// Lost inside the bank.
    pub losses_wh_per_day: f64,
    /// Sun left over.
    pub curtailed_wh_per_day: f64,
    /// Load not served.
    pub unserved_wh_per_day: f64,
    /// Energy from full to reserve.
    pub usable_wh: f64,
    /// The textbook figure: usable energy ÷ daily energy, without any charge. `None` without loads.
    pub days_without_charge: Option<f64>,
}

/// The result of `budget`.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct BudgetResult {
    /// Tool, scenario, seed, trials.
    #[serde(flatten)]
    pub heading: Heading,
    /// Each bank.
    pub banks: Vec<BudgetBank>,
    /// What the reader should know.
    pub warnings: Vec<Warning>,
}
