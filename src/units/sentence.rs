//! A sentence that every reader gets in the units of their land.
//!
//! One job: the same sentence twice, in units of the program for JSON and in those of the United States. Which
//! quantities it holds is marked by who writes it, as [`Units::sentence`] says.

use std::fmt;
use std::ops::Deref;

use serde::{Serialize, Serializer};

use super::land::Units;

/// A sentence. What it is read as without another word, and serialised as, is in units of the program.
#[derive(Debug, Clone, Eq, Default)]
pub struct Sentence {
    si: String,
    /// In those of the United States, where that differs.
    us: Option<String>,
}

impl Sentence {
    /// From one whose quantities are marked.
    #[must_use]
    pub fn new(marked: &str) -> Self {
        Self::of(|units| units.sentence(marked))
    }

    /// From one that knows its reader's units.
    #[must_use]
    pub fn of(write: impl Fn(Units) -> String) -> Self {
        let (si, us) = (write(Units::Si), write(Units::Us));
        Self {
            us: (us != si).then_some(us),
            si,
        }
    }

    /// In a reader's units.
    #[must_use]
    pub fn in_units(&self, units: Units) -> &str {
        match (units, &self.us) {
            (Units::Us, Some(us)) => us,
            _ => &self.si,
        }
    }

    /// The sentence within another.
    #[must_use]
    pub fn within(&self, write: impl Fn(&str) -> String) -> Self {
        Self::of(|units| write(self.in_units(units)))
    }
}

/// Two that read alike in units of the program are one, however their last digits turn out in others.
impl PartialEq for Sentence {
    fn eq(&self, other: &Self) -> bool {
        self.si == other.si
    }
}

impl Deref for Sentence {
    type Target = str;

    fn deref(&self) -> &str {
        &self.si
    }
}

impl fmt::Display for Sentence {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.si)
    }
}

impl Serialize for Sentence {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(&self.si)
    }
}

impl From<String> for Sentence {
    fn from(marked: String) -> Self {
        Self::new(&marked)
    }
}

impl From<&str> for Sentence {
    fn from(marked: &str) -> Self {
        Self::new(marked)
    }
}

impl PartialEq<str> for Sentence {
    fn eq(&self, other: &str) -> bool {
        self.si == other
    }
}

impl PartialEq<&str> for Sentence {
    fn eq(&self, other: &&str) -> bool {
        self.si == *other
    }
}

/// `a`, `a and b`, `a, b and c`, with that word before the last.
#[must_use]
pub fn joined(names: &[String], word: &str) -> String {
    match names {
        [] => String::new(),
        [only] => only.clone(),
        [first @ .., last] => format!("{} {word} {last}", first.join(", ")),
    }
}
