//! The energy budget.
//!
//! One job: the verdict, the picture and a table a bank, from the same columns as `budget.csv`.

use super::parts::{Passage, Section, Table};
use crate::present::charts::budget_svg;
use crate::present::columns::{BudgetItem, budget_columns, budget_rows, live_word, value_of};
use crate::present::words::{bank_line, budget_verdict};
use crate::study::answer::BudgetBank;
use crate::study::report::ReportAnswer;
use crate::units::Units;

/// Headings with their units, and the columns of `columns::budget_columns` under them.
const SHOWN: [(&str, &str); 6] = [
    ("live, h a day", "live_hours_per_day"),
    ("camp day, Wh", "camp_day_wh"),
    ("driving day, Wh", "driving_day_wh"),
    ("mean, Wh a day", "wh_per_day"),
    ("mean, Ah a day", "ah_per_day"),
    ("share of use", "share"),
];

/// The section.
pub(super) fn section(answer: &ReportAnswer) -> Section {
    let budget = &answer.budget;
    let units = budget.heading.units;
    let mut parts = vec![
        Passage::verdict(&budget_verdict(budget)),
        Passage::figure(
            "What each bank gets and is asked for a day.",
            "See whether a bank's light bars together are as long as its dark ones, and which load makes the longest \
             piece.",
            budget_svg(budget),
        ),
    ];
    parts.extend(budget.banks.iter().map(|bank| table(bank, units).into()));
    Section {
        id: "budget",
        title: "The energy budget",
        parts,
    }
}

fn table(bank: &BudgetBank, units: Units) -> Table {
    let mut table = Table::new(
        &format!("{}.", bank_line(bank)),
        "",
        &["what", "kind, when live"],
    )
    .words(2);
    for (heading, _) in SHOWN {
        table.column(heading);
    }
    let columns = budget_columns();
    for row in budget_rows(bank).iter().filter(|row| row.is_shown()) {
        let figures = SHOWN
            .iter()
            .map(|(_, key)| value_of(&columns, key, row).on_screen(units));
        table.row(
            [row.name().to_owned(), kind(&row.item)]
                .into_iter()
                .chain(figures),
        );
    }
    table
}

fn kind(item: &BudgetItem<'_>) -> String {
    match item {
        BudgetItem::Load(load) => format!("load, {}", live_word(load.live)),
        BudgetItem::Source(_) => "source".to_owned(),
        BudgetItem::Total(..) => "sum".to_owned(),
    }
}
