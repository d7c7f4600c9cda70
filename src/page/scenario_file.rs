//! A scenario as a page sends it.
//!
//! One job: its text and files, read and changed. What a change may be is said in `crate::scenario`.

use std::collections::BTreeMap;

use serde::Deserialize;
use serde_json::{Map, Value};

use super::engine::not_asked;
use crate::command::{Failure, read_scenario};
use crate::scenario::{ChangeError, Reading, edited};

/// A scenario with the files it points to, by the names it uses.
#[derive(Debug, Clone, PartialEq, Deserialize)]
pub(super) struct ScenarioFile {
    pub(super) name: String,
    pub(super) text: String,
    #[serde(default)]
    files: BTreeMap<String, String>,
}

impl ScenarioFile {
    /// A file that it points to.
    pub(super) fn file(&self, name: &str) -> Result<Vec<u8>, String> {
        let text = self.files.get(name);
        text.map(|text| text.clone().into_bytes())
            .ok_or_else(|| "it did not come with the scenario".to_owned())
    }

    /// Reads and checks it.
    pub(super) fn read(&self) -> Result<Reading, Failure> {
        let files = |name: &str| self.file(name).map_err(|text| (true, text));
        read_scenario(&self.text, &self.name, &files)
    }

    /// The same with values set and loads switched off, whether it then holds or not; a refusal of what cannot be set.
    pub(super) fn changed(&self, set: &Map<String, Value>, off: &[String]) -> Result<Self, Value> {
        let set = set.iter();
        let mut changes: Vec<(String, Value)> = set
            .map(|(key, value)| (key.clone(), value.clone()))
            .collect();
        changes.extend(off.iter().map(|load| {
            let id = load.strip_prefix("loads.").unwrap_or(load);
            (format!("loads.{id}.off"), Value::Bool(true))
        }));
        let text = edited(&self.text, &changes).map_err(|error| match &error {
            ChangeError::Key { .. } => not_asked(&error.to_string()),
            ChangeError::Refused(_) => not_asked("the file cannot be changed"),
        })?;
        Ok(Self {
            text,
            ..self.clone()
        })
    }
}
