//! Nights: a row a night, with the state of charge at dawn of each bank.
//!
//! One job: the table of nights that `trip` and `stay` share, and `trip.csv`.

use super::part::{Part, note};
use crate::present::plain_text::shortened;
use crate::present::table::{Align, Table, Value};
use crate::present::words::chance::percent;
use crate::present::words::figure::whole;
use crate::study::answer::{Chance, Heading, Night, TripBank, TripResult};

/// Longest name of a bank in a heading.
const BANK_LIMIT: usize = 14;

/// What the columns mean, as a line above the table.
fn key(heading: &Heading) -> &'static str {
    if heading.typical {
        "Nights. Dawn: state of charge in per cent. Chance: no shortfall that night, noon to noon."
    } else {
        "Nights. Dawn: state of charge in per cent that 9 in 10 trips are above · half are \
         above · 1 in 10 are above. Chance: no shortfall that night, noon to noon."
    }
}

/// A bank's id with its nights.
pub(super) type BankNights<'a> = (&'a str, &'a [Night]);

/// One row a bank and night, banks in file order: `trip.csv`.
#[must_use]
pub fn nights_file(result: &TripResult) -> Table {
    let of_bank = |bank: &'_ TripBank| {
        let nights = bank.nights.iter();
        nights
            .map(|night| (bank.id.clone(), night.clone()))
            .collect::<Vec<_>>()
    };
    let rows: Vec<(String, Night)> = result.banks.iter().flat_map(of_bank).collect();
    let with_interval = |chance: Chance| Some([chance.value, chance.low, chance.high]);
    Table::of(&rows, result.heading.units)
        .filed("bank", |row| Value::Text(row.0.clone()))
        .filed("date", |row| Value::Date(row.1.date.clone()))
        .filed("stop", |row| Value::Text(row.1.stop.clone()))
        .filed("dawn_soc_p10", |row| Value::Soc(row.1.dawn_soc.p10))
        .filed("dawn_soc_p50", |row| Value::Soc(row.1.dawn_soc.p50))
        .filed("dawn_soc_p90", |row| Value::Soc(row.1.dawn_soc.p90))
        .bounds("chance_no_shortfall", |row| {
            with_interval(row.1.chance_no_shortfall)
        })
        .bounds("chance_so_far", |row| with_interval(row.1.chance_so_far))
        .done()
}

/// The nights of the banks below what the columns mean; nothing where there are none.
pub(super) fn night_parts(banks: &[BankNights<'_>], heading: &Heading) -> Vec<Part> {
    let longest = banks.iter().map(|(_, nights)| nights);
    let Some(longest) = longest
        .max_by_key(|nights| nights.len())
        .filter(|it| !it.is_empty())
    else {
        return Vec::new();
    };
    let numbers: Vec<usize> = (0..longest.len()).collect();
    let mut columns = Table::of(&numbers, heading.units)
        .column("", "night", Align::Left, |night| {
            Value::Date(longest[*night].date.clone())
        })
        .name("", "stop", |night| longest[*night].stop.clone());
    for (id, nights) in banks {
        let night = |number: &usize| nights.get(*number);
        columns = columns
            .shown(&format!("{} dawn", shortened(id, BANK_LIMIT)), |number| {
                night(number).map_or_else(String::new, |it| dawn(it, heading.typical))
            })
            .shown("chance", |number| {
                night(number).map_or_else(String::new, chance)
            });
    }
    let table = columns.done().in_blocks(2, vec![2; banks.len()]);
    vec![note(key(heading)), Part::Table(table)]
}

/// The charge at dawn in per cent that 9 in 10, half and 1 in 10 trips are above.
pub(in crate::present) fn dawn(night: &Night, is_typical: bool) -> String {
    let soc = &night.dawn_soc;
    let levels = [soc.p10, soc.p50, soc.p90].map(|share| whole(share * 100.0));
    levels[..if is_typical { 1 } else { 3 }].join(" · ")
}

/// The chance of no shortfall that night.
pub(in crate::present) fn chance(night: &Night) -> String {
    percent(night.chance_no_shortfall.value)
}
