//! Byte offsets to lines and columns.

/// Where the lines of a text begin.
#[derive(Debug, Clone)]
pub(in crate::scenario) struct LineIndex {
    starts: Vec<usize>,
}

impl LineIndex {
    /// Lines end at LF, CR LF or a lone CR.
    pub(in crate::scenario) fn new(text: &str) -> Self {
        let bytes = text.as_bytes();
        let after_break = bytes
            .iter()
            .enumerate()
            .filter_map(|(at, byte)| match byte {
                b'\n' => Some(at + 1),
                b'\r' if bytes.get(at + 1) != Some(&b'\n') => Some(at + 1),
                _ => None,
            });
        let starts = std::iter::once(0).chain(after_break).collect();
        Self { starts }
    }

    /// Line and column of a byte, both from 1, the column in characters.
    /// A byte-order mark at the start of the text counts for nothing.
    pub(in crate::scenario) fn locate(&self, text: &str, byte: usize) -> (usize, usize) {
        let line = self.starts.partition_point(|start| *start <= byte);
        let start = self.starts.get(line - 1).copied().unwrap_or(0);
        let before = text.get(start..byte).unwrap_or_default();
        let before = before.strip_prefix('\u{feff}').unwrap_or(before);
        (line, before.chars().count() + 1)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_count_characters_and_skip_the_mark() {
        let text = "\u{feff}{\r\n  \"ä\": 1,\r\"b\": 2}";
        let index = LineIndex::new(text);
        let at = |needle: &str| {
            let byte = text.find(needle).expect("in the text");
            index.locate(text, byte)
        };
        assert_eq!(at("{"), (1, 1));
        assert_eq!(at("1"), (2, 8));
        assert_eq!(at("\"b\""), (3, 1));
    }
}
