//! JSON strings: escapes to characters.

use super::SyntaxError;

/// Reads a string whose opening quote stands at `from`; returns it and the byte after its
/// closing quote, or the place and kind of the error.
pub(super) fn read_string(
    text: &str,
    from: usize,
) -> Result<(String, usize), (usize, SyntaxError)> {
    let mut out = String::new();
    let mut rest = text.get(from + 1..).unwrap_or_default().char_indices();
    let base = from + 1;
    while let Some((at, character)) = rest.next() {
        match character {
            '"' => return Ok((out, base + at + 1)),
            '\\' => {
                let tail = text.get(base + at..).unwrap_or_default();
                let (decoded, length) = read_escape(tail).ok_or_else(|| {
                    let written = |most| {
                        tail.chars()
                            .take(most)
                            .filter(|c| !c.is_control())
                            .collect()
                    };
                    let error = if unit(tail).is_some() {
                        SyntaxError::LoneSurrogate { found: written(6) }
                    } else {
                        SyntaxError::BadEscape { found: written(2) }
                    };
                    (base + at, error)
                })?;
                out.push(decoded);
                for _ in 1..length {
                    rest.next();
                }
            }
            '\n' | '\r' => return Err((from, SyntaxError::OpenString)),
            control if (control as u32) < 0x20 => {
                let code = control as u32;
                return Err((base + at, SyntaxError::ControlInString { code }));
            }
            other => out.push(other),
        }
    }
    Err((from, SyntaxError::OpenString))
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
