//! What another size of a part would cost and weigh, and which sizes there are.

use crate::scenario::file::Size;

/// What can be bought in place of a bank, a charger or a panel. A size is its capacity in Ah, its
/// output in A, its power in W.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Buying {
    /// Price of one more of its unit.
    pub price_per_unit: Option<f64>,
    /// Mass of one more of its unit.
    pub mass_kg_per_unit: Option<f64>,
    /// Sizes that can be bought, ascending; empty where none are named.
    pub sizes: Vec<f64>,
    /// Never to be proposed for a change.
    pub fixed: bool,
}

impl Buying {
    pub(in crate::scenario) fn new(
        price_per_unit: Option<f64>,
        mass_kg_per_unit: Option<f64>,
        sizes: Option<&[Size]>,
        fixed: Option<bool>,
    ) -> Self {
        let sizes = sizes.unwrap_or_default().iter();
        let mut sizes: Vec<f64> = sizes.map(|size| size.0).collect();
        sizes.sort_by(f64::total_cmp);
        sizes.dedup();
        Self {
            price_per_unit,
            mass_kg_per_unit,
            sizes,
            fixed: fixed.unwrap_or(false),
        }
    }

    /// What a size costs or weighs: what is `given` for it, else so much a unit.
    pub(in crate::scenario) fn amount(
        given: Option<f64>,
        per_unit: Option<f64>,
        size: f64,
    ) -> Option<f64> {
        given.or(per_unit.map(|per_unit| per_unit * size))
    }
}
