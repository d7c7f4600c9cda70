//! The tables of `learn`: what was found, what cannot be told, the days.
//!
//! One job: the figures under the verdict, for a terminal and for the report.

use super::part::{Part, note};
use crate::present::plain_text::neutral;
use crate::present::table::Table;
use crate::present::words::chance::soc;
use crate::present::words::duration::{day_month, short_time, until, weekday_time};
use crate::present::words::learn_verdict::{found_figure, found_interval, found_name};
use crate::study::learning::LearnAnswer;

/// How to read an interval.
const INTERVALS: &str = "Intervals hold the truth in 8 cases of 10: from day to day by Student's distribution, days being the blocks; \
     where the weather decides, by likelihood with the covariance of days in the file's own trials. What lies \
     within its interval stays as the file has it.";

/// The tables that have rows.
pub(in crate::present) fn learn_tables_of(answer: &LearnAnswer) -> Vec<Table> {
    let found = answer.found.iter().map(|found| {
        vec![
            found_name(&found.key),
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
    let untold = answer.cannot_tell.iter();
    let untold = untold.map(|cannot| {
        let why = neutral(&cannot.why).into_owned();
        vec![found_name(&cannot.key), why]
    });
    let days = answer.fit.days.iter().map(|day| {
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
    let names = ["found", "was", "is", "8 in 10 between", "outcome"];
    let found = Table::shown(&names, 1, found);
    let untold = Table::shown(&["cannot be told", "because"], 2, untold);
    let names = [
        "day from",
        "bank",
        "at its end",
        "9 in 10 above",
        "half above",
        "1 in 10 above",
        "inside",
    ];
    let days = Table::shown(&names, 2, days);
    let mut tables = vec![
        found.titled("What was found: was and is.", INTERVALS),
        untold.titled(
            "What this log does not tell.",
            "These stay as the file has them; a log that has what is missing here tells them.",
        ),
        days.titled(
            "Day by day.",
            "Charge at the end of each day, measured and as the file predicted it from the charge in the morning.",
        ),
    ];
    tables.retain(|table| !table.rows.is_empty());
    tables
}

/// What stands under the verdict of a log.
#[must_use]
pub fn learn_tables(answer: &LearnAnswer) -> Vec<Part> {
    let mut parts = vec![note(log_lines(answer).join("\n"))];
    let tables = learn_tables_of(answer).into_iter();
    parts.extend(tables.flat_map(Part::with_says));
    parts
}

/// What was read, and how it was taken, line by line.
pub(in crate::present) fn log_lines(answer: &LearnAnswer) -> Vec<String> {
    let units = answer.heading.units;
    let mut lines = vec![format!(
        "Read {} rows from {} to {} with {}.",
        answer.log.rows,
        weekday_time(&answer.log.from, units),
        weekday_time(&answer.log.to, units),
        match answer.log.gaps {
            0 => "no gap".to_owned(),
            1 => "one gap".to_owned(),
            gaps => format!("{gaps} gaps"),
        }
    )];
    for bank in &answer.log.banks {
        lines.push(format!(
            "{}: {} s from row to row; current {}, {}; charge {}.",
            neutral(&bank.bank),
            bank.every_s,
            bank.current,
            bank.sign,
            bank.charge
        ));
    }
    let driven = answer.drives.each.iter().map(|drive| {
        let unsure = drive
            .unsure
            .map_or(String::new(), |why| format!(" ({why})"));
        format!(
            "{} to {}{unsure}",
            short_time(&drive.from, units),
            until(&drive.from, &drive.to, units)
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
    lines
}
