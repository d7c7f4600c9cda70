//! What an option costs and weighs.
//!
//! One job: sums over the banks, chargers and panels that give a price or a mass. A part of another
//! size than the scenario's counts with what the option sets for it, else with so much a unit; where
//! the file has neither, nobody knows.

use crate::scenario::{Buying, Changes, Parts, Scenario};
use crate::study::figures::tidy;

/// Sums of an option; `None` where no part gives any, or a part of another size gives none.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(in crate::study) struct Costs {
    pub(in crate::study) price: Option<f64>,
    pub(in crate::study) mass_kg: Option<f64>,
}

/// What is summed, by its key.
const SUMMED: [&str; 2] = ["price", "mass_kg"];

/// A part that can be bought.
struct Buyable<'a> {
    list: &'static str,
    id: &'a str,
    size: f64,
    /// What makes it another thing at the same size.
    kind: &'static str,
    /// Price and mass, and what a unit of size has of them.
    given: [Option<f64>; 2],
    per_unit: [Option<f64>; 2],
}

/// The file gives the amount for another size alone.
struct OfAnotherSize;

fn parts(scenario: &Parts) -> Vec<Buyable<'_>> {
    let per_unit = |of: &Buying| [of.price_per_unit, of.mass_kg_per_unit];
    let banks = scenario.banks.iter().map(|bank| Buyable {
        list: "banks",
        id: &bank.id,
        size: bank.capacity_ah,
        kind: bank.chemistry.word(),
        given: [bank.price, bank.mass_kg],
        per_unit: per_unit(&bank.buying),
    });
    let chargers = scenario.chargers.iter().map(|charger| Buyable {
        list: "chargers",
        id: &charger.id,
        size: charger.output_a,
        kind: "",
        given: [charger.price, charger.mass_kg],
        per_unit: per_unit(&charger.buying),
    });
    let panels = scenario.solar.iter().map(|panel| Buyable {
        list: "solar",
        id: &panel.id,
        size: panel.panel_w,
        kind: "",
        given: [panel.price, panel.mass_kg],
        per_unit: per_unit(&panel.buying),
    });
    banks.chain(chargers).chain(panels).collect()
}

/// What an option costs that sets these keys, and whose scenario was made from `base`.
pub(in crate::study) fn costs(set: &Changes, scenario: &Parts, base: &Parts) -> Costs {
    let (own, bases) = (parts(scenario), parts(base));
    let sum = |which: usize| -> Option<f64> {
        let mut sum = None;
        for part in &own {
            let as_it_is = bases
                .iter()
                .find(|base| (base.list, base.id) == (part.list, part.id));
            let key = format!("{}.{}.{}", part.list, part.id, SUMMED[which]);
            let is_set = set.0.iter().any(|(set, _)| *set == key);
            if let Some(amount) = amount(part, as_it_is, is_set, which).ok()? {
                sum = Some(sum.unwrap_or(0.0) + amount);
            }
        }
        sum.map(tidy)
    };
    let [price, mass_kg] = [0, 1].map(sum);
    Costs { price, mass_kg }
}

/// What one part costs; `None` where the file gives nothing.
///
/// # Errors
/// [`OfAnotherSize`].
fn amount(
    part: &Buyable<'_>,
    as_it_is: Option<&Buyable<'_>>,
    is_set: bool,
    which: usize,
) -> Result<Option<f64>, OfAnotherSize> {
    let now = part.given[which];
    let Some(base) = as_it_is else {
        return Ok(now);
    };
    let before = base.given[which];
    let is_same = base.kind == part.kind && (base.size - part.size).abs() < 1e-9;
    if is_same || is_set || now != before {
        return Ok(now);
    }
    match (before, part.per_unit[which]) {
        (Some(before), Some(per_unit)) if base.kind == part.kind => {
            Ok(Some(before + per_unit * (part.size - base.size)))
        }
        (Some(_), _) => Err(OfAnotherSize),
        (None, _) => Ok(None),
    }
}

/// What a change costs and weighs beyond what there is: nothing where it is `free`, what nobody knows where a part that
/// changes has no price, or no mass; a part that is new has none.
pub(in crate::study) fn extra(base: &Scenario, changes: &Changes, free: bool) -> Costs {
    let both = |value: Option<f64>| Costs {
        price: value,
        mass_kg: value,
    };
    if free {
        return both(Some(0.0));
    }
    let Ok(changed) = base.with(changes) else {
        return both(None);
    };
    let before = costs(&Changes::default(), base, base);
    let after = costs(changes, &changed, base);
    let bases = parts(base);
    let is_known = |which: usize| {
        changes.0.iter().all(|(key, _)| {
            let mut steps = key.split('.');
            let (list, id) = (steps.next().unwrap_or(""), steps.next().unwrap_or(""));
            let part = bases.iter().find(|part| (part.list, part.id) == (list, id));
            part.is_some_and(|part| part.given[which].is_some())
        })
    };
    let more = |after: Option<f64>, before: Option<f64>| Some(after? - before?);
    Costs {
        price: more(after.price, before.price).filter(|_| is_known(0)),
        mass_kg: more(after.mass_kg, before.mass_kg).filter(|_| is_known(1)),
    }
}
