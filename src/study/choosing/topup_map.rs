//! The heat map of `topup`: chance of no shortfall by driving and by one more size.
//!
//! One job: the grid, on the same trials as the answer but fewer of them.

use serde::Serialize;

use super::ChoosingError;
use super::topup::{Driven, DrivingBy};
use super::topup_driving::{driven, driven_timeline, most};
use crate::scenario::{Changes, Scenario};
use crate::study::settings::Settings;
use crate::study::simulation::{Besides, Simulation};
use crate::trials::{Progress, Silent};

/// Trials of a cell, at most.
const CELL_TRIALS: u64 = 128;
/// Columns.
const COLUMNS: u32 = 8;

/// Factors by which the size across the map differs from that of the file.
const SIZES: [f64; 6] = [0.5, 0.75, 1.0, 1.25, 1.5, 2.0];

/// Chance of no shortfall by driving and size.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Map {
    /// The key of the size.
    pub against: String,
    /// Its values, ascending: rows.
    pub sizes: Vec<f64>,
    /// Hours of driving a day, ascending: columns.
    pub hours_per_day: Vec<f64>,
    /// Chances by row and column.
    pub chance: Vec<Vec<f64>>,
    /// Trials of a cell.
    pub trials: u64,
}

/// Sizes, ascending, with their scenarios.
pub type Rows = Vec<(f64, Scenario)>;

/// Scenarios with the number at a key at several multiples of its value.
///
/// # Errors
/// A key that leads nowhere, or to no number above 0; a size that the checker refuses.
pub fn size_rows(scenario: &Scenario, key: &str) -> Result<Rows, ChoosingError> {
    const OPTION: &str = "--against";
    let broken = |error| ChoosingError::of_change(OPTION, key, error);
    let given = scenario.given(key).map_err(broken)?;
    let now = given
        .and_then(|value| value.as_f64())
        .filter(|now| *now > 0.0);
    let now = now.ok_or_else(|| ChoosingError::Word {
        option: OPTION,
        found: key.to_owned(),
        problem: "must be a number above 0 in the scenario".to_owned(),
        hint: None,
    })?;
    SIZES
        .iter()
        .map(|factor| {
            let value = (now * factor * 1000.0).round() / 1000.0;
            let named = |error| ChoosingError::of_change(OPTION, &format!("{key} {value}"), error);
            let scenario = scenario.with(&Changes::one(key, value)).map_err(named)?;
            Ok((value, scenario))
        })
        .collect()
}

/// Works out the map. `rows` are the sizes, ascending, with their scenarios; `about_h` is a number
/// of hours a day that should lie in the middle, in camp where local drives are added, and the hours now.
///
/// # Errors
/// [`ChoosingError::Weather`] where a day has no climate.
pub fn topup_map(
    against: &str,
    rows: &[(f64, Scenario)],
    way: DrivingBy,
    about_h: Option<(f64, f64)>,
    settings: &Settings,
    progress: &dyn Progress,
) -> Result<Map, ChoosingError> {
    let settings = settings.coarse(CELL_TRIALS);
    let mut map = Map {
        against: against.to_owned(),
        sizes: rows.iter().map(|row| row.0).collect(),
        hours_per_day: Vec::new(),
        chance: Vec::new(),
        trials: settings.run.trials,
    };
    let end = rows.first().map_or(1.0, |row| {
        let most = most(&row.1, way);
        // Settings and hours go together nearly in proportion.
        about_h.map_or(most, |(answer_h, now_h)| {
            let per_h = if way == DrivingBy::Proportion && now_h > 0.0 {
                1.0 / now_h
            } else {
                1.0
            };
            (2.2 * answer_h * per_h).clamp(0.2, most)
        })
    });
    map.chance = vec![Vec::new(); rows.len()];
    for column in 0..COLUMNS {
        let setting = end * f64::from(column) / f64::from(COLUMNS - 1);
        let mut of_first: Option<Simulation> = None;
        for ((_, sized), chances) in rows.iter().zip(&mut map.chance) {
            let scenario = driven(sized, way, setting)?;
            // Sizes differ, the way and the sky do not: but for what led up to here.
            let run = match &of_first {
                Some(first) if settings.here.is_none() => first.changed(&scenario, &Silent)?,
                _ => {
                    let timeline = driven_timeline(sized, &scenario, &settings)?;
                    let besides = Besides::default();
                    Simulation::run(&scenario, &settings, timeline, &besides, &Silent)?
                }
            };
            progress.advance(1, 1);
            chances.push(run.chance_no_shortfall().value);
            if of_first.is_none() {
                map.hours_per_day.push(Driven::of(&run).per_day);
                of_first = Some(run);
            }
        }
    }
    Ok(map)
}
