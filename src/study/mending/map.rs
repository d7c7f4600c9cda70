//! The map of enough: least pairs of two sizes that meet the aim.
//!
//! One job: for sizes of the weakest bank, from half of it up, the least panel (or charger, where no
//! panel helps) beside it.

use super::answer::MendMap;
use super::families::Family;
use super::search::{Bench, both};
use crate::scenario::Changes;
use crate::study::choosing::ChoosingError;
use crate::study::figures::tidy;

/// Sizes of the bank against what it has.
const TIMES: [f64; 9] = [0.5, 0.75, 1.0, 1.25, 1.5, 2.0, 2.5, 3.0, 4.0];

/// The map over a family of banks and one of panels or chargers. `least_y` is the first rung, or no
/// change where the size as it is may be none at all.
pub(super) fn map(
    bench: &Bench<'_>,
    bank: &Family,
    other: &Family,
) -> Result<Option<MendMap>, ChoosingError> {
    let (Some(x_key), Some(y_key)) = (&bank.key, &other.key) else {
        return Ok(None);
    };
    // Upward from what there is: less than that is not asked for.
    let rung = |at: usize| match at {
        0 => Changes::default(),
        at => other.rungs[at - 1].changes.clone(),
    };
    let size = |at: usize| match at {
        0 => other.now,
        at => other.rungs[at - 1].size,
    };
    let count = other.rungs.len() + 1;
    let mut least = Vec::new();
    // A larger bank never asks for more beside it: each search ends where the one before it did.
    let mut enough = None;
    for times in TIMES {
        let x = tidy((bank.now * times / 5.0).round().max(1.0) * 5.0);
        let with_bank = Changes::one(x_key.as_str(), x);
        if bench.base.scenario.with(&with_bank).is_err() {
            continue;
        }
        let changes = |at: usize| both(&with_bank, &rung(at));
        let top = enough.unwrap_or(count - 1);
        if enough.is_none() {
            match bench.tried(&changes(top))? {
                None => continue,
                Some(tried) if bench.meets(&tried) => {}
                Some(_) => {
                    least.push((x, None));
                    continue;
                }
            }
        }
        let at = bench.least(top + 1, |at| bench.tried(&changes(at)))?;
        enough = Some(at);
        least.push((x, Some(tidy(size(at)))));
    }
    Ok((!least.is_empty()).then(|| MendMap {
        x_key: x_key.clone(),
        y_key: y_key.clone(),
        names: [bank, other].map(|family| format!("{}, {}", family.part, family.unit)),
        now: [bank.now, other.now],
        least,
        y_most: size(count - 1),
    }))
}
