//! The clearness index of a day, ready to draw.
//!
//! One job: what is known of a month's days in, a table from normal deviate to clearness index out.
//! The distributions behind it are in `sky::hollands_huget` and `sky::percentile_curve`.
//! Left out: persistence, which lies in the deviates: `sky::day_persistence`.

use std::fmt;

use super::beta_line::BetaLine;
use super::deviate_grid::{LARGEST_Z, NODES, NODES_PER_UNIT, cell, node_weights, node_z};
use super::hollands_huget::{HollandsHuget, upper_limit};
use super::memo::Memo;
use super::normal::normal_cdf;
use super::percentile_curve::percentile_nodes;
use crate::units::bisected;

/// The largest mean clearness index that a month can have here; no place on Earth reaches 0.8.
pub const MAX_MEAN_KT: f64 = 0.85;

/// No day is darker, where the mean allows it. Ours: heavy overcast lets 2 to 5 % through.
const DARKEST_KT: f64 = 0.02;

/// Why no distribution of clearness can be made.
#[derive(Debug, Clone, PartialEq)]
pub enum KtError {
    /// The mean is no number from 0 to the largest possible.
    Mean {
        /// As given.
        mean: f64,
        /// The largest possible.
        most: f64,
    },
    /// The standard deviation is negative or no number.
    Spread {
        /// As given.
        sd: f64,
    },
    /// The percentiles don't rise from 0 to 1 in both columns.
    Percentiles {
        /// Index of the first that doesn't fit.
        index: usize,
    },
    /// There is no month to take values from.
    NoMonth,
}

impl fmt::Display for KtError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Mean { mean, most } => write!(
                f,
                "mean clearness index is {mean:.3}, but no spread of days can hold a mean outside 0 to {most:.2}"
            ),
            Self::Spread { sd } => write!(
                f,
                "standard deviation of the clearness index is {sd}, but must be 0 or more"
            ),
            Self::Percentiles { index } => write!(
                f,
                "percentile {index} of the clearness index does not rise within 0 to 1"
            ),
            Self::NoMonth => write!(f, "no month is given"),
        }
    }
}

impl std::error::Error for KtError {}

/// Distributions by mean and standard deviation, and by these and percentiles: what they were made of, as bits.
static BY_MEAN: Memo<(u64, Option<u64>), Result<KtQuantile, KtError>> = Memo::new();
static BY_PERCENTILES: Memo<Vec<u64>, KtQuantile> = Memo::new();

/// Clearness index of a day as a function of a standard normal deviate.
///
/// Linear between nodes 1/16 apart, held beyond ±4 (one day in 16,000 on each side).
#[derive(Debug, Clone, PartialEq)]
pub struct KtQuantile {
    nodes: Box<[f64; NODES]>,
    mean: f64,
}

impl KtQuantile {
    /// By the mean alone, or by mean and standard deviation.
    ///
    /// | argument | meaning | unit | accepted |
    /// |---|---|---|---|
    /// | `mean` | mean clearness index | share | 0 to [`MAX_MEAN_KT`]; 0 in polar night |
    /// | `sd` | standard deviation of the days | share | 0 or more |
    ///
    /// Without `sd` the days follow Hollands and Huget with their upper limit for that mean. With
    /// it, ours, each day's distance from the mean is multiplied by one factor, days beyond the
    /// limits (0.02, or a quarter of a lower mean, and that upper limit) stay at them, and the
    /// whole is shifted so that the mean holds; the factor is found by bisection so that the
    /// standard deviation holds too. One larger than the limits allow gives the largest possible.
    ///
    /// Below a mean of 0.5 the shape that is stretched turns, wholly at 0.4, to a Beta distribution on
    /// 0.05 to 1 with that mean and standard deviation, also ours: Hollands and Huget have too many
    /// very dark days in cloudy climates. In units of the standard deviation their tenth percentile
    /// lies 1.44 and 1.48 below the mean at Sand Point and De Bilt, the Beta's 1.24 and 1.27, the
    /// measured one 1.16 and 1.29.
    ///
    /// # Validity
    /// The mean holds to 1e-4, the standard deviation to 1e-3, interpolation to 5e-4. Means below
    /// 0.1: see [`upper_limit`].
    ///
    /// # Errors
    /// [`KtError::Mean`], [`KtError::Spread`].
    ///
    /// # Source
    /// [`HollandsHuget`]. A Beta distribution of daily clearness: F. Youcef Ettoumi, A. Mefti, A.
    /// Adane, M. Y. Bouroubi, "Statistical analysis of solar measurements in Algeria using beta
    /// distributions", Renewable Energy 26(1), 47-67, 2002 (from memory).
    pub fn from_mean(mean: f64, sd: Option<f64>) -> Result<Self, KtError> {
        check(mean, sd.unwrap_or(0.0), MAX_MEAN_KT)?;
        if mean <= 0.0 || sd.is_some_and(|sd| sd <= 0.0) {
            return Ok(Self::fixed(mean));
        }
        BY_MEAN.get_or((mean.to_bits(), sd.map(f64::to_bits)), || {
            Self::worked_out(mean, sd)
        })
    }

    fn worked_out(mean: f64, sd: Option<f64>) -> Result<Self, KtError> {
        let upper = upper_limit(mean);
        let days = HollandsHuget::new(mean, upper).ok_or(KtError::Mean {
            mean,
            most: MAX_MEAN_KT,
        })?;
        let raw = nodes_of(|z| days.quantile(normal_cdf(z)));
        Ok(match sd {
            None => Self::from_nodes(shifted(&raw, 1.0, mean, (0.0, upper))),
            Some(sd) => {
                let shape = cloudy_shape(raw, mean, sd);
                Self::from_nodes(stretched(&shape, mean, sd, limits(mean, upper)))
            }
        })
    }

    /// By measured percentiles of the days, with their mean and standard deviation.
    ///
    /// | argument | meaning | unit | accepted |
    /// |---|---|---|---|
    /// | `mean`, `sd` | mean and standard deviation | share | 0 to 1; 0 or more |
    /// | `percentiles` | probability and clearness index | share | rising, inside 0 to 1 |
    ///
    /// Between the percentiles a monotone cubic over the normal deviate; outside them tails that
    /// run out towards the limits, their two rates chosen so that mean and standard deviation hold.
    /// What no pair of rates can hold is met by stretching and shifting the whole, as in
    /// [`KtQuantile::from_mean`], which moves the percentiles a little: the mean comes first, then
    /// the standard deviation, then they.
    ///
    /// # Errors
    /// [`KtError::Mean`], [`KtError::Spread`], [`KtError::Percentiles`].
    ///
    /// # Source
    /// Ours; the monotone cubic is F. N. Fritsch, R. E. Carlson, SIAM J. Numer. Anal. 17(2),
    /// 238-246, 1980, doi:10.1137/0717021, with the weighted harmonic slopes of F. N. Fritsch, J.
    /// Butland, SIAM J. Sci. Stat. Comput. 5(2), 300-304, 1984, doi:10.1137/0905021.
    pub fn from_percentiles(
        mean: f64,
        sd: f64,
        percentiles: &[(f64, f64)],
    ) -> Result<Self, KtError> {
        check(mean, sd, 1.0)?;
        let mut last = (0.0, 0.0);
        for (index, &(p, kt)) in percentiles.iter().enumerate() {
            if !(p > last.0 && p < 1.0 && kt >= last.1 && kt <= 1.0) {
                return Err(KtError::Percentiles { index });
            }
            last = (p, kt);
        }
        if mean <= 0.0 || sd <= 0.0 {
            return Ok(Self::fixed(mean));
        }
        let &[(_, first), .., (_, last)] = percentiles else {
            return Self::from_mean(mean, Some(sd));
        };
        let given = percentiles.iter().flat_map(|&(p, kt)| [p, kt]);
        let key = [mean, sd].into_iter().chain(given).map(f64::to_bits);
        Ok(BY_PERCENTILES.get_or(key.collect(), || {
            let upper = upper_limit(mean).max(last).max(mean).min(1.0);
            let (low, high) = limits(mean, upper);
            let low = low.min(first / 2.0);
            let raw = percentile_nodes((mean, sd), percentiles, (low, high));
            Self::from_nodes(stretched(&raw, mean, sd, (low, high)))
        }))
    }

    /// Every day the same, 0 to 1.
    #[must_use]
    pub fn fixed(mean: f64) -> Self {
        debug_assert!((0.0..=1.0).contains(&mean), "mean {mean}");
        Self {
            nodes: Box::new([mean; NODES]),
            mean,
        }
    }

    /// Mean over all days.
    #[must_use]
    pub fn mean(&self) -> f64 {
        self.mean
    }

    /// Standard deviation over all days.
    #[must_use]
    pub fn sd(&self) -> f64 {
        moments(&self.nodes).1
    }

    /// Clearness index of the day with a standard normal deviate `z`.
    #[must_use]
    #[inline]
    pub fn kt(&self, z: f64) -> f64 {
        let (index, share) = cell((z + LARGEST_Z) * NODES_PER_UNIT, NODES);
        let (low, high) = (self.nodes[index], self.nodes[index + 1]);
        low + (high - low) * share
    }

    fn from_nodes(nodes: Box<[f64; NODES]>) -> Self {
        let (mean, _) = moments(&nodes);
        Self { nodes, mean }
    }
}

fn check(mean: f64, sd: f64, most: f64) -> Result<(), KtError> {
    if !(0.0..=most).contains(&mean) {
        return Err(KtError::Mean { mean, most });
    }
    if !(sd >= 0.0 && sd.is_finite()) {
        return Err(KtError::Spread { sd });
    }
    Ok(())
}

fn limits(mean: f64, upper: f64) -> (f64, f64) {
    (DARKEST_KT.min(mean / 4.0), upper)
}

fn nodes_of(kt: impl Fn(f64) -> f64) -> Box<[f64; NODES]> {
    Box::new(core::array::from_fn(|index| kt(node_z(index))))
}

/// Means between which the shape turns from the Beta distribution to that of Hollands and Huget.
const CLOUDY_MEAN: (f64, f64) = (0.4, 0.5);
/// Where the Beta distribution of a cloudy climate begins; it ends at 1.
const BETA_FROM: f64 = 0.05;

/// `raw` turned towards the Beta distribution in a cloudy climate; `raw` itself where there is none.
fn cloudy_shape(raw: Box<[f64; NODES]>, mean: f64, sd: f64) -> Box<[f64; NODES]> {
    let (cloudy, clear) = CLOUDY_MEAN;
    let share = ((clear - mean) / (clear - cloudy)).clamp(0.0, 1.0);
    let from = BETA_FROM.min(mean / 4.0);
    let range = 1.0 - from;
    let beta = BetaLine::new((mean - from) / range, sd / range).filter(|_| share > 0.0);
    let Some(beta) = beta else { return raw };
    let mut turned = raw;
    for (index, kt) in turned.iter_mut().enumerate() {
        let other = from + range * beta.quantile_z(node_z(index));
        *kt += (other - *kt) * share;
    }
    turned
}

/// Mean and standard deviation of a table.
fn moments(nodes: &[f64; NODES]) -> (f64, f64) {
    let weights = node_weights();
    let mean: f64 = nodes.iter().zip(weights).map(|(k, w)| k * w).sum();
    let square: f64 = nodes
        .iter()
        .zip(weights)
        .map(|(k, w)| (k - mean) * (k - mean) * w)
        .sum();
    (mean, libm::sqrt(square.max(0.0)))
}

/// `raw` stretched about its mean by `factor`, held within the limits and shifted so that the mean
/// holds.
fn shifted(
    raw: &[f64; NODES],
    factor: f64,
    mean: f64,
    (low, high): (f64, f64),
) -> Box<[f64; NODES]> {
    let weights = node_weights();
    let (raw_mean, _) = moments(raw);
    let place = |k: f64, shift: f64| mean + shift + (k - raw_mean) * factor;
    let reach = (high - low) * (1.0 + factor);
    let (mut least, mut most, mut shift) = (-reach, reach, 0.0);
    // Newton on a broken line that rises with the shift, kept inside a shrinking bracket.
    for _ in 0..60 {
        let (mut sum, mut slope) = (0.0, 0.0);
        for (&k, &w) in raw.iter().zip(weights) {
            let at = place(k, shift);
            sum += at.clamp(low, high) * w;
            if at > low && at < high {
                slope += w;
            }
        }
        let excess = sum - mean;
        if excess.abs() < 1e-13 {
            break;
        }
        if excess > 0.0 {
            most = shift;
        } else {
            least = shift;
        }
        let newton = shift - excess / slope;
        shift = if newton > least && newton < most {
            newton
        } else {
            f64::midpoint(least, most)
        };
    }
    Box::new(raw.map(|k| place(k, shift).clamp(low, high)))
}

/// `raw` stretched so that mean and, as far as the limits allow, standard deviation hold.
fn stretched(raw: &[f64; NODES], mean: f64, sd: f64, limits: (f64, f64)) -> Box<[f64; NODES]> {
    let (_, raw_sd) = moments(raw);
    if raw_sd <= 0.0 {
        return Box::new([mean; NODES]);
    }
    let first = sd / raw_sd;
    let spread = |factor: f64| moments(&shifted(raw, factor, mean, limits)).1;
    let (mut low, mut high) = (0.0, first);
    for _ in 0..8 {
        if spread(high) >= sd {
            break;
        }
        low = high;
        high *= 2.0;
    }
    let (_, factor) = bisected(low, high, 30, |factor| spread(factor) < sd);
    shifted(raw, factor, mean, limits)
}

#[cfg(test)]
#[path = "clearness_tests.rs"]
mod tests;
