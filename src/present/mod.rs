//! Presenting: answers in words, tables, pictures and files.

pub mod csv_cell;
pub mod diagram;
pub mod wiring_csv;
#[cfg(feature = "cli")]
pub mod wiring_table;
