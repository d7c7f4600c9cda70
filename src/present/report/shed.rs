//! What to switch off first, and how much driving keeps the banks topped up.
//!
//! One job: the answers of `shed` and `topup` as parts of the section on what to do.

use super::parts::Passage;
use crate::present::charts::shed_svg;
use crate::present::tables::shed_steps;
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
            parts.push(shed_steps(result).into());
            parts.push(Passage::figure(
                "Days that switching off buys.",
                "See which load buys most; bars that reach the end are beyond what was looked at.",
                shed_svg(result),
            ));
        }
    }
    parts
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
