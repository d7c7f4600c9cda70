//! The verdict of `learn`.
//!
//! One job: how far the file is from this very battery, where the two part and what to look for, in a few
//! sentences.

use super::chance::{between, percent};
use super::figure::rounded;
use crate::present::plain_text::{capitalised, neutral};
use crate::scenario::Usage;
use crate::study::learning::LearnAnswer;
use crate::study::learning::answer::{Found, NightUse};
use crate::units::trimmed;

/// Partings that are told in the verdict; the table has them all.
const TOLD: usize = 4;

/// A difference of a night is worth a sentence from here on, as a share and in Ah.
const NIGHT_SHARE: f64 = 0.1;
const NIGHT_AH: f64 = 1.0;

/// A figure with its unit, if it has one; shares in per cent.
#[must_use]
pub fn found_figure(value: f64, unit: &str) -> String {
    if unit.is_empty() {
        return percent_plain(value);
    }
    let digits = if value.abs() < 10.0 {
        trimmed(&format!("{value:.2}"))
    } else {
        rounded(value)
    };
    match unit {
        "1" => digits,
        _ => format!("{digits} {unit}"),
    }
}

fn percent_plain(share: f64) -> String {
    format!("{:.0} %", 100.0 * share)
}

/// `1.2 to 1.7 A`.
#[must_use]
pub fn found_interval(found: &Found) -> String {
    let high = found_figure(found.high, found.unit);
    let low = found_figure(found.low, found.unit);
    let low = low
        .split_once(' ')
        .map_or(low.as_str(), |(digits, _)| digits);
    format!("{low} to {high}")
}

/// What a log says, in a few sentences.
#[must_use]
pub fn learn_verdict(answer: &LearnAnswer) -> String {
    learn_sentences(answer).join(" ")
}

/// Its sentences, the first of them how far the file is from the log.
#[must_use]
pub fn learn_sentences(answer: &LearnAnswer) -> Vec<String> {
    let mut parts = Vec::new();
    let days = answer.fit.days.len();
    let inside = answer.fit.days.iter().filter(|day| day.inside).count();
    if days > 0 {
        let chance = answer.fit.inside;
        parts.push(format!(
            "{inside} of {days} days ended within the range of 8 in 10 that the file predicted in the morning (so few days \
             allow a share between {}); its middle was off by {:.1} points of charge",
            between(chance),
            answer.fit.rms_points
        ));
    }
    let differing: Vec<&Found> = answer.found.iter().filter(|found| found.differs).collect();
    if differing.is_empty() {
        parts.push(
            "Nothing that the log can tell differs from the file: it can stay as it is".to_owned(),
        );
    }
    for night in &answer.nights {
        parts.extend(night_words(night, answer));
    }
    let mut told: Vec<&&Found> = differing
        .iter()
        .filter(|found| !is_standing(found))
        .collect();
    told.sort_by(|a, b| surprise(b).total_cmp(&surprise(a)));
    parts.extend(told.into_iter().take(TOLD).map(|found| parting(found)));
    if let (Some(chance), Some(rms)) = (answer.chance, answer.fit.rms_points_put_right) {
        let (was, is) = (percent(chance.was.value), percent(chance.is.value));
        let chance = if was == is {
            format!("stays {is}")
        } else {
            format!("is {is} instead of {was}")
        };
        parts.push(format!(
            "Put right, the same days are off by {rms:.1} points, and the trip's chance of no shortfall {chance}"
        ));
    }
    parts.iter().map(|part| format!("{part}.")).collect()
}

/// How many times the width of its interval a value is off.
fn surprise(found: &Found) -> f64 {
    (found.is - found.was).abs() / (found.high - found.low).max(1e-9)
}

fn is_standing(found: &Found) -> bool {
    found.key.ends_with(".standby_ma")
}

fn night_words(night: &NightUse, answer: &LearnAnswer) -> Vec<String> {
    let mut parts = Vec::new();
    let more = night.measured_ah - night.by_file_ah;
    if more.abs() > NIGHT_AH && more.abs() > NIGHT_SHARE * night.by_file_ah {
        parts.push(format!(
            "The quiet hours of a night cost {} {} Ah, and the file says {}",
            neutral(&night.bank),
            rounded(night.measured_ah),
            rounded(night.by_file_ah)
        ));
    }
    let key = format!("banks.{}.standby_ma", night.bank);
    let standing = answer
        .found
        .iter()
        .find(|found| found.key == key && found.differs);
    if let Some(found) = standing {
        let amps = (found.is - found.was) / 1000.0;
        parts.push(if amps > 0.0 {
            format!(
                "Nothing that is on in the file explains a standing load of {amps:.2} A on {}: look for what is never off",
                neutral(&night.bank)
            )
        } else {
            format!(
                "{} gives {:.2} A less all the time than the file has it",
                neutral(&night.bank),
                -amps
            )
        });
    }
    parts
}

/// What a key is called in a sentence.
#[must_use]
pub fn found_name(key: &str) -> String {
    let mut steps = key.splitn(3, '.');
    let whole = key;
    let (list, id, key) = (
        steps.next().unwrap_or(""),
        neutral(steps.next().unwrap_or("")).into_owned(),
        steps.next().unwrap_or(""),
    );
    match (list, key) {
        ("banks", "standby_ma") => format!("standing load on {id}"),
        ("banks", "capacity_ah") => format!("capacity of {id}"),
        ("banks", "resistance_mohm") => format!("resistance of {id}"),
        ("banks", "charge_efficiency") => format!("charge efficiency of {id}"),
        ("banks", "peukert") => format!("Peukert's exponent of {id}"),
        ("banks", _) => format!("all of bank {id}"),
        ("chargers", "idle_output_a") => format!("current of {id} at idle"),
        ("chargers", _) => format!("current of {id}"),
        ("alternator", _) if id == "idle_a" => "output of the alternator at idle".to_owned(),
        ("alternator", _) => "share of the engine's time at idle".to_owned(),
        ("solar", _) => format!("losses of {id}"),
        ("loads", "rated.average_a") => format!("mean current of {id} at its data-sheet point"),
        ("loads", "running_w") => format!("{id} while its compressor runs"),
        ("loads", key) => Usage::in_words(key, &id).unwrap_or_else(|| format!("draw of {id}")),
        _ => neutral(whole).into_owned(),
    }
}

fn parting(found: &Found) -> String {
    format!(
        "{}: {} ({}), and the file says {}",
        capitalised(&found_name(&found.key)),
        found_figure(found.is, found.unit),
        found_interval(found),
        found_figure(found.was, found.unit)
    )
}
