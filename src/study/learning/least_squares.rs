//! Levels at night to the draws that make them up.
//!
//! One job: weighted least squares of a few unknowns, robust against single odd spans, with each
//! unknown's value by leaving out a night at a time.

use nalgebra::{DMatrix, DVector};

use super::estimate::{Estimate, of_days};
use crate::units::Whole;

/// One span of steady use: what it shows, and what is in it by the file.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Level {
    /// The night.
    pub(super) night: usize,
    /// Measured draw, A.
    pub(super) amps: f64,
    /// Hours.
    pub(super) hours: f64,
    /// What each unknown draws by the file, A; of a constant one 1.
    pub(super) terms: Vec<f64>,
}

/// Rounds in which odd spans lose their weight.
const ROUNDS: usize = 6;

/// A span as far off as so many times the usual counts for less: Huber's 1.345, which keeps 95 % of the
/// efficiency where nothing is odd.
///
/// # Source
/// P. J. Huber, "Robust estimation of a location parameter", Ann. Math. Stat. 35(1), 73-101, 1964.
const HUBER: f64 = 1.345;

fn solved(levels: &[&Level], unknowns: usize) -> Option<DVector<f64>> {
    if levels.len() < unknowns {
        return None;
    }
    let mut weights: Vec<f64> = levels.iter().map(|level| level.hours).collect();
    let mut found = None;
    for _ in 0..ROUNDS {
        let roots: Vec<f64> = weights.iter().map(|weight| weight.sqrt()).collect();
        let terms = DMatrix::from_fn(levels.len(), unknowns, |row, column| {
            roots[row] * levels[row].terms[column]
        });
        let amps = DVector::from_fn(levels.len(), |row, _| roots[row] * levels[row].amps);
        let parts = terms.svd(true, true);
        let most = parts.singular_values.max();
        if parts.singular_values.min() < 1e-6 * most {
            return None;
        }
        let values: DVector<f64> = parts.solve(&amps, 0.0).ok()?;
        let off: Vec<f64> = levels
            .iter()
            .map(|level| {
                let fitted: f64 = level.terms.iter().zip(&values).map(|(t, v)| t * v).sum();
                level.amps - fitted
            })
            .collect();
        let mut sizes: Vec<f64> = off.iter().map(|off| off.abs()).collect();
        sizes.sort_by(f64::total_cmp);
        let usual = (1.4826 * sizes[sizes.len() / 2]).max(0.01);
        for ((weight, level), off) in weights.iter_mut().zip(levels).zip(&off) {
            *weight = level.hours * (HUBER * usual / off.abs().max(1e-9)).min(1.0);
        }
        found = Some(values);
    }
    found
}

/// Each unknown with its interval; `None` where nights without one another do not tell it.
pub(super) fn unknowns_of(levels: &[Level], unknowns: usize) -> Option<Vec<Option<Estimate>>> {
    let all: Vec<&Level> = levels.iter().collect();
    let whole = solved(&all, unknowns)?;
    let mut nights: Vec<usize> = levels.iter().map(|level| level.night).collect();
    nights.sort_unstable();
    nights.dedup();
    let n = nights.len().real();
    let without: Vec<Option<DVector<f64>>> = nights
        .iter()
        .map(|night| {
            let rest: Vec<&Level> = levels
                .iter()
                .filter(|level| level.night != *night)
                .collect();
            solved(&rest, unknowns)
        })
        .collect();
    let each = (0..unknowns).map(|unknown| {
        // The jackknife's pseudo-values (M. H. Quenouille 1956, J. W. Tukey 1958): what each night
        // says by what leaving it out changes.
        let values: Option<Vec<(f64, f64)>> = without
            .iter()
            .map(|rest| {
                let rest = rest.as_ref()?;
                Some((n * whole[unknown] - (n - 1.0) * rest[unknown], 1.0))
            })
            .collect();
        of_days(&values?).map(|found| {
            let shift = whole[unknown] - found.value;
            Estimate {
                value: whole[unknown],
                low: found.low + shift,
                high: found.high + shift,
                ..found
            }
        })
    });
    Some(each.collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand: 0.3 A always and a lamp of twice what the file says, one span in ten spoilt.
    #[test]
    fn by_hand_a_standing_load_and_a_lamp() {
        let mut levels = Vec::new();
        for night in 0..6_usize {
            let noise = [0.01, -0.01, 0.0, 0.02, -0.02, 0.0][night];
            let level = |lamp: f64, hours: f64| Level {
                night,
                amps: 0.3 + 2.0 * lamp + noise,
                hours,
                terms: vec![1.0, lamp],
            };
            levels.extend([level(0.0, 6.0), level(0.8, 3.0)]);
        }
        levels[5].amps += 4.0;
        let found = unknowns_of(&levels, 2).unwrap();
        let [Some(standing), Some(lamp)] = found[..] else {
            panic!("{found:?}")
        };
        assert!((standing.value - 0.3).abs() < 0.03, "{standing:?}");
        assert!((lamp.value - 2.0).abs() < 0.2, "{lamp:?}");
        // A term that is always the same cannot be told from the constant.
        for level in &mut levels {
            level.terms[1] = 0.8;
        }
        assert!(unknowns_of(&levels, 2).is_none());
    }
}
