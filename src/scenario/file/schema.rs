//! The JSON Schema of the scenario file.
//!
//! One job: generate it from the types (draft 2020-12), without the `null`s that optional Rust
//! fields bring along.

use std::sync::LazyLock;

use schemars::Schema;
use schemars::generate::SchemaSettings;
use schemars::transform::{RecursiveTransform, Transform};
use serde_json::{Value, json};

use super::ScenarioFile;
use crate::units::{Sister, sister_to};

/// The JSON Schema (2020-12) that an editor completes and checks scenario files with: every key, and beside
/// those with a unit the same quantity in units of the land.
#[must_use]
pub fn json_schema() -> Value {
    let mut schema = SCHEMA.clone();
    with_sisters(&mut schema);
    schema
}

/// Puts the keys of the same quantities beside those with a unit.
fn with_sisters(schema: &mut Value) {
    let children: Vec<&mut Value> = match schema {
        Value::Object(members) => members.values_mut().collect(),
        Value::Array(items) => items.iter_mut().collect(),
        _ => return,
    };
    children.into_iter().for_each(with_sisters);
    let Some(properties) = schema.get_mut("properties").and_then(Value::as_object_mut) else {
        return;
    };
    let sisters: Vec<(String, Sister)> = properties
        .keys()
        .filter_map(|key| Some((key.clone(), sister_to(key)?)))
        .collect();
    for (key, sister) in &sisters {
        let property = in_sister(&properties[key], key, sister);
        properties.insert(sister.key.clone(), property);
    }
    // Whichever of the two is given, what is required is there.
    let mut either = Vec::new();
    if let Some(required) = schema.get_mut("required").and_then(Value::as_array_mut) {
        required.retain(|asked| {
            let sister = sisters.iter().find(|(key, _)| asked == key);
            either.extend(sister.map(|(key, sister)| {
                json!({ "anyOf": [{ "required": [key] }, { "required": [sister.key] }] })
            }));
            sister.is_none()
        });
    }
    if !either.is_empty() {
        schema["allOf"] = Value::Array(either);
    }
}

/// A property in another unit. What is no plain number has its own limits, which are narrower there.
fn in_sister(property: &Value, key: &str, sister: &Sister) -> Value {
    let mut property = property.clone();
    let turn = |value: f64| {
        sister
            .from
            .to(sister.to, value)
            .map(|value| (value * 1e6).round() / 1e6)
    };
    for bound in ["minimum", "maximum", "exclusiveMinimum", "exclusiveMaximum"] {
        if let Some(turned) = property.get(bound).and_then(Value::as_f64).and_then(turn) {
            property[bound] = json!(turned);
        }
    }
    if let Some(values) = property.get("enum").and_then(Value::as_array) {
        let values = values.iter().filter_map(Value::as_f64).filter_map(turn);
        property["enum"] = values.collect();
    }
    property["description"] = json!(format!("`{key}` in {}.", sister.to.symbol));
    property
}

fn own_schema() -> Value {
    let settings = SchemaSettings::draft2020_12();
    let mut schema = settings
        .into_generator()
        .into_root_schema_for::<ScenarioFile>();
    RecursiveTransform(without_null).transform(&mut schema);
    schema.insert("title".to_owned(), "tideover scenario".into());
    schema.to_value()
}

/// The schema that files are checked against, generated once.
pub(in crate::scenario) static SCHEMA: LazyLock<Value> = LazyLock::new(own_schema);

/// An absent key is left out of the file, never written as `null`.
fn without_null(schema: &mut Schema) {
    let Some(object) = schema.as_object_mut() else {
        return;
    };
    object.remove("default");
    if let Some(Value::Array(types)) = object.get_mut("type") {
        types.retain(|kind| kind != "null");
        if let [only] = types.as_slice() {
            let only = only.clone();
            object.insert("type".to_owned(), only);
        }
    }
    if let Some(Value::Array(branches)) = object.get_mut("anyOf") {
        branches.retain(|branch| branch.get("type").is_none_or(|kind| kind != "null"));
        if let [Value::Object(only)] = branches.as_slice() {
            let only = only.clone();
            object.remove("anyOf");
            for (key, value) in only {
                object.entry(key).or_insert(value);
            }
        }
    }
}
