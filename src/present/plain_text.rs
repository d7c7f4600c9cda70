//! Text of unknown origin made safe for a terminal.
//!
//! One job: control characters, which could move the cursor, recolour the screen or turn the
//! reading direction, become visible escapes. HTML, SVG and CSV have escapes of their own.

/// Whether a character steers a terminal or the direction of reading instead of showing itself.
fn steers(character: char) -> bool {
    character.is_control()
        || matches!(
            character,
            '\u{61c}' | '\u{200e}' | '\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2066}'..='\u{2069}' | '\u{feff}'
        )
}

fn neutralise(text: &str, keep: impl Fn(char) -> bool) -> String {
    let mut out = String::with_capacity(text.len());
    for character in text.chars() {
        if steers(character) && !keep(character) {
            out.extend(character.escape_default());
        } else {
            out.push(character);
        }
    }
    out
}

/// One line: line breaks are escaped too.
///
/// ```
/// use tideover::present::plain_text::plain_line;
///
/// assert_eq!(plain_line("Camp\u{1b}[31m\n2"), "Camp\\u{1b}[31m\\n2");
/// ```
#[must_use]
pub fn plain_line(text: &str) -> String {
    neutralise(text, |_| false)
}

/// Several lines: line feeds stay.
#[must_use]
pub fn plain_lines(text: &str) -> String {
    neutralise(text, |character| character == '\n')
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn letters_of_every_script_stay() {
        let text = "Lac Assal, ድሬ, 塩湖, Ürümqi − 5 °C";
        assert_eq!(plain_line(text), text);
    }

    #[test]
    fn law_nothing_that_steers_is_left() {
        let all: String = (0..0x3000).filter_map(char::from_u32).collect();
        assert!(!plain_line(&all).chars().any(steers));
        assert_eq!(plain_lines("a\r\nb\u{202e}"), "a\\r\nb\\u{202e}");
    }
}
