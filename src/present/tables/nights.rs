//! Nights: a row a night, with the state of charge at dawn of each bank.
//!
//! One job: the table of nights that `trip` and `stay` share.

use super::part::{Align, Part, Table};
use crate::present::columns::{NightRow, Value, night_columns, value_of};
use crate::present::plain_text::shortened;
use crate::present::words::figure::whole;
use crate::study::answer::{Heading, Night, TripBank};
use crate::units::Units;

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
pub(super) struct BankNights<'a> {
    /// The id.
    pub(super) id: &'a str,
    /// Its nights.
    pub(super) nights: &'a [Night],
}

impl<'a> From<&'a TripBank> for BankNights<'a> {
    fn from(bank: &'a TripBank) -> Self {
        Self {
            id: &bank.id,
            nights: &bank.nights,
        }
    }
}

/// The nights of the banks below what the columns mean; nothing where there are none.
pub(super) fn night_parts(banks: &[BankNights<'_>], heading: &Heading) -> Vec<Part> {
    if banks.iter().all(|bank| bank.nights.is_empty()) {
        return Vec::new();
    }
    vec![
        Part::Note(key(heading).to_owned()),
        Part::Table(night_table(banks, heading)),
    ]
}

fn night_table(banks: &[BankNights<'_>], heading: &Heading) -> Table {
    let units = heading.units;
    let mut head = vec![
        ("night".to_owned(), Align::Left),
        ("stop".to_owned(), Align::Left),
    ];
    for bank in banks {
        head.push((format!("{} dawn", shortened(bank.id, 14)), Align::Right));
        head.push(("chance".to_owned(), Align::Right));
    }
    let count = banks
        .iter()
        .map(|bank| bank.nights.len())
        .max()
        .unwrap_or(0);
    let rows = (0..count)
        .map(|index| {
            let mut row: Vec<String> = Vec::with_capacity(head.len());
            let any = banks.iter().find_map(|bank| bank.nights.get(index));
            let name =
                |key| any.map_or_else(String::new, |night| shown(night, key).on_screen(units));
            row.extend([name("date"), name("stop")]);
            for bank in banks {
                let Some(night) = bank.nights.get(index) else {
                    row.extend([String::new(), String::new()]);
                    continue;
                };
                let shown = |key| shown(night, key);
                let of_trials = ["dawn_soc_p10", "dawn_soc_p50", "dawn_soc_p90"];
                let keys = if heading.typical {
                    &of_trials[..1]
                } else {
                    &of_trials
                };
                let dawn: Vec<String> = (keys.iter())
                    .map(|key| bare_percent(&shown(key), units))
                    .collect();
                row.push(dawn.join(" · "));
                row.push(shown("chance_no_shortfall").on_screen(units));
            }
            row
        })
        .collect();
    Table {
        head,
        rows,
        is_by_bank: true,
    }
}

fn shown(night: &Night, key: &str) -> Value {
    value_of(&night_columns(), key, &NightRow { bank: "", night })
}

fn bare_percent(value: &Value, units: Units) -> String {
    match value {
        Value::Soc(share) => whole(share * 100.0),
        other => other.on_screen(units),
    }
}
