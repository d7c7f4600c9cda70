//! How a day's clearness hangs on the days before it.
//!
//! One job: autocorrelations in, the Gaussian autoregression that has them out. What a deviate means in
//! clearness is in `sky::clearness`; the draws are in `trials`.
//! Left out: seasons; one persistence holds for the whole year.

use std::fmt;

/// The most autocorrelations that can be given.
pub const MOST_LAGS: usize = 10;

/// Lag-1 autocorrelation of the normal deviate from day to day, where nothing better is known.
///
/// Source: V. A. Graham, K. G. T. Hollands, T. E. Unny, "A time series model for Kt with
/// application to global synthetic weather generation", Solar Energy 40(2), 83-92, 1988 (value from
/// memory); daily data of two typical years give 0.30, 21 measured years 0.30.
pub const DAY_LAG1: f64 = 0.29;

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
/// let mut run = persistence.run();
/// let first = run.next(0.7);
/// let second = run.next(-0.2);
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
    /// The first-order autoregression of [`DAY_LAG1`].
    fn default() -> Self {
        let alone = Predictor::alone();
        let next = alone.longer(DAY_LAG1);
        Self {
            given: vec![DAY_LAG1],
            predictors: vec![alone, next],
        }
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

    /// A run of days that begins with no day known before it.
    #[must_use]
    pub fn run(&self) -> DayRun<'_> {
        DayRun {
            predictors: &self.predictors,
            before: [0.0; MOST_LAGS],
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

/// Deviates of successive days.
#[derive(Debug, Clone)]
pub struct DayRun<'a> {
    predictors: &'a [Predictor],
    /// The days before, the latest first.
    before: [f64; MOST_LAGS],
    known: usize,
}

impl DayRun<'_> {
    /// The next day has this deviate, whatever came before; those after it follow from it.
    pub fn set(&mut self, deviate: f64) {
        self.before.copy_within(..MOST_LAGS - 1, 1);
        self.before[0] = deviate;
        self.known += 1;
    }

    /// Deviate of the next day, from a standard normal deviate of its own.
    pub fn next(&mut self, fresh: f64) -> f64 {
        let order = self.known.min(self.predictors.len() - 1);
        let predictor = &self.predictors[order];
        let forecast: f64 = predictor
            .weights
            .iter()
            .zip(&self.before)
            .map(|(weight, day)| weight * day)
            .sum();
        let deviate = forecast + predictor.open_sd * fresh;
        self.set(deviate);
        deviate
    }
}

#[cfg(test)]
#[path = "day_persistence_tests.rs"]
mod tests;
