//! Differences between two runs that met the same trials.
//!
//! One job: a difference with its 95 % interval, from what happened trial by trial.

use serde::Serialize;

use super::resampled::{interval, resampled};
use crate::study::figures::tidy;
use crate::study::simulation::Simulation;
use crate::trials::intervals::Z_95;
use crate::trials::rank;
use crate::units::Whole;

/// A difference with its 95 % interval.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Difference {
    /// Second less first.
    pub value: f64,
    /// Lower end of the interval.
    pub low: f64,
    /// Upper end.
    pub high: f64,
    /// Whether the interval leaves out zero; if not, there is no clear difference.
    pub clear: bool,
}

impl Difference {
    fn new(value: f64, low: f64, high: f64) -> Self {
        let (low, high) = (tidy(low.min(value)), tidy(high.max(value)));
        Self {
            value: tidy(value),
            low,
            high,
            clear: low > 0.0 || high < 0.0,
        }
    }
}

/// What each trial of a run came to, to be held against another's.
#[derive(Debug, Clone, PartialEq)]
pub struct EachTrial {
    /// Whether every house bank kept above its reserve.
    pub kept: Vec<bool>,
    /// Days to the first shortfall, a trip without one counted whole.
    pub days: Vec<f32>,
}

impl EachTrial {
    /// Of a run.
    #[must_use]
    pub fn of(run: &Simulation) -> Self {
        Self::new(&run.ensemble.house_autonomy_days, run.trip_days())
    }

    /// Of days to the first shortfall, infinite where there is none, of a trip of `horizon` days.
    #[must_use]
    pub fn new(days: &[f32], horizon: f32) -> Self {
        Self {
            kept: days.iter().map(|days| days.is_infinite()).collect(),
            days: days.iter().map(|days| days.min(horizon)).collect(),
        }
    }

    /// How much better another does on the same trials: its chance, its days.
    #[must_use]
    pub fn gains(&self, other: &Self) -> [Difference; 2] {
        [
            chance_difference(&self.kept, &other.kept),
            mean_difference(&self.days, &other.days),
        ]
    }
}

/// Difference of two chances, second less first, over the same trials: Wald's interval after half
/// a trial is added to each of the four cells, which holds its 95 % also where the two differ in
/// few trials or none.
///
/// # Source
/// A. Agresti, Y. Min, "Simple improved confidence intervals for comparing matched proportions",
/// Statistics in Medicine 24(5), 729-740, 2005, doi:10.1002/sim.1781.
#[must_use]
pub fn chance_difference(first: &[bool], second: &[bool]) -> Difference {
    let pairs = || first.iter().zip(second);
    let count = |wanted: (bool, bool)| pairs().filter(|pair| (*pair.0, *pair.1) == wanted).count();
    let (lost, won, n) = (
        count((true, false)).real(),
        count((false, true)).real(),
        pairs().count().max(1).real(),
    );
    let value = (won - lost) / n;
    let (lost, won, n) = (lost + 0.5, won + 0.5, n + 2.0);
    let middle = (won - lost) / n;
    let half = Z_95 * (won + lost - (won - lost).powi(2) / n).max(0.0).sqrt() / n;
    Difference::new(value, (middle - half).max(-1.0), (middle + half).min(1.0))
}

/// Mean of the differences of two figures over the same trials, with the normal interval.
#[must_use]
pub fn mean_difference(first: &[f32], second: &[f32]) -> Difference {
    let differences: Vec<f64> = first
        .iter()
        .zip(second)
        .map(|(first, second)| f64::from(*second) - f64::from(*first))
        .collect();
    let n = differences.len().max(1).real();
    let mean = differences.iter().sum::<f64>() / n;
    let squares = differences.iter().map(|d| (d - mean).powi(2)).sum::<f64>();
    let half = if n > 1.0 {
        Z_95 * (squares / (n - 1.0) / n).sqrt()
    } else {
        1.0
    };
    Difference::new(mean, mean - half, mean + half)
}

/// Difference of the `p` quantiles of two figures over the same trials, values above `limit` taken
/// as `limit`; the interval is the percentile bootstrap over trials, both figures of a trial
/// together.
#[must_use]
pub fn percentile_difference(first: &[f32], second: &[f32], p: f64, limit: f32) -> Difference {
    let count = first.len().min(second.len());
    let at = |values: &mut Vec<f32>| {
        let place = rank(p, values.len()) - 1;
        let (_, value, _) = values.select_nth_unstable_by(place, f32::total_cmp);
        f64::from(*value)
    };
    let held =
        |values: &[f32]| -> Vec<f32> { values[..count].iter().map(|v| v.min(limit)).collect() };
    let (first, second) = (held(first), held(second));
    let value = at(&mut second.clone()) - at(&mut first.clone());
    let drawn = resampled(count, |trials| {
        let of = |values: &[f32]| at(&mut trials.iter().map(|&trial| values[trial]).collect());
        of(&second) - of(&first)
    });
    let (low, high) = interval(drawn);
    Difference::new(value, low, high)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::trials::StreamKey;

    fn pairs(cells: [(bool, bool, usize); 4]) -> (Vec<bool>, Vec<bool>) {
        let all = cells.iter().flat_map(|&(a, b, count)| vec![(a, b); count]);
        all.unzip()
    }

    /// Outside figure: approval at two surveys of 1600 people, 794 both times, 150 first only, 86
    /// second only, 570 never: -0.04, standard error 0.0095, 95 % interval -0.059 to -0.021. A.
    /// Agresti, "Categorical Data Analysis", 2nd ed., Wiley, 2002, section 10.1 (from memory).
    #[test]
    fn outside_approval_ratings() {
        let (first, second) = pairs([
            (true, true, 794),
            (true, false, 150),
            (false, true, 86),
            (false, false, 570),
        ]);
        let found = chance_difference(&first, &second);
        assert!((found.value + 0.04).abs() < 1e-6);
        assert!(
            (found.low + 0.059).abs() < 6e-4 && (found.high + 0.021).abs() < 6e-4,
            "{found:?}"
        );
        assert!(found.clear);
    }

    #[test]
    fn the_same_trials_make_no_clear_difference() {
        let (first, second) = pairs([
            (true, true, 90),
            (true, false, 0),
            (false, true, 0),
            (false, false, 10),
        ]);
        let found = chance_difference(&first, &second);
        assert!(
            !found.clear && found.low < 0.0 && found.high > 0.0,
            "{found:?}"
        );
    }

    /// Coverage by simulation: pairs with chances 0.80 and 0.85, alike in all but 9 of 100 trials.
    #[test]
    fn law_the_interval_covers_the_truth() {
        let key = StreamKey::new(7, "coverage");
        for n in [40_u64, 200] {
            let mut covered = 0;
            for round in 0..1000 {
                let stream = key.stream(round + 10_000 * n);
                let (first, second): (Vec<bool>, Vec<bool>) = (0..n)
                    .map(|place| match stream.uniforms(place).0 {
                        u if u < 0.78 => (true, true),
                        u if u < 0.80 => (true, false),
                        u if u < 0.87 => (false, true),
                        _ => (false, false),
                    })
                    .unzip();
                let found = chance_difference(&first, &second);
                covered += u32::from(found.low <= 0.05 && 0.05 <= found.high);
            }
            // 95 %, less four standard errors of a simulation of 1000.
            assert!(covered >= 922, "{n}: {covered}");
        }
    }

    #[test]
    fn a_shifted_percentile_is_found() {
        let first: Vec<f32> = (0..500_u16).map(f32::from).collect();
        let second: Vec<f32> = first.iter().map(|v| v + 3.0).collect();
        let found = percentile_difference(&first, &second, 0.1, 1000.0);
        assert!((found.value - 3.0).abs() < 1e-9 && found.clear, "{found:?}");
    }
}
