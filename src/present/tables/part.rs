//! What stands under a verdict, as data: sentences and tables in their order.
//!
//! One job: a form that a terminal lays out in its width and a page in its own way. What stands in the
//! cells is the callers'; laying out for a terminal is in `frame`.

use serde::{Serialize, Serializer, ser::SerializeMap as _};

/// How a column stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Align {
    /// Names.
    Left,
    /// Figures.
    Right,
}

/// A table without its looks.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Table {
    /// Headings.
    pub head: Vec<(String, Align)>,
    /// Rows of as many cells.
    pub rows: Vec<Vec<String>>,
    /// Two columns of names, then two a bank: where all banks have no room side by side, further tables
    /// take those that are left.
    pub is_by_bank: bool,
}

/// A piece of what stands under a verdict.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Part {
    /// Sentences, broken at spaces where the room ends; lines of their own stay so.
    Note(String),
    /// Lines that stay as they are.
    Lines(String),
    /// A table.
    Table(Table),
}

/// `{"note": "…"}`, or `{"columns": […], "figures": […], "rows": [[…]]}`, where `figures` says which
/// columns hold figures.
impl Serialize for Part {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let mut map = serializer.serialize_map(None)?;
        match self {
            Self::Note(text) | Self::Lines(text) => map.serialize_entry("note", text)?,
            Self::Table(table) => {
                let columns: Vec<&str> = table.head.iter().map(|(name, _)| name.as_str()).collect();
                let figures = table.head.iter().map(|(_, align)| *align == Align::Right);
                map.serialize_entry("columns", &columns)?;
                map.serialize_entry("figures", &figures.collect::<Vec<bool>>())?;
                map.serialize_entry("rows", &table.rows)?;
            }
        }
        map.end()
    }
}

/// A table.
pub(super) fn table(head: Vec<(String, Align)>, rows: Vec<Vec<String>>) -> Part {
    Part::Table(Table {
        head,
        rows,
        is_by_bank: false,
    })
}

/// A table below these names, the first `left` of them left-aligned.
#[must_use]
pub fn table_of(names: &[String], left: usize, rows: Vec<Vec<String>>) -> Part {
    table(head(names, left), rows)
}

/// A sentence.
pub(super) fn note(text: impl Into<String>) -> Part {
    Part::Note(text.into())
}

/// Head cells from names, the first `left` of them left-aligned.
pub(super) fn head<N: AsRef<str>>(names: &[N], left: usize) -> Vec<(String, Align)> {
    names
        .iter()
        .enumerate()
        .map(|(index, name)| {
            let align = if index < left {
                Align::Left
            } else {
                Align::Right
            };
            (name.as_ref().to_owned(), align)
        })
        .collect()
}
