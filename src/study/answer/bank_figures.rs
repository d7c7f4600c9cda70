//! What `trip` and `stay` both tell of a bank: its nights and its energy a day.
//!
//! One job: those shapes. The banks that hold them are in `trip` and `stay`.

use super::percentiles::{Chance, DawnSoc};
use serde::Serialize;

/// One night of a bank.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Night {
    /// Date of its evening, ISO 8601.
    pub date: String,
    /// Name of the stop.
    pub stop: String,
    /// State of charge at sunrise, or at 06:00 without one.
    pub dawn_soc: DawnSoc,
    /// Chance that the bank stays at or above its reserve from noon to noon.
    pub chance_no_shortfall: Chance,
    /// Chance that it has done so from departure to this night's end.
    pub chance_so_far: Chance,
    /// Share of trips that have this night, where departures may be put off; the others are over, or on the
    /// road.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub under_way: Option<f64>,
}

/// The night with the lowest chance of its own.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct WeakNight {
    /// Date of its evening, ISO 8601.
    pub date: String,
    /// Name of the stop.
    pub stop: String,
    /// Chance of a shortfall in that night.
    pub chance_shortfall: f64,
}

/// Named energies in the order of the scenario file, serialised as a JSON object.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Named(pub Vec<(String, f64)>);

impl Serialize for Named {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_map(self.0.iter().map(|(name, value)| (name, value)))
    }
}

/// Mean energy of a bank per 24 h, Wh. `Σ in = Σ out + losses + stored_change`, and for the loads
/// `Σ asked = Σ out + unserved`.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PerDayWh {
    /// By source, at the bank's terminals: chargers and panels by id, `alternator` for a start bank.
    #[serde(rename = "in")]
    pub inward: Named,
    /// By consumer, at the bank's terminals: loads and bank-fed chargers by id, and `standby`.
    #[serde(rename = "out")]
    pub outward: Named,
    /// By load, what it asks for, supplied or not.
    pub asked: Named,
    /// Lost inside the bank.
    pub losses: f64,
    /// Lost on the way by the chargers, controllers and cables that charge this bank.
    pub conversion: f64,
    /// Sun that could have been taken and was not.
    pub curtailed: f64,
    /// Asked for and not supplied.
    pub unserved: f64,
    /// Change of stored energy.
    pub stored_change: f64,
}
