//! The table of `compare`: a row an option.
//!
//! One job: the figures under the verdict.

use super::part::{Part, head, table};
use crate::present::plain_text::shortened;
use crate::present::words::chance::{compact, percent, soc};
use crate::present::words::compare_verdict::{gain, labels};
use crate::present::words::duration::{Horizon, lasting};
use crate::present::words::figure::{money, rounded};
use crate::study::choosing::compare::CompareResult;
use crate::units::{Amount, Units};

/// Below the chances.
const CHANCES: &str = "Chances with their 95 % interval; differences trial by trial. Lowest: state of charge of the weakest
house bank that 9 in 10 trips keep above · that half keep above.";

/// Below mass and price.
const SUMS: &str = "Mass and price: sums over the banks, chargers and panels that give them; a dash where a part of another size has
none of its own: set it, or give `price_per_ah`, `price_per_w`, `price_per_a`, `mass_kg_per_ah`, `mass_kg_per_w`.";

/// The heading of masses: `mass, kg`.
pub(in crate::present) fn mass_heading(units: Units) -> String {
    format!("mass, {}", units.symbol(Amount::Kilograms))
}

/// The tables of a comparison.
#[must_use]
pub fn compare_tables(result: &CompareResult) -> Vec<Part> {
    let horizon = Horizon::TripEnd(0.0);
    let units = result.heading.units;
    let mass = mass_heading(units);
    let (title, labels) = labels(result);
    let rows = result
        .options
        .iter()
        .zip(&labels)
        .map(|(option, label)| {
            vec![
                shortened(label, 40),
                compact(option.chance_no_shortfall),
                option
                    .difference
                    .map_or_else(|| "–".to_owned(), |_| gain(option)),
                percent(option.chance_no_outage.value),
                lasting(option.autonomy_days.p10, horizon),
                lasting(option.autonomy_days.p50, horizon),
                lasting(option.autonomy_days.p90, horizon),
                format!(
                    "{} · {}",
                    soc(option.lowest_soc.p10),
                    soc(option.lowest_soc.p50)
                ),
            ]
        })
        .collect();
    let names = [
        "option",
        "no shortfall",
        "against the file as it is",
        "no outage",
        "9 in 10 last",
        "half last",
        "1 in 10 last",
        "lowest",
    ];
    let chances = table(head(&names, 1), rows);
    let rows = result
        .options
        .iter()
        .zip(&labels)
        .map(|(option, label)| {
            let sources: Vec<String> = option
                .charge_wh_per_day
                .0
                .iter()
                .map(|(id, wh)| format!("{} {}", shortened(id, 24), rounded(*wh)))
                .collect();
            let currency = result.heading.currency.as_deref();
            let price = option.price.map(|price| money(price, currency));
            vec![
                shortened(label, 40),
                sources.join(", "),
                rounded(option.curtailed_wh_per_day),
                option.mass_kg.map_or_else(
                    || "–".to_owned(),
                    |mass_kg| rounded(units.value(Amount::Kilograms, mass_kg)),
                ),
                price.unwrap_or_else(|| "–".to_owned()),
            ]
        })
        .collect();
    let names = [
        "option",
        "charge by source, Wh a day",
        "sun left over, Wh a day",
        mass.as_str(),
        "price",
    ];
    let sources = table(head(&names, 2), rows);
    let mut parts = Vec::new();
    if title != "option" {
        parts.push(Part::Lines(format!("Options: {title}")));
    }
    parts.extend([
        chances,
        Part::Lines(CHANCES.to_owned()),
        sources,
        Part::Lines(SUMS.to_owned()),
    ]);
    parts
}
