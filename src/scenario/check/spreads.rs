//! Spreads: least, likeliest and greatest in order.

use super::super::file::AnySpread;
use super::super::problem::figure;
use super::findings::Findings;
use crate::scenario::Spread;

/// The spread of a key that must be given; a placeholder where it is missing, which the
/// structure has reported.
pub(in crate::scenario) fn required<S: AnySpread>(
    given: Option<&S>,
    path: &str,
    notes: &mut Findings<'_>,
) -> Spread {
    given.map_or(Spread::fixed(1.0), |given| {
        in_order(given.to_spread(), path, notes)
    })
}

/// The spread, or a problem where its numbers are not in order.
pub(super) fn in_order(spread: Spread, path: &str, notes: &mut Findings<'_>) -> Spread {
    let Spread { min, likely, max } = spread;
    if (min > likely || likely > max) && !notes.is_spoiled(path) {
        let text = format!(
            "has min {}, likely {} and max {}, but must have them in this order",
            figure(min),
            figure(likely),
            figure(max)
        );
        notes.problem(path, text);
    }
    spread
}
