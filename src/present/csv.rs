//! Tables and series in files: RFC 4180 text that a spreadsheet opens without running anything.
//!
//! One job: cells, rows and headings. A text that would be read as a formula is kept a text, a number stays a
//! number; quoting is the library's. Making the files is the command line's.

use std::borrow::Cow;

use super::plain_text::neutral;
use super::table::Table;
use crate::units::{Units, trimmed};

/// The columns of a table that have a name in files, below these names.
///
/// # Errors
/// Those of the writer; writing to memory has none in practice.
pub fn table_csv(table: &Table) -> Result<Vec<u8>, csv::Error> {
    let named: Vec<usize> = (0..table.columns.len())
        .filter(|&column| !table.columns[column].key.is_empty())
        .collect();
    let mut writer = csv::Writer::from_writer(Vec::new());
    writer.write_record(named.iter().map(|&column| &table.columns[column].key))?;
    for row in &table.rows {
        writer.write_record(named.iter().map(|&column| &row[column].filed))?;
    }
    finished(writer)
}

/// A header and rows of a leading text (such as a local time) and figures, row by row.
///
/// `header` names the text column first; names that end in a unit are those of the program, and are written in
/// units of the land. Figures are written to six decimals; one that is not finite leaves its cell empty.
///
/// # Errors
/// A row whose length differs from the header's.
pub fn series_csv(
    header: &[String],
    units: Units,
    rows: impl Iterator<Item = (String, Vec<f64>)>,
) -> Result<Vec<u8>, csv::Error> {
    let mut writer = csv::Writer::from_writer(Vec::new());
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
    finished(writer)
}

fn finished(writer: csv::Writer<Vec<u8>>) -> Result<Vec<u8>, csv::Error> {
    writer
        .into_inner()
        .map_err(|error| error.into_error().into())
}

/// The text as a cell. A text that begins with `=`, `+`, `-`, `@`, `|`, a tab or a line break, after
/// any spaces, gets an apostrophe in front, which spreadsheets take as "this is text".
///
/// # Source
/// Common practice against "formula injection" in exported tables; from memory.
#[must_use]
pub fn safe_cell(text: &str) -> Cow<'_, str> {
    let starts_steering = text.starts_with(['\t', '\r', '\n']);
    let starts_formula = text
        .trim_start_matches(|c: char| c.is_whitespace() || c.is_control())
        .starts_with(['=', '+', '-', '@', '|', '＝', '＋', '－', '＠']);
    let plain = neutral(text);
    if starts_steering || starts_formula {
        Cow::Owned(format!("'{plain}"))
    } else {
        plain
    }
}

/// A number as a cell, to six decimals without trailing zeros; empty when it is not finite.
#[must_use]
pub fn number_cell(value: f64) -> String {
    if !value.is_finite() {
        return String::new();
    }
    trimmed(&format!("{value:.6}"))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::present::sample;
    use crate::present::tables::{budget_file, nights_file};

    #[test]
    fn formulas_become_text() {
        for text in [
            "=1+1", "+1", "-1", "@SUM(A1)", "\t=1", "\r=1", "  =1", "\u{1}=1", "＝1", "|cmd",
        ] {
            assert!(safe_cell(text).starts_with('\''), "{text:?}");
        }
        assert_eq!(safe_cell("Pan edge - east"), "Pan edge - east");
        assert_eq!(safe_cell(""), "");
        assert!(!safe_cell("a\r\n=1").contains(['\r', '\n']));
    }

    #[test]
    fn numbers_stay_numbers() {
        assert_eq!(number_cell(-12.5), "-12.5");
        assert_eq!(number_cell(-0.000_000_1), "0");
        assert_eq!(number_cell(1200.0), "1200");
        assert_eq!(number_cell(1.0 / 3.0), "0.333333");
        assert_eq!(number_cell(f64::INFINITY), "");
    }

    #[test]
    fn pinned_series() {
        let header = ["time_local", "soc.main", "volts.main"].map(str::to_owned);
        let rows = [
            ("2027-07-03T07:30".to_owned(), vec![1.0, 13.25]),
            ("2027-07-03T07:35".to_owned(), vec![0.999_123_456, f64::NAN]),
        ];
        let out = series_csv(&header, Units::Si, rows.into_iter()).unwrap();
        assert_eq!(
            String::from_utf8(out).unwrap(),
            "time_local,soc.main,volts.main\n2027-07-03T07:30,1,13.25\n2027-07-03T07:35,0.999123,\n"
        );
    }

    #[test]
    fn refuses_a_row_of_another_length() {
        let header = ["time_local", "soc.main"].map(str::to_owned);
        let rows = [("2027-07-03T07:30".to_owned(), vec![1.0, 2.0])];
        assert!(series_csv(&header, Units::Si, rows.into_iter()).is_err());
    }

    #[test]
    fn pinned_first_lines() {
        let mut trip = sample::trip();
        trip.result.banks[0].nights[0].stop = "=HYPERLINK(\"x\")".to_owned();
        let out = table_csv(&nights_file(&trip.result)).unwrap();
        let text = String::from_utf8(out).unwrap();
        let mut lines = text.lines();
        assert_eq!(
            lines.next(),
            Some(
                "bank,date,stop,dawn_soc_p10,dawn_soc_p50,dawn_soc_p90,chance_no_shortfall,\
                 chance_no_shortfall_low,chance_no_shortfall_high,chance_so_far,chance_so_far_low,\
                 chance_so_far_high"
            )
        );
        let first = lines.next().unwrap();
        assert!(
            first.starts_with("main,2027-07-03,\"'=HYPERLINK(\"\"x\"\")\",0.8"),
            "{first}"
        );
        let nights: usize = trip.result.banks.iter().map(|bank| bank.nights.len()).sum();
        assert_eq!(text.lines().count(), nights + 1);
    }

    #[test]
    fn law_sums_in_the_file_are_the_sums_of_its_rows() {
        let out = table_csv(&budget_file(&sample::budget())).unwrap();
        let mut reader = ::csv::Reader::from_reader(out.as_slice());
        let (mut loads_wh, mut asked_wh) = (0.0, 0.0);
        for record in reader.records() {
            let record = record.unwrap();
            let wh: f64 = record[7].parse().unwrap();
            match (&record[0], &record[1], &record[3]) {
                ("main", "load", _) => loads_wh += wh,
                ("main", "total", "asked") => asked_wh = wh,
                _ => {}
            }
        }
        assert!((loads_wh - asked_wh).abs() < 0.1, "{loads_wh} {asked_wh}");
    }
}
