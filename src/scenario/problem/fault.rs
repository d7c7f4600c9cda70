//! What is wrong with one place of a file, and the sentences that several rules share.
//!
//! One job: a text that goes on from the place, and the cure where it is known. What a single rule has to say stands
//! beside that rule.

use std::fmt::Display;

use super::words::{either, figure, nearest};

/// What is wrong, in words that go on from its place; found values are as the user wrote them.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(in crate::scenario) struct Fault {
    pub(in crate::scenario) text: String,
    pub(super) hint: Option<String>,
    pub(super) in_weather_file: bool,
}

impl<T: AsRef<str>> From<T> for Fault {
    fn from(text: T) -> Self {
        Self::new(text.as_ref(), None)
    }
}

impl Fault {
    pub(in crate::scenario) fn new(text: impl Into<String>, hint: Option<String>) -> Self {
        Self {
            text: text.into(),
            hint,
            in_weather_file: false,
        }
    }

    /// With its cure.
    pub(in crate::scenario) fn hint(self, hint: &str) -> Self {
        let hint = Some(hint.to_owned());
        Self { hint, ..self }
    }

    /// A weather file that the scenario names is at fault.
    pub(in crate::scenario) fn weather_file(name: &str, error: &str) -> Self {
        Self {
            in_weather_file: true,
            ..format!("is `{}`, but {error}", escaped(name, 80)).into()
        }
    }
}

/// A text of the user's as a message repeats it: its beginning, without what moves a cursor.
pub(in crate::scenario) fn escaped(text: &str, most: usize) -> String {
    text.chars()
        .take(most)
        .flat_map(char::escape_debug)
        .collect()
}

pub(in crate::scenario) fn must_be(found: impl Display, allowed: impl Display) -> Fault {
    format!("is {found}, but must be {allowed}").into()
}

/// A word or id of the user's, with the one that was likely meant.
pub(in crate::scenario) fn did_you_mean(word: Option<String>) -> Option<String> {
    word.map(|word| format!("did you mean `{word}`?"))
}

/// An id that leads nowhere; `known` are all that would do.
pub(in crate::scenario) fn no_such(id: &str, wanted: &str, known: &[String]) -> Fault {
    let listed = || (!known.is_empty()).then(|| format!("there is {}", known.join(", ")));
    let hint = did_you_mean(nearest(id, known)).or_else(listed);
    let text = format!("is `{}`, but must be {wanted}", escaped(id, 60));
    Fault::new(text, hint)
}

pub(in crate::scenario) fn missing(allowed: impl Display) -> Fault {
    format!("is missing, but must be {allowed}").into()
}

pub(in crate::scenario) fn missing_beside(given: &str) -> Fault {
    format!("is missing beside `{given}`").into()
}

pub(in crate::scenario) fn needs_other(other_key: &str) -> Fault {
    format!("is given without `{other_key}`, but must have it beside it").into()
}

pub(in crate::scenario) fn both_given(other_key: &str) -> Fault {
    format!("is given beside `{other_key}`, but one of the two must be left out").into()
}

pub(in crate::scenario) fn neither_given(keys: [&str; 2]) -> Fault {
    let keys = keys.map(|key| format!("`{key}`")).join(" nor ");
    format!("has neither {keys}, but must have one of them").into()
}

pub(in crate::scenario) fn above_other(found: f64, other_key: &str, other: f64) -> Fault {
    must_be(
        figure(found),
        format_args!("at most `{other_key}`, which is {}", figure(other)),
    )
}

/// A key that does not belong to the kind that `kind_key` names.
pub(in crate::scenario) fn not_for_kind(kind_key: &str, kind: &str, belongs_to: &str) -> Fault {
    format!("does not belong to the {kind_key} `{kind}`, but to {belongs_to}").into()
}

/// A word that is none of the known ones; `meant` is what to write instead, where that is known.
pub(in crate::scenario) fn not_one_of(
    found: &str,
    allowed: &[String],
    nearest: Option<String>,
    meant: Option<String>,
) -> Fault {
    let hint = meant.or_else(|| did_you_mean(nearest));
    Fault::new(must_be(found, either(allowed)).text, hint)
}
