//! Tables of `budget`: sources and loads of each bank, by the circuit they depend on.
//!
//! One job: the figures under the verdict, on the report and in `budget.csv`.

use super::budget_lines::{BudgetItem, BudgetRow, Total, TotalFigures, budget_rows, live_word};
use super::part::{Part, note};
use crate::present::table::{Align, Table, Value};
use crate::present::words::bank_line;
use crate::study::answer::{BudgetBank, BudgetLoad, BudgetResult, DayFlow, Live, PerDay};
use crate::units::Units;

/// Circuits in the order of the groups.
const GROUPS: [Live; 5] = [
    Live::Always,
    Live::Ignition,
    Live::Parked,
    Live::Camp,
    Live::Hours,
];

/// How to read the tables.
pub(in crate::present) const BUDGET_KEY: &str = "Live: the circuit that a load depends on, and the hours a day that it \
    is live. Wh camp, Wh driving: on a day in camp, on a day with driving, at the bank's terminals; means: a day over \
    the whole trip. Share: of all that is asked of the bank.";

/// A table a bank, each below a sentence; how to read them above.
#[must_use]
pub fn budget_tables(result: &BudgetResult) -> Vec<Part> {
    let units = result.heading.units;
    let tables = result.banks.iter().map(|bank| {
        let table = bank_table(bank, units);
        [note(table.title.clone()), Part::Table(table)]
    });
    let key = (!result.banks.is_empty()).then(|| note(BUDGET_KEY));
    key.into_iter().chain(tables.flatten()).collect()
}

/// Every line of every bank, as a file has them.
#[must_use]
pub fn budget_file(result: &BudgetResult) -> Table {
    let lines = result.banks.iter().flat_map(budget_rows);
    let lines: Vec<_> = lines.map(|line| ("", line)).collect();
    table(&lines, result.heading.units)
}

/// A bank's lines by the circuit they depend on, below its sentence.
pub(in crate::present) fn bank_table(bank: &BudgetBank, units: Units) -> Table {
    let group = |row: &BudgetRow<'_>| match &row.item {
        BudgetItem::Source(_) => (0, "source"),
        BudgetItem::Load(load) => {
            let place = GROUPS.iter().position(|live| *live == load.live);
            (1 + place.unwrap_or(0), live_word(load.live))
        }
        BudgetItem::Total(..) => (1 + GROUPS.len(), "sum"),
    };
    let mut lines = budget_rows(bank);
    lines.retain(BudgetRow::is_shown);
    lines.sort_by_key(|line| group(line).0);
    let lines = lines.into_iter().map(|line| (group(&line).1, line));
    table(&lines.collect::<Vec<_>>(), units).titled(&bank_line(bank), "")
}

/// Lines, each with the name of its group.
type Line<'a> = (&'a str, BudgetRow<'a>);

fn table(lines: &[Line<'_>], units: Units) -> Table {
    fn of_load((_, row): &Line<'_>, value: fn(&BudgetLoad) -> Value) -> Value {
        match &row.item {
            BudgetItem::Load(load) => value(load),
            _ => Value::Empty,
        }
    }
    fn of_day(
        (_, row): &Line<'_>,
        day: fn(&PerDay) -> Option<DayFlow>,
        total: fn(&TotalFigures) -> Option<f64>,
    ) -> Value {
        Value::of(match &row.item {
            BudgetItem::Load(load) => day(&load.asked).map(|flow| flow.wh),
            BudgetItem::Source(source) => day(&source.given).map(|flow| flow.wh),
            BudgetItem::Total(_, figures) => total(figures),
        })
    }
    let text = |text: &str| Value::Text(text.to_owned());
    Table::of(lines, units)
        .filed("bank", |(_, row)| text(&row.bank.id))
        .filed("kind", |(_, row)| {
            text(match row.item {
                BudgetItem::Load(_) => "load",
                BudgetItem::Source(_) => "source",
                BudgetItem::Total(..) => "total",
            })
        })
        .filed("live", |line| {
            of_load(line, |load| Value::Text(live_word(load.live).to_owned()))
        })
        .filed("id", |(_, row)| {
            text(match &row.item {
                BudgetItem::Total(total, _) => total.key(),
                _ => row.name(),
            })
        })
        .name("", "what", |(_, row)| row.name().to_owned())
        .column("", "live", Align::Left, |(group, _)| text(group))
        .figure("live_hours_per_day", "h live", |line| {
            of_load(line, |load| Value::Number(load.live_hours_per_day))
        })
        .figure("camp_day_wh", "Wh camp", |line| {
            of_day(line, |flow| flow.camp_day, |figures| figures.camp_wh)
        })
        .figure("driving_day_wh", "Wh driving", |line| {
            of_day(line, |flow| flow.driving_day, |figures| figures.driving_wh)
        })
        .figure("wh_per_day", "Wh mean", |(_, row)| {
            Value::Number(row.wh_per_day())
        })
        .figure("ah_per_day", "Ah mean", |(_, row)| {
            Value::of(match &row.item {
                BudgetItem::Load(load) => Some(load.asked.ah_per_day),
                BudgetItem::Source(source) => Some(source.given.ah_per_day),
                BudgetItem::Total(_, figures) => figures.ah,
            })
        })
        .filed("not_supplied_wh_per_day", |line| {
            of_load(line, |load| Value::Number(load.not_supplied_wh_per_day))
        })
        .figure("share", "share", |line| {
            of_load(line, |load| Value::Chance(load.share))
        })
        .filed("days_without_charge", |(_, row)| match row.item {
            BudgetItem::Total(Total::Asked, _) => Value::of(row.bank.days_without_charge),
            _ => Value::Empty,
        })
        .done()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::present::sample;
    use crate::present::tables::laid_out;

    #[test]
    fn pinned_tables_of_the_sample() {
        let mut budget = sample::budget();
        budget.banks.truncate(1);
        insta::assert_snapshot!(laid_out(&budget_tables(&budget), 90), @r#"
        Live: the circuit that a load depends on, and the hours a day that it is live. Wh camp, Wh
        driving: on a day in camp, on a day with driving, at the bank's terminals; means: a day
        over the whole trip. Share: of all that is asked of the bank.

        main: its loads ask for 978 Wh (75.6 Ah) a day and it gets 1,000 Wh (76 Ah); full and
        uncharged it lasts 1.4 days, in camp 1.3 days

        what                  live      h live  Wh camp  Wh driving  Wh mean  Ah mean  share
        -------------------------------------------------------------------------------------
        roof                  source                682         496      620     47.1
        main-dcdc             source                  0       1,140      380     28.9
        fridge                always        24      540         540      540     41.7   55 %
        standby               always        24      4.6         4.6      4.6      0.4   <1 %
        radio                 ignition     2.1      8.2         123       41      3.2    4 %
        fan                   parked         8     25.4        25.4     25.4        2    3 %
        water-heater          camp         1.5      240         100      200     15.5   20 %
        lights                camp         4.2      108          45       90        7    9 %
        laptop                hours          1       77          77       77        6    8 %
        all sources           sum                   700       1,600    1,000       76
        all loads ask for     sum                 1,080         880      978     75.6
        lost inside the bank  sum                                          7
        balance               sum                  -376         720       15
        sun left over         sum                                        210
        "#);
    }
}
