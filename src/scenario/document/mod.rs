//! A JSON text with the place of every key and value.
//!
//! One job: text in, tree with byte spans out, so that any later check can say line and column.
//! What the values mean is `scenario::structure` and `scenario::check`.
//! Left out: writing JSON.

mod locate;
mod scan;
mod string_literal;

pub(super) use locate::LineIndex;
pub(super) use scan::{is_json_number, scan};

/// Half-open range of bytes in the text.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Span {
    pub(super) from: usize,
    pub(super) to: usize,
}

/// One value with its place.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Node {
    pub(super) span: Span,
    pub(super) value: NodeValue,
}

/// A JSON value; numbers stay as written.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum NodeValue {
    Null,
    Bool(bool),
    Number(String),
    Text(String),
    List(Vec<Node>),
    Object(Vec<Member>),
}

/// One key with its value; of doubled keys the first is kept.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Member {
    pub(super) key: String,
    pub(super) key_span: Span,
    pub(super) node: Node,
}

impl Node {
    /// The value at a JSON pointer such as `/banks/0/id`.
    pub(super) fn at(&self, pointer: &str) -> Option<&Self> {
        pointer
            .split('/')
            .skip(1)
            .try_fold(self, |node, step| node.child(step))
    }

    /// The value under one unescaped-or-escaped step of a pointer.
    pub(super) fn child(&self, step: &str) -> Option<&Self> {
        match &self.value {
            NodeValue::Object(members) => {
                let key = step.replace("~1", "/").replace("~0", "~");
                members
                    .iter()
                    .find(|member| member.key == key)
                    .map(|member| &member.node)
            }
            NodeValue::List(items) => items.get(step.parse::<usize>().ok()?),
            _ => None,
        }
    }

    /// The text, if it is one.
    pub(super) fn text(&self) -> Option<&str> {
        match &self.value {
            NodeValue::Text(text) => Some(text),
            _ => None,
        }
    }
}

/// One step of a JSON pointer (RFC 6901).
pub(super) fn pointer_step(key: &str) -> String {
    key.replace('~', "~0").replace('/', "~1")
}
