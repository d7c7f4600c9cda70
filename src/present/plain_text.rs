//! Text that a user wrote, made safe to show.
//!
//! One job: titles, stop names and ids go to terminals, pictures and pages without a character
//! that steers them. Cells of CSV are kept from being formulas
//! in `csv`.

use std::borrow::Cow;
use std::fmt::Write as _;

use serde::Serialize;
use serde_json::Value;

/// The text without characters that steer a terminal or turn the reading direction.
///
/// White space such as a tab or a line break becomes one space each; other control characters,
/// direction marks and code points that XML forbids become U+FFFD. Joiners stay: Persian, Indic scripts
/// and emoji are written with them, and they move nothing.
#[must_use]
pub fn neutral(text: &str) -> Cow<'_, str> {
    if text.chars().all(|c| replacement(c).is_none()) {
        return Cow::Borrowed(text);
    }
    Cow::Owned(
        text.chars()
            .map(|c| replacement(c).unwrap_or(c))
            .collect::<String>(),
    )
}

fn replacement(c: char) -> Option<char> {
    match c {
        '\t' | '\n' | '\r' | '\u{2028}' | '\u{2029}' => Some(' '),
        '\u{fffe}' | '\u{ffff}' => Some(char::REPLACEMENT_CHARACTER),
        c if steers(c) => Some(char::REPLACEMENT_CHARACTER),
        _ => None,
    }
}

/// The neutral text for XML and HTML, in an element or an attribute: markup is escaped.
#[must_use]
pub fn markup(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in neutral(text).chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            c => out.push(c),
        }
    }
    out
}

/// The text with a capital at its beginning.
#[must_use]
pub fn capitalised(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}

/// The text broken at spaces into lines that have room; a word that has none stands alone.
pub(super) fn wrapped(text: &str, has_room: impl Fn(&str) -> bool) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        let longer = lines.last().map(|line| format!("{line} {word}"));
        match (lines.last_mut(), longer.filter(|line| has_room(line))) {
            (Some(last), Some(longer)) => *last = longer,
            _ => lines.push(word.to_owned()),
        }
    }
    lines
}

/// At most `limit` characters of the neutral text; what is cut leaves an ellipsis.
///
/// A `limit` of 0 counts as 1.
#[must_use]
pub fn shortened(text: &str, limit: usize) -> String {
    let text = neutral(text);
    if text.chars().count() <= limit {
        return text.into_owned();
    }
    let kept: String = text.chars().take(limit.saturating_sub(1)).collect();
    format!("{}…", kept.trim_end())
}

/// Whether a character steers a terminal or the direction of reading instead of showing itself.
fn steers(character: char) -> bool {
    character.is_control()
        || matches!(
            character,
            '\u{61c}' | '\u{200e}' | '\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2066}'..='\u{206f}' | '\u{feff}'
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

/// JSON text with every character that steers written as its escape: the same data, safe on a
/// terminal. Such characters stand in strings only; the line feeds between values stay.
#[must_use]
pub fn plain_json(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for character in text.chars() {
        if steers(character) && character != '\n' {
            // Writing to a String cannot fail.
            let _ = write!(out, "\\u{:04x}", u32::from(character));
        } else {
            out.push(character);
        }
    }
    out
}

/// JSON for people and programs: indented, ending in a line feed, nothing in it steers a terminal, and
/// zero has no sign.
///
/// # Errors
/// As `serde_json` has them: keys of maps that are no strings.
pub fn json_text(value: &impl Serialize) -> Result<String, serde_json::Error> {
    let mut tree = serde_json::to_value(value)?;
    unsign_zero(&mut tree);
    Ok(plain_json(&format!("{tree:#}\n")))
}

fn unsign_zero(tree: &mut Value) {
    match tree {
        Value::Number(number) if number.as_f64() == Some(0.0) && number.is_f64() => {
            *tree = 0.0.into();
        }
        Value::Array(list) => list.iter_mut().for_each(unsign_zero),
        Value::Object(map) => map.values_mut().for_each(unsign_zero),
        _ => {}
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn law_no_control_character_survives() {
        let all: String = ('\0'..='\u{ffff}').collect();
        assert!(!neutral(&all).chars().any(char::is_control));
        assert!(!neutral(&all).contains('\u{202e}'));
    }

    #[test]
    fn markup_and_control_characters_lose_their_power() {
        assert_eq!(
            markup("<b a='1'>&\u{1b}\u{202e}"),
            "&lt;b a=&#39;1&#39;&gt;&amp;\u{fffd}\u{fffd}"
        );
    }

    #[test]
    fn ordinary_text_is_untouched() {
        assert!(matches!(neutral("Øvre Årdal <3 & Sons"), Cow::Borrowed(_)));
        assert_eq!(neutral("a\u{1b}[31mb\nc"), "a\u{fffd}[31mb c");
    }

    #[test]
    fn long_text_ends_in_an_ellipsis() {
        assert_eq!(shortened("Pan edge", 8), "Pan edge");
        assert_eq!(shortened("Pan edge camp", 8), "Pan edg…");
        assert_eq!(shortened("Pan edge camp", 5), "Pan…");
        assert_eq!(shortened("ab", 0), "…");
    }

    #[test]
    fn letters_of_every_script_stay() {
        for text in [
            "Lac Assal, ድሬ, 塩湖, Ürümqi − 5 °C",
            "می\u{200c}خواهم",
            "क्\u{200d}ष",
            "👩\u{200d}🚒",
        ] {
            assert_eq!(plain_line(text), text);
            assert_eq!(neutral(text), text);
        }
    }

    #[test]
    fn zero_has_no_sign_in_json() {
        let value = serde_json::json!({ "a": -0.0, "b": [-0.0, -1.5, 2], "c": "-0.0" });
        let wanted = "{\n  \"a\": 0.0,\n  \"b\": [\n    0.0,\n    -1.5,\n    2\n  ],\n  \"c\": \"-0.0\"\n}\n";
        assert_eq!(json_text(&value).expect("JSON"), wanted);
    }

    #[test]
    fn law_nothing_that_steers_is_left() {
        let all: String = (0..0x3000).filter_map(char::from_u32).collect();
        assert!(!plain_line(&all).chars().any(steers));
        assert_eq!(plain_lines("a\r\nb\u{202e}"), "a\\r\nb\\u{202e}");
    }
}
