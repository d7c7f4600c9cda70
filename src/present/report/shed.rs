//! What to switch off first, and how much driving keeps the banks topped up.
//!
//! One job: the answers of `shed` and `topup` as parts of the section on what to do.

use super::parts::{Passage, Table};
use crate::present::charts::shed_svg;
use crate::present::words::chance::compact;
use crate::present::words::compare_verdict::points;
use crate::present::words::duration::{Horizon, lasting};
use crate::present::words::figure::rounded;
use crate::present::words::shed_verdict::days_gained;
use crate::present::words::topup_verdict::idling_lines;
use crate::present::words::{shed_verdict, topup_verdict};
use crate::study::choosing::shed::ShedResult;
use crate::study::choosing::topup::TopupResult;

/// What to switch off first.
pub(super) fn shed_parts(found: &Result<ShedResult, String>) -> Vec<Passage> {
    let mut parts = vec![Passage::sub("shed", "What to switch off first")];
    match found {
        Err(why) => parts.push(Passage::text(&format!("No answer: {why}."))),
        Ok(result) => {
            parts.push(Passage::verdict(&shed_verdict(result)));
            parts.push(steps(result).into());
            parts.push(Passage::figure(
                "Days that switching off buys.",
                "See which load buys most; bars that reach the end are beyond what was looked at.",
                shed_svg(result),
            ));
        }
    }
    parts
}

fn steps(result: &ShedResult) -> Table {
    let horizon = Horizon::Days(result.horizon_days);
    let kept = if result.kept.is_empty() {
        String::new()
    } else {
        format!(" Never proposed: {}.", result.kept.join(", "))
    };
    let mut table = Table::new(
        "Switch off in this order.",
        &format!(
            "Each line with those above it off too. Days are those of a stay at {} without driving, against \
             everything on; the chance is that of the whole trip.{kept}",
            result.stop
        ),
        &[
            "load",
            "asked for, Wh a day",
            "then 9 in 10 last",
            "gain",
            "then no shortfall on the trip",
            "gain in that chance",
        ],
    );
    for step in &result.steps {
        table.row([
            step.load.clone(),
            rounded(step.wh_per_day),
            lasting(step.days_p10, horizon),
            days_gained(step),
            compact(step.chance_no_shortfall),
            points(step.gain_chance),
        ]);
    }
    table
}

/// The least driving that keeps the banks topped up.
pub(super) fn topup_parts(found: &Result<TopupResult, String>) -> Vec<Passage> {
    let mut parts = vec![Passage::sub("topup", "How much driving the trip needs")];
    match found {
        Err(why) => parts.push(Passage::text(&format!("No answer: {why}."))),
        Ok(result) => {
            parts.push(Passage::verdict(&topup_verdict(result)));
            let idling = idling_lines(result);
            if !idling.is_empty() {
                parts.push(Passage::list(idling));
            }
        }
    }
    parts
}
