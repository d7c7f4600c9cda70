//! What can be wrong with a text that should be JSON.

use std::fmt;

/// A text that is not JSON (RFC 8259).
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum SyntaxError {
    /// Something else stands where the grammar wants `expected`.
    Unexpected {
        /// What stands there, as written; `None` at the end of the text.
        found: Option<String>,
        /// What the grammar wants.
        expected: &'static str,
    },
    /// A comma with nothing after it.
    TrailingComma,
    /// `//`, `/*` or `#`.
    Comment,
    /// Brackets inside brackets, more than this many.
    TooDeep {
        /// The limit.
        limit: usize,
    },
    /// A string without its closing quote.
    OpenString,
    /// A raw control character in a string.
    ControlInString {
        /// Its code.
        code: u32,
    },
    /// Half of a surrogate pair: no character.
    LoneSurrogate {
        /// As written.
        found: String,
    },
    /// An escape that JSON does not know.
    BadEscape {
        /// As written.
        found: String,
    },
    /// A number that JSON does not allow.
    BadNumber {
        /// As written.
        found: String,
    },
}

impl SyntaxError {
    /// The cure, where it is known.
    #[must_use]
    pub fn hint(&self) -> Option<String> {
        match self {
            Self::Comment => Some("write comments as `\"note\": \"…\"`".to_owned()),
            Self::TrailingComma => Some("remove the comma before the closing bracket".to_owned()),
            Self::BadNumber { found } if found.contains(',') => {
                Some("the decimal sign is a point".to_owned())
            }
            Self::BadNumber { found } if found.starts_with('.') || found.starts_with("-.") => {
                Some("put a 0 before the point".to_owned())
            }
            _ => None,
        }
    }
}

impl fmt::Display for SyntaxError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Unexpected {
                found: Some(found),
                expected,
            } => write!(f, "has `{found}` where {expected} must be"),
            Self::Unexpected {
                found: None,
                expected,
            } => write!(f, "ends where {expected} must be"),
            Self::TrailingComma => write!(f, "has a comma with nothing after it"),
            Self::Comment => write!(f, "has a comment, which JSON does not allow"),
            Self::TooDeep { limit } => {
                write!(f, "is nested more than {limit} levels deep")
            }
            Self::OpenString => write!(f, "has a string without its closing quote"),
            Self::ControlInString { code } => write!(
                f,
                "has the control character U+{code:04X} in a string, but must have it escaped"
            ),
            Self::LoneSurrogate { found } => write!(
                f,
                "has `{found}` in a string, a lone surrogate: half of a pair that only together \
                 makes a character"
            ),
            Self::BadEscape { found } => {
                write!(f, "has `{found}` in a string, which JSON does not know")
            }
            Self::BadNumber { found } => {
                write!(f, "has `{found}`, which is not a number of JSON")
            }
        }
    }
}
