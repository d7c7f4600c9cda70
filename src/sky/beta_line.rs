//! Quantiles of a Beta distribution over the normal deviate.
//!
//! One job: mean and standard deviation in, the inverse distribution out, by one numerical integral
//! for all of its points. The table built from it is in `sky::hour_table`.
//! Left out: supports other than 0 to 1.

use super::monotone_cubic::hermite;
use super::normal::{normal_density, normal_quantile};
use crate::units::Whole;

/// Points on each side of the peak, the peak itself apart.
const HALF: usize = 36;
const POINTS: usize = 2 * HALF + 1;

/// A Beta distribution on 0 to 1, tabled so that `quantile_z` is quick.
///
/// In the log-odds `y = ln(x / (1 - x))` the density is `xᵃ (1 - x)ᵇ`, smooth and with one peak;
/// the cumulative sum runs over points at distances `c · sinh t` from it, each side with its own
/// `c`, dense at the peak and wide in the tails, with the trapezoid rule's end correction in every
/// part.
///
/// # Validity
/// Deviates from -5 to 5, held beyond. The share below a quantile is within 0.2 % of the one asked
/// for, of the smaller tail, for shapes from 0.05 to 50,000 (tested against an incomplete Beta
/// function).
///
/// # Source
/// Definition of the Beta distribution; parameters by the method of moments.
#[derive(Debug, Clone)]
pub(super) struct BetaLine {
    /// Deviate, log-odds, and slope of the log-odds over the deviate.
    points: [(f64, f64, f64); POINTS],
}

impl BetaLine {
    /// The distribution with a mean and a standard deviation.
    ///
    /// | argument | meaning | unit | accepted |
    /// |---|---|---|---|
    /// | `mean` | mean | share | above 0, below 1 |
    /// | `sd` | standard deviation | share | above 0, its square below `mean · (1 - mean)` |
    ///
    /// Returns nothing where no such distribution exists.
    #[must_use]
    pub(super) fn new(mean: f64, sd: f64) -> Option<Self> {
        let most = mean * (1.0 - mean);
        let sum = most / (sd * sd) - 1.0;
        if !(mean > 0.0 && mean < 1.0 && sd > 0.0 && sum > 0.0 && sum.is_finite()) {
            return None;
        }
        Some(Self::from_shapes(mean * sum, (1.0 - mean) * sum))
    }

    fn from_shapes(a: f64, b: f64) -> Self {
        let (peak, ends) = (libm::log(a / b), [Side::new(a, b), Side::new(b, a)]);
        let height = log_density(a, b, peak);
        let row = |sign: f64, side: &Side, index: usize| {
            let (away, stretch) = side.at(index);
            let y = peak + sign * away;
            let density = libm::exp(log_density(a, b, y) - height);
            let bend = sign * (a - (a + b) / (1.0 + libm::exp(-y)));
            // Log-odds, density over them, density over t and its slope away from the peak.
            let slope = density * (bend * stretch * stretch + away);
            [y, density, density * stretch, sign * slope]
        };
        let grid: [[f64; 4]; POINTS] = core::array::from_fn(|index| {
            if index < HALF {
                row(-1.0, &ends[0], HALF - index)
            } else {
                row(1.0, &ends[1], index - HALF)
            }
        });
        // Where the sides meet, the left one reads its own row of the peak.
        let meeting = row(-1.0, &ends[0], 0);
        let part = |i: usize| {
            let left = grid[i];
            let right = if i + 1 == HALF { meeting } else { grid[i + 1] };
            let step = ends[usize::from(i >= HALF)].step;
            step * (0.5 * (left[2] + right[2]) + step * (left[3] - right[3]) / 12.0)
        };
        let mut below = [grid[0][1] / a; POINTS];
        let mut above = [grid[POINTS - 1][1] / b; POINTS];
        for i in 1..POINTS {
            below[i] = below[i - 1] + part(i - 1);
            above[POINTS - 1 - i] = above[POINTS - i] + part(POINTS - 1 - i);
        }
        let total = below[POINTS - 1] + above[POINTS - 1];
        let points = core::array::from_fn(|i| {
            let [y, density, ..] = grid[i];
            let z = if below[i] < above[i] {
                normal_quantile(below[i] / total)
            } else {
                -normal_quantile(above[i] / total)
            };
            (z, y, normal_density(z) * total / density)
        });
        Self { points }
    }

    /// Quantile at a deviate: the share of the distribution below it is the normal share below `z`.
    #[must_use]
    pub(super) fn quantile_z(&self, z: f64) -> f64 {
        1.0 / (1.0 + libm::exp(-self.log_odds_z(z)))
    }

    fn log_odds_z(&self, z: f64) -> f64 {
        let z = z.clamp(-5.0, 5.0);
        let right = self
            .points
            .partition_point(|p| p.0 < z)
            .clamp(1, POINTS - 1);
        let ((za, ya, sa), (zb, yb, sb)) = (self.points[right - 1], self.points[right]);
        let width = zb - za;
        hermite((z - za) / width, (ya, sa * width), (yb, sb * width))
    }
}

/// One side of the peak: distances `scale · sinh(index · step)`.
struct Side {
    scale: f64,
    step: f64,
}

impl Side {
    /// The side on which the density falls towards `exp(-rate · distance)`; `other` is the rate of
    /// the other side. Scaled to where it has fallen by half a power of e, ended where it has by
    /// 20.
    fn new(rate: f64, other: f64) -> Self {
        let scale = distance_of_drop(rate, other, 0.5);
        let end = libm::asinh(distance_of_drop(rate, other, 20.0) / scale);
        let step = end / HALF.real();
        Self { scale, step }
    }

    /// Distance of a point, and its slope over `t`.
    fn at(&self, index: usize) -> (f64, f64) {
        let grown = libm::exp(index.real() * self.step);
        let shrunk = 1.0 / grown;
        (
            0.5 * self.scale * (grown - shrunk),
            0.5 * self.scale * (grown + shrunk),
        )
    }
}

/// Distance from the peak at which the logarithm of the density has dropped by so much.
fn distance_of_drop(rate: f64, other: f64, drop: f64) -> f64 {
    // Seen from the side of `rate` the log-odds run down from the peak.
    let peak = libm::log(rate / other);
    let height = log_density(rate, other, peak);
    let sum = rate + other;
    let mut distance = libm::sqrt(2.0 * drop * sum / (rate * other)) + drop / rate;
    // Newton on a convex function, from its far side.
    for _ in 0..8 {
        let y = peak - distance;
        let excess = height - log_density(rate, other, y) - drop;
        let slope = rate - sum / (1.0 + libm::exp(-y));
        distance -= excess / slope;
        if excess.abs() < 0.01 * drop {
            break;
        }
    }
    distance
}

/// `a ln x + b ln(1 - x)` at log-odds `y`.
fn log_density(a: f64, b: f64, y: f64) -> f64 {
    let small = libm::log1p(libm::exp(-y.abs()));
    if y > 0.0 {
        -a * small - b * (y + small)
    } else {
        a * (y - small) - b * small
    }
}

#[cfg(test)]
mod tests {
    use statrs::distribution::{Beta, ContinuousCDF};

    use super::*;
    use crate::sky::normal::normal_cdf;

    /// Outside figures: the incomplete Beta function of a general-purpose statistics library. The
    /// share below our quantile against the share asked for, in relative terms of the smaller tail.
    #[test]
    fn outside_quantiles_against_the_incomplete_beta_function() {
        for (a, b) in [
            (3.2, 60.0),
            (60.0, 3.2),
            (4.0, 5.0),
            (1.0, 1.0),
            (0.5, 0.5),
            (0.05, 4.7),
            (4.7, 0.3),
            (400.0, 300.0),
            (5e4, 2e4),
        ] {
            let ours = BetaLine::from_shapes(a, b);
            let exact = Beta::new(a, b).unwrap();
            for step in -40..=40 {
                let z = f64::from(step) / 10.0;
                let x = ours.quantile_z(z);
                if !(1e-12..=1.0 - 1e-9).contains(&x) {
                    continue;
                }
                let (got, wanted) = if z < 0.0 {
                    (exact.cdf(x), normal_cdf(z))
                } else {
                    (exact.sf(x), normal_cdf(-z))
                };
                assert!((got / wanted - 1.0).abs() < 0.002, "{a} {b} {z}: {got}");
            }
        }
    }

    #[test]
    fn law_mean_and_spread_come_back() {
        for (mean, sd) in [(0.1, 0.05), (0.45, 0.16), (0.8, 0.05)] {
            let line = BetaLine::new(mean, sd).unwrap();
            let n = 4000;
            let values: Vec<f64> = (0..n)
                .map(|i| line.quantile_z(normal_quantile((f64::from(i) + 0.5) / f64::from(n))))
                .collect();
            let got = values.iter().sum::<f64>() / f64::from(n);
            let square = values.iter().map(|x| (x - got) * (x - got)).sum::<f64>();
            assert!((got - mean).abs() < 1e-4, "{got}");
            assert!(((square / f64::from(n)).sqrt() / sd - 1.0).abs() < 2e-3);
        }
    }

    #[test]
    fn refuses_what_no_beta_has() {
        for (mean, sd) in [
            (0.5, 0.5),
            (0.0, 0.1),
            (1.0, 0.1),
            (0.5, 0.0),
            (f64::NAN, 0.1),
        ] {
            assert!(BetaLine::new(mean, sd).is_none());
        }
    }
}
