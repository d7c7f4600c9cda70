//! The cable and fuse schedule.
//!
//! One job: the verdict, the table, what is said of each run, and the one-line diagram.

use super::parts::{Passage, Section, Table};
use crate::present::diagram::wiring_svg;
use crate::present::wiring_rows::{
    LengthUnit, fuse_words, headings, missing_words, piece_words, row, start_words, wiring_notes,
    wiring_verdict,
};
use crate::scenario::Scenario;
use crate::study::report::ReportAnswer;
use crate::wiring::schedule::Schedule;

/// The section; `None` without runs.
pub(super) fn section(scenario: &Scenario, answer: &ReportAnswer) -> Option<Section> {
    let schedule = answer.wiring_shown.as_ref()?;
    let length = LengthUnit::of(schedule.units);
    let mut table = Table::new(
        "Cable and fuse schedule.",
        "Lengths are one way. The larger of the two sizes, by current and by voltage drop, wins. Drop and far-end \
         voltage are at the design current.",
        &headings(schedule, length),
    );
    for run in &schedule.runs {
        table.row(row(run, length));
    }
    let mut parts = vec![Passage::verdict(&wiring_verdict(schedule))];
    let failing = failing(schedule);
    if !failing.is_empty() {
        parts.push(Passage::warnings(failing));
    }
    parts.push(table.into());
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
    parts.push(Passage::wide_figure(
        "One-line diagram.",
        "See sources at the left, banks in the middle and loads at the right; every line names its conductor, \
         length and fuse.",
        wiring_svg(scenario, schedule),
    ));
    Some(Section {
        id: "wiring",
        title: "Cables and fuses",
        parts,
    })
}

fn failing(schedule: &Schedule) -> Vec<String> {
    let runs = schedule.runs.iter().map(|run| (&run.id, &run.problems));
    let pieces = schedule
        .distribution
        .iter()
        .map(|piece| (&piece.id, &piece.problems));
    runs.chain(pieces)
        .flat_map(|(id, problems)| {
            problems.iter().map(move |problem| {
                format!(
                    "{id} fails: {}; would do: {}",
                    problem.fails, problem.would_do
                )
            })
        })
        .collect()
}
