//! Tables of `stay`: each bank, then each night.
//!
//! One job: the figures under the verdict. Nights in which nothing is left to know are cut off
//! and said so.

use super::frame::{framed, head};
use super::nights::{BankNights, KEY, night_tables};
use super::trip::fridge_table;
use crate::present::plain_text::shortened;
use crate::present::words::chance::compact;
use crate::present::words::duration::{Horizon, lasting, lasting_interval, short_date};
use crate::study::answer::StayAnswer;

/// Nights shown although nothing changes any more.
const LEAST_NIGHTS: usize = 7;

/// The tables of a stay, at most `width` columns wide.
#[must_use]
pub fn stay_tables(answer: &StayAnswer, width: usize) -> String {
    let result = &answer.result;
    let horizon = Horizon::Days(result.horizon_days);
    let names = [
        "bank",
        "9 in 10 last",
        "between",
        "half last",
        "1 in 10 last",
    ];
    let rows = result
        .banks
        .iter()
        .map(|bank| {
            let autonomy = &bank.autonomy_days;
            vec![
                shortened(&bank.id, 24),
                lasting(autonomy.p10, horizon),
                lasting_interval(autonomy.p10, horizon),
                lasting(autonomy.p50, horizon),
                lasting(autonomy.p90, horizon),
            ]
        })
        .collect();
    let mut parts = vec![framed(&head(&names, 1), rows, width)];
    let shown = nights_worth_showing(answer);
    if shown > 0 {
        let rows = result.nights[..shown]
            .iter()
            .map(|night| {
                vec![
                    short_date(&night.date),
                    compact(night.chance_no_shortfall),
                    compact(night.chance_so_far),
                ]
            })
            .collect();
        let names = ["night", "no shortfall that night", "none since now"];
        parts.push(framed(&head(&names, 1), rows, width));
        let banks: Vec<BankNights<'_>> = result
            .banks
            .iter()
            .map(|bank| BankNights {
                id: &bank.id,
                nights: &bank.nights[..shown.min(bank.nights.len())],
            })
            .collect();
        let nights = night_tables(&banks, width);
        if !nights.is_empty() {
            parts.push(format!("{KEY}\n\n{nights}"));
        }
    }
    if shown < result.nights.len() {
        parts.push(format!(
            "{} later nights are like the last one shown.",
            result.nights.len() - shown
        ));
    }
    if !result.fridges.is_empty() {
        parts.push(fridge_table(&result.fridges, width));
    }
    parts.join("\n\n")
}

/// Nights up to the one after which the chance so far stays as it is, within half a point.
fn nights_worth_showing(answer: &StayAnswer) -> usize {
    let nights = &answer.result.nights;
    let Some(last) = nights.last() else { return 0 };
    let settled = nights
        .iter()
        .rposition(|night| (night.chance_so_far.value - last.chance_so_far.value).abs() >= 0.005)
        .map_or(0, |index| index + 2);
    let at_aim = usize::try_from(answer.nights_at_aim).unwrap_or(usize::MAX);
    let wanted = if answer.aim_beyond_horizon {
        settled
    } else {
        settled.max(at_aim + 1)
    };
    wanted.max(LEAST_NIGHTS).min(nights.len())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::present::sample;

    #[test]
    fn pinned_tables_of_the_sample() {
        insta::assert_snapshot!(stay_tables(&sample::stay(), 100), @"");
    }

    #[test]
    fn a_stay_without_nights_has_its_banks_alone() {
        let mut answer = sample::stay();
        answer.result.nights.clear();
        assert!(!stay_tables(&answer, 80).contains("since now"));
    }
}
