//! The energy budget.
//!
//! One job: the verdict, the picture and a table a bank, the same as on the screen and in `budget.csv`.

use super::parts::{Passage, Section};
use crate::present::charts::budget_svg;
use crate::present::tables::{BUDGET_KEY, bank_table};
use crate::present::words::budget_verdict;
use crate::study::report::ReportAnswer;

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
        Passage::text(BUDGET_KEY),
    ];
    parts.extend(
        budget
            .banks
            .iter()
            .map(|bank| bank_table(bank, units).into()),
    );
    Section {
        id: "budget",
        title: "The energy budget",
        parts,
    }
}
