//! Is a file sound, and what will be assumed.

use serde::Serialize;

use super::Failure;
use super::answered::{Answered, Body};
use crate::present::assumed_groups::{AssumedGroup, assumed_groups};
use crate::present::plain_text::json_text;
use crate::present::tables::Part;
use crate::scenario::{Assumed, Reading, Refusal, Role, Warning, counted};
use crate::study::answer::FORMAT;

/// The findings as JSON.
#[derive(Serialize)]
struct CheckResult<'a> {
    format: u32,
    tool: &'static str,
    scenario: Option<&'a str>,
    problems: Vec<ProblemLine>,
    warnings: &'a [Warning],
    assumed: &'a [Assumed],
}

/// A problem as programs read it.
#[derive(Serialize)]
pub(crate) struct ProblemLine {
    path: String,
    label: Option<String>,
    text: String,
    hint: Option<String>,
    line: usize,
    column: usize,
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
        problems: Vec::new(),
        warnings: &reading.warnings,
        assumed: &reading.assumed,
    };
    Ok(Answered {
        is_no: !reading.warnings.is_empty(),
        from: None,
        verdict: verdict(name, reading),
        body: Body::Parts(findings(name, reading)),
        warnings: Vec::new(),
        cautions: Vec::new(),
        json: json_text(&result).map_err(Failure::Json)?,
        files: Vec::new(),
    })
}

/// The problems as programs read them.
pub(crate) fn problem_lines(refusal: &Refusal) -> Vec<ProblemLine> {
    let problems = refusal.problems.iter().map(|problem| ProblemLine {
        path: problem.path.clone(),
        label: problem.label.clone(),
        text: problem.kind.to_string(),
        hint: problem.kind.hint(),
        line: problem.line,
        column: problem.column,
    });
    problems.collect()
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
        problems: problem_lines(refusal),
        warnings: &[],
        assumed: &[],
    };
    json_text(&result).map_err(Failure::Json)
}

/// The file is sound, and how much is in it, in a line.
fn verdict(name: &str, reading: &Reading) -> String {
    let scenario = &reading.scenario;
    let house = scenario
        .banks
        .iter()
        .filter(|bank| bank.role == Role::House);
    let nights: u32 = scenario.itinerary.legs.iter().map(|leg| leg.nights).sum();
    format!(
        "{name} is sound: {}, {}, {}, {}",
        counted(scenario.itinerary.legs.len(), "leg"),
        counted(nights, "night"),
        counted(house.count(), "house bank"),
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
        let label = warning.label.as_ref();
        let label = label.map_or_else(String::new, |label| format!(" ({label})"));
        format!(
            "  {name}:{}:{}  {}{label}\n    {}",
            warning.line, warning.column, warning.path, warning.text
        )
    }));
    if !reading.assumed.is_empty() {
        parts.push("assumed, because the file does not say:".to_owned());
        parts.push(assumed_lines(&reading.assumed));
    }
    parts.into_iter().map(Part::Lines).collect()
}

/// One line an assumption; those that are alike but for their place share one.
fn assumed_lines(assumed: &[Assumed]) -> String {
    let groups = assumed_groups(assumed);
    let places: Vec<String> = groups.iter().map(AssumedGroup::place).collect();
    let width = |texts: &mut dyn Iterator<Item = usize>| texts.max().unwrap_or(0);
    let place_width = width(&mut places.iter().map(|place| place.chars().count()));
    let value_width = width(&mut groups.iter().map(|group| group.first.value.chars().count()));
    let lines = places.iter().zip(&groups).map(|(place, group)| {
        let first = group.first;
        format!(
            "  {place:<place_width$}  {:<value_width$}  {}",
            first.value, first.reason
        )
    });
    lines.collect::<Vec<String>>().join("\n")
}
