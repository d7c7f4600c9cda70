//! The climate of one day at one place.
//!
//! One job: the form in which every source of climate hands a day over. The user's own months are
//! read in `sky::monthly`, records in `sky::history`.
//! Left out: wind.

use super::clearness::KtQuantile;

/// What a trial draws a day from.
#[derive(Debug, Clone, PartialEq)]
pub struct DayClimate {
    /// Distribution of the day's clearness index.
    pub kt: KtQuantile,
    /// Mean daily minimum temperature.
    pub min_c: f64,
    /// Mean daily maximum temperature.
    pub max_c: f64,
    /// Standard deviation of the day's temperature about these means.
    pub anomaly_sd_c: f64,
}
