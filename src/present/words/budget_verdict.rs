//! The verdict of `budget`: which banks hold their level on an average day.
//!
//! One job: a sentence over all banks, and a line for each.

use super::duration::days_in_words;
use super::figure::{energy, rounded};
use crate::present::plain_text::neutral;
use crate::scenario::Role;
use crate::study::answer::{BudgetBank, BudgetDay, BudgetResult};

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
        return level(result);
    };
    let others = match (falling.len(), result.banks.len()) {
        (_, 1) => String::new(),
        (1, 2) => "; the other holds its level".to_owned(),
        (1, _) => "; the others hold their level".to_owned(),
        (2, _) => "; one other falls too".to_owned(),
        (count, _) => format!("; {} others fall too", count - 1),
    };
    format!(
        "On an average day bank {} falls by {}: it gets {}, its loads ask for {} and it loses {} inside{others}.{}",
        neutral(&worst.id),
        energy(-worst.balance_wh_per_day),
        energy(worst.in_wh_per_day),
        energy(worst.asked_wh_per_day),
        energy(worst.losses_wh_per_day),
        by_kind(worst)
    )
}

/// Where every bank holds its level on the mean: which house bank falls most on a day in camp.
fn level(result: &BudgetResult) -> String {
    let houses = result.banks.iter().filter(|bank| bank.role == Role::House);
    let in_camp = houses.filter_map(|bank| bank.camp_day.as_ref().map(|camp| (bank, camp)));
    let worst = in_camp
        .filter(|(_, camp)| is_fall(camp.balance_wh, camp.asked.wh))
        .min_by(|a, b| a.1.balance_wh.total_cmp(&b.1.balance_wh));
    let (holds, faller) = if let [only] = result.banks.as_slice() {
        (format!("bank {} holds", neutral(&only.id)), "it".to_owned())
    } else {
        let faller = worst.map_or_else(String::new, |(bank, _)| neutral(&bank.id).into_owned());
        ("every bank holds".to_owned(), format!("bank {faller}"))
    };
    let camp = worst.map_or_else(String::new, |(_, camp)| {
        format!(
            "; in camp {faller} falls by {} a day",
            energy(-camp.balance_wh)
        )
    });
    format!("On an average day {holds} its level{camp}.")
}

fn is_fall(balance_wh: f64, asked_wh: f64) -> bool {
    balance_wh < -(LEVEL_SHARE * asked_wh).max(LEVEL_WH)
}

fn falls(bank: &BudgetBank) -> bool {
    is_fall(bank.balance_wh_per_day, bank.asked_wh_per_day)
}

/// How the two kinds of day differ, where the trip has both.
fn by_kind(bank: &BudgetBank) -> String {
    let (Some(camp), Some(driving)) = (&bank.camp_day, &bank.driving_day) else {
        return String::new();
    };
    let change = |day: &BudgetDay| {
        let turn = if day.balance_wh < 0.0 {
            "takes"
        } else {
            "brings"
        };
        format!("{turn} {}", energy(day.balance_wh.abs()))
    };
    format!(
        " A day in camp {}, a driving day {}.",
        change(camp),
        change(driving)
    )
}

/// One line a bank: what is asked of it and what it gets, and how long it lasts without charge.
#[must_use]
pub fn bank_line(bank: &BudgetBank) -> String {
    let not_supplied = if bank.unserved_wh_per_day >= 0.5 {
        format!(
            ", {} of that not supplied,",
            energy(bank.unserved_wh_per_day)
        )
    } else {
        String::new()
    };
    let lasts = match (bank.days_without_charge, &bank.camp_day) {
        (None, _) => String::new(),
        (Some(days), None) => format!("; full and uncharged it lasts {}", days_in_words(days)),
        (Some(days), Some(camp)) => format!(
            "; full and uncharged it lasts {}, in camp {}",
            days_in_words(days),
            camp.days_without_charge
                .map_or_else(|| "for good".to_owned(), days_in_words)
        ),
    };
    format!(
        "{}: its loads ask for {} ({} Ah) a day{not_supplied} and it gets {} ({} Ah){lasts}",
        neutral(&bank.id),
        energy(bank.asked_wh_per_day),
        rounded(bank.asked_ah_per_day),
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
            "On an average day bank trailer falls by 139 Wh: it gets 530 Wh, its loads ask for 655 Wh \
             and it loses 14 Wh inside; the others hold their level. A day in camp takes 350 Wh, a driving day brings 258 Wh."
        );
        assert_eq!(
            bank_line(&budget.banks[0]),
            "main: its loads ask for 978 Wh (75.6 Ah) a day and it gets 1,000 Wh (76 Ah); full and \
             uncharged it lasts 1.4 days, in camp 1.3 days"
        );
        budget.banks[2].balance_wh_per_day = -300.0;
        assert_eq!(
            budget_verdict(&budget),
            "On an average day bank trailer falls by 139 Wh: it gets 530 Wh, its loads ask for 655 Wh \
             and it loses 14 Wh inside; one other falls too. A day in camp takes 350 Wh, a driving day brings 258 Wh."
        );
        budget.banks[1].balance_wh_per_day = -13.0;
        budget.banks[2].balance_wh_per_day = -4.9;
        assert_eq!(
            budget_verdict(&budget),
            "On an average day every bank holds its level; in camp bank main falls by 376 Wh a day."
        );
        budget.banks.truncate(1);
        assert_eq!(
            budget_verdict(&budget),
            "On an average day bank main holds its level; in camp it falls by 376 Wh a day."
        );
    }
}
