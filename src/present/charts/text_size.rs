//! How much room a text takes.
//!
//! One job: an estimate of its width without a font, on the wide side, so that a label placed by
//! it does not collide whatever sans-serif the reader has.

use crate::present::plain_text::neutral;

/// Height of a line over the font size.
pub(in crate::present) const LINE: f64 = 1.2;

/// Width of a text over the font size, after common wide sans-serif faces; ours, measured by eye.
fn width_em(text: &str) -> f64 {
    text.chars()
        .map(|c| match c {
            'i' | 'j' | 'l' | '.' | ',' | ':' | ';' | '\'' | '|' | '!' | ' ' | '·' => 0.32,
            'f' | 't' | 'r' | 'I' | '(' | ')' | '[' | ']' | '-' | '/' => 0.42,
            'm' | 'w' | 'W' | 'M' | '@' | '%' | '…' => 0.98,
            '<' | '>' | '+' | '=' | '–' => 0.84,
            'a'..='z' | '0'..='9' | '_' => 0.63,
            c if c.is_ascii() => 0.74,
            c if (c as u32) < 0x1100 => 0.74,
            _ => 1.05,
        })
        .sum()
}

/// Width in pixels.
pub(in crate::present) fn width_px(text: &str, size_px: f64, bold: bool) -> f64 {
    width_em(text) * size_px * if bold { 1.1 } else { 1.0 }
}

/// The neutral text, cut with an ellipsis so that it takes at most `room_px`; empty when not even
/// three characters and the ellipsis fit.
pub(in crate::present) fn fitted(text: &str, size_px: f64, bold: bool, room_px: f64) -> String {
    let text = neutral(text);
    if width_px(&text, size_px, bold) <= room_px {
        return text.into_owned();
    }
    let mut kept: Vec<char> = text.chars().collect();
    while kept.len() > 3 {
        kept.pop();
        let short = format!("{}…", kept.iter().collect::<String>().trim_end());
        if width_px(&short, size_px, bold) <= room_px {
            return short;
        }
    }
    String::new()
}

/// A box on the picture, pixels.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(in crate::present) struct Area {
    /// Left edge.
    pub(in crate::present) left: f64,
    /// Upper edge.
    pub(in crate::present) top: f64,
    /// Right edge.
    pub(in crate::present) right: f64,
    /// Lower edge.
    pub(in crate::present) bottom: f64,
}

impl Area {
    /// From its upper left corner to its lower right one.
    pub(in crate::present) fn new((left, top): (f64, f64), (right, bottom): (f64, f64)) -> Self {
        Self {
            left,
            top,
            right,
            bottom,
        }
    }

    /// Its upper left corner and its lower right one.
    pub(in crate::present) fn corners(&self) -> ((f64, f64), (f64, f64)) {
        ((self.left, self.top), (self.right, self.bottom))
    }

    /// Width.
    pub(in crate::present) fn width(&self) -> f64 {
        self.right - self.left
    }

    /// Height.
    pub(in crate::present) fn height(&self) -> f64 {
        self.bottom - self.top
    }

    /// Whether a point lies in the box.
    pub(in crate::present) fn covers(&self, (x, y): (f64, f64)) -> bool {
        (self.left..=self.right).contains(&x) && (self.top..=self.bottom).contains(&y)
    }

    /// Whether two boxes share more than an edge.
    pub(in crate::present) fn meets(&self, other: &Self) -> bool {
        self.left < other.right
            && other.left < self.right
            && self.top < other.bottom
            && other.top < self.bottom
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn long_names_are_cut_to_their_room() {
        let name = "A very long name of a stop beyond the river";
        let cut = fitted(name, 11.0, false, 90.0);
        assert!(
            cut.ends_with('…') && width_px(&cut, 11.0, false) <= 90.0,
            "{cut}"
        );
        assert_eq!(fitted("Pan", 11.0, false, 90.0), "Pan");
        assert_eq!(fitted(name, 11.0, false, 12.0), "");
    }

    #[test]
    fn boxes_that_touch_do_not_meet() {
        let one = Area::new((0.0, 0.0), (10.0, 10.0));
        assert!(!one.meets(&Area {
            left: 10.0,
            right: 20.0,
            ..one
        }));
        assert!(one.meets(&Area {
            left: 9.0,
            right: 20.0,
            ..one
        }));
    }
}
