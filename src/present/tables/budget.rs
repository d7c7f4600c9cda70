//! Tables of `budget`: sources and loads of each bank, by the circuit they depend on.
//!
//! One job: the figures under the verdict.

use super::part::{Part, head, note, table};
use crate::present::columns::{
    BudgetItem, BudgetRow, budget_columns, budget_rows, live_word, value_of,
};
use crate::present::plain_text::shortened;
use crate::present::words::bank_line;
use crate::study::answer::{BudgetBank, BudgetResult, Live};
use crate::units::Units;

/// Circuits in the order of the groups.
const GROUPS: [Live; 5] = [
    Live::Always,
    Live::Ignition,
    Live::Parked,
    Live::Camp,
    Live::Hours,
];

/// Headings, and the columns of `columns::budget_columns` under them.
const SHOWN: [(&str, &str); 6] = [
    ("h live", "live_hours_per_day"),
    ("Wh camp", "camp_day_wh"),
    ("Wh driving", "driving_day_wh"),
    ("Wh mean", "wh_per_day"),
    ("Ah mean", "ah_per_day"),
    ("share", "share"),
];

/// A table a bank, each below a sentence.
#[must_use]
pub fn budget_tables(result: &BudgetResult) -> Vec<Part> {
    let units = result.heading.units;
    let tables = result.banks.iter().map(|bank| bank_table(bank, units));
    tables.flatten().collect()
}

fn bank_table<'a>(bank: &'a BudgetBank, units: Units) -> [Part; 2] {
    let columns = budget_columns();
    let cells = |group: &str, row: &BudgetRow<'a>| -> Vec<String> {
        let figures = SHOWN
            .iter()
            .map(|(_, key)| value_of(&columns, key, row).on_screen(units));
        let names = [group.to_owned(), shortened(row.name(), 24)];
        names.into_iter().chain(figures).collect()
    };
    let rows = budget_rows(bank);
    let mut lines = Vec::new();
    let mut add_group = |name: &str, members: Vec<&BudgetRow<'a>>| {
        for (index, row) in members.into_iter().enumerate() {
            lines.push(cells(if index == 0 { name } else { "" }, row));
        }
    };
    add_group(
        "sources",
        select(&rows, |item| matches!(item, BudgetItem::Source(_))),
    );
    for live in GROUPS {
        add_group(
            live_word(live),
            select(
                &rows,
                |item| matches!(item, BudgetItem::Load(load) if load.live == live),
            ),
        );
    }
    let totals = rows.iter().filter(|row| row.is_shown());
    let totals = totals.filter(|row| matches!(row.item, BudgetItem::Total(..)));
    add_group("in all", totals.collect());
    let mut names = vec!["live", "what"];
    names.extend(SHOWN.iter().map(|(name, _)| *name));
    [note(bank_line(bank)), table(head(&names, 2), lines)]
}

fn select<'a, 'b>(
    rows: &'b [BudgetRow<'a>],
    wanted: impl Fn(&BudgetItem<'a>) -> bool,
) -> Vec<&'b BudgetRow<'a>> {
    rows.iter().filter(|row| wanted(&row.item)).collect()
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
        main: its loads ask for 978 Wh (75.6 Ah) a day and it gets 1,000 Wh (76 Ah); full and
        uncharged it lasts 1.4 days, in camp 1.3 days

        live      what                  h live  Wh camp  Wh driving  Wh mean  Ah mean  share
        -------------------------------------------------------------------------------------
        sources   roof                              682         496      620     47.1
                  main-dcdc                           0       1,140      380     28.9
        always    fridge                    24      540         540      540     41.7   55 %
                  standby                   24      4.6         4.6      4.6      0.4   <1 %
        ignition  radio                    2.1      8.2         123       41      3.2    4 %
        parked    fan                        8     25.4        25.4     25.4        2    3 %
        camp      water-heater             1.5      240         100      200     15.5   20 %
                  lights                   4.2      108          45       90        7    9 %
        hours     laptop                     1       77          77       77        6    8 %
        in all    all sources                       700       1,600    1,000       76
                  all loads ask for               1,080         880      978     75.6
                  lost inside the bank                                     7
                  balance                          -376         720       15
                  sun left over                                          210
        "#);
    }

    #[test]
    fn every_column_shown_exists() {
        let columns = budget_columns();
        for (_, key) in SHOWN {
            assert!(columns.iter().any(|column| column.key == key), "{key}");
        }
    }
}
