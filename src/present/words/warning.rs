//! Warnings as lines of text.
//!
//! One job: what the reader should know, one line each. What is worth a warning is decided by
//! the studies and the checker.

use crate::present::plain_text::neutral;
use crate::study::answer::Warning;
use crate::units::Units;

/// One line a warning: the text, then the place in the scenario file. Notes come after the doubts.
#[must_use]
pub fn warning_lines(warnings: &[Warning], units: Units) -> Vec<String> {
    let (notes, doubts): (Vec<_>, Vec<_>) = warnings.iter().partition(|it| it.is_note());
    let line = |word: &str, warning: &Warning| {
        let text = neutral(warning.text.in_units(units));
        if warning.path.is_empty() {
            format!("{word}: {text}")
        } else {
            format!("{word}: {text} ({})", neutral(&warning.path))
        }
    };
    let doubts = doubts.into_iter().map(|doubt| line("warning", doubt));
    doubts
        .chain(notes.into_iter().map(|note| line("note", note)))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn pinned_doubts_then_notes() {
        let warning = |path: &str, text: &str| Warning {
            path: path.to_owned(),
            text: text.into(),
        };
        let warnings = [
            warning("/climate", "the weather is drawn"),
            warning("/banks/0", "bank main is charged\u{1b}[2J below 0 °C"),
        ];
        assert_eq!(
            warning_lines(&warnings, Units::Si),
            [
                "warning: bank main is charged\u{fffd}[2J below 0 °C (/banks/0)",
                "note: the weather is drawn (/climate)"
            ]
        );
    }
}
