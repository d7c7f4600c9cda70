//! Cells of a CSV file that a spreadsheet opens without running anything.
//!
//! One job: a text that would be read as a formula is kept a text; a number stays a number.
//! Quoting of commas and quotation marks is the CSV writer's.

use std::borrow::Cow;

use super::plain_text::neutral;
use crate::units::trimmed;

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
}
