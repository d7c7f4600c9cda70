//! The verdict of `stay`: until when one can stay, in one sentence.
//!
//! One job: the date, the chance behind it and the bank that ends the stay.

use super::chance::{between, percent, share_in_words, with_interval};
use super::duration::{Horizon, autonomy_sentence, weekday_date};
use crate::present::plain_text::{neutral, shortened};
use crate::scenario::counted;
use crate::study::answer::StayAnswer;

/// Until when one can stay, with what chance, and which bank ends it.
#[must_use]
pub fn stay_verdict(answer: &StayAnswer) -> String {
    let result = &answer.result;
    let place = place(&result.stop);
    let is_typical = result.heading.trials == 1;
    let until = match &result.stay_until {
        Some(_) if answer.aim_beyond_horizon => format!(
            "You can stay{place} for more than {}, as far as this looked",
            counted(result.horizon_days, "day")
        ),
        Some(date) => format!(
            "You can stay{place} until {} ({})",
            weekday_date(date),
            counted(answer.nights_at_aim, "night")
        ),
        None if is_typical => format!("You cannot stay{place} even one night"),
        None => format!(
            "You cannot count on even one more night{place} at your aim of {}",
            percent(answer.aim_chance)
        ),
    };
    let chance = chance_behind(answer, is_typical);
    let binding = answer
        .binding_bank
        .as_ref()
        .map_or_else(String::new, |bank| {
            format!(
                "; bank {} is the first to run short{}",
                neutral(bank),
                lasts(answer, bank)
            )
        });
    format!("{until}: {chance}{binding}.")
}

fn place(stop: &str) -> String {
    if stop.is_empty() {
        String::new()
    } else {
        format!(" at {}", shortened(stop, 40))
    }
}

fn chance_behind(answer: &StayAnswer, is_typical: bool) -> String {
    if is_typical {
        return "figured for ordinary days without surprises".to_owned();
    }
    // The night the date rests on; without a date, the first one.
    let index = (answer.nights_at_aim as usize).saturating_sub(1);
    let Some(night) = answer.result.nights.get(index) else {
        return format!("your aim is {}", percent(answer.aim_chance));
    };
    let so_far = night.chance_so_far;
    let times = match share_in_words(so_far.value).as_str() {
        "none" => "in no trial".to_owned(),
        "all" => "in every trial".to_owned(),
        half if half.ends_with("half") => format!("in {half} the cases"),
        words => format!("in {words} cases"),
    };
    let when = if answer.result.stay_until.is_some() {
        "until then"
    } else {
        "through it"
    };
    format!(
        "{times} every house bank keeps above its reserve {when} ({}, between {})",
        percent(so_far.value),
        between(so_far)
    )
}

fn lasts(answer: &StayAnswer, bank: &str) -> String {
    let horizon = Horizon::Days(answer.result.horizon_days);
    answer
        .result
        .banks
        .iter()
        .find(|found| found.id == bank && answer.result.heading.trials > 1)
        .map_or_else(String::new, |found| {
            format!(" ({})", autonomy_sentence(&found.autonomy_days, horizon))
        })
}

/// The line about the itinerary's next departure; `None` when there is none.
#[must_use]
pub fn next_departure_line(answer: &StayAnswer) -> Option<String> {
    answer.next_departure.as_ref().map(|(when, chance)| {
        format!(
            "Up to the next departure, {}, the chance of no shortfall is {}.",
            weekday_date(when),
            with_interval(*chance)
        )
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::present::sample;
    use crate::study::answer::Chance;

    #[test]
    fn pinned_verdict_of_the_sample() {
        assert_eq!(
            stay_verdict(&sample::stay()),
            "You can stay at Pan edge until Thursday 8 July (3 nights): in more than 9 in 10 cases every \
             house bank keeps above its reserve until then (92 %, between 90 and 94 %); bank trailer is the first \
             to run short (9 in 10 last at least 3.2 days, half last 5.1 days or more)."
        );
        assert_eq!(
            next_departure_line(&sample::stay()).as_deref(),
            Some(
                "Up to the next departure, Friday 9 July, the chance of no shortfall is 81 % (79 to 83 %)."
            )
        );
    }

    #[test]
    fn pinned_verdicts_at_the_ends() {
        let mut answer = sample::stay();
        answer.binding_bank = None;
        answer.aim_beyond_horizon = true;
        answer.nights_at_aim = 30;
        assert!(stay_verdict(&answer).starts_with(
            "You can stay at Pan edge for more than 30 days, as far as this looked: "
        ));
        answer.aim_beyond_horizon = false;
        answer.nights_at_aim = 0;
        answer.result.stay_until = None;
        answer.result.nights[0].chance_so_far = Chance {
            value: 0.62,
            low: 0.6,
            high: 0.64,
        };
        assert_eq!(
            stay_verdict(&answer),
            "You cannot count on even one more night at Pan edge at your aim of 90 %: in more than 6 in \
             10 cases every house bank keeps above its reserve through it (62 %, between 60 and 64 %)."
        );
    }
}
