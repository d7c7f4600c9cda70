//! A scenario as a page sends it.
//!
//! One job: its text and files, read and changed. What a change may be is said in `crate::scenario`.

use std::cell::Cell;
use std::collections::BTreeMap;

use serde::Deserialize;
use serde_json::{Map, Value};

use super::engine::not_asked;
use crate::command::{Failure, status_of};
use crate::scenario::{ChangeError, Reading, edited, read};

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
        let unreadable = Cell::new(false);
        let files = |name: &str| {
            let file = self.file(name);
            unreadable.set(file.is_err());
            file
        };
        let reading = read(&self.text, &self.name, &files);
        reading.map_err(|refusal| status_of(refusal, unreadable.get()))
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
