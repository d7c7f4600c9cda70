//! The verdict of `budget`: which banks hold their level on an average day.
//!
//! One job: a sentence over all banks, and a line for each.

use super::duration::days_in_words;
use super::figure::{energy, rounded};
use crate::present::plain_text::neutral;
use crate::study::answer::{BudgetBank, BudgetResult};

/// A bank holds its level when its balance is within this share of its daily use.
const LEVEL_SHARE: f64 = 0.03;

/// One sentence: the bank that loses most a day, or that all hold their level.
#[must_use]
pub fn budget_verdict(result: &BudgetResult) -> String {
    let losing: Vec<&BudgetBank> = result.banks.iter().filter(|bank| loses(bank)).collect();
    let worst = losing
        .iter()
        .min_by(|a, b| a.balance_wh_per_day.total_cmp(&b.balance_wh_per_day));
    let Some(worst) = worst else {
        return match result.banks.as_slice() {
            [only] => format!(
                "On an average day bank {} holds its level.",
                neutral(&only.id)
            ),
            _ => "On an average day every bank holds its level.".to_owned(),
        };
    };
    let others = match (losing.len(), result.banks.len()) {
        (_, 1) => String::new(),
        (1, _) => "; the others hold their level".to_owned(),
        (2, _) => "; one other loses less".to_owned(),
        (count, _) => format!("; {} others lose less", count - 1),
    };
    format!(
        "On an average day bank {} loses {}: it uses {} and gets {}{others}.",
        neutral(&worst.id),
        energy(-worst.balance_wh_per_day),
        energy(worst.out_wh_per_day),
        energy(worst.in_wh_per_day),
    )
}

fn loses(bank: &BudgetBank) -> bool {
    bank.balance_wh_per_day < -(LEVEL_SHARE * bank.out_wh_per_day).max(1.0)
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
            "On an average day bank trailer loses 139 Wh: it uses 655 Wh and gets 530 Wh; the others \
             hold their level."
        );
        assert_eq!(
            bank_line(&budget.banks[0]),
            "main: uses 978 Wh (75.6 Ah) and gets 1,000 Wh (76 Ah) a day; full and \
             uncharged it lasts 1.4 days"
        );
        budget.banks.truncate(1);
        assert_eq!(
            budget_verdict(&budget),
            "On an average day bank main holds its level."
        );
    }
}
