//! Series in files: a time and any number of figures a row.
//!
//! One job: `typical.csv` and its like, row by row, so that a long trip need not be held as text.

use std::io::Write;

use crate::present::csv_cell::{number_cell, safe_cell};

/// Writes a header and rows of a leading text (such as a local time) and figures.
///
/// `header` names the text column first. Figures are written to six decimals; one that is not
/// finite leaves its cell empty.
///
/// # Errors
/// What `out` answers when it cannot take more, and a row whose length differs from the header's.
pub fn write_rows<W: Write>(
    out: W,
    header: &[String],
    rows: impl Iterator<Item = (String, Vec<f64>)>,
) -> Result<(), ::csv::Error> {
    let mut writer = ::csv::Writer::from_writer(out);
    writer.write_record(header.iter().map(|name| safe_cell(name).into_owned()))?;
    for (first, figures) in rows {
        writer.write_field(safe_cell(&first).as_ref())?;
        for figure in figures {
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
        write_rows(&mut out, &header, rows.into_iter()).unwrap();
        assert_eq!(
            String::from_utf8(out).unwrap(),
            "time_local,soc.main,volts.main\n2027-07-03T07:30,1,13.25\n2027-07-03T07:35,0.999123,\n"
        );
    }

    #[test]
    fn refuses_a_row_of_another_length() {
        let header = ["time_local", "soc.main"].map(str::to_owned);
        let rows = [("2027-07-03T07:30".to_owned(), vec![1.0, 2.0])];
        assert!(write_rows(Vec::new(), &header, rows.into_iter()).is_err());
    }
}
