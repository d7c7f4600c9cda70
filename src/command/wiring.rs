//! The cable and fuse schedule.

use super::Failure;
use super::answered::{Answered, Body};
use crate::present::diagram::wiring_svg;
use crate::present::plain_text::json_text;
use crate::present::tables::{Align, Part, table_of};
use crate::present::wiring_csv::wiring_csv;
use crate::present::wiring_rows::{
    LengthUnit, fuse_words, headings, missing_words, piece_words, row, start_words, wiring_notes,
    wiring_verdict,
};
use crate::present::wiring_sheet::wiring_sheet;
use crate::scenario::Scenario;
use crate::wiring::conductors::Series;
use crate::wiring::schedule::Schedule;
use crate::wiring::{schedule_in, schedule_shown};

/// The column that holds words beside the first.
const RULED_BY: usize = 8;

/// How a schedule is shown.
#[derive(Debug, Clone, Copy, Default)]
pub struct WiringQuestion {
    /// Series of the conductors; `None`: that of the scenario's units.
    pub series: Option<Series>,
    /// Unit of lengths; `None`: that of the scenario's units.
    pub length: Option<LengthUnit>,
}

/// The schedule of every run, with its diagram, sheet and spreadsheet. The JSON is in units of the program, and of
/// metric sizes unless a series is asked for.
///
/// # Errors
/// [`Failure::Csv`] and [`Failure::Json`], in practice none.
pub fn wiring(
    scenario: &Scenario,
    question: WiringQuestion,
    with_files: bool,
) -> Result<Answered, Failure> {
    let WiringQuestion { series, length } = question;
    let length = length.unwrap_or(LengthUnit::of(scenario.units));
    let schedule = schedule_shown(scenario, series);
    let for_programs = schedule_in(scenario, series.unwrap_or_default(), None);
    let mut answered = Answered {
        is_no: !schedule.pass,
        from: None,
        verdict: wiring_verdict(&schedule),
        warnings: Vec::new(),
        cautions: schedule.cautions.clone(),
        json: json_text(&for_programs).map_err(Failure::Json)?,
        files: Vec::new(),
        put_right: None,
        body: Body::Wiring(Box::new(schedule), length),
    };
    if let (true, Body::Wiring(schedule, _)) = (with_files, &answered.body) {
        let csv = wiring_csv(schedule).map_err(Failure::Csv)?;
        let svg = wiring_svg(scenario, schedule);
        let sheet = wiring_sheet(scenario, schedule, length);
        answered.add("wiring.csv", csv);
        answered.add("wiring.svg", svg);
        answered.add("wiring.html", sheet);
        answered.add_json("wiring.json");
    }
    Ok(answered)
}

/// A schedule as sentences and one table, for whoever has room for all its columns.
#[must_use]
pub fn wiring_parts(schedule: &Schedule, length: LengthUnit) -> Vec<Part> {
    let mut parts = Vec::new();
    if !schedule.runs.is_empty() {
        let rows = schedule.runs.iter().map(|run| row(run, length)).collect();
        let mut table = table_of(&headings(schedule, length), 1, rows);
        if let Part::Table(table) = &mut table {
            table.head[RULED_BY].1 = Align::Left;
        }
        parts.push(table);
    }
    parts.extend(missing_words(schedule).map(Part::Note));
    for run in &schedule.runs {
        let head = format!(
            "{} ({} to {}): {}",
            run.id, run.from, run.to, run.current_basis
        );
        let problems = run.problems.iter();
        let problems = problems.map(|p| format!("fails: {}; would do: {}", p.fails, p.would_do));
        let lines = [head].into_iter().chain(problems);
        let lines = lines.chain(start_words(run)).chain(fuse_words(run));
        parts.push(Part::Note(lines.collect::<Vec<_>>().join("\n")));
    }
    let pieces = schedule.distribution.iter().flat_map(|piece| {
        let problems = piece.problems.iter();
        let problems = problems.map(|p| format!("fails: {}; would do: {}", p.fails, p.would_do));
        [piece_words(piece)].into_iter().chain(problems)
    });
    parts.extend(pieces.chain(wiring_notes(schedule)).map(Part::Note));
    parts
}
