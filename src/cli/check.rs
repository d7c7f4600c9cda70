//! `tideover check`: is the file sound, and what will be assumed.

use std::fmt::Write as _;
use std::path::{Path, PathBuf};

use clap::Args;
use serde::Serialize;
use tideover::present::assumed_groups::{AssumedGroup, assumed_groups};
use tideover::present::plain_text::json_text;
use tideover::scenario::{Assumed, Reading, Refusal, Role, Warning, counted, json_schema};

use super::reading::{read_scenario, shown_path};
use super::{Failure, Outcome, screen};

/// Check a scenario file: problems, doubts, and what is assumed where it says nothing
#[derive(Debug, Args)]
#[expect(
    clippy::struct_excessive_bools,
    reason = "switches of the command line"
)]
pub(super) struct Arguments {
    /// The scenario file
    #[arg(required_unless_present = "schema")]
    scenario: Option<PathBuf>,
    /// Put the findings as JSON on stdout
    #[arg(long)]
    json: bool,
    /// Print the JSON Schema (2020-12) of scenario files and check nothing
    #[arg(long, conflicts_with_all = ["scenario", "json", "quiet", "strict"])]
    schema: bool,
    /// Print the verdict alone
    #[arg(long, conflicts_with = "json")]
    quiet: bool,
    /// Exit with 1 if there is any warning
    #[arg(long)]
    strict: bool,
}

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

#[derive(Serialize)]
struct ProblemLine {
    path: String,
    label: Option<String>,
    text: String,
    hint: Option<String>,
    line: usize,
    column: usize,
}

const TOOL: &str = concat!("tideover ", env!("CARGO_PKG_VERSION"));

/// Runs the command.
pub(super) fn run(arguments: &Arguments) -> Result<Outcome, Failure> {
    let Some(path) = arguments.scenario.as_ref().filter(|_| !arguments.schema) else {
        screen::data(&format!("{:#}\n", json_schema()))?;
        return Ok(Outcome::Done);
    };
    let reading = match read_scenario(path) {
        Ok(reading) => reading,
        Err(failure) => {
            if let (true, Failure::Refused { refusal, .. }) = (arguments.json, &failure) {
                screen::data(&refused_json(refusal))?;
            }
            return Err(failure);
        }
    };
    if arguments.json {
        screen::data(&json(&CheckResult {
            format: tideover::study::answer::FORMAT,
            tool: TOOL,
            scenario: Some(&reading.scenario.title),
            problems: Vec::new(),
            warnings: &reading.warnings,
            assumed: &reading.assumed,
        }))?;
    } else {
        let mut text = verdict(path, &reading);
        if !arguments.quiet {
            text.push_str(&findings(path, &reading));
        }
        screen::answer(&text)?;
    }
    Ok(if arguments.strict && !reading.warnings.is_empty() {
        Outcome::No
    } else {
        Outcome::Done
    })
}

fn json(result: &CheckResult<'_>) -> String {
    json_text(result).unwrap_or_default()
}

fn refused_json(refusal: &Refusal) -> String {
    let problems = refusal.problems.iter().map(|problem| ProblemLine {
        path: problem.path.clone(),
        label: problem.label.clone(),
        text: problem.kind.to_string(),
        hint: problem.kind.hint(),
        line: problem.line,
        column: problem.column,
    });
    json(&CheckResult {
        format: tideover::study::answer::FORMAT,
        tool: TOOL,
        scenario: None,
        problems: problems.collect(),
        warnings: &[],
        assumed: &[],
    })
}

/// The file is sound, and how much is in it, in a line.
fn verdict(path: &Path, reading: &Reading) -> String {
    let scenario = &reading.scenario;
    let house = scenario
        .banks
        .iter()
        .filter(|bank| bank.role == Role::House);
    let nights: u32 = scenario.itinerary.legs.iter().map(|leg| leg.nights).sum();
    format!(
        "{} is sound: {}, {}, {}, {}\n",
        shown_path(path),
        counted(scenario.itinerary.legs.len(), "leg"),
        counted(nights, "night"),
        counted(house.count(), "house bank"),
        counted(scenario.loads.len(), "load"),
    )
}

/// Warnings and assumptions.
fn findings(path: &Path, reading: &Reading) -> String {
    let mut text = String::new();
    if !reading.warnings.is_empty() {
        let count = counted(reading.warnings.len(), "warning");
        let _ = writeln!(text, "\n{count}");
        for warning in &reading.warnings {
            let label = warning.label.as_ref();
            let label = label.map_or_else(String::new, |label| format!(" ({label})"));
            let _ = writeln!(
                text,
                "\n  {}:{}:{}  {}{label}\n    {}",
                shown_path(path),
                warning.line,
                warning.column,
                warning.path,
                warning.text
            );
        }
    }
    if !reading.assumed.is_empty() {
        text.push_str("\nassumed, because the file does not say:\n\n");
        text.push_str(&assumed_lines(&reading.assumed));
    }
    text
}

/// One line an assumption; those that are alike but for their place share one.
fn assumed_lines(assumed: &[Assumed]) -> String {
    let groups = assumed_groups(assumed);
    let places: Vec<String> = groups.iter().map(AssumedGroup::place).collect();
    let width = |texts: &mut dyn Iterator<Item = usize>| texts.max().unwrap_or(0);
    let place_width = width(&mut places.iter().map(|place| place.chars().count()));
    let value_width = width(&mut groups.iter().map(|group| group.first.value.chars().count()));
    let mut text = String::new();
    for (place, group) in places.iter().zip(&groups) {
        let first = group.first;
        let _ = writeln!(
            text,
            "  {place:<place_width$}  {:<value_width$}  {}",
            first.value, first.reason
        );
    }
    text
}
