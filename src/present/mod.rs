//! Words, tables, charts and reports; formats and never computes.

pub mod plain_text;
