//! Is a file sound, and what will be assumed.

use serde::Serialize;

use super::Failure;
use super::answered::Answered;
use crate::present::assumed::{AssumedSection, assumed_sections};
use crate::present::plain_text::json_text;
use crate::present::tables::Part;
use crate::scenario::{Assumed, Problem, Reading, Refusal, Warning, counted, subject};
use crate::study::answer::FORMAT;

/// The findings as JSON.
#[derive(Serialize)]
struct CheckResult<'a> {
    format: u32,
    tool: &'static str,
    scenario: Option<&'a str>,
    problems: &'a [Problem],
    warnings: &'a [Warning],
    assumed: &'a [Assumed],
}

const TOOL: &str = concat!("tideover ", env!("CARGO_PKG_VERSION"));

/// A sound file: the findings in words and as JSON; the answer is no where there is any warning. `name` is
/// what the file is called.
///
/// # Errors
/// [`Failure::Json`], in practice none.
pub fn checked(reading: &Reading, name: &str) -> Result<Answered, Failure> {
    let result = CheckResult {
        format: FORMAT,
        tool: TOOL,
        scenario: Some(&reading.scenario.title),
        problems: &[],
        warnings: &reading.warnings,
        assumed: &reading.assumed,
    };
    Ok(Answered {
        is_no: !reading.warnings.is_empty(),
        verdict: verdict(name, reading),
        body: findings(name, reading),
        json: json_text(&result).map_err(Failure::Json)?,
        ..Answered::default()
    })
}

/// The findings of a file that is refused, as JSON.
///
/// # Errors
/// [`Failure::Json`], in practice none.
pub fn refused_json(refusal: &Refusal) -> Result<String, Failure> {
    let result = CheckResult {
        format: FORMAT,
        tool: TOOL,
        scenario: None,
        problems: &refusal.problems,
        warnings: &[],
        assumed: &[],
    };
    json_text(&result).map_err(Failure::Json)
}

/// The file is sound, and how much is in it, in a line.
fn verdict(name: &str, reading: &Reading) -> String {
    let scenario = &reading.scenario;
    let house = scenario.house_banks().len();
    let nights: u32 = scenario.itinerary.legs.iter().map(|leg| leg.nights).sum();
    format!(
        "{name} is sound: {}, {}, {}, {}",
        counted(scenario.itinerary.legs.len(), "leg"),
        counted(nights, "night"),
        counted(house, "house bank"),
        counted(scenario.loads.len(), "load"),
    )
}

/// Warnings and assumptions.
fn findings(name: &str, reading: &Reading) -> Vec<Part> {
    let mut parts = Vec::new();
    if !reading.warnings.is_empty() {
        parts.push(counted(reading.warnings.len(), "warning"));
    }
    parts.extend(reading.warnings.iter().map(|warning| {
        format!(
            "  {} {}\n    {name}:{}:{}  {}",
            subject(&warning.path, warning.label.as_deref()),
            warning.text.in_units(reading.scenario.units),
            warning.line,
            warning.column,
            warning.path
        )
    }));
    if !reading.assumed.is_empty() {
        parts.push("assumed, because the file does not say:".to_owned());
        let sections = assumed_sections(&reading.scenario, &reading.assumed);
        parts.extend(sections.iter().map(section_text));
    }
    parts.into_iter().map(Part::Lines).collect()
}

/// A section, its rows in columns.
fn section_text(section: &AssumedSection) -> String {
    let width = |column: usize| {
        let cells = section.rows.iter().map(|row| row[column].chars().count());
        cells.max().unwrap_or(0)
    };
    let (about_width, value_width) = (width(0), width(1));
    let rows = section.rows.iter().map(|[about, value, reason]| {
        format!("  {about:<about_width$}  {value:<value_width$}  {reason}")
    });
    let rows: Vec<String> = rows.collect();
    format!("{}:\n{}", section.heading, rows.join("\n"))
}
