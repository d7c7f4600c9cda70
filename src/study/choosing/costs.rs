//! What an option costs and weighs.
//!
//! One job: sums over the banks, chargers and panels that give a price or a mass. A part of another
//! size than the scenario's counts with what the option sets for it, else with so much a unit; where
//! the file has neither, nobody knows.

use super::options::Choice;
use crate::scenario::{Buying, Parts};

/// Sums of an option; `None` where no part gives any, or a part of another size gives none.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(in crate::study) struct Costs {
    pub(in crate::study) price: Option<f64>,
    pub(in crate::study) mass_kg: Option<f64>,
}

/// A part that can be bought.
struct Buyable<'a> {
    list: &'static str,
    id: &'a str,
    size: f64,
    /// What makes it another thing at the same size.
    kind: &'static str,
    price: Option<f64>,
    mass_kg: Option<f64>,
    buying: &'a Buying,
}

fn parts(scenario: &Parts) -> Vec<Buyable<'_>> {
    let banks = scenario.banks.iter().map(|bank| Buyable {
        list: "banks",
        id: &bank.id,
        size: bank.capacity_ah,
        kind: bank.chemistry.word(),
        price: bank.price,
        mass_kg: bank.mass_kg,
        buying: &bank.buying,
    });
    let chargers = scenario.chargers.iter().map(|charger| Buyable {
        list: "chargers",
        id: &charger.id,
        size: charger.output_a,
        kind: "",
        price: charger.price,
        mass_kg: charger.mass_kg,
        buying: &charger.buying,
    });
    let panels = scenario.solar.iter().map(|panel| Buyable {
        list: "solar",
        id: &panel.id,
        size: panel.panel_w,
        kind: "",
        price: panel.price,
        mass_kg: panel.mass_kg,
        buying: &panel.buying,
    });
    banks.chain(chargers).chain(panels).collect()
}

/// What an option costs, whose scenario was made from `base`.
pub(in crate::study) fn costs(choice: &Choice, scenario: &Parts, base: &Parts) -> Costs {
    let bases = parts(base);
    let mut price = Sum::default();
    let mut mass_kg = Sum::default();
    for part in parts(scenario) {
        let as_it_is = bases
            .iter()
            .find(|base| (base.list, base.id) == (part.list, part.id));
        let is_set = |key: &str| {
            let key = format!("{}.{}.{key}", part.list, part.id);
            choice.set.0.iter().any(|(set, _)| *set == key)
        };
        let amount = |now: Option<f64>, per_unit: Option<f64>, before: Option<f64>, key: &str| {
            let Some(base) = as_it_is else {
                return Amount::of(now);
            };
            let is_same = base.kind == part.kind && (base.size - part.size).abs() < 1e-9;
            if is_same || is_set(key) || now != before {
                return Amount::of(now);
            }
            match (before, per_unit) {
                (Some(before), Some(per_unit)) if base.kind == part.kind => {
                    Amount::Known(before + per_unit * (part.size - base.size))
                }
                (Some(_), _) => Amount::Unknown,
                (None, _) => Amount::None,
            }
        };
        let base = |of: fn(&Buyable<'_>) -> Option<f64>| as_it_is.and_then(of);
        let per_unit = part.buying.price_per_unit;
        price.add(amount(
            part.price,
            per_unit,
            base(|part| part.price),
            "price",
        ));
        let per_unit = part.buying.mass_kg_per_unit;
        mass_kg.add(amount(
            part.mass_kg,
            per_unit,
            base(|part| part.mass_kg),
            "mass_kg",
        ));
    }
    Costs {
        price: price.total(),
        mass_kg: mass_kg.total(),
    }
}

/// What one part costs.
#[derive(Clone, Copy)]
enum Amount {
    /// So much.
    Known(f64),
    /// The file gives none.
    None,
    /// The file gives one, but for another size.
    Unknown,
}

impl Amount {
    fn of(given: Option<f64>) -> Self {
        given.map_or(Self::None, Self::Known)
    }
}

#[derive(Default)]
struct Sum {
    known: Option<f64>,
    is_unknown: bool,
}

impl Sum {
    fn add(&mut self, amount: Amount) {
        match amount {
            Amount::Known(amount) => self.known = Some(self.known.unwrap_or(0.0) + amount),
            Amount::None => {}
            Amount::Unknown => self.is_unknown = true,
        }
    }

    fn total(self) -> Option<f64> {
        self.known
            .filter(|_| !self.is_unknown)
            .map(crate::study::figures::tidy)
    }
}
