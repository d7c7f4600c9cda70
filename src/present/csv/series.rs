//! Series in files: a time and any number of figures a row.
//!
//! One job: `typical.csv` and its like, row by row, so that a long trip need not be held as text.

use std::io::Write;

use crate::present::csv_cell::{number_cell, safe_cell};
use crate::units::Units;

/// Writes a header and rows of a leading text (such as a local time) and figures.
///
/// `header` names the text column first; names that end in a unit are those of the program, and are written in
/// units of the land. Figures are written to six decimals; one that is not
/// finite leaves its cell empty.
///
/// # Errors
/// What `out` answers when it cannot take more, and a row whose length differs from the header's.
pub fn write_rows<W: Write>(
    out: W,
    header: &[String],
    units: Units,
    rows: impl Iterator<Item = (String, Vec<f64>)>,
) -> Result<(), ::csv::Error> {
    let mut writer = ::csv::Writer::from_writer(out);
    let keys: Vec<String> = header.iter().map(|name| units.key(name)).collect();
    writer.write_record(keys.iter().map(|name| safe_cell(name).into_owned()))?;
    for (first, figures) in rows {
        writer.write_field(safe_cell(&first).as_ref())?;
        let mut columns = header.iter().zip(&keys).skip(1);
        for figure in figures {
            let renamed = columns.next().filter(|(name, key)| name != key);
            let figure = renamed.map_or(figure, |(name, _)| units.keyed(name, figure).1);
            writer.write_field(number_cell(figure))?;
        }
        writer.write_record(None::<&[u8]>)?;
    }
    writer.flush()?;
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn pinned_series() {
        let header = ["time_local", "soc.main", "volts.main"].map(str::to_owned);
        let rows = [
            ("2027-07-03T07:30".to_owned(), vec![1.0, 13.25]),
            ("2027-07-03T07:35".to_owned(), vec![0.999_123_456, f64::NAN]),
        ];
        let mut out = Vec::new();
        write_rows(&mut out, &header, Units::Si, rows.into_iter()).unwrap();
        assert_eq!(
            String::from_utf8(out).unwrap(),
            "time_local,soc.main,volts.main\n2027-07-03T07:30,1,13.25\n2027-07-03T07:35,0.999123,\n"
        );
    }

    #[test]
    fn refuses_a_row_of_another_length() {
        let header = ["time_local", "soc.main"].map(str::to_owned);
        let rows = [("2027-07-03T07:30".to_owned(), vec![1.0, 2.0])];
        assert!(write_rows(Vec::new(), &header, Units::Si, rows.into_iter()).is_err());
    }
}
