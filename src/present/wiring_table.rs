//! The cable and fuse schedule on a screen.
//!
//! One job: verdict, table, what fails, what to watch, cautions. The spreadsheet is in `wiring_csv`.

use comfy_table::{
    CellAlignment, ColumnConstraint, ContentArrangement, ContentLineStyle, LineStyle, Table,
    TableStyle,
};

use super::wiring_csv::ruled_by;
use crate::wiring::schedule::{ChosenBy, Schedule, ScheduledRun};

/// Up to so many runs are named in a note.
const NAMED: usize = 6;

/// A rule under the header, nothing around: as the other tables.
const PLAIN: TableStyle = TableStyle::new()
    .header_lines(ContentLineStyle::none())
    .header_separator(LineStyle::none().fill('-'))
    .content_lines(ContentLineStyle::none());

/// Columns left to the lines below the table on a screen narrower than [`WIDE`].
const ONLY_WIDE: [usize; 3] = [7, 9, 12];

/// Least width for all columns.
const WIDE: u16 = 106;

const HEADINGS: [&str; 13] = [
    "run",
    "design A",
    "one way m",
    "by amps mm²",
    "by drop mm²",
    "take mm²",
    "AWG",
    "ruled by",
    "fuse A",
    "drop V",
    "drop %",
    "far end V",
    "heat W",
];

/// The verdict in a sentence.
#[must_use]
pub fn wiring_verdict(schedule: &Schedule) -> String {
    let total = schedule.runs.len();
    let failing: Vec<&str> = schedule
        .runs
        .iter()
        .filter(|run| !run.pass)
        .map(|run| run.id.as_str())
        .collect();
    match (total, failing.len()) {
        (0, _) => {
            "The scenario has no runs yet: `wiring --suggest` proposes those that the system needs."
                .to_string()
        }
        (1, 0) => "The one run passes on paper; read the cautions.".to_string(),
        (_, 0) => format!("All {total} runs pass on paper; read the cautions."),
        (_, 1) => format!("1 of {total} runs fails: {}.", failing[0]),
        (_, many) => format!("{many} of {total} runs fail: {}.", failing.join(", ")),
    }
}

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

fn row(run: &ScheduledRun) -> Vec<String> {
    let size =
        |mm2: Option<f64>| mm2.map_or_else(|| "none does".to_string(), |mm2| mm2.to_string());
    let yours = |by: ChosenBy| if by == ChosenBy::User { " yours" } else { "" };
    let gauge = run
        .awg
        .as_deref()
        .map_or("over 4/0", |awg| awg.trim_start_matches("AWG "));
    let fuse = run.fuse.as_ref().map_or_else(
        || "none fits".to_string(),
        |fuse| {
            let number = if fuse.number > 1 {
                format!("{} × ", fuse.number)
            } else {
                String::new()
            };
            format!("{number}{}{}", fuse.rating_a, yours(fuse.chosen_by))
        },
    );
    let decimals = |value: Option<f64>, places: usize| {
        value.map_or_else(|| "-".to_string(), |v| format!("{v:.places$}"))
    };
    let name = if run.pass {
        run.id.clone()
    } else {
        format!("{}\nFAILS", run.id)
    };
    vec![
        name,
        format!("{:.1}", run.design_current_a),
        run.one_way_m.to_string(),
        size(run.by_ampacity_mm2),
        size(run.by_drop_mm2),
        format!("{}{}", size(run.mm2), yours(run.chosen_by)),
        if run.mm2.is_some() {
            gauge.to_string()
        } else {
            "-".to_string()
        },
        ruled_by(run).to_string(),
        fuse,
        decimals(run.drop_v, 2),
        decimals(run.drop_percent, 1),
        decimals(run.far_end_v, 2),
        decimals(run.heat_w, 1),
    ]
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
    if let Some(fuse) = &run.fuse {
        let places: Vec<&str> = fuse
            .places
            .iter()
            .map(|place| place.text.as_str())
            .collect();
        let short_circuit = if fuse.prospective_a > 0.0 {
            format!(
                "; a short circuit there could reach some {:.0} A",
                fuse.prospective_a
            )
        } else {
            String::new()
        };
        lines.push(wrapped(
            &format!(
                "fuse: {}, {}{short_circuit}",
                fuse.words,
                places.join(" and ")
            ),
            "  ",
            width,
        ));
    }
    lines.join("\n")
}

/// Each note once, with the runs that it is about.
fn notes(schedule: &Schedule, width: usize) -> String {
    let mut notes: Vec<(&str, Vec<&str>)> = Vec::new();
    for run in &schedule.runs {
        for warning in &run.warnings {
            match notes.iter_mut().find(|(text, _)| text == warning) {
                Some((_, runs)) => runs.push(&run.id),
                None => notes.push((warning, vec![&run.id])),
            }
        }
    }
    let lines: Vec<String> = notes
        .iter()
        .map(|(text, runs)| {
            let about = if runs.len() > NAMED {
                format!("{} runs", runs.len())
            } else {
                runs.join(", ")
            };
            wrapped(&format!("{about}: {text}"), "  - ", width)
        })
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
