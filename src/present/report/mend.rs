//! What would mend the trip.
//!
//! One job: the verdict, the changes, what does not help and the map of enough.

use super::parts::{Passage, Section};
use crate::present::charts::mend_svg;
use crate::present::tables::change_table;
use crate::present::words::mend_verdict;
use crate::study::report::ReportAnswer;

/// The section; `None` where nothing has to be mended. Where it takes long to find, it names the command.
pub(super) fn section(answer: &ReportAnswer) -> Option<Section> {
    const ID: &str = "mend";
    const TITLE: &str = "What would mend it";
    let Some(result) = &answer.mend else {
        answer.trip.mend.as_ref()?;
        return Some(Section {
            id: ID,
            title: TITLE,
            parts: vec![Passage::text(
                "A trip as long as this takes some seconds to mend by trying: `tideover mend` finds the cheapest change, \
                 `tideover report --only mend` prints it.",
            )],
        });
    };
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
    Some(Section {
        id: ID,
        title: TITLE,
        parts,
    })
}
