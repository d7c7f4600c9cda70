//! Presenting: answers in words, tables, pictures and files.
//!
//! One job: to format. Every figure shown is a field of an answer in [`crate::study::answer`];
//! nothing here computes one. Text that a user wrote passes through [`plain_text`] first.
//! Left out: printing and writing files, which the command line does.

pub mod assumed;
#[cfg(feature = "charts")]
pub mod charts;
pub mod columns;
pub mod csv;
pub mod csv_cell;
pub mod diagram;
pub mod plain_text;
#[cfg(feature = "charts")]
pub mod report;
#[cfg(test)]
pub(crate) mod sample;
pub mod tables;
pub mod trip_document;
pub mod wiring_csv;
pub mod wiring_rows;
pub mod wiring_sheet;
#[cfg(feature = "cli")]
pub mod wiring_table;
pub mod words;
