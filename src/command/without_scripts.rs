//! What a page says where its scripts don't run: nights left by stop and charge.

use super::Failure;
use crate::present::report::nights_left_html;
use crate::scenario::Scenario;
use crate::study::nights_left::nights_left;
use crate::study::settings::{DEFAULT_SEED, Settings};
use crate::timeline::Timeline;
use crate::timeline::calendar::Plan;

/// Step of the tables, minutes: energy does not depend on it.
const STEP_MINUTES: u32 = 15;

/// The tables of scenarios, as HTML one below the other.
///
/// # Errors
/// [`Failure::Weather`] where a day has no weather.
pub fn without_scripts(scenarios: &[Scenario]) -> Result<String, Failure> {
    let tables = scenarios.iter().map(|scenario| {
        let settings = Settings {
            seed: scenario.seed.unwrap_or(DEFAULT_SEED),
            step_minutes: STEP_MINUTES,
            ..Settings::default()
        };
        let trip = Timeline::new(scenario, Plan::Trip, settings.step_minutes)?;
        let left = nights_left(scenario, &settings, &trip)?;
        nights_left_html(&scenario.title, &left).map_err(Failure::Page)
    });
    tables.collect()
}
