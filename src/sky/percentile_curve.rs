//! A curve through measured percentiles.
//!
//! One job: a few percentiles with mean and standard deviation in, the nodes of a table over the
//! normal deviate out. The table itself is in `sky::clearness`.
//! Left out: checks of the percentiles; the table makes them.

use super::deviate_grid::{NODES, cell, node_weights, node_z};
use super::monotone_cubic::{inside, slopes};
use super::normal::normal_quantile;
use crate::units::Whole;

/// Rates of decay of a tail that are tried, per unit of deviate: `0.02 · 1.2^i`, up to 95.
const RATES: usize = 47;

/// One tail for each rate: its share of the mean and of the mean square.
type TailMoments = [(f64, f64); RATES];

/// Nodes of the table.
///
/// `aim` holds mean and standard deviation, `limits` the darkest and the clearest day. The tails
/// run out as `limit + (outermost - limit) · exp(-rate · distance)`.
pub(super) fn percentile_nodes(
    aim: (f64, f64),
    percentiles: &[(f64, f64)],
    limits: (f64, f64),
) -> Box<[f64; NODES]> {
    let points: Vec<(f64, f64)> = percentiles
        .iter()
        .map(|&(p, kt)| (normal_quantile(p), kt))
        .collect();
    let (first, last) = (points[0], points[points.len() - 1]);
    let slopes = slopes(&points);
    let mut nodes: Box<[f64; NODES]> = Box::new([0.0; NODES]);
    let (mut mean, mut square) = (0.0, 0.0);
    for (index, weight) in node_weights().iter().enumerate() {
        let z = node_z(index);
        if z >= first.0 && z <= last.0 {
            nodes[index] = inside(&points, &slopes, z);
            mean += weight * nodes[index];
            square += weight * nodes[index] * nodes[index];
        }
    }
    let lower = tail_moments(first, limits.0, |z| first.0 - z);
    let upper = tail_moments(last, limits.1, |z| z - last.0);
    let wanted = (aim.0 - mean, aim.1 * aim.1 + aim.0 * aim.0 - square);
    let (lower_rate, upper_rate) = best_rates(&lower, &upper, wanted);
    for (index, node) in nodes.iter_mut().enumerate() {
        let z = node_z(index);
        if z < first.0 {
            *node = tail(first.1, limits.0, lower_rate, first.0 - z);
        } else if z > last.0 {
            *node = tail(last.1, limits.1, upper_rate, z - last.0);
        }
    }
    nodes
}

fn tail(outermost: f64, limit: f64, rate: f64, distance: f64) -> f64 {
    limit + (outermost - limit) * libm::exp(-rate * distance)
}

/// The rate at a place in the list, fractions included.
fn rate_at(place: f64) -> f64 {
    0.02 * libm::exp(place * core::f64::consts::LN_2 * 0.263_034_405_833_793_8)
}

fn tail_moments(end: (f64, f64), limit: f64, distance: impl Fn(f64) -> f64) -> TailMoments {
    core::array::from_fn(|place| {
        let rate = rate_at(place.real());
        let mut sums = (0.0, 0.0);
        for (index, weight) in node_weights().iter().enumerate() {
            let beyond = distance(node_z(index));
            if beyond > 0.0 {
                let kt = tail(end.1, limit, rate, beyond);
                sums.0 += weight * kt;
                sums.1 += weight * kt * kt;
            }
        }
        sums
    })
}

/// The pair of rates whose tails hold the wanted mean, and among those come nearest to the wanted
/// square.
fn best_rates(lower: &TailMoments, upper: &TailMoments, wanted: (f64, f64)) -> (f64, f64) {
    const PARTS: u32 = 8;
    let mut best = (f64::INFINITY, 0.0, 0.0);
    let last = u32::try_from(RATES - 1).unwrap_or(0) * PARTS;
    for part in 0..=last {
        let place = f64::from(part) / f64::from(PARTS);
        let low = between(lower, place);
        let upper_place = place_of_mean(upper, wanted.0 - low.0);
        let high = between(upper, upper_place);
        // A mean out of reach weighs far more than a square out of reach.
        let miss = (low.1 + high.1 - wanted.1).abs() + 100.0 * (low.0 + high.0 - wanted.0).abs();
        if miss < best.0 {
            best = (miss, place, upper_place);
        }
    }
    (rate_at(best.1), rate_at(best.2))
}

fn between(table: &TailMoments, place: f64) -> (f64, f64) {
    let (index, share) = cell(place, RATES);
    let (a, b) = (table[index], table[index + 1]);
    (a.0 + (b.0 - a.0) * share, a.1 + (b.1 - a.1) * share)
}

/// Place in the list at which an upper tail has a mean; the nearest end where none has.
fn place_of_mean(upper: &TailMoments, mean: f64) -> f64 {
    let index = upper.partition_point(|m| m.0 < mean).clamp(1, RATES - 1);
    let (a, b) = (upper[index - 1].0, upper[index].0);
    let start = (index - 1).real();
    if b > a {
        start + ((mean - a) / (b - a)).clamp(0.0, 1.0)
    } else {
        start
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn law_rates_run_as_said() {
        assert!((rate_at(0.0) - 0.02).abs() < 1e-15);
        assert!((rate_at(1.0) - 0.024).abs() < 1e-12);
    }
}
