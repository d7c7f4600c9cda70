//! Tables of `topup`, `shed` and `why`.
//!
//! One job: the figures under those verdicts.

use super::part::{Part, head, note, table};
use crate::present::plain_text::shortened;
use crate::present::words::chance::{compact, percent, soc};
use crate::present::words::compare_verdict::{points, signed};
use crate::present::words::duration::{Horizon, lasting, short_date};
use crate::present::words::figure::rounded;
use crate::present::words::shed_verdict::days_gained;
use crate::present::words::topup_verdict::idling_lines;
use crate::present::words::why_verdict::{ends, shares_with_intervals};
use crate::study::choosing::shed::{Shed, ShedResult};
use crate::study::choosing::topup::TopupResult;
use crate::study::choosing::why::{SHOWN, WhyResult};

/// The table of `topup` with the lines about like days and idling.
#[must_use]
pub fn topup_tables(result: &TopupResult) -> Vec<Part> {
    let level = |share: Option<f64>| share.map_or_else(|| "–".to_owned(), soc);
    let rows = result
        .banks
        .iter()
        .map(|bank| {
            vec![
                shortened(&bank.id, 24),
                compact(bank.chance_no_shortfall),
                format!(
                    "{}{}",
                    level(bank.first_soc),
                    if bank.settles_at.is_some() { " *" } else { "" }
                ),
                level(bank.last_soc),
                rounded(bank.asked_wh_per_day),
                rounded(bank.sun_wh_per_day),
                rounded(bank.charger_wh_per_day),
                rounded(bank.charger_limit_w),
            ]
        })
        .collect();
    let names = [
        "bank",
        "no shortfall",
        "first day",
        "last day",
        "asked for, Wh a day",
        "sun",
        "chargers",
        "driving charges at most, W",
    ];
    let mut parts = vec![table(head(&names, 1), rows)];
    if let Some(like) = &result.like_days {
        let line = format!(
            "First and last day: median charge at the end of the {} days of {} and {}. A bank is kept up where the last \
             is no more than two points below the first; losses inside the bank are in what is asked for.",
            like.kind,
            short_date(&like.first, result.heading.units),
            short_date(&like.last, result.heading.units)
        );
        parts.push(note(line));
    }
    if result.banks.iter().any(|bank| bank.settles_at.is_some()) {
        parts.push(note(
            "* Lead-acid takes less near full: it falls from its start to a level that it then holds, and is judged \
             from there.",
        ));
    }
    let lines = idling_lines(result);
    if !lines.is_empty() {
        parts.push(note(lines.join("\n")));
    }
    parts
}

/// The tables of `shed`.
#[must_use]
pub fn shed_tables(result: &ShedResult) -> Vec<Part> {
    let horizon = Horizon::Days(result.horizon_days);
    let of = |title: &str, entries: &[Shed]| {
        let rows = entries
            .iter()
            .map(|shed| {
                vec![
                    shortened(&shed.load, 24),
                    rounded(shed.wh_per_day),
                    lasting(shed.days_p10, horizon),
                    days_gained(shed),
                    compact(shed.chance_no_shortfall),
                    points(shed.gain_chance),
                ]
            })
            .collect();
        let names = [
            title,
            "asked for, Wh a day",
            "9 in 10 last",
            "gain in days",
            "no shortfall",
            "gain in chance",
        ];
        table(head(&names, 1), rows)
    };
    let kept = if result.kept.is_empty() {
        String::new()
    } else {
        let kept: Vec<String> = result.kept.iter().map(|load| shortened(load, 24)).collect();
        format!("\nNever proposed: {}.", kept.join(", "))
    };
    let begin = match result.heading.from {
        Some(_) => "now",
        None => "the file's start",
    };
    let days = format!(
        "Days: parked at {} without driving, from the charge of {begin}, at most {}. Chances: of the trip.{kept}",
        shortened(&result.stop, 40),
        result.horizon_days
    );
    vec![
        of("without", &result.alone),
        of("then also without", &result.steps),
        Part::Lines(days),
    ]
}

/// The tables of `why`.
#[must_use]
pub fn why_tables(result: &WhyResult) -> Vec<Part> {
    let rows = result
        .inputs
        .iter()
        .take(SHOWN)
        .map(|input| {
            vec![
                shortened(&input.name, 40),
                shortened(&input.path, 44),
                ends(input),
                if input.is_spread {
                    "its spread"
                } else {
                    "±20 %"
                }
                .to_owned(),
                percent(input.at_low),
                percent(input.at_high),
                if input.difference.clear {
                    signed(input.swing)
                } else {
                    "none clear".to_owned()
                },
            ]
        })
        .collect();
    let names = [
        "input",
        "key",
        "from, to",
        "moved by",
        "at the lower",
        "at the upper",
        "swing, points",
    ];
    let mut parts = vec![table(head(&names, 2), rows)];
    if let Some(shares) = &result.shares {
        parts.push(Part::Lines(format!(
            "Where the spread of the lowest state of charge comes from, with 95 % intervals from {} trials: {}.",
            shares.trials,
            shares_with_intervals(shares)
        )));
    }
    parts
}
