//! Chances and percentiles, as answers show them.
//!
//! One job: their shapes. How they are worked out is in `study::figures`.

use serde::Serialize;

/// A chance with its 95 % Wilson interval, each 0 to 1.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Chance {
    /// Share of the trials.
    pub value: f64,
    /// Lower end of the interval.
    pub low: f64,
    /// Upper end of the interval.
    pub high: f64,
}

/// A percentile of a time that may lie beyond the horizon, with its 95 % interval; days.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Days {
    /// The percentile; `None` beyond the horizon.
    pub value: Option<f64>,
    /// Lower end of the interval; `None` beyond the horizon.
    pub low: Option<f64>,
    /// Upper end of the interval; `None` beyond the horizon.
    pub high: Option<f64>,
    /// Whether the percentile itself lies beyond the horizon.
    pub beyond_horizon: bool,
}

/// Percentiles of autonomy.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct AutonomyDays {
    /// Nine trials in ten last at least this long.
    pub p10: Days,
    /// Every other trial lasts at least this long.
    pub p50: Days,
    /// One trial in ten lasts at least this long.
    pub p90: Days,
}

/// Percentiles of a state of charge, 0 to 1.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct SocPercentiles {
    /// One trial in twenty is at or below.
    pub p05: f64,
    /// One trial in ten is at or below.
    pub p10: f64,
    /// Half the trials are at or below.
    pub p50: f64,
    /// Nine trials in ten are at or below.
    pub p90: f64,
}

/// Percentiles of the state of charge at dawn, 0 to 1.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct DawnSoc {
    /// One trial in ten is at or below.
    pub p10: f64,
    /// Half the trials are at or below.
    pub p50: f64,
    /// Nine trials in ten are at or below.
    pub p90: f64,
}

/// Median and ninth decile.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct P50P90 {
    /// Median.
    pub p50: f64,
    /// Nine trials in ten are at or below.
    pub p90: f64,
}
