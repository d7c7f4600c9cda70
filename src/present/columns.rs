//! Columns: one list for a table on the screen and the same rows in a file.
//!
//! One job: which figures a row has, under which names, so that screen and file cannot differ.
//! Laying them out is in `tables`, writing files in `csv`.

use super::csv_cell::{number_cell, safe_cell};
use super::plain_text::shortened;
use super::words::chance::{percent, soc};
use super::words::duration::short_date;
use super::words::figure::rounded;
use crate::study::answer::{BudgetBank, BudgetLoad, BudgetSource, Live, Night};

/// Longest name of a user's that a table shows.
const NAME_LIMIT: usize = 24;

/// What stands in a cell.
#[derive(Debug, Clone, PartialEq)]
pub enum Value {
    /// A name.
    Text(String),
    /// An ISO date.
    Date(String),
    /// A chance, 0 to 1.
    Chance(f64),
    /// A state of charge, 0 to 1.
    Soc(f64),
    /// Any other figure, in the unit of its column.
    Number(f64),
    /// Nothing.
    Empty,
}

impl Value {
    /// As a file has it: shares from 0 to 1, ISO dates, safe text.
    #[must_use]
    pub fn in_file(&self) -> String {
        match self {
            Self::Text(text) | Self::Date(text) => safe_cell(text).into_owned(),
            Self::Chance(value) | Self::Soc(value) | Self::Number(value) => number_cell(*value),
            Self::Empty => String::new(),
        }
    }

    /// As a screen shows it: per cent, short dates.
    #[must_use]
    pub fn on_screen(&self) -> String {
        match self {
            Self::Text(text) => shortened(text, NAME_LIMIT),
            Self::Date(date) => short_date(date),
            Self::Chance(value) => percent(*value),
            Self::Soc(value) => soc(*value),
            Self::Number(value) => rounded(*value),
            Self::Empty => String::new(),
        }
    }
}

/// A column of rows `R`.
pub struct Column<R> {
    /// Name in a file.
    pub key: &'static str,
    /// The figure.
    pub value: fn(&R) -> Value,
}

/// The figure of a row in the column named `key`; empty when there is no such column.
#[must_use]
pub fn value_of<R>(columns: &[Column<R>], key: &str, row: &R) -> Value {
    columns
        .iter()
        .find(|column| column.key == key)
        .map_or(Value::Empty, |column| (column.value)(row))
}

/// A night of a bank.
pub struct NightRow<'a> {
    /// Id of the bank.
    pub bank: &'a str,
    /// One of its nights.
    pub night: &'a Night,
}

/// Columns of nights: of `trip.csv`, and of the table of nights.
#[must_use]
pub fn night_columns<'a>() -> [Column<NightRow<'a>>; 12] {
    fn column<'a>(key: &'static str, value: fn(&NightRow<'a>) -> Value) -> Column<NightRow<'a>> {
        Column { key, value }
    }
    [
        column("bank", |row| Value::Text(row.bank.to_owned())),
        column("date", |row| Value::Date(row.night.date.clone())),
        column("stop", |row| Value::Text(row.night.stop.clone())),
        column("dawn_soc_p10", |row| Value::Soc(row.night.dawn_soc.p10)),
        column("dawn_soc_p50", |row| Value::Soc(row.night.dawn_soc.p50)),
        column("dawn_soc_p90", |row| Value::Soc(row.night.dawn_soc.p90)),
        column("chance_no_shortfall", |row| {
            Value::Chance(row.night.chance_no_shortfall.value)
        }),
        column("chance_no_shortfall_low", |row| {
            Value::Chance(row.night.chance_no_shortfall.low)
        }),
        column("chance_no_shortfall_high", |row| {
            Value::Chance(row.night.chance_no_shortfall.high)
        }),
        column("chance_so_far", |row| {
            Value::Chance(row.night.chance_so_far.value)
        }),
        column("chance_so_far_low", |row| {
            Value::Chance(row.night.chance_so_far.low)
        }),
        column("chance_so_far_high", |row| {
            Value::Chance(row.night.chance_so_far.high)
        }),
    ]
}

/// A line of a bank's budget.
pub enum BudgetItem<'a> {
    /// What a load takes.
    Load(&'a BudgetLoad),
    /// What a source gives.
    Source(&'a BudgetSource),
    /// A sum or balance of the bank: its name, Wh a day, and Ah a day where there is such.
    Total(&'static str, f64, Option<f64>),
}

/// A line of the budget with its bank.
pub struct BudgetRow<'a> {
    /// The bank.
    pub bank: &'a BudgetBank,
    /// The line.
    pub item: BudgetItem<'a>,
}

/// Every line of a bank's budget: sources, loads, then the sums.
#[must_use]
pub fn budget_rows(bank: &BudgetBank) -> Vec<BudgetRow<'_>> {
    let sources = bank.sources.iter().map(BudgetItem::Source);
    let loads = bank.loads.iter().map(BudgetItem::Load);
    let totals = [
        BudgetItem::Total("in", bank.in_wh_per_day, Some(bank.in_ah_per_day)),
        BudgetItem::Total("out", bank.out_wh_per_day, Some(bank.out_ah_per_day)),
        BudgetItem::Total("losses", bank.losses_wh_per_day, None),
        BudgetItem::Total("balance", bank.balance_wh_per_day, None),
        BudgetItem::Total("curtailed", bank.curtailed_wh_per_day, None),
        BudgetItem::Total("unserved", bank.unserved_wh_per_day, None),
    ];
    sources
        .chain(loads)
        .chain(totals)
        .map(|item| BudgetRow { bank, item })
        .collect()
}

/// By which circuit a load hangs, in one word, as the scenario file says it.
#[must_use]
pub fn live_word(live: Live) -> &'static str {
    match live {
        Live::Always => "always",
        Live::Ignition => "ignition",
        Live::Parked => "parked",
        Live::Camp => "camp",
        Live::Hours => "hours",
    }
}

/// Columns of the budget: of `budget.csv`, and of the table.
#[must_use]
pub fn budget_columns<'a>() -> [Column<BudgetRow<'a>>; 9] {
    fn column<'a>(key: &'static str, value: fn(&BudgetRow<'a>) -> Value) -> Column<BudgetRow<'a>> {
        Column { key, value }
    }
    fn of_load(row: &BudgetRow<'_>, value: fn(&BudgetLoad) -> Value) -> Value {
        match &row.item {
            BudgetItem::Load(load) => value(load),
            _ => Value::Empty,
        }
    }
    [
        column("bank", |row| Value::Text(row.bank.id.clone())),
        column("kind", |row| {
            let kind = match row.item {
                BudgetItem::Load(_) => "load",
                BudgetItem::Source(_) => "source",
                BudgetItem::Total(..) => "total",
            };
            Value::Text(kind.to_owned())
        }),
        column("live", |row| {
            of_load(row, |load| Value::Text(live_word(load.live).to_owned()))
        }),
        column("id", |row| {
            let name = match &row.item {
                BudgetItem::Load(load) => &load.id,
                BudgetItem::Source(source) => &source.id,
                BudgetItem::Total(name, ..) => *name,
            };
            Value::Text(name.to_owned())
        }),
        column("live_hours_per_day", |row| {
            of_load(row, |load| Value::Number(load.live_hours_per_day))
        }),
        column("wh_per_day", |row| match row.item {
            BudgetItem::Load(load) => Value::Number(load.wh_per_day),
            BudgetItem::Source(source) => Value::Number(source.wh_per_day),
            BudgetItem::Total(_, wh, _) => Value::Number(wh),
        }),
        column("ah_per_day", |row| match row.item {
            BudgetItem::Load(load) => Value::Number(load.ah_per_day),
            BudgetItem::Source(source) => Value::Number(source.ah_per_day),
            BudgetItem::Total(_, _, ah) => ah.map_or(Value::Empty, Value::Number),
        }),
        column("share", |row| {
            of_load(row, |load| Value::Chance(load.share))
        }),
        column("days_without_charge", |row| match row.item {
            BudgetItem::Total("out", ..) => row
                .bank
                .days_without_charge
                .map_or(Value::Empty, Value::Number),
            _ => Value::Empty,
        }),
    ]
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::present::sample;

    #[test]
    fn law_screen_and_file_show_the_same_figures() {
        let trip = sample::trip();
        let bank = &trip.result.banks[0];
        let row = NightRow {
            bank: &bank.id,
            night: &bank.nights[0],
        };
        for column in night_columns() {
            let value = (column.value)(&row);
            if let Value::Soc(share) | Value::Chance(share) = value {
                let in_file: f64 = value.in_file().parse().unwrap();
                assert!((in_file - share).abs() < 1e-6, "{}", column.key);
            }
            assert!(!value.on_screen().is_empty(), "{}", column.key);
        }
    }

    #[test]
    fn keys_are_unique() {
        let keys: Vec<_> = budget_columns().iter().map(|column| column.key).collect();
        let distinct: std::collections::BTreeSet<_> = keys.iter().collect();
        assert_eq!(keys.len(), distinct.len());
    }
}
