//! `trip.csv`: one row a bank and night.
//!
//! One job: the nights of a trip in a file.

use std::io::Write;

use super::write_columns;
use crate::present::columns::{NightRow, night_columns};
use crate::study::answer::TripResult;

/// Writes one row a bank and night, banks in file order.
///
/// # Errors
/// What `out` answers when it cannot take more.
pub fn write_trip<W: Write>(out: W, result: &TripResult) -> Result<(), ::csv::Error> {
    let rows = result.banks.iter().flat_map(|bank| {
        bank.nights.iter().map(move |night| NightRow {
            bank: &bank.id,
            night,
        })
    });
    write_columns(out, &night_columns(), result.heading.units, rows)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::present::sample;

    #[test]
    fn pinned_first_lines() {
        let mut trip = sample::trip();
        trip.result.banks[0].nights[0].stop = "=HYPERLINK(\"x\")".to_owned();
        let mut out = Vec::new();
        write_trip(&mut out, &trip.result).unwrap();
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
}
