//! From a value a day to a value with its interval.
//!
//! One job: the statistics of few days. Days are the blocks: within a day everything goes together,
//! from day to day nearly nothing but the weather. Intervals hold the truth in 8 cases of 10.
//!
//! With three to fourteen days a bootstrap of days is too narrow (three days give ten different
//! samples), so the mean of days has Student's interval, and what the weather adds has the likelihood
//! with the covariance of days in the file's own trials.

use crate::units::Whole;

use nalgebra::{DMatrix, DVector};

/// A value with its interval of 8 in 10.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Estimate {
    pub(super) value: f64,
    pub(super) low: f64,
    pub(super) high: f64,
    /// Standard deviation from day to day, about.
    pub(super) daily: f64,
}

impl Estimate {
    fn around(value: f64, half: f64, daily: f64) -> Self {
        Self {
            value,
            low: value - half,
            high: value + half,
            daily,
        }
    }

    /// Wider by something independent, given as half the width of its interval of 8 in 10.
    pub(super) fn widened(self, half: f64) -> Self {
        let wider = |side: f64| side.hypot(half);
        Self {
            low: self.value - wider(self.value - self.low),
            high: self.value + wider(self.high - self.value),
            ..self
        }
    }

    /// Multiplied by a number above 0.
    pub(super) fn times(self, factor: f64) -> Self {
        Self {
            value: self.value * factor,
            low: self.low * factor,
            high: self.high * factor,
            daily: self.daily * factor,
        }
    }

    /// Within what a key of the file may be.
    pub(super) fn clamped(self, low: f64, high: f64) -> Self {
        Self {
            value: self.value.clamp(low, high),
            low: self.low.clamp(low, high),
            high: self.high.clamp(low, high),
            ..self
        }
    }
}

/// Half the width of an interval of 8 in 10 over a standard deviation, known: the normal 90 % quantile.
const NORMAL: f64 = 1.281_552;

/// The 90 % quantile of Student's distribution.
///
/// # Source
/// Student, "The probable error of a mean", Biometrika 6(1), 1-25, 1908; up to ten degrees from the
/// tables in print, beyond by the expansion of R. A. Fisher, E. A. Cornish 1960, first two terms,
/// from memory.
pub(super) fn student_90(degrees: usize) -> f64 {
    const PRINTED: [f64; 10] = [
        3.078, 1.886, 1.638, 1.533, 1.476, 1.440, 1.415, 1.397, 1.383, 1.372,
    ];
    match degrees {
        0 => f64::INFINITY,
        1..=10 => PRINTED[degrees - 1],
        _ => {
            let n = degrees.real();
            let z = NORMAL;
            z + (z.powi(3) + z) / (4.0 * n)
                + (5.0 * z.powi(5) + 16.0 * z.powi(3) + 3.0 * z) / (96.0 * n * n)
        }
    }
}

/// The mean of days, each with a weight above 0; `None` from fewer than two.
pub(super) fn of_days(days: &[(f64, f64)]) -> Option<Estimate> {
    if days.len() < 2 {
        return None;
    }
    let sum: f64 = days.iter().map(|day| day.1).sum();
    let mean = days
        .iter()
        .map(|(value, weight)| value * weight)
        .sum::<f64>()
        / sum;
    let n = days.len().real();
    let off = |power: i32| -> f64 {
        let squares = days.iter();
        squares
            .map(|(value, weight)| weight.powi(power) * (value - mean).powi(2))
            .sum()
    };
    let variance = off(2) / (sum * sum) * n / (n - 1.0);
    let daily = (off(1) / sum * n / (n - 1.0)).sqrt();
    let half = student_90(days.len() - 1) * variance.sqrt();
    Some(Estimate::around(mean, half, daily))
}

/// Days under a weather that the log does not show.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Weather {
    /// Measured over what the engine has without chance, a day each.
    pub(super) ratios: Vec<f64>,
    /// The same of the file's own trials: mean.
    pub(super) means: DVector<f64>,
    /// Its covariance between days.
    pub(super) covariance: DMatrix<f64>,
}

impl Weather {
    /// From each day's ratio and each trial's ratios of those days.
    pub(super) fn new(ratios: Vec<f64>, trials: &[Vec<f64>]) -> Self {
        let days = ratios.len();
        let n = trials.len().max(2).real();
        let means = DVector::from_fn(days, |day, _| {
            trials.iter().map(|trial| trial[day]).sum::<f64>() / n
        });
        let covariance = DMatrix::from_fn(days, days, |a, b| {
            let products = trials.iter();
            products
                .map(|trial| (trial[a] - means[a]) * (trial[b] - means[b]))
                .sum::<f64>()
                / (n - 1.0)
        });
        Self {
            ratios,
            means,
            covariance,
        }
    }

    /// The factor by which the measured is more than the engine's, by generalised least squares: what
    /// days have beyond the weather (habits, the meter) is independent and as large as is likeliest.
    ///
    /// # Source
    /// A. C. Aitken, "On least squares and linear combinations of observations", Proc. R. Soc. Edinburgh
    /// 55, 42-48, 1935.
    pub(super) fn factor(&self) -> Option<Estimate> {
        let days = self.ratios.len();
        if days == 0 {
            return None;
        }
        let ratios = DVector::from_column_slice(&self.ratios);
        let mut start: Vec<f64> = ratios.iter().zip(&self.means).map(|(r, m)| r / m).collect();
        start.sort_by(f64::total_cmp);
        let mut value = start[days / 2].max(1e-3);
        let mut best: Option<(f64, f64, f64, f64)> = None;
        for _ in 0..3 {
            best = None;
            for share in [0.003, 0.01, 0.02, 0.04, 0.07, 0.12, 0.2, 0.35, 0.6] {
                let own = share * value;
                let mut covariance = &self.covariance * (value * value);
                for day in 0..days {
                    covariance[(day, day)] += own * own;
                }
                let Some(factored) = covariance.cholesky() else {
                    continue;
                };
                let weighted = factored.solve(&self.means);
                let information = self.means.dot(&weighted);
                let fitted = ratios.dot(&weighted) / information;
                let off = &ratios - &self.means * fitted;
                let diagonal = factored.l_dirty().diagonal();
                let log_det: f64 = diagonal.iter().map(|d| 2.0 * d.ln()).sum();
                // The likelihood of the residuals alone: the value itself costs a degree of freedom.
                let loss = off.dot(&factored.solve(&off)) + log_det + information.ln();
                if best.is_none_or(|(least, ..)| loss < least) {
                    best = Some((loss, fitted, 1.0 / information, own));
                }
            }
            value = best.map_or(value, |(_, fitted, ..)| fitted.max(1e-3));
        }
        let (_, value, variance, daily) = best?;
        let half = student_90(days + 2) * variance.sqrt();
        Some(Estimate::around(value, half, daily))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand: mean of 1, 2, 3 is 2, its standard error 1/√3, Student's 1.886 at two degrees.
    #[test]
    fn by_hand_three_days() {
        let found = of_days(&[(1.0, 1.0), (2.0, 1.0), (3.0, 1.0)]).unwrap();
        assert!((found.value - 2.0).abs() < 1e-12);
        assert!((found.high - 2.0 - 1.886 / 3.0_f64.sqrt()).abs() < 1e-9);
        assert!((found.daily - 1.0).abs() < 1e-12);
        assert!(of_days(&[(1.0, 1.0)]).is_none());
    }

    /// Outside figure: Student's 90 % quantile at 12 and 30 degrees is 1.356 and 1.310 in tables in print.
    #[test]
    fn outside_student_quantiles() {
        assert!((student_90(12) - 1.356).abs() < 0.002);
        assert!((student_90(30) - 1.310).abs() < 0.001);
    }

    /// With a weather that is known not to vary, the mean of days is the factor.
    #[test]
    fn by_hand_without_weather_it_is_the_mean() {
        let trials = vec![vec![1.0; 4]; 16];
        let found = Weather::new(vec![0.9, 1.1, 0.95, 1.05], &trials)
            .factor()
            .unwrap();
        assert!((found.value - 1.0).abs() < 1e-9, "{found:?}");
        assert!(found.low < 0.97 && found.low > 0.9);
    }
}
