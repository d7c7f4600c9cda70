//! The weather file that a scenario names.
//!
//! One job: to read it once, however often the scenario is changed and checked again.

use std::cell::RefCell;
use std::path::{Component, Path};
use std::sync::Arc;

use super::ReadFile;
use crate::sky::history::{self, ReadOptions, Series};

/// A weather file that was read, and how.
#[derive(Debug, Clone)]
pub(in crate::scenario) struct TakenFile {
    name: String,
    options: ReadOptions,
    series: Arc<Series>,
}

/// Where weather files come from during one check.
pub(in crate::scenario) struct WeatherFiles<'a> {
    files: &'a ReadFile<'a>,
    taken: RefCell<Option<TakenFile>>,
}

impl<'a> WeatherFiles<'a> {
    /// Files by a reader; `known` is not read again.
    pub(in crate::scenario) fn new(files: &'a ReadFile<'a>, known: Option<TakenFile>) -> Self {
        Self {
            files,
            taken: RefCell::new(known),
        }
    }

    /// The days of a file; the text of an error begins with its line.
    pub(super) fn series(&self, name: &str, options: ReadOptions) -> Result<Arc<Series>, String> {
        let mut taken = self.taken.borrow_mut();
        if let Some(known) = taken.as_ref()
            && known.name == name
            && known.options == options
        {
            return Ok(Arc::clone(&known.series));
        }
        let bytes = (self.files)(name)?;
        let series = history::read(&bytes, name, &options).map_err(|error| {
            if is_beside(name) {
                error.to_string()
            } else {
                format!(
                    "{}; what stands in a file outside the scenario's folder is not shown",
                    error.without_content()
                )
            }
        })?;
        let series = Arc::new(series);
        *taken = Some(TakenFile {
            name: name.to_owned(),
            options,
            series: Arc::clone(&series),
        });
        Ok(series)
    }

    /// The file that was read last, or known before.
    pub(super) fn taken(self) -> Option<TakenFile> {
        self.taken.into_inner()
    }
}

/// Whether a name stays within the folder of the scenario.
fn is_beside(name: &str) -> bool {
    let mut depth = 0_i32;
    Path::new(name).components().all(|part| {
        match part {
            Component::CurDir => {}
            Component::Normal(_) => depth += 1,
            Component::ParentDir => depth -= 1,
            Component::RootDir | Component::Prefix(_) => return false,
        }
        depth >= 0
    })
}
