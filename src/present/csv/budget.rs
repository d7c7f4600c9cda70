//! `budget.csv`: one row a source, load and sum of each bank.
//!
//! One job: the energy budget in a file.

use std::io::Write;

use super::write_columns;
use crate::present::columns::{budget_columns, budget_rows};
use crate::study::answer::BudgetResult;

/// Writes the sources, loads and sums of each bank.
///
/// # Errors
/// What `out` answers when it cannot take more.
pub fn write_budget<W: Write>(out: W, result: &BudgetResult) -> Result<(), ::csv::Error> {
    write_columns(
        out,
        &budget_columns(),
        result.heading.units,
        result.banks.iter().flat_map(budget_rows),
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::present::sample;

    #[test]
    fn law_sums_in_the_file_are_the_sums_of_its_rows() {
        let mut out = Vec::new();
        write_budget(&mut out, &sample::budget()).unwrap();
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
