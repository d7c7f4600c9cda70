//! The JSON Schema of the scenario file.
//!
//! One job: generate it from the types (draft 2020-12), without the `null`s that optional Rust
//! fields bring along.

use std::sync::LazyLock;

use schemars::Schema;
use schemars::generate::SchemaSettings;
use schemars::transform::{RecursiveTransform, Transform};
use serde_json::Value;

use super::ScenarioFile;

/// The JSON Schema (2020-12) that an editor completes and checks scenario files with.
#[must_use]
pub fn json_schema() -> Value {
    let settings = SchemaSettings::draft2020_12();
    let mut schema = settings
        .into_generator()
        .into_root_schema_for::<ScenarioFile>();
    RecursiveTransform(without_null).transform(&mut schema);
    schema.insert("title".to_owned(), "tideover scenario".into());
    schema.to_value()
}

/// The schema that files are checked against, generated once.
pub(in crate::scenario) static SCHEMA: LazyLock<Value> = LazyLock::new(json_schema);

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
