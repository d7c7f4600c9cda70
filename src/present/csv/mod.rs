//! Tables in files: `trip.csv`, `budget.csv`, `typical.csv`.
//!
//! One job: rows and columns as RFC 4180 text. The columns are named in
//! [`columns`](super::columns); making the files is the command line's.

mod budget;
mod choosing;
mod compare;
mod series;
mod trip;

pub use budget::write_budget;
pub use choosing::{write_shed, write_topup, write_why};
pub use compare::write_compare;
pub use series::write_rows;
pub use trip::write_trip;

use std::io::Write;

use super::columns::{Column, Value};
use crate::units::Units;

/// Rows below the keys of their columns, figures in units of the land where the key has a sister there.
fn write_columns<R, W: Write>(
    out: W,
    columns: &[Column<R>],
    units: Units,
    rows: impl Iterator<Item = R>,
) -> Result<(), ::csv::Error> {
    let mut writer = ::csv::Writer::from_writer(out);
    writer.write_record(columns.iter().map(|column| units.key(column.key)))?;
    for row in rows {
        writer.write_record(columns.iter().map(|column| {
            let value = match (column.value)(&row) {
                Value::Number(value) => Value::Number(units.keyed(column.key, value).1),
                other => other,
            };
            value.in_file()
        }))?;
    }
    writer.flush()?;
    Ok(())
}
