//! The user's words in the picture.
//!
//! One job: text that cannot steer the file, and how wide it comes out.

use crate::present::plain_text::neutral;

/// Text for XML: markup escaped; control characters, direction marks and what XML forbids replaced.
#[must_use]
pub(crate) fn xml(text: &str) -> String {
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

/// Width of a text at a size, on the wide side: sans-serif faces differ.
#[must_use]
pub(super) fn text_width(text: &str, size: f64) -> f64 {
    let em: f64 = text
        .chars()
        .map(|c| match c {
            ' ' | '·' | '.' | ',' | 'i' | 'l' | '-' => 0.38,
            'm' | 'w' | 'M' | 'W' | '%' => 0.98,
            c if c.is_ascii() => 0.66,
            'à'..='ÿ' | '²' => 0.62,
            _ => 1.05,
        })
        .sum();
    em * size
}

/// The text, cut with an ellipsis where it is wider than there is room.
#[must_use]
pub(super) fn fit(text: &str, size: f64, room: f64) -> String {
    if text_width(text, size) <= room {
        return text.to_string();
    }
    let mut cut = String::new();
    for c in text.chars() {
        cut.push(c);
        if text_width(&cut, size) + size > room {
            cut.pop();
            break;
        }
    }
    cut.push('…');
    cut
}

/// Breaks a text at spaces into lines that fit.
#[must_use]
pub(super) fn lines(text: &str, size: f64, room: f64) -> Vec<String> {
    let mut lines = vec![String::new()];
    for word in text.split_whitespace() {
        let Some(last) = lines.last_mut() else { break };
        let longer = if last.is_empty() {
            word.to_string()
        } else {
            format!("{last} {word}")
        };
        if last.is_empty() || text_width(&longer, size) <= room {
            *last = longer;
        } else {
            lines.push(word.to_string());
        }
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn markup_and_control_characters_lose_their_power() {
        assert_eq!(
            xml("<b a='1'>&\u{1b}\u{202e}"),
            "&lt;b a=&#39;1&#39;&gt;&amp;\u{fffd}\u{fffd}"
        );
    }

    #[test]
    fn long_words_are_cut() {
        let cut = fit("a-very-long-identifier-indeed", 12.0, 80.0);
        assert!(
            cut.ends_with('…') && text_width(&cut, 12.0) <= 90.0,
            "{cut}"
        );
        assert_eq!(fit("short", 12.0, 80.0), "short");
    }
}
