//! Figures of an ensemble: chances, percentiles and means with their intervals.
//!
//! One job: from counts and sorted values to the numbers of an answer. Shares and days are given
//! to six decimals: more would show the two-byte and four-byte forms in which trials are kept.

use super::answer::{AutonomyDays, Chance, DawnSoc, Days, P50P90, SocPercentiles};
use crate::trials::intervals::wilson;
use crate::trials::{order_statistic, rank, rank_interval};

/// To six decimals.
#[must_use]
pub fn tidy(value: f64) -> f64 {
    (value * 1e6).round() / 1e6
}

/// Chance of something that happened in `hits` of `trials`.
#[must_use]
pub fn chance(hits: u64, trials: u64) -> Chance {
    let (low, high) = wilson(hits, trials);
    #[expect(clippy::cast_precision_loss, reason = "counts of trials")]
    let value = hits as f64 / trials as f64;
    Chance {
        value: tidy(value),
        low: tidy(low),
        high: tidy(high),
    }
}

/// Ascending copy.
#[must_use]
pub fn ascending(values: &[f32]) -> Vec<f32> {
    let mut sorted = values.to_vec();
    sorted.sort_unstable_by(f32::total_cmp);
    sorted
}

fn percentile(ascending: &[f32], p: f64) -> f64 {
    tidy(order_statistic(ascending, p).map_or(f64::NAN, f64::from))
}

/// Percentiles of a state of charge.
#[must_use]
pub fn soc_percentiles(values: &[f32]) -> SocPercentiles {
    let sorted = ascending(values);
    SocPercentiles {
        p05: percentile(&sorted, 0.05),
        p10: percentile(&sorted, 0.10),
        p50: percentile(&sorted, 0.50),
        p90: percentile(&sorted, 0.90),
    }
}

/// Percentiles of the state of charge at dawn, from ascending values.
#[must_use]
pub fn dawn_soc(ascending: &[f64]) -> DawnSoc {
    let at = |p| tidy(order_statistic(ascending, p).unwrap_or(f64::NAN));
    DawnSoc {
        p10: at(0.1),
        p50: at(0.5),
        p90: at(0.9),
    }
}

/// Median and ninth decile.
#[must_use]
pub fn p50_p90(values: &[f32]) -> P50P90 {
    let sorted = ascending(values);
    P50P90 {
        p50: percentile(&sorted, 0.5),
        p90: percentile(&sorted, 0.9),
    }
}

/// Percentiles of autonomy, from days in any order; infinite: beyond the horizon.
#[must_use]
pub fn autonomy(days: &[f32]) -> AutonomyDays {
    let sorted = ascending(days);
    let at = |p: f64| {
        let value = sorted[rank(p, sorted.len()) - 1];
        let (low, high) = rank_interval(p, sorted.len());
        let finite = |value: f32| value.is_finite().then(|| tidy(f64::from(value)));
        if value.is_finite() {
            Days {
                value: finite(value),
                low: finite(sorted[low - 1]),
                high: finite(sorted[high - 1]),
                beyond_horizon: false,
            }
        } else {
            Days {
                value: None,
                low: None,
                high: None,
                beyond_horizon: true,
            }
        }
    };
    AutonomyDays {
        p10: at(0.1),
        p50: at(0.5),
        p90: at(0.9),
    }
}

/// Trials that last at least `days`.
#[must_use]
pub fn lasting(values: &[f32], days: f64) -> u64 {
    values
        .iter()
        .filter(|value| f64::from(**value) >= days)
        .count() as u64
}
