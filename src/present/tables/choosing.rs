//! Tables of `topup`, `shed` and `why`.
//!
//! One job: the figures under those verdicts.

use super::frame::{framed, head};
use crate::present::plain_text::shortened;
use crate::present::words::chance::{compact, percent, soc};
use crate::present::words::compare_verdict::{points, signed};
use crate::present::words::duration::{Horizon, lasting};
use crate::present::words::figure::rounded;
use crate::present::words::shed_verdict::days_gained;
use crate::present::words::topup_verdict::idling_lines;
use crate::present::words::why_verdict::{ends, shares_with_intervals};
use crate::study::choosing::shed::{Shed, ShedResult};
use crate::study::choosing::topup::TopupResult;
use crate::study::choosing::why::WhyResult;

/// The table of `topup` with the lines about idling, at most `width` columns wide.
#[must_use]
pub fn topup_tables(result: &TopupResult, width: usize) -> String {
    let rows = result
        .banks
        .iter()
        .map(|bank| {
            vec![
                shortened(&bank.id, 24),
                compact(bank.chance_no_shortfall),
                format!(
                    "{}{}",
                    soc(bank.start_soc),
                    if bank.held_below_start { " *" } else { "" }
                ),
                soc(bank.end_soc),
                rounded(bank.out_wh_per_day),
                rounded(bank.sun_wh_per_day),
                rounded(bank.charger_wh_per_day),
                rounded(bank.charger_limit_w),
            ]
        })
        .collect();
    let names = [
        "bank",
        "no shortfall",
        "from",
        "ends",
        "gives, Wh a day",
        "sun",
        "chargers",
        "driving charges at most, W",
    ];
    let mut parts = vec![framed(&head(&names, 1), rows, width)];
    if result.banks.iter().any(|bank| bank.held_below_start) {
        parts.push(
            "* It starts fuller than any driving leaves it by the end, and is held to that level: from there it must come back."
                .to_owned(),
        );
    }
    let lines = idling_lines(result);
    if !lines.is_empty() {
        parts.push(lines.join("\n"));
    }
    parts.join("\n\n")
}

/// The tables of `shed`.
#[must_use]
pub fn shed_tables(result: &ShedResult, width: usize) -> String {
    let horizon = Horizon::Days(result.horizon_days);
    let table = |title: &str, entries: &[Shed]| {
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
            "Wh a day",
            "9 in 10 last",
            "gain in days",
            "no shortfall",
            "gain in chance",
        ];
        framed(&head(&names, 1), rows, width)
    };
    let kept = if result.kept.is_empty() {
        String::new()
    } else {
        let kept: Vec<String> = result.kept.iter().map(|load| shortened(load, 24)).collect();
        format!("\nNever proposed: {}.", kept.join(", "))
    };
    format!(
        "{}\n\n{}\n\nDays: parked at {} without driving, from the charge of the file's start, at most {}. \
         Chances: of the trip.{kept}",
        table("without", &result.alone),
        table("then also without", &result.steps),
        shortened(&result.stop, 40),
        result.horizon_days
    )
}

/// Inputs that the screen shows; the files have all.
const SHOWN_INPUTS: usize = 15;

/// The tables of `why`.
#[must_use]
pub fn why_tables(result: &WhyResult, width: usize) -> String {
    let rows = result
        .inputs
        .iter()
        .take(SHOWN_INPUTS)
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
    let mut parts = vec![framed(&head(&names, 2), rows, width)];
    if let Some(shares) = &result.shares {
        parts.push(format!(
            "Where the spread of the lowest state of charge comes from, with 95 % intervals from {} trials: {}.",
            shares.trials,
            shares_with_intervals(shares)
        ));
    }
    parts.join("\n\n")
}
