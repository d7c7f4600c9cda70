//! The cable and fuse schedule on a screen.
//!
//! One job: verdict, table, what fails, what to watch, cautions. The spreadsheet is in `wiring_csv`, the cells are in `wiring_rows`.

use comfy_table::{
    CellAlignment, ColumnConstraint, ContentArrangement, ContentLineStyle, LineStyle, Table,
    TableStyle, Width,
};

use super::plain_text::shortened;
pub use super::wiring_rows::{LengthUnit, wiring_verdict};
use super::wiring_rows::{
    fuse_words, headings, missing_words, piece_words, row, start_words, wiring_notes,
};
use crate::wiring::schedule::{Schedule, ScheduledRun};

/// A rule under the header, nothing around: as the other tables.
const PLAIN: TableStyle = TableStyle::new()
    .header_lines(ContentLineStyle::none())
    .header_separator(LineStyle::none().fill('-'))
    .content_lines(ContentLineStyle::none());

/// Columns in the order in which they claim their room; what is left out stands below the table.
const CLAIMS: [usize; 13] = [0, 6, 9, 11, 1, 3, 2, 12, 7, 10, 8, 4, 5];

/// Columns of words, at the left; all others are figures.
const WORDS: [usize; 2] = [0, 8];

/// Room around the words of a cell.
const PADDING: usize = 2;

/// Everything that `wiring` prints, at most `width` columns wide.
#[must_use]
pub fn wiring_text(schedule: &Schedule, width: u16, length: LengthUnit) -> String {
    let columns = usize::from(width);
    let mut parts = vec![wrapped(&wiring_verdict(schedule), "", columns)];
    let mut hidden = Vec::new();
    if !schedule.runs.is_empty() {
        let (text, left_out) = table(schedule, width, length);
        parts.push(text);
        hidden = left_out;
    }
    if let Some(missing) = missing_words(schedule) {
        parts.push(wrapped(&missing, "", columns));
    }
    for run in &schedule.runs {
        parts.push(remarks(schedule, run, (columns, &hidden), length));
    }
    let list = |title: &str, lines: Vec<String>| {
        let lines: Vec<String> = lines
            .iter()
            .map(|line| wrapped(line, "  - ", columns))
            .collect();
        (!lines.is_empty()).then(|| format!("{title}\n{}", lines.join("\n")))
    };
    let failing = schedule
        .distribution
        .iter()
        .flat_map(|piece| &piece.problems);
    let failing = failing.map(|p| format!("fails: {}; would do: {}", p.fails, p.would_do));
    let pieces = schedule.distribution.iter().map(piece_words);
    parts.extend(list("Distribution", pieces.chain(failing).collect()));
    parts.extend(list("Notes", wiring_notes(schedule)));
    let cautions = schedule.cautions.iter().map(ToString::to_string).collect();
    parts.extend(list("Cautions", cautions));
    parts.join("\n\n") + "\n"
}

/// The table, and the headings for which there was no room.
fn table(schedule: &Schedule, width: u16, length: LengthUnit) -> (String, Vec<usize>) {
    let name_room = usize::from(width) / 3;
    let headings = headings(schedule, length);
    let mut rows: Vec<Vec<String>> = schedule.runs.iter().map(|run| row(run, length)).collect();
    for (cells, run) in rows.iter_mut().zip(&schedule.runs) {
        let fails = if run.pass { "" } else { "\nFAILS" };
        cells[0] = format!("{}{fails}", shortened(&run.id, name_room));
    }
    // No word, and so no number, is ever parted.
    let least = |column: usize| {
        let cells = rows.iter().map(|row| row[column].as_str());
        let words = cells
            .chain([headings[column].as_str()])
            .flat_map(str::split_whitespace);
        words.map(|word| word.chars().count()).max().unwrap_or(0)
    };
    let mut room = usize::from(width);
    let mut shown: Vec<usize> = Vec::new();
    for column in CLAIMS {
        let needs = least(column) + PADDING;
        if needs <= room {
            room -= needs;
            shown.push(column);
        }
    }
    shown.sort_unstable();
    let pick = |cells: &[String]| -> Vec<String> {
        shown.iter().map(|column| cells[*column].clone()).collect()
    };
    let mut table = Table::new();
    table
        .load_style(PLAIN)
        .set_content_arrangement(ContentArrangement::Dynamic)
        .set_width(width)
        .set_header(pick(&headings));
    for cells in &rows {
        table.add_row(pick(cells));
    }
    for (index, column) in shown.iter().enumerate() {
        let needs = u16::try_from(least(*column) + PADDING).unwrap_or(u16::MAX);
        if let Some(place) = table.column_mut(index) {
            place.set_constraint(ColumnConstraint::LowerBoundary(Width::Fixed(needs)));
            if !WORDS.contains(column) {
                place.set_cell_alignment(CellAlignment::Right);
            }
        }
    }
    let hidden = (0..headings.len()).filter(|column| !shown.contains(column));
    (table.to_string(), hidden.collect())
}

fn remarks(
    schedule: &Schedule,
    run: &ScheduledRun,
    (width, hidden): (usize, &[usize]),
    length: LengthUnit,
) -> String {
    let mut lines = vec![wrapped(
        &format!(
            "{} ({} to {}): {}",
            run.id, run.from, run.to, run.current_basis
        ),
        "",
        width,
    )];
    let (headings, cells) = (headings(schedule, length), row(run, length));
    let rest: Vec<String> = hidden
        .iter()
        .map(|column| format!("{}: {}", headings[*column], cells[*column]))
        .collect();
    if !rest.is_empty() {
        lines.push(wrapped(&rest.join("; "), "  ", width));
    }
    for problem in &run.problems {
        lines.push(wrapped(
            &format!("fails: {}; would do: {}", problem.fails, problem.would_do),
            "  ",
            width,
        ));
    }
    for start in start_words(run) {
        lines.push(wrapped(&start, "  ", width));
    }
    if let Some(fuse) = fuse_words(run) {
        lines.push(wrapped(&fuse, "  ", width));
    }
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
