//! Tables of `budget`: sources and loads of each bank, by the circuit they hang on.
//!
//! One job: the figures under the verdict.

use super::frame::{framed, head};
use crate::present::columns::{
    BudgetItem, BudgetRow, budget_columns, budget_rows, live_word, value_of,
};
use crate::present::words::bank_line;
use crate::study::answer::{BudgetBank, BudgetResult, Live};

/// Circuits in the order of the groups.
const GROUPS: [Live; 5] = [
    Live::Always,
    Live::Ignition,
    Live::Parked,
    Live::Camp,
    Live::Hours,
];

/// Headings, and the columns of `columns::budget_columns` under them.
const SHOWN: [(&str, &str); 5] = [
    ("what", "id"),
    ("live, h a day", "live_hours_per_day"),
    ("Wh a day", "wh_per_day"),
    ("Ah a day", "ah_per_day"),
    ("share", "share"),
];

/// A table a bank, each at most `width` columns wide.
#[must_use]
pub fn budget_tables(result: &BudgetResult, width: usize) -> String {
    let tables: Vec<String> = result
        .banks
        .iter()
        .map(|bank| bank_table(bank, width))
        .collect();
    tables.join("\n\n")
}

fn bank_table<'a>(bank: &'a BudgetBank, width: usize) -> String {
    let columns = budget_columns();
    let cells = |group: &str, row: &BudgetRow<'a>| -> Vec<String> {
        let figures = SHOWN
            .iter()
            .map(|(_, key)| value_of(&columns, key, row).on_screen());
        std::iter::once(group.to_owned()).chain(figures).collect()
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
    add_group("in all", select(&rows, |item| is_shown_total(item)));
    let mut names = vec!["live"];
    names.extend(SHOWN.iter().map(|(name, _)| *name));
    format!(
        "{}\n\n{}",
        bank_line(bank),
        framed(&head(&names, 2), lines, width)
    )
}

fn select<'a, 'b>(
    rows: &'b [BudgetRow<'a>],
    wanted: impl Fn(&BudgetItem<'a>) -> bool,
) -> Vec<&'b BudgetRow<'a>> {
    rows.iter().filter(|row| wanted(&row.item)).collect()
}

/// Sums always; sun left over and load not served only where there is some.
fn is_shown_total(item: &BudgetItem<'_>) -> bool {
    match item {
        BudgetItem::Total("curtailed" | "unserved", wh, _) => *wh >= 0.5,
        BudgetItem::Total(..) => true,
        _ => false,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::present::sample;

    #[test]
    fn pinned_tables_of_the_sample() {
        let mut budget = sample::budget();
        budget.banks.truncate(1);
        insta::assert_snapshot!(budget_tables(&budget, 90), @r#"
        main: uses 978 Wh (75.6 Ah) and gets 1,000 Wh (76 Ah) a day; full and uncharged it lasts 1.4 days

        live      what          live, h a day  Wh a day  Ah a day  share
        -----------------------------------------------------------------
        sources   roof                              620      47.1
                  main-dcdc                         380      28.9
        always    fridge                   24       540      41.7   55 %
                  standby                  24       4.6       0.4   <1 %
        ignition  radio                   2.1        41       3.2    4 %
        parked    fan                       8      25.4         2    3 %
        camp      water-heater            1.5       200      15.5   20 %
                  lights                  4.2        90         7    9 %
        hours     laptop                    1        77         6    8 %
        in all    in                              1,000        76
                  out                               978      75.6
                  losses                              7
                  balance                            15
                  curtailed                         210
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
