//! The map of enough: least pairs of two sizes that meet the aim.
//!
//! One job: for sizes of the weakest bank, from half of it up, the least panel (or charger, where no
//! panel helps) beside it.

use super::answer::{Mend, MendMap};
use super::families::Family;
use super::search::{Bench, both};
use crate::scenario::Changes;
use crate::study::choosing::ChoosingError;
use crate::study::figures::tidy;

/// Sizes of the bank against what it has.
const TIMES: [f64; 9] = [0.5, 0.75, 1.0, 1.25, 1.5, 2.0, 2.5, 3.0, 4.0];

/// The map over a family of banks and one of panels or chargers, with what was decided of them. `least_y` is the first
/// rung, or no change where the size as it is may be none at all.
pub(super) fn map(
    bench: &Bench<'_>,
    [bank, other]: [&Family; 2],
    mends: &[Mend],
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
    if least.is_empty() {
        return Ok(None);
    }
    let mut map = MendMap {
        x_key: x_key.clone(),
        y_key: y_key.clone(),
        names: [bank, other].map(|family| format!("{}, {}", family.part, family.unit)),
        now: [bank.now, other.now],
        least,
        y_most: size(count - 1),
    };
    put_in_decided(&mut map, bank, mends);
    Ok(Some(map))
}

/// What was decided with the run's own trials stands in the map too, which knows fewer: of one of its sizes alone, the
/// least. A larger bank then asks for no more beside it, a smaller one for no less.
fn put_in_decided(map: &mut MendMap, bank: &Family, mends: &[Mend]) {
    for mend in mends.iter().filter(|mend| mend.meets_aim) {
        let [change] = mend.changes.as_slice() else {
            continue;
        };
        let Some(size) = change.to.as_f64() else {
            continue;
        };
        let (x, y) = if change.key == map.x_key {
            // The size before it was tried and is too little.
            let smaller = bank.rungs.iter().map(|rung| rung.size);
            let before = smaller.filter(|of| *of < size).fold(map.now[0], f64::max);
            let now_y = map.now[1];
            map.least
                .retain(|&(x, y)| x > before || y.is_none_or(|y| y > now_y));
            (size, now_y)
        } else if change.key == map.y_key {
            (map.now[0], size)
        } else {
            continue;
        };
        map.least.retain(|pair| (pair.0 - x).abs() > 1e-9);
        let place = map.least.partition_point(|pair| pair.0 < x);
        for (_, least) in &mut map.least[..place] {
            *least = least.map(|least| least.max(y));
        }
        for (_, least) in &mut map.least[place..] {
            *least = Some(least.map_or(y, |least| least.min(y)));
        }
        map.least.insert(place, (x, Some(y)));
    }
}
