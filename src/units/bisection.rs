//! Bisection.
//!
//! One job: where something that rises passes a mark, by halving what it lies in.

use super::Whole;

/// The ends of what is left of `low` to `high` after so many halvings: the mark lies above the first, where `is_below`
/// holds, and at or below the second.
pub fn bisected(
    mut low: f64,
    mut high: f64,
    halvings: u32,
    is_below: impl Fn(f64) -> bool,
) -> (f64, f64) {
    for _ in 0..halvings {
        let middle = f64::midpoint(low, high);
        if is_below(middle) {
            low = middle;
        } else {
            high = middle;
        }
    }
    (low, high)
}

/// The least whole number, `from` to `to`, that does, where `to` is known to and every larger one does too.
///
/// # Errors
/// That of `does`.
pub fn least_that_does<N: Whole + PartialOrd, E>(
    mut from: N,
    mut to: N,
    mut does: impl FnMut(N) -> Result<bool, E>,
) -> Result<N, E> {
    while from < to {
        let middle = N::cut(f64::midpoint(from.real(), to.real()));
        if does(middle)? {
            to = middle;
        } else {
            from = N::cut(middle.real() + 1.0);
        }
    }
    Ok(to)
}
