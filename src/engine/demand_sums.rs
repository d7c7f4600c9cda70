//! Sums over lanes of what loads ask and what they miss.
//!
//! One job: passes over the trials of a batch that the demand is added up with.

use super::lanes::{LANES, Lanes, ONE, wide};

/// Sum of all lanes.
pub(super) fn sum_of(lanes: &Lanes) -> f64 {
    sum_of_products(lanes, &ONE)
}

/// Sum of the products lane by lane, in an order of its own: several sums side by side, then these.
#[inline(never)]
pub(super) fn sum_of_products(a: &Lanes, b: &Lanes) -> f64 {
    const SIDE_BY_SIDE: usize = 8;
    wide!(|a, b| {
        let mut sums = [0.0; SIDE_BY_SIDE];
        for first in (0..LANES).step_by(SIDE_BY_SIDE) {
            for place in 0..SIDE_BY_SIDE {
                sums[place] += a[first + place] * b[first + place];
            }
        }
        sums.iter().sum()
    })
}

/// Adds the share of a step that was not served.
pub(super) fn book_missed(steps: &mut Lanes, served: &Lanes, share: &Lanes) {
    for lane in 0..LANES {
        steps[lane] += (1.0 - served[lane]) * share[lane];
    }
}

/// Adds the voltage at which it was served, by that share.
#[inline(never)]
pub(super) fn book_volts(sum: &mut Lanes, served: &Lanes, volts: &Lanes, share: &Lanes) {
    wide!(|sum, served, volts, share| for lane in 0..LANES {
        sum[lane] += served[lane] * share[lane] * volts[lane];
    });
}

/// What is asked over the mean of a step, in the trials that drive a part of it.
#[inline(never)]
pub(super) fn over_mean(asked: &mut Lanes, mean: &Lanes, driving: &Lanes) {
    wide!(|asked, mean, driving| for lane in 0..LANES {
        let is_part = (driving[lane] > 0.0) & (driving[lane] < 1.0);
        let part = if is_part { 1.0 } else { 0.0 };
        asked[lane] = part * (asked[lane] - mean[lane]);
    });
}

/// Adds a part by its shares of the step.
#[inline(never)]
pub(super) fn add_by_share(sum: &mut Lanes, part: &Lanes, share: &Lanes) {
    wide!(|sum, part, share| for lane in 0..LANES {
        sum[lane] += part[lane] * share[lane];
    });
}
