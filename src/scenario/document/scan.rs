//! The scanner: JSON text to a tree with spans.
//!
//! One job: the grammar of RFC 8259, doubled keys found, depth limited.

use std::collections::HashMap;

use super::super::problem::Fault;
use super::string_literal::read_string;
use super::{Member, Node, NodeValue, Span, pointer_step};

/// Brackets inside brackets; the format itself needs seven.
const DEPTH_LIMIT: usize = 32;

/// A key that stands twice in one object.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(in crate::scenario) struct Duplicate {
    /// JSON pointer of the key.
    pub(in crate::scenario) path: String,
    /// Byte of the first one.
    pub(in crate::scenario) first: usize,
    /// Byte of the later one.
    pub(in crate::scenario) later: usize,
}

/// A fault and the byte where it is.
pub(super) type Place<T> = Result<T, (usize, Fault)>;

struct Scanner<'a> {
    text: &'a str,
    at: usize,
    depth: usize,
    path: Vec<String>,
    duplicates: Vec<Duplicate>,
}

/// Reads a whole text, a byte-order mark allowed.
///
/// # Errors
/// The byte at which the text stops being JSON, and why.
pub(in crate::scenario) fn scan(text: &str) -> Place<(Node, Vec<Duplicate>)> {
    let mut scanner = Scanner {
        text,
        at: if text.starts_with('\u{feff}') { 3 } else { 0 },
        depth: 0,
        path: Vec::new(),
        duplicates: Vec::new(),
    };
    let node = scanner.value("a value")?;
    scanner.skip_space()?;
    match scanner.peek() {
        None => Ok((node, scanner.duplicates)),
        Some(_) => Err(scanner.unexpected("the end of the file")),
    }
}

impl Scanner<'_> {
    fn peek(&self) -> Option<u8> {
        self.text.as_bytes().get(self.at).copied()
    }

    fn skip_space(&mut self) -> Place<()> {
        while matches!(self.peek(), Some(b' ' | b'\t' | b'\n' | b'\r')) {
            self.at += 1;
        }
        match self.peek() {
            Some(b'/' | b'#') => {
                let fault = Fault::from("has a comment, which JSON does not allow");
                Err((self.at, fault.hint("write comments as `\"note\": \"…\"`")))
            }
            _ => Ok(()),
        }
    }

    fn unexpected(&self, expected: &str) -> (usize, Fault) {
        let rest = self.text.get(self.at..).unwrap_or_default();
        let word: String = rest
            .chars()
            .take_while(|c| c.is_alphanumeric())
            .take(20)
            .collect();
        let found = match rest.chars().next() {
            None => None,
            Some(first) if word.is_empty() && first.is_control() => {
                Some(first.escape_debug().to_string())
            }
            Some(first) if word.is_empty() => Some(first.to_string()),
            Some(_) => Some(word),
        };
        let text = match found {
            Some(found) => format!("has `{found}` where {expected} must be"),
            None => format!("ends where {expected} must be"),
        };
        (self.at, text.into())
    }

    fn value(&mut self, expected: &'static str) -> Place<Node> {
        self.skip_space()?;
        let from = self.at;
        let value = match self.peek() {
            Some(b'{') => self.nested(Self::object)?,
            Some(b'[') => self.nested(Self::list)?,
            Some(b'"') => NodeValue::Text(self.string()?),
            Some(b'-' | b'.' | b'+' | b'0'..=b'9') => self.number()?,
            _ => self.word(expected)?,
        };
        let span = Span { from, to: self.at };
        Ok(Node { span, value })
    }

    fn nested(&mut self, read: fn(&mut Self) -> Place<NodeValue>) -> Place<NodeValue> {
        if self.depth == DEPTH_LIMIT {
            let text = format!("is nested more than {DEPTH_LIMIT} levels deep");
            return Err((self.at, text.into()));
        }
        self.depth += 1;
        self.at += 1;
        let value = read(self)?;
        self.depth -= 1;
        Ok(value)
    }

    fn string(&mut self) -> Place<String> {
        let (string, end) = read_string(self.text, self.at)?;
        self.at = end;
        Ok(string)
    }

    fn word(&mut self, expected: &'static str) -> Place<NodeValue> {
        let rest = self.text.get(self.at..).unwrap_or_default();
        for (word, value) in [
            ("true", NodeValue::Bool(true)),
            ("false", NodeValue::Bool(false)),
            ("null", NodeValue::Null),
        ] {
            let ends = |tail: &str| !tail.starts_with(|c: char| c.is_alphanumeric());
            if rest.strip_prefix(word).is_some_and(ends) {
                self.at += word.len();
                return Ok(value);
            }
        }
        Err(self.unexpected(expected))
    }

    fn number(&mut self) -> Place<NodeValue> {
        let rest = self.text.get(self.at..).unwrap_or_default();
        let length = rest
            .bytes()
            .take_while(|byte| byte.is_ascii_alphanumeric() || matches!(byte, b'+' | b'-' | b'.'))
            .count();
        let literal = rest.get(..length).unwrap_or_default();
        if !is_json_number(literal) {
            let found: String = literal.chars().take(40).collect();
            let unsigned = found.strip_prefix('-').unwrap_or(&found);
            let hint = (unsigned.starts_with('.')).then(|| "put a 0 before the point".to_owned());
            let text = format!("has `{found}`, which is not a number of JSON");
            return Err((self.at, Fault::new(text, hint)));
        }
        self.at += length;
        Ok(NodeValue::Number(literal.to_owned()))
    }

    fn list(&mut self) -> Place<NodeValue> {
        let mut items = Vec::new();
        self.skip_space()?;
        if self.take(b']') {
            return Ok(NodeValue::List(items));
        }
        loop {
            self.path.push(items.len().to_string());
            items.push(self.value("a value")?);
            self.path.pop();
            if !self.go_on(b']', "`,` or `]`")? {
                return Ok(NodeValue::List(items));
            }
        }
    }

    fn object(&mut self) -> Place<NodeValue> {
        let mut members: Vec<Member> = Vec::new();
        let mut seen: HashMap<String, usize> = HashMap::new();
        self.skip_space()?;
        if self.take(b'}') {
            return Ok(NodeValue::Object(members));
        }
        loop {
            let from = self.at;
            if self.peek() != Some(b'"') {
                return Err(self.unexpected("a key in double quotes"));
            }
            let key = self.string()?;
            let key_span = Span { from, to: self.at };
            self.skip_space()?;
            if !self.take(b':') {
                return Err(self.unexpected("`:`"));
            }
            self.path.push(pointer_step(&key));
            let node = self.value("a value")?;
            if let Some(first) = seen.get(&key) {
                self.duplicates.push(Duplicate {
                    path: format!("/{}", self.path.join("/")),
                    first: *first,
                    later: from,
                });
            } else {
                seen.insert(key.clone(), from);
                members.push(Member {
                    key,
                    key_span,
                    node,
                });
            }
            self.path.pop();
            if !self.go_on(b'}', "`,` or `}`")? {
                return Ok(NodeValue::Object(members));
            }
        }
    }

    fn take(&mut self, byte: u8) -> bool {
        let there = self.peek() == Some(byte);
        if there {
            self.at += 1;
        }
        there
    }

    /// After an entry: whether another follows.
    fn go_on(&mut self, close: u8, expected: &'static str) -> Place<bool> {
        self.skip_space()?;
        if self.take(close) {
            return Ok(false);
        }
        let comma = self.at;
        if !self.take(b',') {
            return Err(self.unexpected(expected));
        }
        self.skip_space()?;
        match self.peek() {
            Some(b'}' | b']') => {
                let fault = Fault::from("has a comma with nothing after it");
                let hint = "remove the comma before the closing bracket";
                Err((comma, fault.hint(hint)))
            }
            _ => Ok(true),
        }
    }
}

/// Whether a literal follows the grammar `-? int frac? exp?`.
pub(in crate::scenario) fn is_json_number(literal: &str) -> bool {
    let unsigned = literal.strip_prefix('-').unwrap_or(literal);
    let (mantissa, exponent) = match unsigned.split_once(['e', 'E']) {
        Some((mantissa, exponent)) => (mantissa, Some(exponent)),
        None => (unsigned, None),
    };
    let (whole, fraction) = match mantissa.split_once('.') {
        Some((whole, fraction)) => (whole, Some(fraction)),
        None => (mantissa, None),
    };
    let digits = |part: &str| !part.is_empty() && part.bytes().all(|byte| byte.is_ascii_digit());
    digits(whole)
        && (whole == "0" || !whole.starts_with('0'))
        && fraction.is_none_or(digits)
        && exponent.is_none_or(|part| digits(part.strip_prefix(['+', '-']).unwrap_or(part)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn spans_point_at_values() {
        let text = "\u{feff}{ \"a\": [1, {\"b\": \"x\"}] }\r\n";
        let (node, duplicates) = scan(text).expect("valid");
        let found = node.at("/a/1/b").expect("there");
        assert_eq!(text.get(found.span.from..found.span.to), Some("\"x\""));
        assert_eq!(found.text(), Some("x"));
        assert!(duplicates.is_empty());
        assert!(node.at("/a/7").is_none());
    }

    #[test]
    fn doubled_keys_are_found() {
        let (_, duplicates) = scan(r#"{"a/b": {"c": 1, "c": 2}}"#).expect("valid");
        assert_eq!(duplicates.len(), 1);
        assert_eq!(duplicates[0].path, "/a~1b/c");
    }

    #[test]
    fn numbers_follow_the_grammar() {
        for good in ["0", "-0.5", "12e+3", "1.25E-2", "1e999"] {
            assert!(is_json_number(good), "{good}");
        }
        for bad in [
            "", "-", "01", ".5", "1.", "+1", "1e", "0x10", "1.2.3", "--1",
        ] {
            assert!(!is_json_number(bad), "{bad}");
        }
    }

    #[test]
    fn deep_nesting_is_refused_without_recursion_trouble() {
        let (_, error) = scan(&"[".repeat(1_000_000)).expect_err("too deep");
        assert_eq!(error, "is nested more than 32 levels deep".into());
    }
}
