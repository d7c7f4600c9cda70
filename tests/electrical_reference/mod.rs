//! Reading the outside figures of `tests/reference/electrical`.
//!
//! One job: rows by column name.
#![allow(
    dead_code,
    unreachable_pub,
    reason = "each test file uses its own part"
)]

use std::collections::HashMap;

/// A row by column name.
pub type Row = HashMap<String, String>;

/// All rows of a file.
pub fn rows(file: &str) -> Vec<Row> {
    let path = format!(
        "{}/tests/reference/electrical/{file}",
        env!("CARGO_MANIFEST_DIR")
    );
    let mut reader = csv::Reader::from_path(&path).expect("the reference file is there");
    reader
        .deserialize()
        .map(|row| row.expect("a row"))
        .collect()
}

/// A cell as a number.
pub fn number(row: &Row, column: &str) -> f64 {
    row[column]
        .parse()
        .unwrap_or_else(|_| panic!("{column} of {row:?}"))
}

/// Gauge number of a label such as `AWG 2/0` or `2/0` or `8`.
pub fn gauge(label: &str) -> i8 {
    let plain = label.trim_start_matches("AWG ");
    match plain.strip_suffix("/0") {
        Some(noughts) => 1 - noughts.parse::<i8>().expect("noughts"),
        None => plain.parse().expect("a gauge"),
    }
}
