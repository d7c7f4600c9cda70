//! Reads the tables of `tests/reference/`.
//!
//! One job: a file's name in, its rows by column name out, with a clear failure where a column or
//! figure is missing.
//! Left out: what the figures mean; the tests say so.

use std::collections::HashMap;
use std::path::Path;

/// One row of a table, by column name.
pub(crate) struct Row(HashMap<String, String>);

/// All rows of a table under `tests/reference/`.
pub(crate) fn table(name: &str) -> Vec<Row> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("tests/reference")
        .join(name);
    let mut reader = csv::Reader::from_path(&path).expect("the reference table is there");
    let header = reader.headers().expect("a header row").clone();
    let rows: Vec<Row> = reader
        .records()
        .map(|record| {
            let record = record.expect("as many fields as the header");
            let pairs = header.iter().zip(record.iter());
            Row(pairs.map(|(k, v)| (k.to_owned(), v.to_owned())).collect())
        })
        .collect();
    assert!(!rows.is_empty(), "{name} has no rows");
    rows
}

impl Row {
    /// Text of a column.
    pub(crate) fn text(&self, column: &str) -> &str {
        self.0.get(column).expect("the column is in the header")
    }

    /// Figure of a column.
    pub(crate) fn number(&self, column: &str) -> f64 {
        self.text(column).parse().expect("a figure")
    }
}
