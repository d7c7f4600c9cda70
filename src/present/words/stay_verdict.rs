//! The verdict of `stay`: until when one can stay, in one sentence.
//!
//! One job: the date, the chance behind it and the bank that ends the stay.

use super::chance::{between, percent, share_in_words, with_interval};
use super::duration::{Horizon, autonomy_sentence, weekday_date, weekday_time};
use super::outage::and;
use super::trip_verdict::at_stop;
use crate::present::plain_text::neutral;
use crate::scenario::counted;
use crate::study::answer::{RestRow, StayAnswer};

/// Until when one can stay, with what chance, which bank ends it, and whether the rest of the trip still
/// works then.
#[must_use]
pub fn stay_verdict(answer: &StayAnswer) -> String {
    let result = &answer.result;
    let units = result.heading.units;
    let place = at_stop(&result.stop);
    let is_typical = result.heading.typical;
    let rest = rest_sentence(answer).map_or_else(String::new, |rest| format!(" {rest}"));
    if let Some(short) = short_now(answer) {
        return format!("{short}.{rest}");
    }
    let until = match &result.stay_until {
        Some(_) if answer.aim_beyond_horizon => format!(
            "You can stay{place} for more than {}, as far as this looked",
            counted(result.horizon_days, "day")
        ),
        Some(date) => format!(
            "You can stay{place} until {} ({})",
            weekday_date(date, units),
            counted(answer.nights_at_aim, "night")
        ),
        None if is_typical => format!("You cannot stay{place} even one night"),
        None => format!(
            "You cannot count on even one more night{place} at your aim of {}",
            percent(answer.aim_chance)
        ),
    };
    let lasts = match (&result.stay_until, &result.lasts_until) {
        (None, Some(until))
            if answer.is_before_evening(until) && *until != result.heading.start =>
        {
            format!("; the charge lasts until {}", weekday_time(until, units))
        }
        _ => String::new(),
    };
    let chance = chance_behind(answer, is_typical);
    let binding = answer
        .binding_bank
        .as_ref()
        .map_or_else(String::new, |bank| {
            format!(
                "; bank {} is the first to run short{}",
                neutral(bank),
                lasts_in_words(answer, bank)
            )
        });
    format!("{until}{lasts}: {chance}{binding}.{rest}")
}

/// That a meter shows a bank below its reserve, so that no chance of keeping above it is left; `None`: none does.
fn short_now(answer: &StayAnswer) -> Option<String> {
    let from = answer.result.heading.from.as_ref()?;
    let short: Vec<String> = from
        .soc
        .iter()
        .filter(|shows| shows.is_short)
        .map(|shows| neutral(&shows.bank).into_owned())
        .collect();
    let (banks, it) = match short.as_slice() {
        [] => return None,
        [only] => (format!("Bank {only} is below its reserve"), "it is"),
        several => (
            format!("Banks {} are below their reserves", and(several)),
            "they are",
        ),
    };
    Some(format!(
        "{banks} now: every night{} has a shortfall until {it} charged",
        at_stop(&answer.result.stop)
    ))
}

/// What so many more nights leave of the rest of the trip; `None` where nothing is left of it but the stay.
fn rest_sentence(answer: &StayAnswer) -> Option<String> {
    if answer.result.next_drive.is_empty() {
        return None;
    }
    let units = answer.result.heading.units;
    let rows = &answer.result.rest;
    let now = rows.first()?;
    let best = best_row(answer);
    let planned = rows
        .iter()
        .find(|row| row.nights_more == answer.nights_planned.max(1));
    // The most nights after which what the drive from here charges holds to the end, whatever was short here.
    let charged = rows
        .iter()
        .rev()
        .find(|row| row.chance_rest.value >= answer.aim_chance);
    let is_all_alike = rows.iter().all(|row| row.chance_both == now.chance_both);
    Some(match (best, charged) {
        (Some(row), _) if is_all_alike && row.nights_more > 0 => format!(
            "The rest of the trip works all the same, {} looked at: {}.",
            counted(row.nights_more, "night"),
            with_interval(row.chance_both)
        ),
        (Some(row), _) if row.nights_more == 0 => format!(
            "The rest of the trip works at your aim only if you leave by {}: {}.",
            weekday_time(&row.leave, units),
            with_interval(row.chance_both)
        ),
        (Some(row), _) => format!(
            "Here and for the rest of the trip {} at most: leaving on {}, the chance of no shortfall to the end is {}.",
            counted(row.nights_more, "night"),
            weekday_date(&row.leave, units),
            with_interval(row.chance_both)
        ),
        (None, Some(row)) => format!(
            "Once the next drive has charged, the rest of the trip works at your aim: leaving on {}, the chance of no shortfall from then on is {}.",
            weekday_date(&row.leave, units),
            with_interval(row.chance_rest)
        ),
        (None, None) => {
            let row = planned.unwrap_or(now);
            format!(
                "The rest of the trip does not reach your aim, however long you stay: leaving on {}, the chance of no shortfall to the end is {}.",
                weekday_date(&row.leave, units),
                with_interval(row.chance_both)
            )
        }
    })
}

/// Why the rest of the trip may allow more nights than the stay itself; `None` where it does not.
#[must_use]
pub fn two_counts_line(answer: &StayAnswer) -> Option<String> {
    let best = best_row(answer)?.nights_more;
    (best > answer.nights_at_aim && !answer.result.next_drive.is_empty()).then(|| {
        format!(
            "{} to the departure in the morning and with the drives of the plan; {} parked all the time, to noon.",
            counted(best, "night"),
            counted(answer.nights_at_aim, "night")
        )
    })
}

/// The row with most nights that reaches the aim to the end of the trip.
fn best_row(answer: &StayAnswer) -> Option<&RestRow> {
    let rows = answer.result.rest.iter().rev();
    rows.into_iter()
        .find(|row| row.chance_both.value >= answer.aim_chance)
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

fn lasts_in_words(answer: &StayAnswer, bank: &str) -> String {
    let horizon = Horizon::Days(answer.result.horizon_days);
    answer
        .result
        .banks
        .iter()
        .find(|found| found.id == bank && !answer.result.heading.typical)
        .map_or_else(String::new, |found| {
            format!(" ({})", autonomy_sentence(&found.autonomy_days, horizon))
        })
}

/// What the next drive brings back, in a line; `None` at the last stop.
#[must_use]
pub fn next_drive_line(answer: &StayAnswer) -> Option<String> {
    let drives = &answer.result.next_drive;
    let of_banks: Vec<String> = drives
        .iter()
        .map(|drive| {
            format!(
                "{} from {} to {}",
                neutral(&drive.bank),
                percent(drive.soc_before),
                percent(drive.soc_after)
            )
        })
        .collect();
    (!drives.is_empty()).then(|| {
        format!(
            "The drive from here after {} takes, in the median, {}.",
            match answer.nights_planned {
                0 => "no more night".to_owned(),
                nights => counted(nights, "night"),
            },
            of_banks.join(", ")
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
             to run short (9 in 10 last at least 3.2 days, half last 5.1 days or more). Here and for the rest of the \
             trip 2 nights at most: leaving on Wednesday 7 July, the chance of no shortfall to the end is 91 % (89 to 93 %)."
        );
        assert_eq!(
            next_drive_line(&sample::stay()).as_deref(),
            Some(
                "The drive from here after 3 nights takes, in the median, main from 52 % to 81 %."
            )
        );
    }

    #[test]
    fn pinned_both_counts_of_nights_where_they_differ() {
        let mut answer = sample::stay();
        assert_eq!(two_counts_line(&answer), None);
        answer.nights_at_aim = 1;
        assert_eq!(
            two_counts_line(&answer).as_deref(),
            Some(
                "2 nights to the departure in the morning and with the drives of the plan; 1 night parked all the time, to noon."
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
             10 cases every house bank keeps above its reserve through it (62 %, between 60 and 64 %). Here and for the rest of the \
             trip 2 nights at most: leaving on Wednesday 7 July, the chance of no shortfall to the end is 91 % (89 to 93 %)."
        );
    }
}
