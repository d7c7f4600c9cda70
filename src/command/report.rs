//! The report: every answer in one document.

use super::answered::{Answered, Told};
use super::choosing::chosen;
use super::{Asked, Failure};
use crate::present::report::{Imprint, report_html};
use crate::present::words::{Screen, trip_verdict};
use crate::scenario::Scenario;
use crate::study::choosing::ChoosingError;
use crate::study::choosing::options::{Choice, choices};
use crate::study::learning::{LearnQuestion, learn};
use crate::study::report::{ReportPart, ReportQuestion, report as report_study};
use crate::study::settings::Settings;

pub(super) fn report(
    compare: &[String],
    (only, log): (Option<ReportPart>, Option<&(Box<LearnQuestion>, String)>),
    (file_name, date): (&str, &str),
    asked: &Asked<'_>,
    settings: &Settings,
) -> Result<Answered, Failure> {
    let options = compared(compare, asked)?;
    let has_it = match only {
        Some(ReportPart::Options) => !options.is_empty(),
        Some(ReportPart::Wiring) => !asked.scenario.runs.is_empty(),
        Some(ReportPart::Log) => log.is_some(),
        Some(ReportPart::Mend) => !settings.typical && settings.here.is_none(),
        _ => true,
    };
    if let Some(part) = only.filter(|_| !has_it) {
        return Err(Failure::option(
            "--only",
            part.id(),
            "this report has no such part: options come with `--compare`, wiring with `runs` in the file, log with \
             `--log`, mend with chance and from the departure",
        ));
    }
    let learned = match log {
        // What the whole trip was driven for is held against it from its departure.
        Some((log, _)) => {
            let settings = Settings {
                here: None,
                ..settings.clone()
            };
            Some(learn(asked.scenario, &settings, log, asked.progress)?.0)
        }
        None => None,
    };
    let question = ReportQuestion {
        options,
        learned,
        only,
    };
    let answer = report_study(asked.scenario, settings, question, asked.progress)?;
    let result = &answer.trip.result;
    let told = Told::new(asked, Screen::Trip, &result.heading, &result.warnings);
    let verdict = trip_verdict(&answer.trip);
    let mut answered = told.answered(verdict, Vec::new(), &answer)?;
    if asked.with_files {
        let compare = compare.iter().fold(String::new(), |words, given| {
            words + " --compare '" + given + "'"
        });
        let only = only.map_or_else(String::new, |part| format!(" --only {}", part.id()));
        let units = asked.scenario.units_asked();
        let units = units.map_or_else(String::new, |units| format!(" --units {}", units.name()));
        let log = log.map_or("", |(_, words)| words.as_str());
        let options = asked.options.as_written(settings.seed);
        let imprint = Imprint {
            file_name: file_name.to_owned(),
            date: date.to_owned(),
            command: format!("tideover report {file_name}{compare}{log}{only}{units}{options}"),
        };
        let page = report_html(asked.scenario, &answer, &imprint).map_err(Failure::Page)?;
        answered.add("report.html", page);
    }
    Ok(answered)
}

/// The options of `--compare` with their scenarios.
fn compared(compare: &[String], asked: &Asked<'_>) -> Result<Vec<(Choice, Scenario)>, Failure> {
    const OPTION: &str = "--compare";
    if compare.is_empty() {
        return Ok(Vec::new());
    }
    let choices = choices(compare, &[]).map_err(|error| match error {
        ChoosingError::Word {
            found,
            problem,
            hint,
            ..
        } => ChoosingError::Word {
            option: OPTION,
            found,
            problem,
            hint,
        },
        other => other,
    })?;
    choices
        .into_iter()
        .map(|choice| {
            let scenario = chosen(asked, OPTION, &choice)?;
            Ok((choice, scenario))
        })
        .collect()
}
