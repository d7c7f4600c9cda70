//! Figures of an ensemble: chances, percentiles and means with their intervals.
//!
//! One job: from counts and values to the numbers of an answer. Shares and days are given
//! to six decimals: more would show the two-byte and four-byte forms in which trials are kept.

use super::answer::{AutonomyDays, Chance, DawnSoc, Days, P50P90, SocPercentiles};
use crate::trials::intervals::wilson;
use crate::trials::{Ensemble, NightEnsemble, of_ranks, rank, rank_interval};
use crate::units::Whole;

/// To six decimals; never a zero with a sign.
#[must_use]
pub fn tidy(value: f64) -> f64 {
    let fits = (value * 1e6).is_finite();
    let tidied = if fits {
        (value * 1e6).round() / 1e6
    } else {
        value
    };
    tidied + 0.0
}

/// Chance of something that happened in `hits` of `trials`.
#[must_use]
pub fn chance(hits: u64, trials: u64) -> Chance {
    let (low, high) = wilson(hits, trials);
    let value = hits.real() / trials.real();
    Chance {
        value: tidy(value),
        low: tidy(low),
        high: tidy(high),
    }
}

/// Chance of what held in some trials and not in others.
#[must_use]
pub fn chance_of(held: &[bool]) -> Chance {
    let hits = held.iter().filter(|&&held| held).count();
    chance(hits as u64, held.len() as u64)
}

/// Trials that never fall short, by their days to the first shortfall.
#[must_use]
pub fn never(autonomy_days: &[f32]) -> u64 {
    let never = autonomy_days.iter().filter(|days| days.is_infinite());
    never.count() as u64
}

/// Chance of something that happened in `hits` trials of an ensemble; without an interval where it is
/// one trip without chance.
#[must_use]
pub fn chance_in(ensemble: &Ensemble, hits: u64) -> Chance {
    let found = chance(hits, ensemble.trials);
    if ensemble.is_typical {
        let value = found.value;
        return Chance {
            value,
            low: value,
            high: value,
        };
    }
    found
}

/// Order statistics of values in any order, of ascending ranks from 1.
#[must_use]
pub fn at_ranks<const N: usize>(values: &[f32], ranks: [usize; N]) -> [f32; N] {
    of_ranks(&mut values.to_vec(), ranks, f32::total_cmp)
}

/// Percentiles to six decimals, of ascending `p`; no number without values.
fn percentiles<const N: usize>(values: &[f32], p: [f64; N]) -> [f64; N] {
    if values.is_empty() {
        return [f64::NAN; N];
    }
    let found = at_ranks(values, p.map(|p| rank(p, values.len())));
    found.map(|value| tidy(f64::from(value)))
}

/// A percentile as it is, of one or more values in any order.
#[must_use]
pub fn percentile(values: &[f32], p: f64) -> f64 {
    let [value] = at_ranks(values, [rank(p, values.len())]);
    f64::from(value)
}

/// Percentiles of a state of charge.
#[must_use]
pub fn soc_percentiles(values: &[f32]) -> SocPercentiles {
    let [p05, p10, p50, p90] = percentiles(values, [0.05, 0.10, 0.50, 0.90]);
    SocPercentiles { p05, p10, p50, p90 }
}

/// Percentiles of the state of charge at the dawn of a night.
#[must_use]
pub fn dawn_soc(night: &NightEnsemble) -> DawnSoc {
    let found = night.dawn_soc([0.1, 0.5, 0.9]).unwrap_or([f64::NAN; 3]);
    let [p10, p50, p90] = found.map(tidy);
    DawnSoc { p10, p50, p90 }
}

/// Median and ninth decile.
#[must_use]
pub fn p50_p90(values: &[f32]) -> P50P90 {
    let [p50, p90] = percentiles(values, [0.5, 0.9]);
    P50P90 { p50, p90 }
}

/// Percentiles of autonomy, from one or more days in any order; infinite: beyond the horizon.
#[must_use]
pub fn autonomy(days: &[f32]) -> AutonomyDays {
    let count = days.len();
    let ranks = [0.1, 0.5, 0.9].map(|p| {
        let (low, high) = rank_interval(p, count);
        [low, rank(p, count), high]
    });
    // The intervals of a small sample overlap.
    let mut ascending = ranks.concat();
    ascending.sort_unstable();
    let mut ordered = [0; 9];
    ordered.copy_from_slice(&ascending);
    let found = at_ranks(days, ordered);
    let of = |rank: usize| found[ordered.partition_point(|&known| known < rank)];
    let [p10, p50, p90] = ranks.map(|[low, middle, high]| {
        let is_within = of(middle).is_finite();
        let finite = |rank: usize| {
            let value = Some(of(rank)).filter(|value| is_within && value.is_finite());
            value.map(|value| tidy(f64::from(value)))
        };
        Days {
            value: finite(middle),
            low: finite(low),
            high: finite(high),
            beyond_horizon: !is_within,
        }
    });
    AutonomyDays { p10, p50, p90 }
}

/// Trials that last at least so long, for each of some ascending `days`.
#[must_use]
pub fn lasting_each(values: &[f32], days: &[f64]) -> Vec<u64> {
    // How many outlast just so many of the days; then, from the last on, at least so many.
    let mut outlast = vec![0; days.len() + 1];
    for &value in values {
        outlast[days.partition_point(|&days| days <= f64::from(value))] += 1;
    }
    let mut sum = 0;
    for count in outlast.iter_mut().rev() {
        sum += *count;
        *count = sum;
    }
    outlast.remove(0);
    outlast
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lasting_of_all_days_is_that_of_each() {
        let values = [0.0, 1.5, 2.0, 2.0, 7.25, f32::INFINITY];
        let days = [0.0, 1.0, 2.0, 2.5, 8.0];
        let lasting = |days: f64| {
            values
                .iter()
                .filter(move |value| f64::from(**value) >= days)
        };
        let each: Vec<u64> = days.map(|days| lasting(days).count() as u64).to_vec();
        assert_eq!(lasting_each(&values, &days), each);
        assert_eq!(each, [6, 5, 4, 2, 1]);
    }
}
