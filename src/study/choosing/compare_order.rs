//! Less and more among options: by price, by mass or by size.
//!
//! One job: the measure that puts options in an order, the least that meets the aim, and the knee
//! beyond which more buys nothing clear.

use super::compare::OptionAnswer;
use super::paired::chance_difference;

/// What makes an option less or more.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Measure {
    Price,
    Mass,
    Capacity,
    Panel,
    Order,
}

impl Measure {
    pub(super) fn word(self) -> &'static str {
        match self {
            Self::Price => "price",
            Self::Mass => "mass_kg",
            Self::Capacity => "capacity_ah",
            Self::Panel => "panel_w",
            Self::Order => "order",
        }
    }

    fn of(self, options: &[OptionAnswer], index: usize) -> Option<f64> {
        let option = &options[index];
        match self {
            Self::Price => option.price,
            Self::Mass => option.mass_kg,
            Self::Capacity => Some(option.capacity_ah),
            Self::Panel => Some(option.panel_w),
            Self::Order => u32::try_from(index).ok().map(f64::from),
        }
    }
}

/// The first measure that every option gives and in which any two differ.
pub(super) fn measure_of(options: &[OptionAnswer]) -> Measure {
    let tells = |measure: &Measure| {
        let values: Option<Vec<f64>> = (0..options.len())
            .map(|index| measure.of(options, index))
            .collect();
        values.is_some_and(|values| values.iter().any(|value| (value - values[0]).abs() > 1e-9))
    };
    [
        Measure::Price,
        Measure::Mass,
        Measure::Capacity,
        Measure::Panel,
    ]
    .into_iter()
    .find(tells)
    .unwrap_or(Measure::Order)
}

fn ascending(options: &[OptionAnswer], measure: Measure) -> Vec<usize> {
    let mut order: Vec<usize> = (0..options.len()).collect();
    let value = |index: usize| measure.of(options, index).unwrap_or(f64::INFINITY);
    order.sort_by(|&a, &b| {
        let chance = |index: usize| options[index].chance_no_shortfall.value;
        value(a)
            .total_cmp(&value(b))
            .then(options[a].panel_w.total_cmp(&options[b].panel_w))
            .then(chance(b).total_cmp(&chance(a)))
    });
    order
}

/// The least option that meets the aim.
pub(super) fn least(options: &[OptionAnswer], measure: Measure) -> Option<usize> {
    ascending(options, measure)
        .into_iter()
        .find(|&index| options[index].meets_aim)
}

/// The least option that no dearer one beats clearly.
pub(super) fn knee(
    options: &[OptionAnswer],
    kept: &[Vec<bool>],
    measure: Measure,
) -> Option<usize> {
    if measure == Measure::Order {
        return None;
    }
    let order = ascending(options, measure);
    let beats = |dearer: usize, index: usize| {
        let difference = chance_difference(&kept[index], &kept[dearer]);
        difference.clear && difference.value > 0.0
    };
    (0..order.len())
        .find(|&place| {
            !order[place + 1..]
                .iter()
                .any(|&dearer| beats(dearer, order[place]))
        })
        .map(|place| order[place])
}
