//! Where the spread of the lowest charge comes from.
//!
//! One job: the shares of its variance that weather, driving, habits, the start and what is not known of the
//! built-in climate account for, each with its interval.

use serde::Serialize;

use super::resampled::{interval, resampled};
use crate::study::figures::tidy;
use crate::study::simulation::Simulation;
use crate::timeline::weather_days::WeatherError;
use crate::trials::{Progress, Seeds};

/// Trials of the shares at least: fewer tell little of a variance. Ours.
const LEAST_TRIALS: u64 = 2000;

/// Groups of chance that are told apart.
const GROUPS: usize = 5;

/// A share with its 95 % interval, 0 to 1.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Share {
    /// As estimated.
    pub value: f64,
    /// Lower end of the interval.
    pub low: f64,
    /// Upper end.
    pub high: f64,
}

/// Shares of the variance of the lowest state of charge, 0 to 1.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Shares {
    /// Sun and temperature.
    pub weather: f64,
    /// Departures and hours at the wheel.
    pub driving: f64,
    /// Use of the loads.
    pub habits: f64,
    /// States of charge at the start.
    pub start: f64,
    /// How far the built-in climate's table is from the truth; 0 for other climates.
    pub climate_table: f64,
    /// Of several together.
    pub together: f64,
    /// The first five with their intervals, in this order.
    pub intervals: [Share; GROUPS],
    /// Trials behind them.
    pub trials: u64,
}

/// Sums over trials from which every share follows.
#[derive(Default, Clone, Copy)]
struct Sums {
    /// Values of both runs, their squares, their number.
    values: f64,
    squares: f64,
    count: f64,
    /// Squared differences of each group's mixed run from the second run.
    differences: [f64; GROUPS],
}

impl Sums {
    fn add(&mut self, trial: &Self) {
        self.values += trial.values;
        self.squares += trial.squares;
        self.count += trial.count;
        for (sum, own) in self.differences.iter_mut().zip(trial.differences) {
            *sum += own;
        }
    }

    fn variance(&self) -> f64 {
        let mean = self.values / self.count;
        (self.squares / self.count - mean * mean).max(0.0)
    }

    /// The shares as estimated, each held to 0 to 1.
    fn shares(&self) -> [f64; GROUPS] {
        let trials = 0.5 * self.count;
        let variance = self.variance().max(1e-300);
        self.differences
            .map(|squares| (1.0 - squares / trials / (2.0 * variance)).clamp(0.0, 1.0))
    }
}

/// First-order shares of the variance by pick and freeze: a run B with every part of chance
/// different from run A, and one run a group that takes that group from B and the rest from A;
/// Jansen's estimator `1 − mean((f(B) − f(A with the group of B))²) / (2 variance)`. Intervals by
/// the percentile bootstrap over trials. `None` where the lowest charge never differs.
///
/// # Source
/// A. Saltelli et al., "Variance based sensitivity analysis of model output. Design and estimator
/// for the total sensitivity index", Comput. Phys. Commun. 181, 259-270, 2010,
/// doi:10.1016/j.cpc.2009.09.018, table 2.
///
/// # Errors
/// [`WeatherError`] where a day that a delay leads to has no climate.
pub(super) fn shares(
    base: &Simulation,
    progress: &dyn Progress,
) -> Result<Option<Shares>, WeatherError> {
    let count = base.settings.run.trials.max(LEAST_TRIALS);
    let own = Seeds::all(base.settings.seed);
    let other = base.settings.seed ^ 0x5DEE_CE66_D1CE_CAFE;
    let run = |seeds: Seeds| -> Result<Vec<f64>, WeatherError> {
        let lowest = base.with_seeds(seeds, count, progress)?.lowest();
        Ok(lowest.into_iter().map(f64::from).collect())
    };
    let (a, b) = (run(own)?, run(Seeds::all(other))?);
    let groups = [
        Seeds {
            weather: other,
            ..own
        },
        Seeds {
            driving: other,
            ..own
        },
        Seeds {
            habits: other,
            ..own
        },
        Seeds {
            start: other,
            ..own
        },
        Seeds {
            climate_table: other,
            ..own
        },
    ];
    let has_table = base.timeline.weather.has_unknown_mean();
    let mixed = groups.into_iter().map(|seeds| {
        if has_table || seeds.climate_table == own.climate_table {
            run(seeds)
        } else {
            // Nothing is drawn of it: the same as run A.
            Ok(a.clone())
        }
    });
    let mixed = mixed.collect::<Result<Vec<_>, _>>()?;
    let trials: Vec<Sums> = (0..a.len())
        .map(|trial| Sums {
            values: a[trial] + b[trial],
            squares: a[trial] * a[trial] + b[trial] * b[trial],
            count: 2.0,
            differences: std::array::from_fn(|group| (b[trial] - mixed[group][trial]).powi(2)),
        })
        .collect();
    let mut all = Sums::default();
    for trial in &trials {
        all.add(trial);
    }
    if all.variance() < 1e-12 {
        return Ok(None);
    }
    let drawn = resampled(trials.len(), |drawn| {
        let mut sums = Sums::default();
        for &trial in drawn {
            sums.add(&trials[trial]);
        }
        sums.shares()
    });
    // What is not drawn has no part, where the estimate has its own error.
    let known = |mut shares: [f64; GROUPS]| {
        if !has_table {
            shares[GROUPS - 1] = 0.0;
        }
        shares
    };
    let found = known(all.shares());
    let intervals = std::array::from_fn(|group| {
        let values = drawn.iter().map(|&shares| known(shares)[group]);
        let (low, high) = interval(values.collect());
        Share {
            value: tidy(found[group]),
            low: tidy(low.min(found[group])),
            high: tidy(high.max(found[group])),
        }
    });
    let sum: f64 = found.iter().sum();
    // The estimate of each has its own error: together they are at most the whole.
    let [weather, driving, habits, start, climate_table] =
        found.map(|share| tidy(share / sum.max(1.0)));
    Ok(Some(Shares {
        weather,
        driving,
        habits,
        start,
        climate_table,
        together: tidy((1.0 - sum).max(0.0)),
        intervals,
        trials: count,
    }))
}
