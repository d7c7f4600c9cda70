//! How a day's clearness depends on the days before it.
//!
//! One job: autocorrelations in, the Gaussian autoregression that has them out. What a deviate means in
//! clearness is in `sky::clearness`; the draws are in `trials`.
//! Left out: seasons; one persistence holds for the whole year.

use std::fmt;

/// The most autocorrelations that can be given.
pub const MOST_LAGS: usize = 10;

/// Autocorrelations of the days' normal deviates at lags of 1 to 10 days, where nothing better is known.
///
/// The first-order autoregression of V. A. Graham, K. G. T. Hollands, T. E. Unny, "A time series model for Kt
/// with application to global synthetic weather generation", Solar Energy 40(2), 83-92, 1988, lag-1 0.29 (from
/// memory), forgets in three days, and a week or two of it stray less than real ones: months of real weather
/// vary some 1.7 times as much as a first-order process lets them (R. W. Katz, M. B. Parlange,
/// "Overdispersion phenomenon in stochastic modeling of precipitation", J. Climate 11(4), 591-601, 1998;
/// J. W. Hansen, T. Mavromatis, "Correcting low-frequency variability bias in stochastic weather
/// generators", Agric. For. Meteorol. 109(4), 297-310, 2001; both from memory). With these ten the variance of
/// the mean of many days is 2.83 times that of independent days, 1.56 times that of lag-1 0.29
/// (1.29 / 0.71): they carry most of the 1.7.
///
/// Source: medians over fifteen regions of daily sums measured for 8 to 50 years (own elaboration); the first is 0.24 to
/// 0.6 at single places. De Bilt, whose years `tests/weather_calibration.rs` looks at, may be in one of the fifteen.
pub const DEFAULT_AUTOCORRELATIONS: [f64; MOST_LAGS] =
    [0.36, 0.17, 0.10, 0.07, 0.05, 0.04, 0.035, 0.03, 0.03, 0.03];

/// Autocorrelations that no series of days can have.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ImpossibleAutocorrelation {
    /// The first lag at fault, from 1.
    pub lag: usize,
    /// The autocorrelation there.
    pub found: f64,
    /// It must be above this, those of the shorter lags being what they are.
    pub above: f64,
    /// It must be below this.
    pub below: f64,
}

impl fmt::Display for ImpossibleAutocorrelation {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (above, below) = self.shown_limits();
        write!(
            f,
            "is {}, but must be above {above} and below {below}",
            self.found
        )?;
        match self.lag {
            0 | 1 => Ok(()),
            2 => f.write_str(" at a lag of 2 days, given that of 1 day"),
            lag => write!(f, " at a lag of {lag} days, given those of fewer days"),
        }
    }
}

impl std::error::Error for ImpossibleAutocorrelation {}

impl ImpossibleAutocorrelation {
    /// The limits rounded towards each other, so that what is shown is allowed, with as many decimals as
    /// that takes, two at least.
    fn shown_limits(&self) -> (f64, f64) {
        let mut scale = 100.0;
        loop {
            let above = (self.above * scale).ceil() / scale;
            let below = (self.below * scale).floor() / scale;
            if above < below {
                return (above + 0.0, below + 0.0);
            }
            if scale > 1e15 {
                return (self.above, self.below);
            }
            scale *= 10.0;
        }
    }
}

/// The best linear forecast of a day's deviate from the days before it.
#[derive(Debug, Clone, PartialEq)]
struct Predictor {
    /// Weights of the days before, the latest first.
    weights: Vec<f64>,
    /// Standard deviation of what it leaves open.
    open_sd: f64,
}

/// A stationary Gaussian autoregression of unit variance.
///
/// # Example
/// ```
/// use tideover::sky::day_persistence::DayPersistence;
///
/// let persistence = DayPersistence::new(&[0.3, 0.16, 0.11])?;
/// let mut runs = persistence.runs();
/// let [first] = runs.next(&[0.7]);
/// let [second] = runs.next(&[-0.2]);
/// // By hand: the first day is its own deviate, the second 0.3 · 0.7 - 0.2 · √(1 - 0.3²).
/// assert!((first - 0.7).abs() < 1e-12);
/// assert!((second - 0.019_212).abs() < 1e-6);
/// # Ok::<(), tideover::sky::day_persistence::ImpossibleAutocorrelation>(())
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct DayPersistence {
    given: Vec<f64>,
    /// By the number of days known before, from none to all the lags given.
    predictors: Vec<Predictor>,
}

impl Default for DayPersistence {
    /// The autoregression of [`DEFAULT_AUTOCORRELATIONS`].
    fn default() -> Self {
        Self::new(&DEFAULT_AUTOCORRELATIONS).expect("a test makes it of them")
    }
}

impl DayPersistence {
    /// By the autocorrelations at a lag of 1, 2 and so on days.
    ///
    /// | argument | meaning | unit | accepted |
    /// |---|---|---|---|
    /// | `autocorrelations` | of the normal deviates of the days, by lag from 1 | 1 | as below; those beyond [`MOST_LAGS`] are not looked at |
    ///
    /// With `n` of them this is the autoregression of order `n` that has them exactly, from the first day
    /// on: its weights solve the Yule-Walker equations, and the days that have fewer than `n` before them
    /// follow the predictors of lower order, which the recursion passes on its way. Beyond lag `n` the
    /// autocorrelations go on as the autoregression has them. None at all gives independent days.
    ///
    /// # Validity
    /// They are those of the deviates. The map to the clearness index is not straight, so that the
    /// index's own are nearer to 0 by some 5 %.
    ///
    /// # Errors
    /// [`ImpossibleAutocorrelation`] at the first lag whose partial autocorrelation is not between -1 and
    /// 1: no series can have these together.
    ///
    /// # Source
    /// N. Levinson, "The Wiener RMS (root mean square) error criterion in filter design and prediction",
    /// J. Math. Phys. 25, 261-278, 1947; J. Durbin, "The fitting of time-series models", Rev. Inst. Int. Stat.
    /// 28(3), 233-244, 1960; as in G. E. P. Box, G. M. Jenkins, *Time Series Analysis: Forecasting and
    /// Control*, 1970, chapter 3 (all from memory).
    pub fn new(autocorrelations: &[f64]) -> Result<Self, ImpossibleAutocorrelation> {
        let given: Vec<f64> = autocorrelations.iter().copied().take(MOST_LAGS).collect();
        let mut last = Predictor::alone();
        let mut predictors = Vec::with_capacity(given.len() + 1);
        for (shorter, &found) in given.iter().enumerate() {
            let partial = last.partial(&given[..shorter], found);
            if partial.abs() < 1.0 {
                let next = last.longer(partial);
                predictors.push(last);
                last = next;
            } else {
                let (middle, half) = last.limits(&given[..shorter]);
                return Err(ImpossibleAutocorrelation {
                    lag: shorter + 1,
                    found,
                    above: middle - half,
                    below: middle + half,
                });
            }
        }
        predictors.push(last);
        Ok(Self { given, predictors })
    }

    /// The autocorrelations it was made of, by lag from 1.
    #[must_use]
    pub fn given(&self) -> &[f64] {
        &self.given
    }

    /// Runs of days side by side, which begin with no day known before them.
    #[must_use]
    pub fn runs<const N: usize>(&self) -> DayRuns<'_, N> {
        DayRuns {
            predictors: &self.predictors,
            before: [[0.0; N]; MOST_LAGS],
            known: 0,
        }
    }
}

impl Predictor {
    /// That of a day with none before it.
    fn alone() -> Self {
        Self {
            weights: Vec::new(),
            open_sd: 1.0,
        }
    }

    /// The forecast of the autocorrelation at the next lag, and how far from it the true one may be.
    fn limits(&self, shorter: &[f64]) -> (f64, f64) {
        let forecast = self.weights.iter().zip(shorter.iter().rev());
        (
            forecast.map(|(weight, r)| weight * r).sum(),
            self.open_sd * self.open_sd,
        )
    }

    /// Partial autocorrelation at the next lag.
    fn partial(&self, shorter: &[f64], found: f64) -> f64 {
        let (middle, half) = self.limits(shorter);
        (found - middle) / half
    }

    /// The predictor from one day more.
    fn longer(&self, partial: f64) -> Self {
        let mut weights: Vec<f64> = self
            .weights
            .iter()
            .zip(self.weights.iter().rev())
            .map(|(weight, mirrored)| weight - partial * mirrored)
            .collect();
        weights.push(partial);
        Self {
            weights,
            open_sd: self.open_sd * (1.0 - partial * partial).sqrt(),
        }
    }
}

/// Deviates of successive days, of several trials side by side.
#[derive(Debug, Clone)]
pub struct DayRuns<'a, const N: usize> {
    predictors: &'a [Predictor],
    /// The days before, the latest first.
    before: [[f64; N]; MOST_LAGS],
    known: usize,
}

impl<const N: usize> DayRuns<'_, N> {
    /// The next day has these deviates, whatever came before; those after it follow from them.
    pub fn set(&mut self, deviates: [f64; N]) {
        self.before.copy_within(..MOST_LAGS - 1, 1);
        self.before[0] = deviates;
        self.known += 1;
    }

    /// Deviates of the next day, from standard normal deviates of its own.
    #[must_use]
    #[expect(
        clippy::inline_always,
        reason = "worked out with the widest instructions of the caller"
    )]
    #[inline(always)]
    pub fn next(&mut self, fresh: &[f64; N]) -> [f64; N] {
        let order = self.known.min(self.predictors.len() - 1);
        let predictor = &self.predictors[order];
        let mut deviates = fresh.map(|fresh| predictor.open_sd * fresh);
        for (weight, before) in predictor.weights.iter().zip(&self.before) {
            for (deviate, before) in deviates.iter_mut().zip(before) {
                *deviate += weight * before;
            }
        }
        self.set(deviates);
        deviates
    }
}

#[cfg(test)]
#[path = "day_persistence_tests.rs"]
mod tests;
