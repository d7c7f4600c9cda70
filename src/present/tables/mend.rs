//! The tables of `mend`: changes that help, and what does not.
//!
//! One job: the figures under the verdict.

use super::part::Part;
use crate::present::plain_text::{neutral, shortened};
use crate::present::table::{Align, Table, Value};
use crate::present::words::figure::{money, rounded};
use crate::present::words::mend_verdict::{least_words, mend_gain};
use crate::study::mending::MendResult;
use crate::units::Amount;

/// The changes that help, a row each.
pub(in crate::present) fn change_table(result: &MendResult) -> Table {
    let currency = result.heading.currency.as_deref();
    let units = result.heading.units;
    let price = |value: f64| money(value, currency);
    let mass = |value: f64| rounded(units.value(Amount::Kilograms, value));
    let figure = |value: Option<f64>, is_free: bool, shown: &dyn Fn(f64) -> String| match value {
        _ if is_free => "nothing".to_owned(),
        Some(value) => shown(value),
        None => "–".to_owned(),
    };
    Table::of(&result.mends, units)
        .column("", "change", Align::Left, |mend| {
            Value::Text(mend.text.clone() + least_words(mend).as_str())
        })
        .chance("", "no shortfall", |mend| mend.chance)
        .shown("gained", mend_gain)
        .shown("reaches the aim", |mend| {
            if mend.meets_aim { "yes" } else { "no" }.to_owned()
        })
        .shown("price", |mend| figure(mend.price, mend.free, &price))
        .shown(&format!("{} more", units.symbol(Amount::Kilograms)), |mend| {
            figure(mend.mass_kg, mend.free, &mass)
        })
        .done()
        .titled(
            "Changes that help.",
            "Chances with their 95 % interval, gains trial by trial, on the run's own trials. Sizes go in steps of ours \
             (10 Ah, 10 W, 5 A, a quarter of an hour) unless the part names its `sizes`; what costs nothing comes first, \
             then the lower price, mass and change.",
        )
}

/// The tables of a mend.
#[must_use]
pub fn mend_tables(result: &MendResult) -> Vec<Part> {
    let mut parts = Vec::new();
    if !result.mends.is_empty() {
        parts.extend(Part::with_says(change_table(result)));
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
        let says = "Tried alone on a part of the trials, up to the largest size looked at.";
        let table = Table::shown(&["of no clear help"], 1, rows).titled("", says);
        parts.extend(Part::with_says(table));
    }
    parts
}
