//! Nights: a row a night, with the state of charge at dawn of each bank.
//!
//! One job: the table of nights that `trip` and `stay` share. Banks that don't fit the width side
//! by side go into further tables.

use super::frame::{Align, framed};
use crate::present::columns::{NightRow, Value, night_columns, value_of};
use crate::present::plain_text::shortened;
use crate::present::words::figure::whole;
use crate::study::answer::{Heading, Night, TripBank};

/// What the columns mean, as a line above the table.
pub(super) fn key(heading: &Heading) -> &'static str {
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

/// Width of a date, a stop and the gaps, and of a bank's two columns.
const FIXED_WIDTH: usize = 36;
const BANK_WIDTH: usize = 25;

/// The nights of the banks, side by side as far as they fit.
pub(super) fn night_tables(banks: &[BankNights<'_>], heading: &Heading, width: usize) -> String {
    let abreast = (width.saturating_sub(FIXED_WIDTH) / BANK_WIDTH).max(1);
    let tables: Vec<String> = banks
        .chunks(abreast)
        .filter(|chunk| chunk.iter().any(|bank| !bank.nights.is_empty()))
        .map(|chunk| one_table(chunk, heading, width))
        .collect();
    tables.join("\n\n")
}

fn one_table(banks: &[BankNights<'_>], heading: &Heading, width: usize) -> String {
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
            for bank in banks {
                let Some(night) = bank.nights.get(index) else {
                    row.extend([String::new(), String::new()]);
                    continue;
                };
                let shown = |key| shown(night, key);
                if row.is_empty() {
                    row.extend([shown("date").on_screen(), shown("stop").on_screen()]);
                }
                let of_trials = ["dawn_soc_p10", "dawn_soc_p50", "dawn_soc_p90"];
                let keys = if heading.typical {
                    &of_trials[..1]
                } else {
                    &of_trials
                };
                let dawn: Vec<String> = keys.iter().map(|key| bare_percent(&shown(key))).collect();
                row.push(dawn.join(" · "));
                row.push(shown("chance_no_shortfall").on_screen());
            }
            row
        })
        .collect();
    framed(&head, rows, width)
}

fn shown(night: &Night, key: &str) -> Value {
    value_of(&night_columns(), key, &NightRow { bank: "", night })
}

fn bare_percent(value: &Value) -> String {
    match value {
        Value::Soc(share) => whole(share * 100.0),
        other => other.on_screen(),
    }
}
