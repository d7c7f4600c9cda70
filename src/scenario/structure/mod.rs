//! The shape of a file against its schema: keys, types, ranges.
//!
//! One job: every structural problem in one go, and the file without the faulty parts, so that
//! `check` can look at the rest. It knows the part of JSON Schema that `file` makes use of.

use std::collections::HashSet;

use serde_json::{Map, Value};

use super::document::{Member, Node, NodeValue, pointer_step};
use super::problem::{
    Fault, did_you_mean, either, found_words, missing, must_be, nearest, not_one_of, typed_key,
    typed_measure, typed_word,
};
use crate::units::Unit;

mod questions;
mod range;

use questions::{
    ID_WORDS, admits_number, count_of, fits_type, is_id, key_of, old_inverter_hint, plain,
    properties_get, sister_in, unquote_hint, words_of, wrong_length,
};
use range::{number_words, outside_hint};

/// A structural problem: its JSON pointer, the byte it is shown at, and what it is.
pub(super) struct Finding {
    pub(super) path: String,
    pub(super) byte: usize,
    pub(super) fault: Fault,
    /// The known key that an unknown one stands for.
    pub(super) meant: Option<String>,
}

/// Checks a whole file; returns its sound part.
pub(super) fn check_structure(root: &Node, schema: &Value) -> (Value, Vec<Finding>) {
    let mut walk = Walk {
        root: schema,
        findings: Vec::new(),
        written_in: None,
    };
    let sound = walk.node(root, schema, "");
    let empty = || Value::Object(Map::new());
    (sound.unwrap_or_else(empty), walk.findings)
}

struct Walk<'a> {
    root: &'a Value,
    findings: Vec<Finding>,
    /// Units of the number as written and as the schema has it, where they differ.
    written_in: Option<(Unit, Unit)>,
}

impl<'a> Walk<'a> {
    fn find(&mut self, path: &str, byte: usize, fault: impl Into<Fault>) {
        self.findings.push(Finding {
            path: path.to_owned(),
            byte,
            fault: fault.into(),
            meant: None,
        });
    }

    fn resolve(&self, schema: &'a Value) -> &'a Value {
        let target = schema.get("$ref").and_then(Value::as_str);
        target
            .and_then(|target| self.root.pointer(target.trim_start_matches('#')))
            .unwrap_or(schema)
    }

    /// The alternatives of a schema, itself if it has none.
    fn branches(&self, schema: &'a Value) -> Vec<&'a Value> {
        let schema = self.resolve(schema);
        match schema.get("anyOf").or_else(|| schema.get("oneOf")) {
            Some(Value::Array(branches)) => branches
                .iter()
                .flat_map(|branch| self.branches(branch))
                .collect(),
            _ => vec![schema],
        }
    }

    /// The sound part of a value; `None` where nothing of it can be used.
    fn node(&mut self, node: &Node, schema: &'a Value, path: &str) -> Option<Value> {
        let branches = self.branches(schema);
        let words: Vec<String> = branches
            .iter()
            .flat_map(|branch| words_of(branch))
            .collect();
        if let (NodeValue::Text(text), false) = (&node.value, words.is_empty()) {
            return self.word(node, text, &words, path);
        }
        let Some(branch) = branches.iter().find(|branch| fits_type(node, branch)) else {
            let allowed = self.allowed(schema);
            let found = found_words(node);
            let measure = || typed_measure(node.text()?, key_of(path));
            let hint = unquote_hint(node, &branches)
                .or_else(|| old_inverter_hint(node, path))
                .or_else(|| measure().filter(|_| admits_number(&branches)));
            let fault = Fault::new(format!("is {found}, but must be {allowed}"), hint);
            self.find(path, node.span.from, fault);
            return None;
        };
        match &node.value {
            NodeValue::Object(members) if branch.get("properties").is_some() => {
                Some(self.object(node, members, branch, path))
            }
            NodeValue::Object(members) if branch.get("additionalProperties").is_some() => {
                Some(self.map(members, branch, path))
            }
            NodeValue::List(items) if branch.get("items").is_some() => {
                self.list(node, items, branch, path)
            }
            NodeValue::Number(literal) => self.number(node, literal, branch, path),
            NodeValue::Text(text) => self.text(node, text, branch, path),
            _ => Some(plain(node)),
        }
    }

    fn object(&mut self, node: &Node, members: &[Member], schema: &'a Value, path: &str) -> Value {
        let empty = Map::new();
        let properties = schema
            .get("properties")
            .and_then(Value::as_object)
            .unwrap_or(&empty);
        let mut sound = Map::new();
        let mut meant: Vec<String> = Vec::new();
        for member in members {
            let below = format!("{path}/{}", pointer_step(&member.key));
            if let Some((_, property)) = properties_get(schema, &member.key) {
                if let Some(value) = self.node(&member.node, property, &below) {
                    sound.insert(member.key.clone(), value);
                }
            } else if let Some((sister, property)) = sister_in(schema, &member.key) {
                meant.push(sister.key.clone());
                if members.iter().any(|other| other.key == sister.key) {
                    let text = format!(
                        "is the same quantity as `{}`, and one of the two must be left out",
                        sister.key
                    );
                    self.find(&below, member.key_span.from, text);
                    continue;
                }
                self.written_in = Some((sister.from, sister.to));
                let value = self.node(&member.node, property, &below);
                self.written_in = None;
                sound.extend(value.map(|value| (sister.key, value)));
            } else {
                let known: Vec<String> = properties
                    .keys()
                    .filter(|key| !key.starts_with('$'))
                    .cloned()
                    .collect();
                let value = match &member.node.value {
                    NodeValue::Number(literal) => literal.parse().ok(),
                    _ => None,
                };
                let (nearest, hint) = match typed_key(&member.key, value, &known) {
                    Some((key, hint)) => (Some(key), Some(hint)),
                    None => (nearest(&member.key, &known), None),
                };
                meant.extend(nearest.clone());
                let hint = hint
                    .or_else(|| did_you_mean(nearest.clone()))
                    .unwrap_or_else(|| format!("known here: {}", known.join(", ")));
                self.findings.push(Finding {
                    path: below,
                    byte: member.key_span.from,
                    fault: Fault::from("is not a known key").hint(&hint),
                    meant: nearest,
                });
            }
        }
        let required = schema.get("required").and_then(Value::as_array);
        for key in required.into_iter().flatten().filter_map(Value::as_str) {
            // A misspelt key is not missing as well.
            let given = members.iter().any(|member| member.key == key);
            if !given && meant.iter().all(|meant| meant != key) {
                let allowed = properties_get(schema, key).map_or_else(
                    || "given".to_owned(),
                    |(_, property)| self.allowed(property),
                );
                let below = format!("{path}/{}", pointer_step(key));
                self.find(&below, node.span.from, missing(allowed));
            }
        }
        Value::Object(sound)
    }

    /// An object whose keys are the user's own.
    fn map(&mut self, members: &[Member], schema: &'a Value, path: &str) -> Value {
        let mut sound = Map::new();
        for member in members {
            let below = format!("{path}/{}", pointer_step(&member.key));
            let value = schema
                .get("additionalProperties")
                .and_then(|each| self.node(&member.node, each, &below));
            sound.extend(value.map(|value| (member.key.clone(), value)));
        }
        Value::Object(sound)
    }

    fn list(
        &mut self,
        node: &Node,
        items: &[Node],
        schema: &'a Value,
        path: &str,
    ) -> Option<Value> {
        let limits = (count_of(schema, "minItems"), count_of(schema, "maxItems"));
        if let Some(text) = wrong_length(items.len(), limits, ("entry", "entries")) {
            self.find(path, node.span.from, text);
            return None;
        }
        let item_schema = schema.get("items")?;
        let of_objects = self
            .branches(item_schema)
            .iter()
            .any(|b| b.get("properties").is_some());
        let mut sound = Vec::new();
        let mut whole = true;
        for (index, item) in items.iter().enumerate() {
            match self.node(item, item_schema, &format!("{path}/{index}")) {
                Some(value) => sound.push(value),
                // An empty object keeps the numbers of the entries after it.
                None if of_objects => sound.push(Value::Object(Map::new())),
                None => whole = false,
            }
        }
        whole.then_some(Value::Array(sound))
    }

    fn number(
        &mut self,
        node: &Node,
        literal: &str,
        schema: &'a Value,
        path: &str,
    ) -> Option<Value> {
        let value: f64 = literal.parse().unwrap_or(f64::INFINITY);
        if !value.is_finite() {
            let fault = must_be(found_words(node), "a number below 1e308");
            self.find(path, node.span.from, fault);
            return None;
        }
        let in_schema = |value: f64| {
            let turned = self.written_in.and_then(|(from, to)| from.to(to, value));
            // Rounded, so that 221 °F are 105 °C to the last digit.
            turned.map_or(value, |turned| (turned * 1e9).round() / 1e9)
        };
        let as_written = value;
        let value = in_schema(value);
        if !range::holds(schema, value) {
            let allowed = number_words(schema, self.written_in);
            let text = format!("is {}, but must be {allowed}", found_words(node));
            let hint = outside_hint(schema, as_written, path);
            self.find(path, node.span.from, Fault::new(text, hint));
            return None;
        }
        if schema.get("type").is_some_and(|kind| kind == "integer") {
            // `holds` has made sure that it is whole and within the type's range.
            return format!("{value:.0}").parse::<i64>().ok().map(Value::from);
        }
        serde_json::Number::from_f64(value).map(Value::Number)
    }

    fn text(&mut self, node: &Node, text: &str, schema: &'a Value, path: &str) -> Option<Value> {
        let limits = (count_of(schema, "minLength"), count_of(schema, "maxLength"));
        if let Some(text) = wrong_length(text.chars().count(), limits, ("character", "characters"))
        {
            self.find(path, node.span.from, text);
            return None;
        }
        if schema.get("pattern").is_some() && !is_id(text) {
            self.find(path, node.span.from, must_be(found_words(node), ID_WORDS));
            return None;
        }
        Some(Value::from(text))
    }

    fn word(&mut self, node: &Node, text: &str, allowed: &[String], path: &str) -> Option<Value> {
        if allowed.iter().any(|word| word == text) {
            return Some(Value::from(text));
        }
        let (nearest, meant) = (nearest(text, allowed), typed_word(text, allowed));
        let fault = not_one_of(&found_words(node), allowed, nearest, meant);
        self.find(path, node.span.from, fault);
        None
    }

    /// What a schema allows, in words.
    fn allowed(&self, schema: &'a Value) -> String {
        let branches = self.branches(schema);
        let words: Vec<String> = branches
            .iter()
            .flat_map(|branch| words_of(branch))
            .collect();
        let mut parts: Vec<String> = Vec::new();
        if !words.is_empty() {
            parts.push(either(&words));
        }
        for branch in branches.iter().filter(|branch| words_of(branch).is_empty()) {
            parts.push(self.type_words(branch));
        }
        let distinct: HashSet<&String> = parts.iter().collect();
        debug_assert_eq!(distinct.len(), parts.len(), "alternatives differ by type");
        parts.join(" or ")
    }

    fn type_words(&self, schema: &'a Value) -> String {
        match schema.get("type").and_then(Value::as_str) {
            Some("number" | "integer") => {
                let words = number_words(schema, self.written_in);
                if words.starts_with('a') && !words.starts_with("above") {
                    words
                } else {
                    format!("a number {words}")
                }
            }
            Some("string") if schema.get("pattern").is_some() => ID_WORDS.to_owned(),
            Some("string") => "a text".to_owned(),
            Some("boolean") => "true or false".to_owned(),
            Some("array") if count_of(schema, "maxItems") == Some(2) => {
                "a window such as [\"18:30\", \"22:00\"]".to_owned()
            }
            Some("array") => "a list".to_owned(),
            _ => self.object_words(schema),
        }
    }

    fn object_words(&self, schema: &Value) -> String {
        let required = schema.get("required").and_then(Value::as_array);
        let keys: Vec<&str> = required
            .into_iter()
            .flatten()
            .filter_map(Value::as_str)
            .collect();
        debug_assert!(self.root.is_object(), "the schema is an object");
        match keys.as_slice() {
            [] => "an object".to_owned(),
            keys => format!("an object with `{}`", keys.join("`, `")),
        }
    }
}
