//! The tables of `mend`: changes that help, and what does not.
//!
//! One job: the figures under the verdict.

use super::part::{Part, head, table};
use crate::present::plain_text::{neutral, shortened};
use crate::present::words::chance::compact;
use crate::present::words::figure::{money, rounded};
use crate::present::words::mend_verdict::{least_words, mend_gain};
use crate::study::mending::{Mend, MendResult};
use crate::units::{Amount, Units};

/// Heads of the columns of [`change_rows`].
pub(in crate::present) fn change_columns(units: Units) -> [String; 6] {
    let mass = format!("{} more", units.symbol(Amount::Kilograms));
    [
        "change",
        "no shortfall",
        "gained",
        "reaches the aim",
        "price",
        &mass,
    ]
    .map(str::to_owned)
}

/// The changes that help, a row each.
pub(in crate::present) fn change_rows(result: &MendResult) -> Vec<[String; 6]> {
    let currency = result.heading.currency.as_deref();
    let price = |value: f64| money(value, currency);
    let units = result.heading.units;
    let mass = |value: f64| rounded(units.value(Amount::Kilograms, value));
    let figure = |value: Option<f64>, is_free: bool, shown: &dyn Fn(f64) -> String| match value {
        _ if is_free => "nothing".to_owned(),
        Some(value) => shown(value),
        None => "–".to_owned(),
    };
    let row = |mend: &Mend| {
        [
            (neutral(&mend.text) + least_words(mend).as_str()).into_owned(),
            compact(mend.chance),
            mend_gain(mend),
            if mend.meets_aim { "yes" } else { "no" }.to_owned(),
            figure(mend.price, mend.free, &price),
            figure(mend.mass_kg, mend.free, &mass),
        ]
    };
    result.mends.iter().map(row).collect()
}

/// The tables of a mend.
#[must_use]
pub fn mend_tables(result: &MendResult) -> Vec<Part> {
    let mut parts = Vec::new();
    if !result.mends.is_empty() {
        let rows = change_rows(result).into_iter().map(Vec::from);
        parts.push(table(
            head(&change_columns(result.heading.units), 1),
            rows.collect(),
        ));
        parts.push(Part::Lines(
            "Chances with their 95 % interval on the run's own trials; gains trial by trial. Sizes go in steps of ours \
             (10 Ah, 10 W, 5 A,\na quarter of an hour) unless the part names its `sizes`; what costs nothing comes first, \
             then the lower price, mass and change."
                .to_owned(),
        ));
        let cables: Vec<String> = result
            .mends
            .iter()
            .filter(|mend| !mend.cables.is_empty())
            .map(|mend| {
                format!(
                    "With {}: {} needs another cable or fuse.",
                    neutral(&mend.text),
                    mend.cables.join(", ")
                )
            })
            .collect();
        if !cables.is_empty() {
            parts.push(Part::Lines(cables.join("\n")));
        }
    }
    if !result.useless.is_empty() {
        let rows = result
            .useless
            .iter()
            .map(|useless| vec![shortened(&useless.text, 100)]);
        parts.push(table(head(&["of no clear help"], 1), rows.collect()));
    }
    parts
}
