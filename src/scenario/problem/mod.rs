//! Problems of a scenario file, and how they read.
//!
//! One job: the values of every refusal and its words. Finding them is `structure` and `check`.

mod hints;
mod kind;
mod typed;
mod words;

use std::fmt;

pub use kind::ProblemKind;
pub(super) use typed::{typed_key, typed_measure, typed_word, typed_zone};
pub use words::counted;
use words::shortened;
pub(super) use words::{either, found_words, nearest};

/// Problems that a message shows; the rest is counted.
const MOST_SHOWN: usize = 50;

/// Longest path or label that a message shows, characters.
const PLACE_SHOWN: usize = 120;

/// One problem of a scenario file.
#[derive(Debug, Clone, PartialEq)]
pub struct Problem {
    /// Line in the file, from 1.
    pub line: usize,
    /// Column in characters, from 1.
    pub column: usize,
    /// JSON pointer (RFC 6901); empty where the text is not JSON.
    pub path: String,
    /// Id or name of the entry the path goes through.
    pub label: Option<String>,
    /// What is wrong.
    pub kind: ProblemKind,
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
                self.file_name, problem.line, problem.column, problem.kind
            )?;
            if let Some(hint) = problem.kind.hint() {
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
