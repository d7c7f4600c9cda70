//! What a report is made of: sections of texts, lists, tables and figures.
//!
//! One job: the shapes that the page's template writes. Every text of the user's passes through
//! [`neutral`] here; the template escapes it.

use crate::present::plain_text::neutral;
use crate::present::table::Table;

/// A section with its anchor.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Section {
    /// Anchor: letters and dashes.
    pub(super) id: &'static str,
    /// Heading.
    pub(super) title: &'static str,
    /// What stands in it.
    pub(super) parts: Vec<Passage>,
}

impl Section {
    /// Anchors and texts of the headings within, for the contents.
    pub(super) fn subs(&self) -> Vec<(&str, &str)> {
        self.parts
            .iter()
            .filter_map(|part| match part {
                Passage::Sub { id, text } => Some((id.as_str(), text.as_str())),
                _ => None,
            })
            .collect()
    }
}

/// A piece of a section.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Passage {
    /// The answer in a sentence.
    Verdict(String),
    /// A paragraph.
    Text(String),
    /// A heading within the section.
    Sub {
        /// Anchor.
        id: String,
        /// Heading.
        text: String,
    },
    /// Points.
    List(Vec<String>),
    /// Points that the reader should not miss.
    Warnings(Vec<String>),
    /// Names and values.
    Facts(Vec<(&'static str, String)>),
    /// A table with its number in the report, given by the page.
    Table(usize, Table),
    /// A picture.
    Figure(Figure),
}

impl Passage {
    pub(super) fn verdict(text: &str) -> Self {
        Self::Verdict(neutral(text).into_owned())
    }

    pub(super) fn text(text: &str) -> Self {
        Self::Text(neutral(text).into_owned())
    }

    pub(super) fn sub(id: impl Into<String>, text: &str) -> Self {
        Self::Sub {
            id: id.into(),
            text: neutral(text).into_owned(),
        }
    }

    pub(super) fn list<S: AsRef<str>>(items: impl IntoIterator<Item = S>) -> Self {
        Self::List(neutral_all(items))
    }

    pub(super) fn warnings<S: AsRef<str>>(items: impl IntoIterator<Item = S>) -> Self {
        Self::Warnings(neutral_all(items))
    }

    pub(super) fn facts(facts: Vec<(&'static str, String)>) -> Self {
        let plain = facts
            .into_iter()
            .map(|(name, value)| (name, neutral(&value).into_owned()));
        Self::Facts(plain.collect())
    }

    pub(super) fn figure(title: &str, says: &str, svg: String) -> Self {
        Self::Figure(Figure {
            number: 0,
            title: neutral(title).into_owned(),
            says: neutral(says).into_owned(),
            svg,
        })
    }
}

fn neutral_all<S: AsRef<str>>(items: impl IntoIterator<Item = S>) -> Vec<String> {
    items
        .into_iter()
        .map(|item| neutral(item.as_ref()).into_owned())
        .collect()
}

impl From<Table> for Passage {
    fn from(table: Table) -> Self {
        Self::Table(0, table)
    }
}

/// A picture with what it shows in words.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Figure {
    /// Number in the report, given by the page.
    pub(super) number: usize,
    /// What it is.
    pub(super) title: String,
    /// What to see.
    pub(super) says: String,
    /// The picture, with its own title and description.
    pub(super) svg: String,
}
