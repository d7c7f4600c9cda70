//! The options compared.
//!
//! One job: the verdict, the picture and the table of a comparison.

use super::parts::{Passage, Section};
use crate::present::charts::compare_svg;
use crate::present::tables::compare_table;
use crate::present::words::compare_verdict;
use crate::study::report::ReportAnswer;

/// The section; `None` if nothing was compared.
pub(super) fn section(answer: &ReportAnswer) -> Option<Section> {
    let result = answer.compared.as_ref()?;
    Some(Section {
        id: "options",
        title: "The options compared",
        parts: vec![
            Passage::verdict(&compare_verdict(result)),
            Passage::figure(
                "What each option brings.",
                "See which options reach the chance aimed at, and which of them gets by with least.",
                compare_svg(result),
            ),
            compare_table(result).into(),
        ],
    })
}
