//! Problems of a scenario file, and how they read.
//!
//! One job: the values of every refusal and its words. Finding them is `structure` and `check`.

mod kind;
mod words;

use std::fmt;

pub use kind::ProblemKind;
pub(super) use words::{either, found_words, nearest};

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
        match &self.label {
            Some(label) => format!("{} ({label})", self.path),
            None => self.path.clone(),
        }
    }
}

impl fmt::Display for Refusal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let count = self.problems.len();
        let plural = if count == 1 { "" } else { "s" };
        writeln!(f, "error: `{}` has {count} problem{plural}", self.file_name)?;
        for problem in &self.problems {
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
        Ok(())
    }
}

impl std::error::Error for Refusal {}
