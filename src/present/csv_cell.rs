//! Cells of a CSV file that a spreadsheet opens without running anything.
//!
//! One job: a text that would be read as a formula is kept a text. Quoting is the CSV writer's.

use std::borrow::Cow;

/// The text as a cell: with an apostrophe in front where a spreadsheet would take it for a formula.
///
/// # Source
/// Common practice against "formula injection" in exported tables; from memory.
#[must_use]
pub fn safe_cell(text: &str) -> Cow<'_, str> {
    if text
        .trim_start_matches(|c: char| c.is_whitespace() || c.is_control())
        .starts_with(['=', '+', '-', '@'])
    {
        Cow::Owned(format!("'{text}"))
    } else {
        Cow::Borrowed(text)
    }
}

#[cfg(test)]
mod tests {
    use super::safe_cell;

    #[test]
    fn formulas_become_text() {
        for text in ["=1+1", "+1", "-1", "@SUM(A1)", "\t=1", "  =1"] {
            assert!(safe_cell(text).starts_with('\''), "{text:?}");
        }
        assert_eq!(safe_cell("feed-main"), "feed-main");
    }
}
