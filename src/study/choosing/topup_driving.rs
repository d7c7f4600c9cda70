//! Driving more or less: an itinerary with its hours at the wheel changed.
//!
//! One job: the spreads of drives scaled in proportion, or drives added on the days spent in camp.

use std::sync::Arc;

use super::ChoosingError;
use crate::scenario::{Changes, Scenario, Spread};
use crate::study::settings::Settings;
use crate::timeline::calendar::Plan;
use crate::timeline::weather_days::WeatherError;
use crate::timeline::{Past, Timeline};

/// No drive is made longer than this, h.
pub(super) const LONGEST_DRIVE_H: f64 = 12.0;

/// How the hours at the wheel are changed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum DrivingBy {
    /// Every leg and local drive scaled in proportion.
    Proportion,
    /// Legs as they are, the same local drive on every day in camp.
    LocalDrives,
}

fn scaled(spread: Spread, factor: f64) -> Spread {
    if spread.max <= 0.0 {
        return spread;
    }
    let most = (LONGEST_DRIVE_H / spread.max).max(1.0);
    spread.scaled(factor.min(most))
}

/// The ways that change anything, the first to be tried first; empty if nothing can be driven.
pub(super) fn ways(scenario: &Scenario) -> Vec<DrivingBy> {
    let legs = &scenario.itinerary.legs;
    let drives = legs.iter().any(|leg| {
        leg.drive_hours.max > 0.0 || (leg.nights > 1 && leg.local_drive_hours.max > 0.0)
    });
    let has_local = legs
        .iter()
        .any(|leg| leg.nights > 1 && leg.local_drive_hours.max > 0.0);
    let has_days = legs.iter().any(|leg| leg.nights > 1);
    let mut ways = Vec::new();
    // A leg ends where the stop is: days in camp are where hours can be added.
    if has_days {
        ways.push(DrivingBy::LocalDrives);
    }
    if has_local || (drives && !has_days) {
        ways.push(DrivingBy::Proportion);
    }
    ways
}

/// The largest setting of a way.
pub(super) fn most(scenario: &Scenario, way: DrivingBy) -> f64 {
    if way == DrivingBy::LocalDrives {
        return LONGEST_DRIVE_H;
    }
    let legs = scenario.itinerary.legs.iter();
    legs.flat_map(|leg| [leg.drive_hours.max, leg.local_drive_hours.max])
        .filter(|hours| *hours > 0.0)
        .map(|hours| (LONGEST_DRIVE_H / hours).max(1.0))
        .fold(1.0, f64::max)
}

/// The scenario driven by `setting`: a factor, or hours a day.
///
/// # Errors
/// [`ChoosingError::Broken`] where the checker refuses such drives.
pub(super) fn driven(
    scenario: &Scenario,
    way: DrivingBy,
    setting: f64,
) -> Result<Scenario, ChoosingError> {
    let mut changes = Changes::default();
    for (index, leg) in scenario.itinerary.legs.iter().enumerate() {
        let key = |name: &str| format!("itinerary.legs.{}.{name}", index + 1);
        changes = match way {
            DrivingBy::Proportion => changes
                .and(key("drive_hours"), scaled(leg.drive_hours, setting))
                .and(
                    key("local_drive_hours"),
                    scaled(leg.local_drive_hours, setting),
                ),
            DrivingBy::LocalDrives => changes.and(key("local_drive_hours"), setting),
        };
    }
    let broken = |error| ChoosingError::of_change("driving", "driving", error);
    scenario.with(&changes).map_err(broken)
}

/// The timeline of a scenario with its drives changed. Of a trip that is taken up on the way what led up to here is
/// that of the scenario as it is: nobody has driven more before now.
///
/// # Errors
/// [`WeatherError`] where a day has no climate.
pub(super) fn driven_timeline(
    as_it_is: &Scenario,
    driven: &Scenario,
    settings: &Settings,
) -> Result<Timeline, WeatherError> {
    let step_minutes = settings.step_minutes;
    let Some(here) = &settings.here else {
        return Timeline::new(driven, Plan::Trip, step_minutes);
    };
    let past = Past::new(as_it_is, here, step_minutes)?;
    let plan = Plan::Onward(Arc::clone(&past.here));
    Timeline::going_on(driven, &plan, step_minutes, &past)
}
