//! What stands under a verdict, as data: sentences and tables in their order.
//!
//! One job: a form that a terminal lays out in its width and a page in its own way. What stands in the
//! cells is the callers'; laying out for a terminal is in `frame`.

use serde::{Serialize, Serializer, ser::SerializeMap as _};

use crate::present::table::{Align, Table};

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

impl Part {
    /// A table and how to read it, below each other.
    pub(super) fn with_says(table: Table) -> [Self; 2] {
        let says = note(table.says.clone());
        [Self::Table(table), says]
    }
}

/// `{"note": "…"}`, or `{"columns": […], "figures": […], "rows": [[…]]}`, where `figures` says which
/// columns hold figures.
impl Serialize for Part {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let mut map = serializer.serialize_map(None)?;
        match self {
            Self::Note(text) | Self::Lines(text) => map.serialize_entry("note", text)?,
            Self::Table(table) => {
                let shown = table.pieces(|_| true).concat();
                let columns = || shown.iter().map(|&at| &table.columns[at]);
                let names: Vec<&str> = columns().map(|column| &column.heading[..]).collect();
                let figures: Vec<bool> = columns().map(|it| it.align == Align::Right).collect();
                let cells = |row| -> Vec<String> {
                    shown.iter().map(|&at| table.on_screen(row, at)).collect()
                };
                let rows: Vec<Vec<String>> = table.rows.iter().map(|row| cells(row)).collect();
                map.serialize_entry("columns", &names)?;
                map.serialize_entry("figures", &figures)?;
                map.serialize_entry("rows", &rows)?;
            }
        }
        map.end()
    }
}

/// A sentence.
pub(super) fn note(text: impl Into<String>) -> Part {
    Part::Note(text.into())
}
