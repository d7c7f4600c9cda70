//! What the pictures take from an answer: bands, curves, the calendar under them.
//!
//! One job: their shapes; none goes into the JSON results. How they are drawn is in `present`.

use super::percentiles::Chance;
use crate::units::Units;

/// State of charge over time in percentiles.
#[derive(Debug, Clone, PartialEq)]
pub struct SocBand {
    /// Bank id.
    pub bank: String,
    /// Whether it is a start bank.
    pub is_start: bool,
    /// Reserve line.
    pub reserve_soc: f64,
    /// Cut-off line.
    pub cutoff_soc: f64,
    /// Cut-off at each instant of a trip without chance where cold lifts that of lead-acid; else empty.
    pub cold_cutoff: Vec<f64>,
    /// Instants, UTC seconds, ascending.
    pub utc_s: Vec<i64>,
    /// Tenth percentile at each instant.
    pub p10: Vec<f64>,
    /// Lower quartile.
    pub p25: Vec<f64>,
    /// Median.
    pub p50: Vec<f64>,
    /// Upper quartile.
    pub p75: Vec<f64>,
    /// Ninth decile.
    pub p90: Vec<f64>,
}

/// A span of time, UTC seconds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Span {
    /// Beginning.
    pub from_s: i64,
    /// End.
    pub to_s: i64,
}

/// The calendar under a picture.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Calendar {
    /// Units of the land, for times of day beside the dates.
    pub units: Units,
    /// Local midnights and their labels (`5 Jul`).
    pub midnights: Vec<(i64, String)>,
    /// From sunset to sunrise.
    pub nights: Vec<Span>,
    /// Nominal drives, legs and local.
    pub drives: Vec<Span>,
    /// Stays at stops with their names.
    pub stays: Vec<(Span, String)>,
}

/// Chance of still being at or above reserve against time.
#[derive(Debug, Clone, PartialEq)]
pub struct SurvivalCurve {
    /// Bank id, or `all house banks`.
    pub bank: String,
    /// Days since departure (or since now), ascending from 0.
    pub days: Vec<f64>,
    /// The chance at each time, with its interval.
    pub chance: Vec<Chance>,
}
