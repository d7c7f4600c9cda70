//! Columns: one list for a table on the screen and the same rows in a file.
//!
//! One job: which figures a row has, under which names, so that screen and file cannot differ.
//! Laying them out is in `tables`, writing files in `csv`.

use super::csv_cell::{number_cell, safe_cell};
use super::plain_text::shortened;
use super::words::chance::{percent, soc};
use super::words::duration::short_date;
use super::words::figure::rounded;
use crate::study::answer::{
    BudgetBank, BudgetDay, BudgetLoad, BudgetSource, DayFlow, Live, Night, PerDay,
};
use crate::units::Units;

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
    pub fn on_screen(&self, units: Units) -> String {
        match self {
            Self::Text(text) => shortened(text, NAME_LIMIT),
            Self::Date(date) => short_date(date, units),
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
    /// What a load asks for.
    Load(&'a BudgetLoad),
    /// What a source gives.
    Source(&'a BudgetSource),
    /// A sum or balance of the bank.
    Total(Total, TotalFigures),
}

/// Which sum or balance of a bank.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Total {
    /// All sources.
    In,
    /// What all loads ask for.
    Asked,
    /// What they get.
    Out,
    /// What they ask for and do not get.
    Unserved,
    /// Lost inside the bank.
    Losses,
    /// Sources less what is asked for less losses.
    Balance,
    /// Sun left over.
    Curtailed,
}

impl Total {
    /// Its name in a file.
    #[must_use]
    pub fn key(self) -> &'static str {
        match self {
            Self::In => "in",
            Self::Asked => "asked",
            Self::Out => "out",
            Self::Unserved => "unserved",
            Self::Losses => "losses",
            Self::Balance => "balance",
            Self::Curtailed => "curtailed",
        }
    }

    /// Its name on screens, in reports and pictures.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::In => "all sources",
            Self::Asked => "all loads ask for",
            Self::Out => "all loads get",
            Self::Unserved => "not supplied",
            Self::Losses => "lost inside the bank",
            Self::Balance => "balance",
            Self::Curtailed => "sun left over",
        }
    }
}

/// The figures of a sum: energy a day, charge where there is such, energy on a day of either kind.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct TotalFigures {
    wh: f64,
    ah: Option<f64>,
    camp_wh: Option<f64>,
    driving_wh: Option<f64>,
}

/// A line of the budget with its bank.
pub struct BudgetRow<'a> {
    /// The bank.
    pub bank: &'a BudgetBank,
    /// The line.
    pub item: BudgetItem<'a>,
}

impl BudgetRow<'_> {
    /// Energy a day, mean over the trip.
    #[must_use]
    pub fn wh_per_day(&self) -> f64 {
        match &self.item {
            BudgetItem::Load(load) => load.asked.wh_per_day,
            BudgetItem::Source(source) => source.given.wh_per_day,
            BudgetItem::Total(_, figures) => figures.wh,
        }
    }

    /// Whether a reader is shown it: sums always but what the loads get, which is so only where it is
    /// less than they ask for; sun left over and what is not supplied where there is some.
    #[must_use]
    pub fn is_shown(&self) -> bool {
        match self.item {
            BudgetItem::Total(Total::Out, _) => self.bank.unserved_wh_per_day >= 0.5,
            BudgetItem::Total(Total::Curtailed | Total::Unserved, figures) => figures.wh >= 0.5,
            _ => true,
        }
    }

    /// Its name as a reader sees it.
    #[must_use]
    pub fn name(&self) -> &str {
        match &self.item {
            BudgetItem::Load(load) => &load.id,
            BudgetItem::Source(source) => &source.id,
            BudgetItem::Total(total, _) => total.words(),
        }
    }
}

/// Every line of a bank's budget: sources, loads, then the sums.
#[must_use]
pub fn budget_rows(bank: &BudgetBank) -> Vec<BudgetRow<'_>> {
    let sources = bank.sources.iter().map(BudgetItem::Source);
    let loads = bank.loads.iter().map(BudgetItem::Load);
    let of_days = |wh: f64, ah: Option<f64>, of: fn(&BudgetDay) -> f64| TotalFigures {
        wh,
        ah,
        camp_wh: bank.camp_day.as_ref().map(of),
        driving_wh: bank.driving_day.as_ref().map(of),
    };
    let mean = |wh: f64, ah: Option<f64>| TotalFigures {
        wh,
        ah,
        ..TotalFigures::default()
    };
    let totals = [
        (
            Total::In,
            of_days(bank.in_wh_per_day, Some(bank.in_ah_per_day), |day| {
                day.given.wh
            }),
        ),
        (
            Total::Asked,
            of_days(bank.asked_wh_per_day, Some(bank.asked_ah_per_day), |day| {
                day.asked.wh
            }),
        ),
        (
            Total::Out,
            mean(bank.out_wh_per_day, Some(bank.out_ah_per_day)),
        ),
        (Total::Unserved, mean(bank.unserved_wh_per_day, None)),
        (Total::Losses, mean(bank.losses_wh_per_day, None)),
        (
            Total::Balance,
            of_days(bank.balance_wh_per_day, None, |day| day.balance_wh),
        ),
        (Total::Curtailed, mean(bank.curtailed_wh_per_day, None)),
    ];
    let totals = totals
        .into_iter()
        .map(|(total, figures)| BudgetItem::Total(total, figures));
    sources
        .chain(loads)
        .chain(totals)
        .map(|item| BudgetRow { bank, item })
        .collect()
}

/// Which circuit a load depends on, in one word, as the scenario file says it.
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
pub fn budget_columns<'a>() -> [Column<BudgetRow<'a>>; 12] {
    fn column<'a>(key: &'static str, value: fn(&BudgetRow<'a>) -> Value) -> Column<BudgetRow<'a>> {
        Column { key, value }
    }
    fn of_load(row: &BudgetRow<'_>, value: fn(&BudgetLoad) -> Value) -> Value {
        match &row.item {
            BudgetItem::Load(load) => value(load),
            _ => Value::Empty,
        }
    }
    fn number(value: Option<f64>) -> Value {
        value.map_or(Value::Empty, Value::Number)
    }
    fn of_day(
        row: &BudgetRow<'_>,
        day: fn(&PerDay) -> Option<DayFlow>,
        total: fn(&TotalFigures) -> Option<f64>,
    ) -> Value {
        number(match &row.item {
            BudgetItem::Load(load) => day(&load.asked).map(|flow| flow.wh),
            BudgetItem::Source(source) => day(&source.given).map(|flow| flow.wh),
            BudgetItem::Total(_, figures) => total(figures),
        })
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
                BudgetItem::Total(total, _) => total.key(),
                _ => row.name(),
            };
            Value::Text(name.to_owned())
        }),
        column("live_hours_per_day", |row| {
            of_load(row, |load| Value::Number(load.live_hours_per_day))
        }),
        column("camp_day_wh", |row| {
            of_day(row, |flow| flow.camp_day, |figures| figures.camp_wh)
        }),
        column("driving_day_wh", |row| {
            of_day(row, |flow| flow.driving_day, |figures| figures.driving_wh)
        }),
        column("wh_per_day", |row| Value::Number(row.wh_per_day())),
        column("ah_per_day", |row| {
            number(match &row.item {
                BudgetItem::Load(load) => Some(load.asked.ah_per_day),
                BudgetItem::Source(source) => Some(source.given.ah_per_day),
                BudgetItem::Total(_, figures) => figures.ah,
            })
        }),
        column("not_supplied_wh_per_day", |row| {
            of_load(row, |load| Value::Number(load.not_supplied_wh_per_day))
        }),
        column("share", |row| {
            of_load(row, |load| Value::Chance(load.share))
        }),
        column("days_without_charge", |row| match row.item {
            BudgetItem::Total(Total::Asked, _) => number(row.bank.days_without_charge),
            _ => Value::Empty,
        }),
    ]
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::present::sample;

    /// What a screen shows of a value is what a file has, to the digits shown.
    fn agree(key: &str, value: &Value) {
        let (shown, in_file) = (value.on_screen(Units::Si), value.in_file());
        let plain = shown.replace(',', "");
        let figure = |text: &str| text.trim_end_matches(" %").parse::<f64>().ok();
        let filed = in_file.parse::<f64>().ok();
        match value {
            Value::Text(text) => assert!(
                shown.trim_end_matches('…').len() <= text.len() && in_file.contains(text.as_str()),
                "{key}: {shown} and {in_file}"
            ),
            Value::Date(_) => assert_eq!(shown, short_date(&in_file, Units::Si), "{key}"),
            Value::Empty => assert!(shown.is_empty() && in_file.is_empty(), "{key}"),
            Value::Chance(_) | Value::Soc(_) => {
                let per_cent = 100.0 * filed.unwrap();
                // `<1 %` and `>99 %` stand for what rounds to certainty.
                let seen = match plain.as_str() {
                    "<1 %" => 0.5,
                    ">99 %" => 99.5,
                    text => figure(text).unwrap(),
                };
                assert!(
                    (seen - per_cent).abs() <= 0.5 + 1e-6,
                    "{key}: {shown} and {in_file}"
                );
            }
            Value::Number(_) => {
                let (seen, filed) = (figure(&plain).unwrap(), filed.unwrap());
                let step = if filed.abs() < 99.95 {
                    0.1
                } else {
                    1.0_f64.max(0.01 * filed.abs())
                };
                assert!(
                    (seen - filed).abs() <= 0.5 * step + 1e-6,
                    "{key}: {shown} and {in_file}"
                );
            }
        }
    }

    /// Every column of every night and of every line of the budget, on the screen and in the file.
    #[test]
    fn law_screen_and_file_show_the_same_figures() {
        let mut seen = 0;
        for bank in &sample::trip().result.banks {
            for night in &bank.nights {
                let row = NightRow {
                    bank: &bank.id,
                    night,
                };
                for column in night_columns() {
                    agree(column.key, &(column.value)(&row));
                    seen += 1;
                }
            }
        }
        for bank in &sample::budget().banks {
            for row in budget_rows(bank) {
                for column in budget_columns() {
                    agree(column.key, &(column.value)(&row));
                    seen += 1;
                }
            }
        }
        assert!(seen > 500, "{seen} values");
    }

    #[test]
    fn keys_are_unique() {
        let keys: Vec<_> = budget_columns().iter().map(|column| column.key).collect();
        let distinct: std::collections::BTreeSet<_> = keys.iter().collect();
        assert_eq!(keys.len(), distinct.len());
    }
}
