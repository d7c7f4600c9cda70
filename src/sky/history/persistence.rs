//! How far a day's clearness is that of the day before.
//!
//! One job: the lag-1 autocorrelation of a record.

use std::ops::Range;

use chrono::Datelike;

use super::series::HistoryDay;
use crate::units::Whole;

/// Lag-1 autocorrelation of the daily clearness index: deviations from the mean of their calendar month,
/// products of neighbours over squares, pooled over the record. 0 for a record without spread.
pub(super) fn lag1(days: &[HistoryDay], stretches: &[Range<usize>]) -> f64 {
    let mut sums = [(0.0, 0_usize); 12];
    for day in days {
        let month = &mut sums[day.date.month0() as usize];
        month.0 += day.kt;
        month.1 += 1;
    }
    let deviation = |day: &HistoryDay| {
        let (sum, count) = sums[day.date.month0() as usize];
        day.kt - sum / count.max(1).real()
    };
    let (mut products, mut squares) = (0.0, 0.0);
    for stretch in stretches {
        for pair in days[stretch.clone()].windows(2) {
            products += deviation(&pair[0]) * deviation(&pair[1]);
        }
    }
    for day in days {
        squares += deviation(day).powi(2);
    }
    if squares > 1e-12 {
        products / squares
    } else {
        0.0
    }
}
