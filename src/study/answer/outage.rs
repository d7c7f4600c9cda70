//! Outages of a bank: from when, how long, which loads, how much.
//!
//! One job: the shapes. How they are found is in `study::outages`.

use serde::Serialize;

use super::percentiles::{Chance, P50P90};

/// The outages of one bank over the trials that have any.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct BankOutages {
    /// The bank's id.
    pub bank: String,
    /// Chance of a trip with one or more.
    pub chance: Chance,
    /// Hours in which its loads are off, in such a trip.
    pub hours: P50P90,
    /// What they ask for then and do not get, Wh, in such a trip.
    pub unserved_wh: P50P90,
    /// The loads that go without, those to keep first, then by energy.
    pub loads: Vec<LoadOutage>,
    /// The outages of that trip among them whose energy not supplied is the median one.
    pub median_trip: Vec<Outage>,
}

/// An inverter over the trials in which it is asked for more than it gives.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct InverterOverload {
    /// The inverter's id.
    pub inverter: String,
    /// What it gives, W.
    pub rated_w: f64,
    /// Chance of a trip in which it is.
    pub chance: Chance,
    /// When it first is, RFC 3339: the median of these trips.
    pub first: String,
    /// The stop that this is at or on the way to; `None` before the first departure.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub stop: Option<String>,
    /// Hours, in such a trip.
    pub hours: P50P90,
    /// What it does not give then, Wh.
    pub unserved_wh: P50P90,
    /// Its loads.
    pub loads: Vec<String>,
}

/// One load over the trials in which it goes without.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LoadOutage {
    /// The load's id.
    pub load: String,
    /// Whether it is marked to be kept.
    pub keep: bool,
    /// Share of all trips in which it goes without.
    pub share: f64,
    /// Hours in which it asked and got nothing, median.
    pub hours: f64,
    /// Energy, Wh, median.
    pub unserved_wh: f64,
}

/// One outage of one trip.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Outage {
    /// When the loads were dropped, RFC 3339.
    pub from: String,
    /// When they returned, or the trip ended.
    pub to: String,
    /// Hours between.
    pub hours: f64,
    /// State of charge when they were dropped.
    pub soc: f64,
    /// What they asked for and did not get, Wh.
    pub unserved_wh: f64,
    /// The loads that asked for something, those to keep first, then by energy.
    pub loads: Vec<LoadWithout>,
    /// Lead-acid in the cold; `None` where cold does not matter.
    pub cold: Option<ColdReach>,
}

/// One load in one outage.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LoadWithout {
    /// The load's id.
    pub load: String,
    /// Whether it is marked to be kept.
    pub keep: bool,
    /// Hours in which it asked and got nothing.
    pub hours: f64,
    /// Energy, Wh.
    pub unserved_wh: f64,
}

/// What cold leaves of lead-acid when its loads are dropped.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct ColdReach {
    /// Temperature of the battery, °C.
    pub battery_c: f64,
    /// Share of the capacity that is out of reach.
    pub out_of_reach: f64,
    /// State of charge at which the loads are dropped there.
    pub cutoff_soc: f64,
}
