//! Small questions to a schema: its words, its counts, the types it admits.

use serde_json::Value;

use super::super::document::{Node, NodeValue, is_json_number};
use crate::units::{Sister, sister_of};

/// What an id may be.
pub(super) const ID_WORDS: &str = "an id of 1 to 60 letters, digits, `_` and `-`";

/// Whether a text is an id; the schema has the same rule as a pattern.
pub(super) fn is_id(text: &str) -> bool {
    let allowed = |byte: u8| byte.is_ascii_alphanumeric() || byte == b'_' || byte == b'-';
    (1..=60).contains(&text.len()) && text.bytes().all(allowed)
}

/// The key that a path's value belongs to: not its place in a list, nor that in a spread.
pub(super) fn key_of(path: &str) -> &str {
    let is_inner =
        |step: &&str| !matches!(*step, "min" | "likely" | "max") && step.parse::<usize>().is_err();
    path.rsplit('/').find(is_inner).unwrap_or_default()
}

pub(super) fn admits_number(branches: &[&Value]) -> bool {
    let kinds = branches
        .iter()
        .filter_map(|branch| branch.get("type")?.as_str());
    kinds
        .into_iter()
        .any(|kind| matches!(kind, "number" | "integer"))
}

/// The property that a key stands for in another unit.
pub(super) fn sister_in<'a>(schema: &'a Value, key: &str) -> Option<(Sister, &'a Value)> {
    let sister = sister_of(key)?;
    let (_, property) = properties_get(schema, &sister.key)?;
    Some((sister, property))
}

pub(super) fn properties_get<'a>(schema: &'a Value, key: &str) -> Option<(&'a String, &'a Value)> {
    schema.get("properties")?.as_object()?.get_key_value(key)
}

/// The words a schema admits.
pub(super) fn words_of(schema: &Value) -> Vec<String> {
    let listed = schema
        .get("enum")
        .and_then(Value::as_array)
        .into_iter()
        .flatten();
    schema
        .get("const")
        .into_iter()
        .chain(listed)
        .filter_map(Value::as_str)
        .map(str::to_owned)
        .collect()
}

pub(super) fn fits_type(node: &Node, schema: &Value) -> bool {
    let Some(kind) = schema.get("type").and_then(Value::as_str) else {
        return true;
    };
    match &node.value {
        NodeValue::Null => kind == "null",
        NodeValue::Bool(_) => kind == "boolean",
        NodeValue::Number(_) => matches!(kind, "number" | "integer"),
        NodeValue::Text(_) => kind == "string" && words_of(schema).is_empty(),
        NodeValue::List(_) => kind == "array",
        NodeValue::Object(_) => kind == "object",
    }
}

/// A number or truth value inside quotes is a common slip.
pub(super) fn unquote_hint(node: &Node, branches: &[&Value]) -> Option<String> {
    let text = node.text()?;
    let wants = |wanted: &str| {
        branches
            .iter()
            .any(|branch| branch.get("type").is_some_and(|kind| kind == wanted))
    };
    let number = is_json_number(text) && (wants("number") || wants("integer"));
    let truth = matches!(text, "true" | "false") && wants("boolean");
    (number || truth).then(|| format!("write {text} without quotes"))
}

/// What to write in the place of an inverter described within its load, as files once had it.
pub(super) fn old_inverter_hint(node: &Node, path: &str) -> Option<String> {
    let in_load = path.starts_with("/loads/") && path.ends_with("/inverter");
    let NodeValue::Object(_) = &node.value else {
        return None;
    };
    in_load.then(|| {
        "an inverter is a part of its own: beside `loads` write \"inverters\": [{ \"id\": \"inverter\", \"bank\": \"…\", \"rated_w\": 300, \"efficiency\": 0.88, \"idle_w\": 8 }] with the rated output of yours, and here \"inverter\": \"inverter\""
            .to_owned()
    })
}

pub(super) fn count_of(schema: &Value, key: &str) -> Option<usize> {
    schema
        .get(key)
        .and_then(Value::as_u64)
        .and_then(|count| usize::try_from(count).ok())
}

pub(super) fn wrong_length(
    count: usize,
    (least, most): (Option<usize>, Option<usize>),
    unit: (&'static str, &'static str),
) -> Option<String> {
    let too_few = least.is_some_and(|least| count < least);
    let too_many = most.is_some_and(|most| count > most);
    let allowed = match (least, most) {
        (Some(least), Some(most)) if least == most => most.to_string(),
        (Some(least), Some(most)) => format!("from {least} to {most}"),
        (Some(least), None) => format!("at least {least}"),
        (None, Some(most)) => format!("at most {most}"),
        (None, None) => String::new(),
    };
    let unit = if count == 1 { unit.0 } else { unit.1 };
    (too_few || too_many).then(|| format!("has {count} {unit}, but must have {allowed}"))
}

/// A value that needs no check, such as a note.
pub(super) fn plain(node: &Node) -> Value {
    match &node.value {
        NodeValue::Bool(value) => Value::Bool(*value),
        NodeValue::Text(text) => Value::from(text.as_str()),
        NodeValue::Object(members) => members
            .iter()
            .map(|member| (member.key.clone(), plain(&member.node)))
            .collect(),
        // Only in notes, which nobody reads.
        NodeValue::Null | NodeValue::Number(_) | NodeValue::List(_) => Value::Null,
    }
}
