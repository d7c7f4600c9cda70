//! How a month's days spread in clearness.
//!
//! One job: the mean clearness index of a month in, the distribution of its days out. The table
//! that trials draw from is in `sky::clearness`.
//! Left out: persistence from day to day; that is a matter of the draw.

use crate::units::{Whole, bisected};

/// The distribution with density `C · (1 - k/ku) · exp(λ k)` on 0 to `ku`.
///
/// # Source
/// K. G. T. Hollands, R. G. Huget, "A probability density function for the clearness index, with
/// applications", Solar Energy 30(3), 195-209, 1983. `λ` is solved for the mean by bisection
/// instead of by the paper's fit, which strays by up to 0.03 at low means.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HollandsHuget {
    upper: f64,
    /// `λ · ku`.
    x: f64,
}

/// Largest magnitude of `λ · ku`: the mean is then within 0.0001 of 0 or of the upper limit.
const STEEPEST: f64 = 20_000.0;

/// The clearest day of a month with a given mean clearness index.
///
/// | argument | meaning | unit | accepted |
/// |---|---|---|---|
/// | `mean_kt` | mean clearness index of the month | share | 0 to 1 |
///
/// # Validity
/// From 0.1 to 0.85. Below 0.1 the polynomial turns negative; there, ours, it keeps its ratio to
/// the mean as of 0.1 (2.79). Above 0.86 it is below the mean.
///
/// # Source
/// Attributed to Hollands and Huget 1983; `0.6313 + 0.267 K - 11.9 (K - 0.75)^8` was confirmed in
/// independent published code that names the paper.
#[must_use]
pub fn upper_limit(mean_kt: f64) -> f64 {
    const LOWEST: f64 = 0.1;
    let polynomial = |k: f64| {
        let d = k - 0.75;
        let d_4 = d * d * d * d;
        0.6313 + 0.267 * k - 11.9 * d_4 * d_4
    };
    if mean_kt < LOWEST {
        return polynomial(LOWEST) * mean_kt / LOWEST;
    }
    polynomial(mean_kt)
}

impl HollandsHuget {
    /// The distribution with a mean and an upper limit.
    ///
    /// | argument | meaning | unit | accepted |
    /// |---|---|---|---|
    /// | `mean` | mean | share | above 0, below `upper` |
    /// | `upper` | upper limit `ku` | share | above 0 |
    ///
    /// Returns nothing where no such distribution exists, or its mean is nearer than 0.0001 of the
    /// way to either end.
    #[must_use]
    pub fn new(mean: f64, upper: f64) -> Option<Self> {
        let target = mean / upper;
        let inside = target > mean_share(-STEEPEST) && target < mean_share(STEEPEST);
        if !(inside && upper > 0.0) {
            return None;
        }
        // 15 halvings of 40,000 reach 1; 55 more reach the last bit.
        let (low, high) = bisected(-STEEPEST, STEEPEST, 70, |x| mean_share(x) < target);
        Some(Self {
            upper,
            x: f64::midpoint(low, high),
        })
    }

    /// `λ` of the density.
    #[must_use]
    pub fn lambda(&self) -> f64 {
        self.x / self.upper
    }

    /// The upper limit `ku`.
    #[must_use]
    pub fn upper(&self) -> f64 {
        self.upper
    }

    /// Mean.
    #[must_use]
    pub fn mean(&self) -> f64 {
        self.upper * mean_share(self.x)
    }

    /// Standard deviation.
    #[must_use]
    pub fn sd(&self) -> f64 {
        let m = moments(self.x);
        let below = m[0] - m[1];
        let mean = (m[1] - m[2]) / below;
        let square = (m[2] - m[3]) / below;
        self.upper * libm::sqrt((square - mean * mean).max(0.0))
    }

    /// Probability of a day of at most `k`.
    #[must_use]
    pub fn cdf(&self, k: f64) -> f64 {
        share_below((k / self.upper).clamp(0.0, 1.0), self.x)
    }

    /// The clearness index that a share `p` of the days stays below, inverse of [`Self::cdf`].
    ///
    /// | argument | meaning | unit | accepted |
    /// |---|---|---|---|
    /// | `p` | probability | share | 0 to 1 |
    #[must_use]
    pub fn quantile(&self, p: f64) -> f64 {
        debug_assert!((0.0..=1.0).contains(&p), "probability {p}");
        let (mut low, mut high) = (0.0, 1.0);
        let mut t = 0.5;
        let whole = moments(self.x);
        let scale = 1.0 / (whole[0] - whole[1]);
        let shift = if self.x >= 2.0 { 1.0 } else { 0.0 };
        for _ in 0..100 {
            let excess = share_below(t, self.x) - p;
            if excess < 0.0 {
                low = t;
            } else {
                high = t;
            }
            // Newton's step, or the middle where that leaves the bracket.
            let density = scale * (1.0 - t) * libm::exp(self.x * (t - shift));
            let newton = t - excess / density.max(1e-300);
            let next = if newton > low && newton < high {
                newton
            } else {
                f64::midpoint(low, high)
            };
            if (next - t).abs() < 1e-13 {
                break;
            }
            t = next;
        }
        self.upper * t
    }
}

/// `∫ tⁿ exp(x (t - s)) dt` over 0 to 1 for n = 0 to 3; `s` is 1 for positive `x`, else 0, so that
/// nothing overflows. Only ratios of them are used.
fn moments(x: f64) -> [f64; 4] {
    if x.abs() < 2.0 {
        return core::array::from_fn(|n| {
            let mut sum = 0.0;
            let mut term = 1.0;
            for j in 0..30_u32 {
                sum += term / (n.real() + f64::from(j) + 1.0);
                term *= x / f64::from(j + 1);
            }
            sum
        });
    }
    let at_1 = if x > 0.0 { 1.0 } else { libm::exp(x) };
    let at_0 = if x > 0.0 { libm::exp(-x) } else { 1.0 };
    let m_0 = (at_1 - at_0) / x;
    let m_1 = (at_1 - m_0) / x;
    let m_2 = (at_1 - 2.0 * m_1) / x;
    let m_3 = (at_1 - 3.0 * m_2) / x;
    [m_0, m_1, m_2, m_3]
}

/// Mean over the upper limit.
fn mean_share(x: f64) -> f64 {
    let m = moments(x);
    (m[1] - m[2]) / (m[0] - m[1])
}

/// `exp(u) - 1 - u` without cancellation.
fn exp_beyond_linear(u: f64) -> f64 {
    if u.abs() > 0.5 {
        return libm::exp(u) - 1.0 - u;
    }
    let mut sum = 0.0;
    let mut term = 0.5 * u * u;
    for n in 3..18_u32 {
        sum += term;
        term *= u / f64::from(n);
    }
    sum
}

/// Distribution function at `t = k/ku`, with `x = λ ku`.
fn share_below(t: f64, x: f64) -> f64 {
    let rest = 1.0 - t;
    if x > 1.0 {
        let bottom = (1.0 + x) * libm::exp(-x);
        return (libm::exp(-x * rest) * (1.0 + x * rest) - bottom) / (1.0 - bottom);
    }
    if x < -1.0 {
        return (libm::exp(x * t) * (1.0 + x * rest) - 1.0 - x) / (libm::exp(x) - 1.0 - x);
    }
    if x.abs() < 1e-9 {
        return t * (2.0 - t);
    }
    let u = x * t;
    (exp_beyond_linear(u) * (1.0 + x - u) + u * (x - u)) / exp_beyond_linear(x)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn law_mean_is_held_and_cdf_runs_from_0_to_1() {
        for k in 1..=85 {
            let mean = f64::from(k) / 100.0;
            let days = HollandsHuget::new(mean, upper_limit(mean)).unwrap();
            assert!((days.mean() - mean).abs() < 1e-9, "{mean}");
            assert!(days.cdf(0.0).abs() < 1e-9 && (days.cdf(days.upper()) - 1.0).abs() < 1e-9);
            let mut last = 0.0;
            for step in 1..100 {
                let p = f64::from(step) / 100.0;
                let k = days.quantile(p);
                assert!(k > last, "{mean} {p}");
                assert!((days.cdf(k) - p).abs() < 1e-9, "{mean} {p}");
                last = k;
            }
        }
    }

    #[test]
    fn law_the_flat_exponent_joins_without_a_step() {
        for x in [
            1e-12, 1e-8, 1e-3, 0.999_999, 1.000_001, -0.999_999, -1.000_001,
        ] {
            let t = 0.3;
            let by_sum: f64 = {
                let n = 20_000;
                let f = |k: i32| {
                    let t = (f64::from(k) + 0.5) / f64::from(n);
                    (1.0 - t) * libm::exp(x * t)
                };
                let all: f64 = (0..n).map(f).sum();
                (0..(n * 3 / 10)).map(f).sum::<f64>() / all
            };
            assert!((share_below(t, x) - by_sum).abs() < 1e-7, "{x}");
        }
    }

    #[test]
    fn refuses_means_outside_the_limits() {
        assert!(HollandsHuget::new(0.9, 0.8).is_none());
        assert!(HollandsHuget::new(0.0, 0.8).is_none());
        assert!(HollandsHuget::new(f64::NAN, 0.8).is_none());
        assert!(HollandsHuget::new(0.1, f64::NAN).is_none());
    }
}
