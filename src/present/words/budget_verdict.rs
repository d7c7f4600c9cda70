//! The verdict of `budget`: which banks hold their level on an average day.
//!
//! One job: a sentence over all banks, and a line for each.

use super::duration::days_in_words;
use super::figure::{energy, rounded};
use crate::present::plain_text::neutral;
use crate::scenario::Role;
use crate::study::answer::{BudgetBank, BudgetResult};

/// A bank holds its level when it falls by less than this share of its daily use.
const LEVEL_SHARE: f64 = 0.02;

/// And in any case when it falls by less than this.
const LEVEL_WH: f64 = 5.0;

/// One sentence: the house bank that falls most a day, else the starting bank that does, or that all
/// hold their level.
#[must_use]
pub fn budget_verdict(result: &BudgetResult) -> String {
    let falling: Vec<&BudgetBank> = result.banks.iter().filter(|bank| falls(bank)).collect();
    let worst = falling.iter().min_by(|a, b| {
        let house_first = |bank: &BudgetBank| bank.role != Role::House;
        house_first(a)
            .cmp(&house_first(b))
            .then(a.balance_wh_per_day.total_cmp(&b.balance_wh_per_day))
    });
    let Some(worst) = worst else {
        return match result.banks.as_slice() {
            [only] => format!(
                "On an average day bank {} holds its level.",
                neutral(&only.id)
            ),
            _ => "On an average day every bank holds its level.".to_owned(),
        };
    };
    let others = match (falling.len(), result.banks.len()) {
        (_, 1) => String::new(),
        (1, 2) => "; the other holds its level".to_owned(),
        (1, _) => "; the others hold their level".to_owned(),
        (2, _) => "; one other falls too".to_owned(),
        (count, _) => format!("; {} others fall too", count - 1),
    };
    format!(
        "On an average day bank {} falls by {}: it gets {}, uses {} and loses {} inside{others}.",
        neutral(&worst.id),
        energy(-worst.balance_wh_per_day),
        energy(worst.in_wh_per_day),
        energy(worst.out_wh_per_day),
        energy(worst.losses_wh_per_day),
    )
}

fn falls(bank: &BudgetBank) -> bool {
    bank.balance_wh_per_day < -(LEVEL_SHARE * bank.out_wh_per_day).max(LEVEL_WH)
}

/// One line a bank: what it uses and gets, and how long it lasts without charge.
#[must_use]
pub fn bank_line(bank: &BudgetBank) -> String {
    let lasts = bank.days_without_charge.map_or_else(String::new, |days| {
        format!("; full and uncharged it lasts {}", days_in_words(days))
    });
    format!(
        "{}: uses {} ({} Ah) and gets {} ({} Ah) a day{lasts}",
        neutral(&bank.id),
        energy(bank.out_wh_per_day),
        rounded(bank.out_ah_per_day),
        energy(bank.in_wh_per_day),
        rounded(bank.in_ah_per_day),
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::present::sample;

    #[test]
    fn pinned_budget_words() {
        let mut budget = sample::budget();
        assert_eq!(
            budget_verdict(&budget),
            "On an average day bank trailer falls by 139 Wh: it gets 530 Wh, uses 655 Wh and loses \
             14 Wh inside; the others hold their level."
        );
        assert_eq!(
            bank_line(&budget.banks[0]),
            "main: uses 978 Wh (75.6 Ah) and gets 1,000 Wh (76 Ah) a day; full and \
             uncharged it lasts 1.4 days"
        );
        budget.banks[2].balance_wh_per_day = -300.0;
        assert_eq!(
            budget_verdict(&budget),
            "On an average day bank trailer falls by 139 Wh: it gets 530 Wh, uses 655 Wh and loses \
             14 Wh inside; one other falls too."
        );
        budget.banks[1].balance_wh_per_day = -13.0;
        budget.banks[2].balance_wh_per_day = -4.9;
        assert_eq!(
            budget_verdict(&budget),
            "On an average day every bank holds its level."
        );
        budget.banks.truncate(1);
        assert_eq!(
            budget_verdict(&budget),
            "On an average day bank main holds its level."
        );
    }
}
