//! The cable and fuse schedule on a screen.
//!
//! One job: verdict, table, what fails, what to watch, cautions. The spreadsheet is in `wiring_csv`, the cells are in `wiring_rows`.

use comfy_table::{
    CellAlignment, ColumnConstraint, ContentArrangement, ContentLineStyle, LineStyle, Table,
    TableStyle,
};

use super::wiring_csv::ruled_by;
pub use super::wiring_rows::wiring_verdict;
use super::wiring_rows::{HEADINGS, fuse_words, row, wiring_notes};
use crate::wiring::schedule::{Schedule, ScheduledRun};

/// A rule under the header, nothing around: as the other tables.
const PLAIN: TableStyle = TableStyle::new()
    .header_lines(ContentLineStyle::none())
    .header_separator(LineStyle::none().fill('-'))
    .content_lines(ContentLineStyle::none());

/// Columns left to the lines below the table on a screen narrower than [`WIDE`].
const ONLY_WIDE: [usize; 3] = [7, 9, 12];

/// Least width for all columns.
const WIDE: u16 = 106;

/// Everything that `wiring` prints, at most `width` columns wide.
#[must_use]
pub fn wiring_text(schedule: &Schedule, width: u16) -> String {
    let mut parts = vec![wiring_verdict(schedule)];
    if !schedule.runs.is_empty() {
        parts.push(table(schedule, width));
    }
    for run in &schedule.runs {
        parts.push(remarks(run, usize::from(width)));
    }
    let notes = notes(schedule, usize::from(width));
    if !notes.is_empty() {
        parts.push(format!("Notes\n{notes}"));
    }
    let cautions: Vec<String> = schedule
        .cautions
        .iter()
        .map(|caution| wrapped(caution, "  - ", usize::from(width)))
        .collect();
    parts.push(format!("Cautions\n{}", cautions.join("\n")));
    parts.join("\n\n") + "\n"
}

fn table(schedule: &Schedule, width: u16) -> String {
    let mut table = Table::new();
    table
        .load_style(PLAIN)
        .set_content_arrangement(ContentArrangement::Dynamic)
        .set_width(width)
        .set_header(shown(HEADINGS.map(str::to_string).to_vec(), width));
    for run in &schedule.runs {
        table.add_row(shown(row(run), width));
    }
    let widest = schedule
        .runs
        .iter()
        .map(|run| run.id.chars().count())
        .max()
        .unwrap_or(0);
    if let Some(column) = table.column_mut(0)
        && widest <= usize::from(width) / 4
    {
        column.set_constraint(ColumnConstraint::ContentWidth);
    }
    for (index, heading) in shown(HEADINGS.map(str::to_string).to_vec(), width)
        .iter()
        .enumerate()
    {
        if heading != "run"
            && heading != "ruled by"
            && let Some(column) = table.column_mut(index)
        {
            column.set_cell_alignment(CellAlignment::Right);
        }
    }
    table.to_string()
}

/// The cells for which there is room.
fn shown(cells: Vec<String>, width: u16) -> Vec<String> {
    let has_room = |index: &usize| width >= WIDE || !ONLY_WIDE.contains(index);
    cells
        .into_iter()
        .enumerate()
        .filter(|(index, _)| has_room(index))
        .map(|(_, cell)| cell)
        .collect()
}

fn remarks(run: &ScheduledRun, width: usize) -> String {
    let mut lines = vec![wrapped(
        &format!(
            "{} ({} to {}): {}",
            run.id, run.from, run.to, run.current_basis
        ),
        "",
        width,
    )];
    if width < usize::from(WIDE)
        && let (Some(drop_v), Some(heat_w)) = (run.drop_v, run.heat_w)
    {
        let rest = format!(
            "ruled by {}; drops {drop_v:.2} V, {heat_w:.1} W of heat",
            ruled_by(run)
        );
        lines.push(wrapped(&rest, "  ", width));
    }
    for problem in &run.problems {
        lines.push(wrapped(
            &format!("fails: {}; would do: {}", problem.fails, problem.would_do),
            "  ",
            width,
        ));
    }
    if let Some(fuse) = fuse_words(run) {
        lines.push(wrapped(&fuse, "  ", width));
    }
    lines.join("\n")
}

/// Each note once, with the runs that it is about.
fn notes(schedule: &Schedule, width: usize) -> String {
    let lines: Vec<String> = wiring_notes(schedule)
        .iter()
        .map(|note| wrapped(note, "  - ", width))
        .collect();
    lines.join("\n")
}

/// Breaks a sentence at spaces; the first line begins with `lead`, the others are indented.
fn wrapped(text: &str, lead: &str, width: usize) -> String {
    let indent = " ".repeat(lead.chars().count().max(2));
    let mut lines = Vec::new();
    let mut line = lead.to_string();
    let mut is_fresh = true;
    for word in text.split_whitespace() {
        if !is_fresh && line.chars().count() + 1 + word.chars().count() > width.max(20) {
            lines.push(std::mem::replace(&mut line, indent.clone()));
            is_fresh = true;
        }
        if !is_fresh {
            line.push(' ');
        }
        line.push_str(word);
        is_fresh = false;
    }
    lines.push(line);
    lines.join("\n")
}
