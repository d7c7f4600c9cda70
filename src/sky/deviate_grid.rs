//! The nodes of a table over the normal deviate.
//!
//! One job: where the nodes stand and what each counts for in a mean. The tables are in
//! `sky::clearness` and `sky::percentile_curve`.
//! Left out: what the nodes hold.

use std::sync::OnceLock;

use super::normal::{normal_cdf, normal_density};
use crate::units::Whole;

/// Number of nodes: z from -4 to 4 in sixteenths.
pub(super) const NODES: usize = 129;

/// Nodes per unit of deviate.
pub(super) const NODES_PER_UNIT: f64 = 16.0;

/// The table is held beyond this deviate.
pub(super) const LARGEST_Z: f64 = 4.0;

/// The deviate of a node.
pub(super) fn node_z(index: usize) -> f64 {
    index.real() / NODES_PER_UNIT - LARGEST_Z
}

/// Cell and place in it, of an axis with so many nodes; outside of the axis that of its end.
#[expect(
    clippy::inline_always,
    reason = "worked out with the widest instructions of the caller"
)]
#[inline(always)]
pub(crate) fn cell(at: f64, nodes: usize) -> (usize, f64) {
    let last = (nodes - 1).real();
    let at = if at > 0.0 { at } else { 0.0 };
    let at = if at < last { at } else { last };
    let place = usize::cut(at).min(nodes - 2);
    (place, at - place.real())
}

/// What each node counts for in the mean of the table: the normal density times the tent that
/// linear interpolation puts on the node, the held ends included.
pub(super) fn node_weights() -> &'static [f64; NODES] {
    static WEIGHTS: OnceLock<[f64; NODES]> = OnceLock::new();
    WEIGHTS.get_or_init(|| {
        let mut weights = [0.0; NODES];
        weights[0] = normal_cdf(-LARGEST_Z);
        weights[NODES - 1] = normal_cdf(-LARGEST_Z);
        for index in 0..NODES - 1 {
            let (a, b) = (node_z(index), node_z(index + 1));
            let share = normal_cdf(b) - normal_cdf(a);
            let to_b = (normal_density(a) - normal_density(b) - a * share) * NODES_PER_UNIT;
            weights[index] += share - to_b;
            weights[index + 1] += to_b;
        }
        weights
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn law_weights_hold_the_moments_of_the_deviate() {
        let sum = |f: &dyn Fn(f64) -> f64| -> f64 {
            let weights = node_weights().iter().enumerate();
            weights.map(|(index, w)| w * f(node_z(index))).sum()
        };
        assert!((sum(&|_| 1.0) - 1.0).abs() < 1e-12);
        assert!(sum(&|z| z).abs() < 1e-12);
        // Tents widen a little and the held ends narrow: h²/6 against the tails beyond 4.
        assert!((sum(&|z| z * z) - 1.0).abs() < 1e-3);
    }
}
