//! Presenting: answers in words, tables, pictures and files.
//!
//! One job: to format; nothing here computes a figure.

#[cfg(feature = "charts")]
pub mod charts;
