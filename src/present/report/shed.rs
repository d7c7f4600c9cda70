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
    answered(("shed", "What to switch off first"), found, |result| {
        vec![
            Passage::verdict(&shed_verdict(result)),
            shed_steps(result).into(),
            Passage::figure(
                "Days that switching off buys.",
                "See which load buys most; bars that reach the end are beyond what was looked at.",
                shed_svg(result),
            ),
        ]
    })
}

/// The least driving that keeps the banks topped up.
pub(super) fn topup_parts(found: &Result<TopupResult, String>) -> Vec<Passage> {
    let heading = ("topup", "How much driving the trip needs");
    answered(heading, found, |result| {
        let idling = idling_lines(result);
        let idling = (!idling.is_empty()).then(|| Passage::list(idling));
        let verdict = Passage::verdict(&topup_verdict(result));
        [verdict].into_iter().chain(idling).collect()
    })
}

/// A heading and what stands below it, or why there is no answer.
fn answered<R>(
    (id, heading): (&str, &str),
    found: &Result<R, String>,
    parts: impl Fn(&R) -> Vec<Passage>,
) -> Vec<Passage> {
    let below = match found {
        Err(why) => vec![Passage::text(&format!("No answer: {why}."))],
        Ok(result) => parts(result),
    };
    let heading = Passage::sub(id, heading);
    [heading].into_iter().chain(below).collect()
}
