//! Drawing from a spread: the PERT distribution's quantiles as a table.
//!
//! One job: a normal deviate in, a value out. A table over the deviate has no steep ends, as one
//! over the probability would have.

use std::sync::Arc;

use crate::scenario::Spread;
use crate::sky::memo::Memo;
use crate::sky::normal::normal_cdf;
use crate::units::Whole as _;

const LARGEST_Z: f64 = 4.5;
const NODES_PER_UNIT: f64 = 32.0;
const NODES: usize = 289;
const CELLS: u32 = 512;

/// Quantiles of one spread.
///
/// # Source
/// Beta distribution on `min` to `max` with shape 4: `α = 1 + 4 (likely − min)/(max − min)`,
/// `β = 1 + 4 (max − likely)/(max − min)`; see [`Spread::mean`].
#[derive(Debug, Clone, PartialEq)]
pub struct PertQuantile {
    nodes: Vec<f64>,
    mean: f64,
}

impl PertQuantile {
    /// The table of a spread; a fixed one has no nodes.
    #[must_use]
    pub fn new(spread: Spread) -> Self {
        if spread.is_fixed() {
            return Self {
                nodes: Vec::new(),
                mean: spread.likely,
            };
        }
        let width = spread.max - spread.min;
        let lean = (spread.likely - spread.min) / width;
        let shares = BY_LEAN.get_or(lean.to_bits(), || shares(lean));
        let shares = shares.iter();
        Self {
            nodes: shares.map(|share| spread.min + width * share).collect(),
            mean: spread.mean(),
        }
    }

    /// Whether there is nothing to draw.
    #[must_use]
    pub fn is_fixed(&self) -> bool {
        self.nodes.is_empty()
    }

    /// The mean of the spread.
    #[must_use]
    pub fn mean(&self) -> f64 {
        self.mean
    }

    /// The value at a normal deviate; beyond ±4.5 that of the end.
    #[must_use]
    pub fn value(&self, z: f64) -> f64 {
        if self.nodes.is_empty() {
            return self.mean;
        }
        let at = (z.clamp(-LARGEST_Z, LARGEST_Z) + LARGEST_Z) * NODES_PER_UNIT;
        let left = usize::cut(at).min(NODES - 2);
        let along = at - left.real();
        self.nodes[left] + along * (self.nodes[left + 1] - self.nodes[left])
    }
}

/// Shares by lean, as bits.
static BY_LEAN: Memo<u64, Arc<[f64]>> = Memo::new();

/// How far each node lies from the least to the most, by where the likely value does.
fn shares(lean: f64) -> Arc<[f64]> {
    let cumulative = cumulative_beta(4.0 * lean, 4.0 * (1.0 - lean));
    (0..NODES)
        .map(|node| {
            let z = node.real() / NODES_PER_UNIT - LARGEST_Z;
            inverse(&cumulative, normal_cdf(z))
        })
        .collect()
}

/// Distribution function of `x^a (1 − x)^b` on equal cells from 0 to 1, by Simpson's rule.
fn cumulative_beta(a: f64, b: f64) -> Vec<f64> {
    let density = |x: f64| libm::pow(x, a) * libm::pow(1.0 - x, b);
    let width = 1.0 / f64::from(CELLS);
    let mut sums = vec![0.0];
    let mut sum = 0.0;
    let mut at_left = density(0.0);
    for cell in 0..CELLS {
        // The width is a power of two: the right end is the left one of the next cell to the bit.
        let left = f64::from(cell) * width;
        let at_right = density(left + width);
        sum += at_left + 4.0 * density(left + 0.5 * width) + at_right;
        at_left = at_right;
        sums.push(sum);
    }
    for value in &mut sums {
        *value /= sum;
    }
    sums
}

fn inverse(cumulative: &[f64], p: f64) -> f64 {
    let right = cumulative
        .partition_point(|value| *value < p)
        .clamp(1, cumulative.len() - 1);
    let (low, high) = (cumulative[right - 1], cumulative[right]);
    let along = if high > low {
        (p - low) / (high - low)
    } else {
        0.0
    };
    (right.real() - 1.0 + along.clamp(0.0, 1.0)) / f64::from(CELLS)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sky::normal::normal_quantile;

    #[test]
    fn the_mean_is_that_of_the_spread() {
        for spread in [
            Spread {
                min: 4.0,
                likely: 5.5,
                max: 8.0,
            },
            Spread {
                min: 0.0,
                likely: 0.0,
                max: 2.0,
            },
            Spread {
                min: 0.85,
                likely: 1.0,
                max: 1.15,
            },
        ] {
            let table = PertQuantile::new(spread);
            let count = 40_000;
            let mean: f64 = (0..count)
                .map(|k| table.value(normal_quantile((f64::from(k) + 0.5) / f64::from(count))))
                .sum::<f64>()
                / f64::from(count);
            assert!(
                (mean - spread.mean()).abs() < 2e-4 * (spread.max - spread.min),
                "{mean}"
            );
        }
    }

    /// By hand: with both shapes 3 the distribution function is x³(10 − 15x + 6x²), so that
    /// F(0.25) = 0.103515625.
    #[test]
    fn the_symmetric_quartiles_are_exact() {
        let table = PertQuantile::new(Spread {
            min: 0.0,
            likely: 0.5,
            max: 1.0,
        });
        assert!((table.value(normal_quantile(0.103_515_625)) - 0.25).abs() < 1e-4);
        assert!((table.value(0.0) - 0.5).abs() < 1e-9);
    }
}
