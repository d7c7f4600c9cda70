//! Values as the sentences of problems show them.

use std::fmt;

use super::super::document::{Node, NodeValue};
use crate::units::{joined, trimmed};

/// Longest piece of the user's text that a message repeats, in characters.
const SHOWN: usize = 40;

/// A value as a message shows it: words in backticks, numbers as written.
pub(in crate::scenario) fn found_words(node: &Node) -> String {
    match &node.value {
        NodeValue::Null => "null".to_owned(),
        NodeValue::Bool(value) => value.to_string(),
        NodeValue::Number(literal) => shortened(literal, SHOWN),
        NodeValue::Text(text) => {
            format!("`{}`", shortened(&text.escape_debug().to_string(), SHOWN))
        }
        NodeValue::List(_) => "a list".to_owned(),
        NodeValue::Object(_) => "an object".to_owned(),
    }
}

/// At most `most` characters and an ellipsis for the rest.
pub(super) fn shortened(text: &str, most: usize) -> String {
    if text.chars().nth(most).is_none() {
        return text.to_owned();
    }
    let head: String = text.chars().take(most).collect();
    format!("{head}…")
}

/// `1 day`, `2 days`: a number with the word for one of them.
#[must_use]
pub fn counted(count: impl fmt::Display, one: &str) -> String {
    let count = count.to_string();
    let plural = if count == "1" { "" } else { "s" };
    format!("{count} {one}{plural}")
}

/// A value as a sentence repeats it: none of the zeros of huge and tiny numbers.
pub(in crate::scenario) fn figure(value: f64) -> String {
    let size = value.abs();
    if size >= 1e9 || (size > 0.0 && size < 1e-6) {
        format!("{value:e}")
    } else {
        (value + 0.0).to_string()
    }
}

/// `a`, `b` or `c`, each in backticks.
pub(in crate::scenario) fn either<S: AsRef<str>>(words: &[S]) -> String {
    let quoted: Vec<String> = words
        .iter()
        .map(|word| format!("`{}`", word.as_ref()))
        .collect();
    if quoted.is_empty() {
        return "nothing".to_owned();
    }
    joined(&quoted, "or")
}

/// The known word most like the one found, if any is like it.
pub(in crate::scenario) fn nearest<S: AsRef<str>>(found: &str, known: &[S]) -> Option<String> {
    if found.chars().count() > 2 * SHOWN {
        return None;
    }
    let lower = found.to_lowercase();
    // One slip in three letters, or the same beginning, is still the same word.
    let slips = (found.chars().count() / 3).max(1);
    known
        .iter()
        .map(|word| {
            let word = word.as_ref();
            let known = word.to_lowercase();
            let distance = strsim::damerau_levenshtein(&lower, &known);
            (distance, strsim::jaro_winkler(&lower, &known), word)
        })
        .filter(|(distance, likeness, _)| *distance <= slips || *likeness > 0.92)
        .min_by(|a, b| (a.0.cmp(&b.0)).then(b.1.total_cmp(&a.1)))
        .map(|(.., word)| word.to_owned())
}

pub(in crate::scenario) fn month_name(month: u32) -> &'static str {
    let month = u8::try_from(month).ok();
    let month = month.and_then(|month| chrono::Month::try_from(month).ok());
    month.map_or("no month", |month| month.name())
}

/// At most one decimal, none that says nothing.
pub(in crate::scenario) fn short(value: f64) -> String {
    if value.abs() >= 1e9 {
        return figure(value);
    }
    trimmed(&format!("{value:.1}"))
}
