//! The cable and fuse schedule on a screen.
//!
//! One job: verdict, table, what fails, what to watch, cautions. The spreadsheet is in `wiring_csv`.

use comfy_table::{
    CellAlignment, ContentArrangement, ContentLineStyle, LineStyle, Table, TableStyle,
};

use super::wiring_csv::ruled_by;
use crate::wiring::schedule::{ChosenBy, Schedule, ScheduledRun};

/// A rule under the header, nothing around: as the other tables.
const PLAIN: TableStyle = TableStyle::new()
    .header_lines(ContentLineStyle::none())
    .header_separator(LineStyle::none().fill('-'))
    .content_lines(ContentLineStyle::none());

const HEADINGS: [&str; 11] = [
    "run",
    "design A",
    "length m",
    "by current mm²",
    "by drop mm²",
    "conductor",
    "ruled by",
    "fuse",
    "drop",
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
        let remarks = remarks(run, usize::from(width));
        if !remarks.is_empty() {
            parts.push(remarks);
        }
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
        .set_header(HEADINGS);
    for run in &schedule.runs {
        table.add_row(row(run));
    }
    for index in [1, 2, 3, 4, 8, 9, 10] {
        if let Some(column) = table.column_mut(index) {
            column.set_cell_alignment(CellAlignment::Right);
        }
    }
    table.to_string()
}

fn row(run: &ScheduledRun) -> Vec<String> {
    let size =
        |mm2: Option<f64>| mm2.map_or_else(|| "none does".to_string(), |mm2| mm2.to_string());
    let conductor = run.mm2.map_or_else(
        || "none does".to_string(),
        |mm2| {
            let awg = run.awg.as_deref().unwrap_or("above AWG 4/0");
            let yours = if run.chosen_by == ChosenBy::User {
                ", yours"
            } else {
                ""
            };
            format!("{mm2} mm² ({awg}{yours})")
        },
    );
    let fuse = run.fuse.as_ref().map_or_else(
        || "none fits".to_string(),
        |fuse| {
            let number = if fuse.number > 1 {
                format!("{} × ", fuse.number)
            } else {
                String::new()
            };
            let yours = if fuse.chosen_by == ChosenBy::User {
                ", yours"
            } else {
                ""
            };
            format!("{number}{} A, {}{yours}", fuse.rating_a, fuse.words)
        },
    );
    let decimals = |value: Option<f64>, places: usize| {
        value.map_or_else(|| "-".to_string(), |v| format!("{v:.places$}"))
    };
    let drop = match (run.drop_v, run.drop_percent) {
        (Some(volts), Some(percent)) => format!("{volts:.2} V, {percent:.1} %"),
        _ => "-".to_string(),
    };
    let name = if run.pass {
        run.id.clone()
    } else {
        format!("{} FAILS", run.id)
    };
    vec![
        name,
        format!("{:.1}", run.design_current_a),
        run.one_way_m.to_string(),
        size(run.by_ampacity_mm2),
        size(run.by_drop_mm2),
        conductor,
        ruled_by(run).to_string(),
        fuse,
        drop,
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
    for problem in &run.problems {
        lines.push(wrapped(
            &format!("fails: {}; would do: {}", problem.fails, problem.would_do),
            "  ",
            width,
        ));
    }
    if let Some(fuse) = &run.fuse {
        for place in &fuse.places {
            lines.push(wrapped(&format!("fuse {}", place.text), "  ", width));
        }
    }
    for warning in &run.warnings {
        lines.push(wrapped(&format!("note: {warning}"), "  ", width));
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
