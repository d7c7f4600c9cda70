//! The energy budget.
//!
//! One job: the verdict, the picture and a table a bank, from the same columns as `budget.csv`.

use super::parts::{Part, Section, Table};
use crate::present::charts::budget_svg;
use crate::present::columns::{
    BudgetItem, BudgetRow, budget_columns, budget_rows, live_word, value_of,
};
use crate::present::words::{bank_line, budget_verdict};
use crate::study::answer::BudgetBank;
use crate::study::report::ReportAnswer;

/// Headings with their units, and the columns of `columns::budget_columns` under them.
const SHOWN: [(&str, &str); 4] = [
    ("live, h a day", "live_hours_per_day"),
    ("Wh a day", "wh_per_day"),
    ("Ah a day", "ah_per_day"),
    ("share of use", "share"),
];

/// The section.
pub(super) fn section(answer: &ReportAnswer) -> Section {
    let budget = &answer.budget;
    let mut parts = vec![
        Part::verdict(&budget_verdict(budget)),
        Part::figure(
            "What each bank gets and gives on an average day of the trip.",
            "See whether a bank's light bars together are as long as its dark ones, and which load makes the longest \
             piece.",
            budget_svg(budget),
        ),
    ];
    parts.extend(budget.banks.iter().map(|bank| table(bank).into()));
    Section {
        id: "budget",
        title: "The energy budget",
        parts,
    }
}

fn table(bank: &BudgetBank) -> Table {
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
    for row in budget_rows(bank).iter().filter(|row| is_shown(&row.item)) {
        let figures = SHOWN
            .iter()
            .map(|(_, key)| value_of(&columns, key, row).on_screen());
        table.row([name(row), kind(&row.item)].into_iter().chain(figures));
    }
    table
}

fn name(row: &BudgetRow<'_>) -> String {
    match &row.item {
        BudgetItem::Load(load) => load.id.clone(),
        BudgetItem::Source(source) => source.id.clone(),
        BudgetItem::Total(name, ..) => total_words(name).to_owned(),
    }
}

fn total_words(name: &str) -> &str {
    match name {
        "in" => "all sources",
        "out" => "all loads",
        "losses" => "lost inside the bank",
        "balance" => "balance",
        "curtailed" => "sun left over",
        "unserved" => "load not served",
        other => other,
    }
}

fn kind(item: &BudgetItem<'_>) -> String {
    match item {
        BudgetItem::Load(load) => format!("load, {}", live_word(load.live)),
        BudgetItem::Source(_) => "source".to_owned(),
        BudgetItem::Total(..) => "sum".to_owned(),
    }
}

/// Sums always; sun left over and load not served only where there is some.
fn is_shown(item: &BudgetItem<'_>) -> bool {
    match item {
        BudgetItem::Total("curtailed" | "unserved", wh, _) => *wh >= 0.5,
        _ => true,
    }
}
