//! Problems of a scenario file, and how they read.
//!
//! One job: a problem with its place, and the message of all of them. Finding them, and what is wrong in words, is
//! `structure` and `check`.

mod fault;
mod typed;
mod words;

use std::fmt;

pub(super) use fault::{
    Fault, above_other, both_given, did_you_mean, escaped, missing, missing_beside, must_be,
    needs_other, neither_given, no_such, not_for_kind, not_one_of,
};
pub(super) use typed::{
    typed_date_time, typed_key, typed_measure, typed_time, typed_word, typed_zone,
};
pub use words::counted;
use words::shortened;
pub(super) use words::{either, figure, found_words, month_name, nearest, short};

/// Problems that a message shows; the rest is counted.
const MOST_SHOWN: usize = 50;

/// Longest path or label that a message shows, characters.
const PLACE_SHOWN: usize = 120;

/// One problem of a scenario file.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct Problem {
    /// JSON pointer (RFC 6901); empty where the text is not JSON.
    pub path: String,
    /// Id or name of the entry the path goes through.
    pub label: Option<String>,
    /// What is wrong, in words that go on from the place.
    pub text: String,
    /// The cure, where it is known.
    pub hint: Option<String>,
    /// Line in the file, from 1.
    pub line: usize,
    /// Column in characters, from 1.
    pub column: usize,
    /// Whether a weather file that the scenario names is at fault.
    #[serde(skip)]
    pub in_weather_file: bool,
}

/// Why a scenario file is not accepted: every problem of it, in file order.
#[derive(Debug, Clone, PartialEq)]
pub struct Refusal {
    /// Name of the file as the caller gave it.
    pub file_name: String,
    /// At least one.
    pub problems: Vec<Problem>,
}

impl Problem {
    /// What is wrong at a line and column; `path` is a JSON pointer, `label` what its entry goes by.
    pub(super) fn new(
        (line, column): (usize, usize),
        path: &str,
        label: Option<String>,
        fault: Fault,
    ) -> Self {
        Self {
            line,
            column,
            path: path.to_owned(),
            label,
            text: fault.text,
            hint: fault.hint,
            in_weather_file: fault.in_weather_file,
        }
    }

    /// Path with its label, as shown: `/banks/0/reserve_soc (main)`.
    #[must_use]
    pub fn place(&self) -> String {
        let path = shortened(&self.path, PLACE_SHOWN);
        match &self.label {
            Some(label) => format!("{path} ({})", shortened(label, PLACE_SHOWN)),
            None => path,
        }
    }
}

impl fmt::Display for Refusal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let count = self.problems.len();
        let said = counted(count, "problem");
        writeln!(f, "error: `{}` has {said}", self.file_name)?;
        for problem in self.problems.iter().take(MOST_SHOWN) {
            let place = problem.place();
            let gap = if place.is_empty() { "" } else { "  " };
            write!(
                f,
                "\n  {}:{}:{}{gap}{place}\n    {}\n",
                self.file_name, problem.line, problem.column, problem.text
            )?;
            if let Some(hint) = &problem.hint {
                writeln!(f, "    hint: {hint}")?;
            }
        }
        if count > MOST_SHOWN {
            writeln!(f, "\n  and {} more", count - MOST_SHOWN)?;
        }
        Ok(())
    }
}

impl std::error::Error for Refusal {}
