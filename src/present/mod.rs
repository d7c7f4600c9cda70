//! Presenting: answers in words, tables, pictures and files.
//!
//! One job: to format. Every figure shown is a field of an answer in [`crate::study::answer`];
//! nothing here computes one. Text that a user wrote passes through [`plain_text`] first.
//! Left out: printing and writing files, which the command line does.

pub mod assumed;
pub mod charts;
pub mod csv;
pub mod diagram;
pub mod html;
pub mod plain_text;
pub mod report;
#[cfg(test)]
pub(crate) mod sample;
pub mod table;
pub mod tables;
pub mod trip_document;
pub mod wiring_rows;
pub mod wiring_sheet;
pub mod words;
