//! JSON strings: escapes to characters.

use super::super::problem::Fault;
use super::scan::Place;

/// Reads a string whose opening quote stands at `from`; returns it and the byte after its
/// closing quote, or the place and kind of the error.
pub(super) fn read_string(text: &str, from: usize) -> Place<(String, usize)> {
    let mut out = String::new();
    let mut rest = text.get(from + 1..).unwrap_or_default().char_indices();
    let base = from + 1;
    let open = || (from, Fault::from("has a string without its closing quote"));
    while let Some((at, character)) = rest.next() {
        match character {
            '"' => return Ok((out, base + at + 1)),
            '\\' => {
                let tail = text.get(base + at..).unwrap_or_default();
                let (decoded, length) = read_escape(tail).ok_or_else(|| {
                    let (most, why) = if unit(tail).is_some() {
                        let why =
                            "a lone surrogate: half of a pair that only together makes a character";
                        (6, why)
                    } else {
                        (2, "which JSON does not know")
                    };
                    let found = tail.chars().take(most).filter(|c| !c.is_control());
                    let found: String = found.collect();
                    (
                        base + at,
                        format!("has `{found}` in a string, {why}").into(),
                    )
                })?;
                out.push(decoded);
                for _ in 1..length {
                    rest.next();
                }
            }
            '\n' | '\r' => return Err(open()),
            control if (control as u32) < 0x20 => {
                let code = control as u32;
                let text = format!(
                    "has the control character U+{code:04X} in a string, but must have it escaped"
                );
                return Err((base + at, text.into()));
            }
            other => out.push(other),
        }
    }
    Err(open())
}

/// The character of an escape at the start of `tail`, and its length in bytes.
fn read_escape(tail: &str) -> Option<(char, usize)> {
    let simple = match tail.as_bytes().get(1)? {
        b'"' => '"',
        b'\\' => '\\',
        b'/' => '/',
        b'b' => '\u{8}',
        b'f' => '\u{c}',
        b'n' => '\n',
        b'r' => '\r',
        b't' => '\t',
        b'u' => return read_unicode_escape(tail),
        _ => return None,
    };
    Some((simple, 2))
}

fn read_unicode_escape(tail: &str) -> Option<(char, usize)> {
    let first = unit(tail)?;
    if !(0xD800..0xE000).contains(&first) {
        return char::from_u32(first).map(|character| (character, 6));
    }
    let second = unit(tail.get(6..)?)?;
    if first >= 0xDC00 || !(0xDC00..0xE000).contains(&second) {
        return None;
    }
    let code = 0x1_0000 + ((first - 0xD800) << 10) + (second - 0xDC00);
    char::from_u32(code).map(|character| (character, 12))
}

/// The four hexadecimal digits of an escape at the start of `tail`.
fn unit(tail: &str) -> Option<u32> {
    let digits = tail.strip_prefix("\\u")?.get(..4)?;
    digits
        .bytes()
        .all(|byte| byte.is_ascii_hexdigit())
        .then(|| u32::from_str_radix(digits, 16).ok())
        .flatten()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn escapes_of_rfc_8259() {
        let text = r#""a\"\\\/\b\f\n\r\t\u00e9\ud83d\ude00é""#;
        let (out, end) = read_string(text, 0).expect("valid");
        assert_eq!(out, "a\"\\/\u{8}\u{c}\n\r\té😀é");
        assert_eq!(end, text.len());
    }

    #[test]
    fn half_a_surrogate_pair_is_refused() {
        for text in [
            r#""\ud83d""#,
            r#""\ude00\ud83d""#,
            r#""\ud83dx\ude00""#,
            r#""\u+123""#,
        ] {
            assert!(read_string(text, 0).is_err(), "{text}");
        }
    }
}
