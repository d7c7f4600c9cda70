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
    /// Standard deviation of the true mean clearness about that of `kt`, as a share of it: what is not known
    /// of the climate. 0 where the source is taken at its word.
    pub mean_rel_sd: f64,
    /// Mean daily minimum temperature.
    pub min_c: f64,
    /// Mean daily maximum temperature.
    pub max_c: f64,
    /// Standard deviation of the day's temperature about these means.
    pub anomaly_sd_c: f64,
}
