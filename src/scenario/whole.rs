//! A checked scenario, and the one way to change it.
//!
//! One job: parts that have been checked, with the file they came from beside them, so that a change
//! goes through the key and the checker like anything a user writes. How a key is found is in `key`.

use std::fmt;
use std::ops::Deref;
use std::sync::Arc;

use serde::{Serialize, Serializer};
use serde_json::Value;

use super::check::{ReadFile, TakenFile, WeatherFiles, check_text};
use super::key::{self, Lost};
use super::{Parts, Refusal};
use crate::units::{Units, sister_of, sister_to};

/// A whole scenario, checked, with every default filled in. Only [`read`](super::read) and
/// [`with`](Scenario::with) make one: its [`Parts`] are there to read. A copy costs next to nothing.
#[derive(Debug, Clone)]
pub struct Scenario {
    parts: Arc<Parts>,
    source: Arc<Source>,
    /// Units asked for, whatever the file says.
    units: Option<Units>,
}

/// What a scenario was checked from.
#[derive(Debug)]
pub(super) struct Source {
    pub(super) root: Value,
    pub(super) file_name: String,
    pub(super) weather: Option<TakenFile>,
}

impl Deref for Scenario {
    type Target = Parts;

    fn deref(&self) -> &Parts {
        &self.parts
    }
}

impl PartialEq for Scenario {
    fn eq(&self, other: &Self) -> bool {
        self.parts == other.parts
    }
}

/// Keys and values, serialised as a JSON object in the order given.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Changes(pub Vec<(String, Value)>);

impl Changes {
    /// One key set.
    #[must_use]
    pub fn one(key: impl Into<String>, value: impl Into<Value>) -> Self {
        Self::default().and(key, value)
    }

    /// These, and one key more.
    #[must_use]
    pub fn and(mut self, key: impl Into<String>, value: impl Into<Value>) -> Self {
        self.0.push((key.into(), value.into()));
        self
    }
}

impl Serialize for Changes {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_map(self.0.iter().map(|(key, value)| (key, value)))
    }
}

/// Why a scenario cannot be changed so.
#[derive(Debug)]
pub enum ChangeError {
    /// A key leads nowhere.
    Key {
        /// The key.
        key: String,
        /// What is wrong with it.
        problem: String,
        /// The cure, where it is known.
        hint: Option<String>,
    },
    /// The changed scenario does not hold.
    Refused(Refusal),
}

impl fmt::Display for ChangeError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Key { key, problem, .. } => write!(f, "`{key}`: {problem}"),
            Self::Refused(refusal) => {
                for (index, problem) in refusal.problems.iter().enumerate() {
                    let between = if index > 0 { "; " } else { "" };
                    write!(f, "{between}{} {}", problem.place(), problem.text)?;
                }
                Ok(())
            }
        }
    }
}

impl std::error::Error for ChangeError {}

impl ChangeError {
    fn lost(key: &str, Lost { problem, hint }: Lost) -> Self {
        Self::Key {
            key: key.to_owned(),
            problem,
            hint,
        }
    }
}

impl Scenario {
    pub(super) fn new(parts: Parts, source: Source) -> Self {
        Self {
            parts: Arc::new(parts),
            source: Arc::new(source),
            units: None,
        }
    }

    /// The scenario shown in these units instead of those of its file, and so whatever comes of it by
    /// [`with`](Self::with); `None` leaves it as it is.
    #[must_use]
    pub fn in_units(mut self, units: Option<Units>) -> Self {
        if let Some(units) = units {
            Arc::make_mut(&mut self.parts).units = units;
            self.units = Some(units);
        }
        self
    }

    /// The scenario with keys set as if its file had them so, and checked again: what the file leaves
    /// to the defaults follows, and what the checker would refuse is refused. Keys go by ids, names or
    /// numbers: `banks.main.capacity_ah`, `itinerary.legs.2.nights`.
    ///
    /// A weather file is not read again.
    ///
    /// # Errors
    /// [`ChangeError`]; naming another weather file is one, see [`with_files`](Self::with_files).
    ///
    /// # Example
    /// ```
    /// use tideover::scenario::{Changes, read};
    ///
    /// let text = include_str!("../../scenarios/weekend.json");
    /// let scenario = read(text, "weekend.json", &|_| Err("no weather file".to_owned()))?.scenario;
    /// let larger = scenario.with(&Changes::one("banks.1.capacity_ah", 200))?;
    /// assert_eq!(larger.banks[0].capacity_ah, 200.0);
    /// assert!(scenario.with(&Changes::one("banks.1.capacity_ah", -5)).is_err());
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn with(&self, changes: &Changes) -> Result<Self, ChangeError> {
        self.with_files(changes, &|_| {
            Err("it was not read with the scenario".to_owned())
        })
    }

    /// The same, with a reader for the weather file that a change may name.
    ///
    /// # Errors
    /// [`ChangeError`].
    pub fn with_files(&self, changes: &Changes, files: &ReadFile<'_>) -> Result<Self, ChangeError> {
        let mut root = self.source.root.clone();
        for (key, value) in &changes.0 {
            key::put(&mut root, key, value.clone()).map_err(|lost| ChangeError::lost(key, lost))?;
            // What stands for the same as the key gives way to it.
            let (above, last) = key.rsplit_once('.').unwrap_or(("", key));
            let sister = sister_of(last).or_else(|| sister_to(last));
            let instead = match (last, sister) {
                ("drive_hours", _) => vec!["distance_km".to_owned(), "speed_kmh".to_owned()],
                (_, Some(sister)) => vec![sister.key],
                (_, None) => Vec::new(),
            };
            if !instead.is_empty() {
                let entry =
                    key::at(&mut root, above).map_err(|lost| ChangeError::lost(key, lost))?;
                if let Some(members) = entry.as_object_mut() {
                    members.retain(|name, _| !instead.contains(name));
                }
            }
        }
        let weather = WeatherFiles::new(files, self.source.weather.clone());
        check_text(&root.to_string(), &self.source.file_name, weather)
            .map(|changed| changed.in_units(self.units))
            .map_err(ChangeError::Refused)
    }

    /// The units asked for instead of those of its file.
    #[must_use]
    pub fn units_asked(&self) -> Option<Units> {
        self.units
    }

    /// The scenario as its file has it, changes in place.
    #[must_use]
    pub fn as_json(&self) -> &Value {
        &self.source.root
    }

    /// What the file has at a key; `None` where it leaves it to the default.
    ///
    /// # Errors
    /// [`ChangeError::Key`] where it leads nowhere.
    pub fn given(&self, key: &str) -> Result<Option<Value>, ChangeError> {
        let mut root = self.source.root.clone();
        let place = key::at(&mut root, key).map_err(|lost| ChangeError::lost(key, lost))?;
        // What is missing on the way was made, empty.
        let is_made = place.as_object().is_some_and(serde_json::Map::is_empty);
        Ok((!is_made).then(|| place.take()))
    }
}

#[cfg(test)]
mod tests {
    use std::cell::Cell;

    use serde_json::json;

    use super::*;
    use crate::scenario::read;

    const DESERT: &str = include_str!("../../scenarios/desert-crossing.json");

    fn none(_: &str) -> Result<Vec<u8>, String> {
        Err("there is no weather file".to_owned())
    }

    fn desert() -> Scenario {
        read(DESERT, "a.json", &none).expect("sound").scenario
    }

    #[test]
    fn law_a_changed_scenario_is_that_of_the_edited_file() {
        let mut root: Value = serde_json::from_str(DESERT).expect("JSON");
        root["banks"][0]["capacity_ah"] = json!(77);
        root["itinerary"]["legs"][1]["nights"] = json!(4);
        root["aim"] = json!({ "chance": 0.8 });
        let edited = read(&root.to_string(), "a.json", &none).expect("sound");
        let id = desert().banks[0].id.clone();
        let changes = Changes::one(format!("banks.{id}.capacity_ah"), 77)
            .and("itinerary.legs.2.nights", 4)
            .and("aim.chance", 0.8);
        let changed = desert().with(&changes).expect("sound");
        let apart = |scenario: &Scenario| Parts {
            warnings: Vec::new(),
            ..(**scenario).clone()
        };
        assert_eq!(apart(&changed), apart(&edited.scenario));
        let texts = |scenario: &Scenario| -> Vec<String> {
            let warnings = scenario.warnings.iter();
            warnings.map(|warning| warning.text.to_string()).collect()
        };
        assert_eq!(texts(&changed), texts(&edited.scenario));
        assert_eq!(
            changed.given("aim.chance").expect("a key"),
            Some(json!(0.8))
        );
        assert_eq!(desert().given("banks.1.fixed").expect("a key"), None);
    }

    #[test]
    fn refuses_what_the_checker_refuses() {
        let refused = |key: &str, value: Value| {
            let changes = Changes::one(key, value);
            desert().with(&changes).expect_err("refused").to_string()
        };
        assert_eq!(
            refused("banks.1.capacity_ah", json!(-5)),
            "/banks/0/capacity_ah (main) is -5, but must be from 0.1 to 100000"
        );
        assert!(
            refused("banks.mian.capacity_ah", json!(5)).starts_with("`banks.mian.capacity_ah`")
        );
        // JSON has no NaN: a number that is none becomes `null`.
        assert!(refused("banks.1.capacity_ah", f64::NAN.into()).contains("null"));
    }

    #[test]
    fn law_a_weather_file_is_read_once() {
        let mut root: Value = serde_json::from_str(DESERT).expect("JSON");
        root["climate"] = json!({ "kind": "history", "file": "a.csv", "lat": -25, "lon": 135 });
        let days = (1..=365).filter_map(|day| chrono::NaiveDate::from_yo_opt(2023, day));
        let rows: Vec<String> = days.map(|date| format!("{date},5.5,8,24\n")).collect();
        let rows = rows.concat();
        let count = Cell::new(0);
        let file = |_: &str| {
            count.set(count.get() + 1);
            Ok(format!("date,ghi_kwh_m2,min_c,max_c\n{rows}").into_bytes())
        };
        let scenario = read(&root.to_string(), "a.json", &file)
            .expect("sound")
            .scenario;
        let changed = scenario
            .with(&Changes::one("aim.chance", 0.8))
            .expect("sound");
        assert_eq!((count.get(), changed.aim_chance), (1, 0.8));
        let other = Changes::one("climate.file", "b.csv");
        assert!(scenario.with(&other).is_err());
        assert!(scenario.with_files(&other, &file).is_ok());
        assert_eq!(count.get(), 2);
    }
}
