//! The page of a report.
//!
//! One job: sections in the order of need, numbered, with contents, head and foot, through the
//! template in `page.html`.

use askama::Template;

use super::parts::{Passage, Section};
use super::{budget, cautions, days, glance, grounds, log, mend, options, trust, what_if, wiring};
use crate::present::html::table_html;
use crate::present::plain_text::neutral;
use crate::present::table::Table;
use crate::present::words::duration::{full_date, weekday_date};
use crate::scenario::{Scenario, counted};
use crate::study::report::{ReportAnswer, ReportPart};

/// How the page looks.
const STYLE: &str = include_str!("style.css");

/// What the page says of its own making; the library reads no clock and no command line.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Imprint {
    /// Name of the scenario file.
    pub file_name: String,
    /// Date of the report, ISO 8601.
    pub date: String,
    /// The command that makes it again.
    pub command: String,
}

#[derive(Template)]
#[template(path = "page.html", config = "src/present/report/askama.toml")]
struct Page<'a> {
    title: String,
    tool: &'a str,
    when: String,
    style: &'static str,
    sections: Vec<Section>,
    has_contents: bool,
    imprint: String,
    command: String,
}

/// What stands in the style element of every report.
#[must_use]
pub fn report_style() -> String {
    format!("\n{STYLE}")
}

/// The whole file.
///
/// # Errors
/// Those of the template; writing to memory has none in practice.
pub fn report_html(
    scenario: &Scenario,
    answer: &ReportAnswer,
    imprint: &Imprint,
) -> Result<String, askama::Error> {
    let heading = &answer.trip.result.heading;
    let mut sections = vec![
        glance::section(answer),
        days::section(answer),
        what_if::section(answer),
    ];
    sections.extend(mend::section(answer));
    sections.push(budget::section(answer));
    sections.extend(options::section(answer));
    sections.extend(wiring::section(scenario, answer));
    sections.extend(log::section(answer));
    sections.extend([
        grounds::section(scenario, answer),
        cautions::section(scenario, answer),
        trust::section(answer),
    ]);
    // A part alone has its cautions.
    if let Some(only) = answer.only {
        sections
            .retain(|section| section.id == only.id() || section.id == ReportPart::Cautions.id());
    }
    number(&mut sections);
    Page {
        title: neutral(&heading.scenario).into_owned(),
        tool: &heading.tool,
        when: format!(
            "{} to {} {}",
            weekday_date(&heading.start, heading.units),
            weekday_date(&heading.end, heading.units),
            heading.end.get(..4).unwrap_or_default()
        ),
        style: STYLE,
        has_contents: answer.only.is_none(),
        sections,
        imprint: neutral(&format!(
            "Scenario “{}” ({}). Seed {}, {}, steps of {} min. Made by {} on {}.",
            heading.scenario,
            imprint.file_name,
            heading.seed,
            counted(heading.trials, "trial"),
            heading.step_minutes,
            heading.tool,
            full_date(&imprint.date, heading.units),
        ))
        .into_owned(),
        command: neutral(&imprint.command).into_owned(),
    }
    .render()
}

/// A table with its title as its name.
fn labelled(number: impl std::fmt::Display, table: &Table) -> String {
    table_html(table, &format!(" aria-labelledby=\"table-{number}\""))
}

/// Numbers tables and figures through the report.
fn number(sections: &mut [Section]) {
    let (mut tables, mut figures) = (0, 0);
    for part in sections.iter_mut().flat_map(|section| &mut section.parts) {
        match part {
            Passage::Table(number, _) => {
                tables += 1;
                *number = tables;
            }
            Passage::Figure(figure) => {
                figures += 1;
                figure.number = figures;
            }
            _ => {}
        }
    }
}
