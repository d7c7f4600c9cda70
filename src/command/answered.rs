//! What a command comes to.

use serde::Serialize;

use super::{Asked, Failure};
use crate::present::csv::table_csv;
use crate::present::plain_text::json_text;
use crate::present::table::Table;
use crate::present::tables::Part;
use crate::present::words::{Contents, Screen, cautions, from_line, warning_lines};
use crate::scenario::Scenario;
use crate::study::answer::{FromHere, Heading, Warning};

/// Everything that is shown of an answer.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Answered {
    /// The answer is no: with `--strict` the exit status says so.
    pub is_no: bool,
    /// From where on it goes, if not from the departure.
    pub from: Option<String>,
    /// The first sentences.
    pub verdict: String,
    /// What stands under them: sentences and tables.
    pub body: Vec<Part>,
    /// Warnings of file and run, one line each.
    pub warnings: Vec<String>,
    /// Cautions that belong beside it, a line each, without a word before them that says so.
    pub cautions: Vec<String>,
    /// The result as JSON.
    pub json: String,
    /// Files by their names, in the order in which they are written; empty where none were asked for.
    pub files: Vec<(String, Vec<u8>)>,
    /// The scenario with what was learned, as the text of a file.
    pub put_right: Option<String>,
}

/// The head of an answer: what `answered` needs of it.
pub(super) struct Told<'a> {
    pub(super) scenario: &'a Scenario,
    pub(super) screen: Screen,
    pub(super) from: Option<&'a FromHere>,
    pub(super) warnings: &'a [Warning],
}

impl<'a> Told<'a> {
    /// The head of what a study of what was asked came to.
    pub(super) fn new(
        asked: &Asked<'a>,
        screen: Screen,
        heading: &'a Heading,
        warnings: &'a [Warning],
    ) -> Self {
        Self {
            scenario: asked.scenario,
            screen,
            from: heading.from.as_ref(),
            warnings,
        }
    }

    /// The answer without its files.
    pub(super) fn answered(
        &self,
        verdict: String,
        parts: Vec<Part>,
        result: &impl Serialize,
    ) -> Result<Answered, Failure> {
        let units = self.scenario.units;
        let cautions = cautions(Contents::from(self.scenario), self.screen);
        Ok(Answered {
            from: self.from.map(|from| from_line(from, units)),
            verdict,
            body: parts,
            warnings: warning_lines(self.warnings, units),
            cautions: cautions.into_iter().map(str::to_owned).collect(),
            json: json_text(result).map_err(Failure::Json)?,
            ..Answered::default()
        })
    }
}

impl Answered {
    /// Adds a file.
    pub(super) fn add(&mut self, name: &str, bytes: impl Into<Vec<u8>>) {
        self.files.push((name.to_owned(), bytes.into()));
    }

    /// Adds a table.
    pub(super) fn add_table(&mut self, name: &str, table: &Table) -> Result<(), Failure> {
        self.add(name, table_csv(table).map_err(Failure::Csv)?);
        Ok(())
    }

    /// Adds the JSON as a file.
    pub(super) fn add_json(&mut self, name: &str) {
        let json = self.json.clone();
        self.add(name, json);
    }
}
