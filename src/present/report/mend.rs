//! What would mend the trip.
//!
//! One job: the verdict, the changes, what does not help and the map of enough.

use super::parts::{Passage, Section};
use crate::present::charts::mend_svg;
use crate::present::tables::change_table;
use crate::present::words::mend_verdict;
use crate::study::mending::MendResult;
use crate::study::report::ReportAnswer;

/// The section; `None` where nothing has to be mended. Where it takes long to find, it names the command.
pub(super) fn section(answer: &ReportAnswer) -> Option<Section> {
    let parts = match (&answer.mend, &answer.trip.mend) {
        (Some(result), _) => found(result),
        (None, Some(_)) => vec![Passage::text(
            "A trip as long as this takes some seconds to mend by trying: `tideover mend` finds the cheapest change, \
             `tideover report --only mend` prints it.",
        )],
        (None, None) => return None,
    };
    Some(Section {
        id: "mend",
        title: "What would mend it",
        parts,
    })
}

fn found(result: &MendResult) -> Vec<Passage> {
    let mut parts = vec![Passage::verdict(&mend_verdict(result))];
    if !result.mends.is_empty() {
        parts.push(change_table(result).into());
    }
    if let Some(svg) = mend_svg(result) {
        parts.push(Passage::figure(
            "The map of enough.",
            "See how far the square is from the line: on it and beyond, the trip reaches the aim.",
            svg,
        ));
    }
    parts
}
