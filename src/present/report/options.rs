//! The options compared.
//!
//! One job: the verdict, the picture and the table of a comparison.

use super::parts::{Passage, Section, Table};
use crate::present::charts::compare_svg;
use crate::present::tables::mass_heading;
use crate::present::words::chance::{compact, percent, soc};
use crate::present::words::compare_verdict;
use crate::present::words::compare_verdict::gain;
use crate::present::words::duration::{Horizon, lasting};
use crate::present::words::figure::{money, rounded};
use crate::study::choosing::compare::CompareResult;
use crate::study::report::ReportAnswer;
use crate::units::Amount;

/// The section; `None` if nothing was compared.
pub(super) fn section(answer: &ReportAnswer) -> Option<Section> {
    let result = answer.compared.as_ref()?;
    let horizon = Horizon::TripEnd(answer.trip.length_days);
    Some(Section {
        id: "options",
        title: "The options compared",
        parts: vec![
            Passage::verdict(&compare_verdict(result)),
            Passage::figure(
                "What each option brings.",
                "See which options reach the chance aimed at, and which of them gets by with least.",
                compare_svg(result),
            ),
            table(result, horizon).into(),
        ],
    })
}

fn table(result: &CompareResult, horizon: Horizon) -> Table {
    let units = result.heading.units;
    let mut table = Table::new(
        "Options against the trip as it is.",
        "All on the same trial trips; chances with their 95 % interval, differences trial by trial. Lowest: state \
         of charge of the weakest house bank that 9 in 10 trips keep above · that half keep above. Mass and price: \
         sums over the banks, chargers and panels that give them; a dash where a part of another size has none of \
         its own.",
        &[
            "option",
            "no shortfall",
            "against the file as it is",
            "no outage",
            "9 in 10 last",
            "half last",
            "lowest charge",
            "sun left over, Wh a day",
            &mass_heading(units),
            "price",
        ],
    );
    for option in &result.options {
        table.row([
            option.name.clone(),
            compact(option.chance_no_shortfall),
            option
                .difference
                .map_or_else(|| "–".to_owned(), |_| gain(option)),
            percent(option.chance_no_outage.value),
            lasting(option.autonomy_days.p10, horizon),
            lasting(option.autonomy_days.p50, horizon),
            format!(
                "{} · {}",
                soc(option.lowest_soc.p10),
                soc(option.lowest_soc.p50)
            ),
            rounded(option.curtailed_wh_per_day),
            option.mass_kg.map_or_else(
                || "–".to_owned(),
                |mass_kg| rounded(units.value(Amount::Kilograms, mass_kg)),
            ),
            option.price.map_or_else(
                || "–".to_owned(),
                |price| money(price, result.heading.currency.as_deref()),
            ),
        ]);
    }
    table
}
