//! The verdict of `trip`: one sentence for a tired reader.
//!
//! One job: whether the trip works, how sure that is, and where its weak point lies. The figures
//! behind it are in the tables; wording of chances and dates is in `chance` and `duration`.

use super::cause::cause_in_words;
use super::chance::{between, is_rough, percent, trips_in_words};
use super::delays::delays_in_words;
use super::duration::weekday_date;
use super::figure::whole;
use super::outage::{kept_loads_in_words, outages_in_words, overloads_in_words};
use crate::present::plain_text::{neutral, shortened};
use crate::study::answer::{CauseKind, Chance, MendHint, TripAnswer, WeakPoint};
use crate::units::{Units, Whole as _};

/// A cause that so many of the trials have is said without its share.
const NEARLY_ALL: f64 = 0.95;

/// Whether the trip works, how sure that is, and its weak point, in one sentence.
#[must_use]
pub fn trip_verdict(answer: &TripAnswer) -> String {
    trip_verdict_in(answer, answer.result.heading.units)
}

/// The same in other units than the answer's.
pub(in crate::present) fn trip_verdict_in(answer: &TripAnswer, units: Units) -> String {
    let chance = answer.result.chance_no_shortfall;
    let trials = answer.result.heading.trials;
    let banks = house_banks(answer);
    let is_unserved = (answer.weak_point.iter())
        .filter_map(|weak| weak.cause.as_ref())
        .any(|cause| cause.kind == CauseKind::Limit);
    let kept = if is_unserved {
        format!("{banks} above its reserve and its loads supplied")
    } else {
        format!("{banks} above its reserve")
    };
    let is_typical = answer.result.heading.typical;
    let finding = if is_typical && chance.value >= 1.0 {
        format!("A trip without surprises keeps {kept}")
    } else if is_typical && is_unserved {
        format!(
            "Even a trip without surprises leaves loads on {} without supply",
            any_of(&banks)
        )
    } else if is_typical {
        format!(
            "Even a trip without surprises takes {} below its reserve",
            any_of(&banks)
        )
    } else {
        format!(
            "{}: {}",
            against_aim(chance, answer.aim_chance),
            with_chance(chance, trials, &kept)
        )
    };
    let mend = match &answer.mend {
        None => String::new(),
        Some(MendHint::Found(change)) => {
            format!(" What would mend it: {}.", neutral(change))
        }
        Some(MendHint::Command) => {
            " `tideover mend` finds the cheapest change that would mend it.".to_owned()
        }
    };
    let weak = match &answer.weak_point {
        Some(weak) => weak_point_in_words(weak, is_typical, units),
        None => "no night stands out as weak".to_owned(),
    };
    // What must not go dark comes first.
    let kept = kept_loads_in_words(&answer.result).map_or_else(String::new, |kept| kept + " ");
    let outages = outages_in_words(&answer.result, units)
        .map_or_else(String::new, |outages| format!("; {outages}"));
    let overloads = overloads_in_words(&answer.result, units);
    let verdict = format!("{kept}{finding}; {weak}{outages}.{overloads}");
    let delays = delays_in_words(&answer.result, units);
    if delays.is_empty() {
        verdict + &mend
    } else {
        format!("{verdict} {delays}{mend}")
    }
}

fn house_banks(answer: &TripAnswer) -> String {
    let mut houses = answer.bands.iter().filter(|band| !band.is_start);
    match (houses.next(), houses.next()) {
        (Some(only), None) => format!("bank {}", neutral(&only.bank)),
        _ => "every house bank".to_owned(),
    }
}

/// The first words of a verdict: how a chance stands against the aim, its interval considered.
pub(super) fn against_aim(chance: Chance, aim: f64) -> String {
    if chance.low >= aim {
        "This works".to_owned()
    } else if chance.value >= aim {
        "This just about works".to_owned()
    } else if chance.high >= aim {
        format!("Too close to call against your aim of {}", percent(aim))
    } else {
        format!("This falls short of your aim of {}", percent(aim))
    }
}

fn with_chance(chance: Chance, trials: u64, kept: &str) -> String {
    let count = whole(trials.real());
    if trials == 1 {
        let keeps = if chance.value >= 1.0 {
            "keeps"
        } else {
            "does not keep"
        };
        return format!("the one trial trip {keeps} {kept}, and says little more");
    }
    if chance.value >= 1.0 {
        return format!(
            "all {count} trial trips keep {kept} (at least {} in 100 should)",
            whole((chance.low * 100.0).floor())
        );
    }
    if chance.value <= 0.0 {
        return format!("none of {count} trial trips keeps {kept}");
    }
    let rough = if is_rough(chance) {
        format!("; only {count} trials, so take it roughly")
    } else {
        String::new()
    };
    let trips = trips_in_words(chance.value);
    format!(
        "{trips} keep {kept} ({}, between {}{rough})",
        percent(chance.value),
        between(chance),
    )
}

fn any_of(banks: &str) -> &str {
    if banks == "every house bank" {
        "a house bank"
    } else {
        banks
    }
}

fn weak_point_in_words(weak: &WeakPoint, typical: bool, units: Units) -> String {
    let night = format!(
        "the weak point is bank {} in the night of {}{}",
        neutral(&weak.bank),
        weekday_date(&weak.night.date, units),
        at_stop(&weak.night.stop)
    );
    let risk = if typical {
        String::new()
    } else {
        format!(
            " (short that night in {} of trips)",
            percent(weak.night.chance_shortfall)
        )
    };
    let cause = weak.cause.as_ref().map_or_else(String::new, |cause| {
        let share = if cause.share < NEARLY_ALL {
            format!(" (so in {} of these trips)", percent(cause.share))
        } else {
            String::new()
        };
        format!(": {}{share}", cause_in_words(cause, units))
    });
    let load = weak
        .dominant_load
        .as_ref()
        .map_or_else(String::new, |(load, share)| {
            let part = if *share > 0.5 {
                "most of its energy"
            } else {
                "the largest share of its energy"
            };
            format!("; {} takes {part} ({})", neutral(load), percent(*share))
        });
    format!("{night}{risk}{cause}{load}")
}

/// ` at Pan edge`; nothing for a stop without a name.
pub(super) fn at_stop(stop: &str) -> String {
    if stop.is_empty() {
        String::new()
    } else {
        format!(" at {}", shortened(stop, 40))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::present::sample;

    #[test]
    fn pinned_verdict_of_the_sample() {
        assert_eq!(
            trip_verdict(&sample::trip()),
            "This falls short of your aim of 90 %: nearly 8 in 10 trips keep every house bank above its \
             reserve (78 %, between 76 and 80 %); the weak point is bank trailer in the night of Saturday \
             10 July at Pan edge (short that night in 14 % of trips): 3 nights between charges take 101 Ah, \
             and it has 90 Ah above its reserve (so in 72 % of these trips); freezer takes most of its energy \
             (61 %)."
        );
    }

    #[test]
    fn pinned_verdicts_at_the_ends() {
        let mut answer = sample::trip();
        answer.bands.retain(|band| band.bank == "main");
        answer.weak_point = None;
        answer.result.chance_no_shortfall = Chance {
            value: 1.0,
            low: 0.998_08,
            high: 1.0,
        };
        assert_eq!(
            trip_verdict(&answer),
            "This works: all 2,000 trial trips keep bank main above its reserve (at least 99 in 100 \
             should); no night stands out as weak."
        );
        answer.result.chance_no_shortfall = Chance {
            value: 0.0,
            low: 0.0,
            high: 0.002,
        };
        assert!(trip_verdict(&answer).starts_with(
            "This falls short of your aim of 90 %: none of 2,000 trial trips keeps bank main above"
        ));
        answer.result.heading.trials = 1;
        answer.result.heading.typical = true;
        assert_eq!(
            trip_verdict(&answer),
            "Even a trip without surprises takes bank main below its reserve; no night stands out as weak."
        );
    }

    #[test]
    fn few_trials_are_called_rough() {
        let mut answer = sample::trip();
        answer.result.heading.trials = 20;
        answer.result.chance_no_shortfall = Chance {
            value: 0.85,
            low: 0.64,
            high: 0.95,
        };
        let verdict = trip_verdict(&answer);
        assert!(
            verdict.starts_with("Too close to call against your aim of 90 %"),
            "{verdict}"
        );
        assert!(
            verdict.contains("only 20 trials, so take it roughly"),
            "{verdict}"
        );
    }
}
