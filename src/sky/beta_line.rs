//! Quantiles of a Beta distribution over the normal deviate.
//!
//! One job: mean and standard deviation in, the inverse distribution out, by one numerical integral for all of its
//! points. The table built from it is in `sky::hour_table`.
//! Left out: supports other than 0 to 1.

use super::normal::{normal_density, normal_quantile};
use super::percentile_curve::hermite;

const POINTS: usize = 72;

/// A Beta distribution on 0 to 1, tabled so that `quantile_z` is quick.
///
/// In the log-odds `y = ln(x / (1 - x))` the density is `xᵃ (1 - x)ᵇ`, smooth and with one peak; the cumulative sum
/// runs over points `y₀ + c · sinh t`, dense at the peak and wide in the tails, with the trapezoid rule's
/// end correction in every part.
///
/// # Validity
/// Shape parameters from 0.02 to 1e6; deviates from -5 to 5, held beyond; within 1e-5 of the exact
/// inverse for shapes above 1 (tested against an incomplete Beta function).
///
/// # Source
/// Definition of the Beta distribution; parameters by the method of moments.
#[derive(Debug, Clone)]
pub struct BetaLine {
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
    pub fn new(mean: f64, sd: f64) -> Option<Self> {
        let most = mean * (1.0 - mean);
        let sum = most / (sd * sd) - 1.0;
        if !(mean > 0.0 && mean < 1.0 && sd > 0.0 && sum > 0.0 && sum.is_finite()) {
            return None;
        }
        Some(Self::from_shapes(mean * sum, (1.0 - mean) * sum))
    }

    fn from_shapes(a: f64, b: f64) -> Self {
        let peak = libm::log(a / b);
        let width = 1.0 / libm::sqrt(a * b / (a + b));
        let scale = 2.0 * width;
        let start = -libm::asinh((6.4 * width + 20.0 / a) / scale);
        let end = libm::asinh((6.4 * width + 20.0 / b) / scale);
        #[expect(clippy::cast_precision_loss, reason = "at most 71")]
        let step = (end - start) / (POINTS - 1) as f64;

        // Log-odds, density over them, density over t and its slope.
        let height = log_density(a, b, peak);
        let grid: [[f64; 4]; POINTS] = core::array::from_fn(|index| {
            #[expect(clippy::cast_precision_loss, reason = "at most 71")]
            let grown = libm::exp(start + index as f64 * step);
            let (sinh, cosh) = (0.5 * (grown - 1.0 / grown), 0.5 * (grown + 1.0 / grown));
            let y = peak + scale * sinh;
            let density = libm::exp(log_density(a, b, y) - height);
            let dy = scale * cosh;
            let bend = a - (a + b) / (1.0 + libm::exp(-y));
            [
                y,
                density,
                density * dy,
                density * (bend * dy * dy + scale * sinh),
            ]
        });
        let part = |i: usize| {
            let (left, right) = (grid[i], grid[i + 1]);
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
    pub fn quantile_z(&self, z: f64) -> f64 {
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

/// `a ln x + b ln(1 - x)` at log-odds `y`.
fn log_density(a: f64, b: f64, y: f64) -> f64 {
    let small = libm::log1p(libm::exp(-y.abs()));
    if y > 0.0 {
        -a * small - b * (y + small)
    } else {
        a * (y - small) - b * small
    }
}
