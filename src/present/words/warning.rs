//! Warnings as lines of text.
//!
//! One job: what the reader should know, one line each. What is worth a warning is decided by
//! the studies and the checker.

use crate::present::plain_text::neutral;
use crate::study::answer::Warning;

/// One line a warning: the text, then the place in the scenario file.
#[must_use]
pub fn warning_lines(warnings: &[Warning]) -> Vec<String> {
    warnings
        .iter()
        .map(|warning| {
            let text = neutral(&warning.text);
            if warning.path.is_empty() {
                format!("warning: {text}")
            } else {
                format!("warning: {text} ({})", neutral(&warning.path))
            }
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn pinned_warning_line() {
        let warnings = [Warning {
            path: "/banks/0".to_owned(),
            text: "main is charged\u{1b}[2J below 0 °C".to_owned(),
        }];
        assert_eq!(
            warning_lines(&warnings),
            ["warning: main is charged\u{fffd}[2J below 0 °C (/banks/0)"]
        );
    }
}
