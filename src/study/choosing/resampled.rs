//! The bootstrap over trials.
//!
//! One job: trials drawn again with replacement, and the 95 % interval of what they give.
//!
//! # Source
//! B. Efron, R. J. Tibshirani, "An Introduction to the Bootstrap", Chapman and Hall, 1993, ch. 13.

use crate::trials::{StreamKey, rank};
use crate::units::Whole;

/// Resamples behind an interval.
const RESAMPLES: u64 = 400;

/// A figure of each resample; `figure` takes the numbers of the trials drawn, as many as there are.
pub(super) fn resampled<T>(count: usize, mut figure: impl FnMut(&[usize]) -> T) -> Vec<T> {
    let key = StreamKey::new(0, "resample");
    let mut drawn = Vec::with_capacity(count + 1);
    (0..RESAMPLES)
        .map(|round| {
            let stream = key.stream(round);
            drawn.clear();
            for place in 0..(count as u64).div_ceil(2) {
                let (one, two) = stream.uniforms(place);
                drawn.extend(
                    [one, two].map(|uniform| usize::cut(uniform * count.real()).min(count - 1)),
                );
            }
            figure(&drawn)
        })
        .collect()
}

/// The percentile interval of resampled figures.
pub(super) fn interval(mut figures: Vec<f64>) -> (f64, f64) {
    figures.sort_by(f64::total_cmp);
    let at = |p: f64| figures[rank(p, figures.len()) - 1];
    (at(0.025), at(0.975))
}
