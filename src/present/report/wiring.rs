//! The cable and fuse schedule.
//!
//! One job: the verdict, the table, the one-line diagram, and what is said of each run.

use super::parts::{Passage, Section};
use crate::present::diagram::paper_svgs;
use crate::present::tables::runs_table;
use crate::present::wiring_rows::{
    all_failing, fuse_words, missing_words, piece_words, start_words, wiring_notes, wiring_verdict,
};
use crate::scenario::Scenario;
use crate::study::report::ReportAnswer;

/// The section; `None` without runs.
pub(super) fn section(scenario: &Scenario, answer: &ReportAnswer) -> Option<Section> {
    let schedule = answer.wiring_shown.as_ref()?;
    let mut parts = vec![Passage::verdict(&wiring_verdict(schedule))];
    let failing = all_failing(schedule);
    if !failing.is_empty() {
        parts.push(Passage::warnings(failing));
    }
    parts.push(runs_table(schedule, schedule.units).into());
    for (what, svg) in paper_svgs(scenario, schedule) {
        parts.push(Passage::figure(
            &format!("One-line diagram, {what}."),
            "Read it from left to right; every line names its conductor, length and fuse. `tideover wiring` draws \
             all of it in one picture.",
            svg,
        ));
    }
    parts.push(Passage::sub("runs", "Run by run"));
    parts.push(Passage::list(schedule.runs.iter().map(|run| {
        let mut parts = vec![run.current_basis.clone()];
        parts.extend(start_words(run));
        parts.extend(fuse_words(run));
        format!(
            "{} ({} to {}): {}.",
            run.id,
            run.from,
            run.to,
            parts.join("; ")
        )
    })));
    if let Some(missing) = missing_words(schedule) {
        parts.push(Passage::list([missing]));
    }
    parts.push(Passage::sub(
        "distribution",
        "Main fuses, blocks, switches and plugs",
    ));
    parts.push(Passage::list(schedule.distribution.iter().map(piece_words)));
    let notes = wiring_notes(schedule);
    if !notes.is_empty() {
        parts.push(Passage::sub("wiring-notes", "What to watch"));
        parts.push(Passage::list(notes));
    }
    Some(Section {
        id: "wiring",
        title: "Cables and fuses",
        parts,
    })
}
