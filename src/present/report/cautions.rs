//! Cautions.
//!
//! One job: the usual words of safety, all in one place. Their wording is in `words::caution` and
//! with the wiring.

use super::parts::{Passage, Section};
use crate::present::plain_text::capitalised;
use crate::present::words::{Contents, Screen, cautions};
use crate::scenario::Scenario;
use crate::study::report::ReportAnswer;

/// The section.
pub(super) fn section(scenario: &Scenario, answer: &ReportAnswer) -> Section {
    let contents = Contents {
        log: answer.learned.is_some(),
        ..Contents::from(scenario)
    };
    let mut all = cautions(contents, Screen::Report);
    if let Some(schedule) = &answer.wiring_shown {
        all.extend(schedule.cautions.iter().map(String::as_str));
    }
    Section {
        id: "cautions",
        title: "Cautions",
        parts: vec![Passage::warnings(all.iter().map(|line| capitalised(line)))],
    }
}
