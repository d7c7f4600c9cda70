//! The tables of `learn`: the days, what was found, what cannot be told.
//!
//! One job: the figures under the verdict.

use super::part::{Part, head, note, table};
use crate::present::plain_text::neutral;
use crate::present::words::chance::soc;
use crate::present::words::duration::{day_month, weekday_time};
use crate::present::words::learn_verdict::{found_figure, found_interval, found_name};
use crate::study::learning::LearnAnswer;

/// The tables of what was learned.
#[must_use]
pub fn learn_tables(answer: &LearnAnswer) -> Vec<Part> {
    let mut parts = read_words(answer);
    if !answer.found.is_empty() {
        let rows = answer.found.iter().map(|found| {
            vec![
                found_name(found),
                found_figure(found.was, found.unit),
                found_figure(found.is, found.unit),
                found_interval(found),
                match (found.differs, found.is_key) {
                    (false, _) => "as the file",
                    (true, true) => "put right",
                    (true, false) => "no key",
                }
                .to_owned(),
            ]
        });
        let names = ["found", "was", "is", "8 in 10 between", ""];
        parts.push(table(head(&names, 1), rows.collect()));
        parts.push(note(
            "Intervals hold the truth in 8 cases of 10: from day to day by Student's distribution, days being the blocks; \
             where the weather decides, by likelihood with the covariance of days in the file's own trials. What lies \
             within its interval stays as the file has it.",
        ));
    }
    if !answer.cannot_tell.is_empty() {
        let rows = answer.cannot_tell.iter();
        let rows = rows.map(|cannot| {
            vec![
                neutral(&cannot.key).into_owned(),
                neutral(&cannot.why).into_owned(),
            ]
        });
        parts.push(table(
            head(&["cannot be told", "because"], 2),
            rows.collect(),
        ));
    }
    if !answer.fit.days.is_empty() {
        let rows = answer.fit.days.iter().map(|day| {
            vec![
                day_month(&day.date, answer.heading.units),
                neutral(&day.bank).into_owned(),
                soc(day.measured_soc),
                soc(day.p10),
                soc(day.p50),
                soc(day.p90),
                if day.inside { "yes" } else { "no" }.to_owned(),
            ]
        });
        let names = [
            "day from",
            "bank",
            "at its end",
            "9 in 10 above",
            "half above",
            "1 in 10 above",
            "inside",
        ];
        parts.push(table(head(&names, 2), rows.collect()));
    }
    parts
}

/// What was read, and how it was taken.
fn read_words(answer: &LearnAnswer) -> Vec<Part> {
    let mut lines = vec![format!(
        "Read {} rows from {} to {} with {}.",
        answer.log.rows,
        weekday_time(&answer.log.from, answer.heading.units),
        weekday_time(&answer.log.to, answer.heading.units),
        match answer.log.gaps {
            0 => "no gap".to_owned(),
            1 => "one gap".to_owned(),
            gaps => format!("{gaps} gaps"),
        }
    )];
    for bank in &answer.log.banks {
        lines.push(format!(
            "{}: {} s from row to row; current from {}, {}; charge from {}.",
            neutral(&bank.bank),
            bank.every_s,
            bank.current,
            bank.sign,
            bank.charge
        ));
    }
    let driven = answer.drives.each.iter().map(|drive| {
        format!(
            "{} to {}",
            weekday_time(&drive.from, answer.heading.units),
            weekday_time(&drive.to, answer.heading.units)
        )
    });
    let driven: Vec<String> = driven.collect();
    let shown = if driven.is_empty() {
        "none".to_owned()
    } else {
        driven.join("; ")
    };
    lines.push(format!(
        "Drives by {}: {shown}. If that is not so, give them with --drives.",
        answer.drives.from
    ));
    vec![note(lines.join("\n"))]
}
