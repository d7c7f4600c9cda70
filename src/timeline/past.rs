//! What a plan takes over that begins on the way, and the step in which it begins.

use std::sync::Arc;

use super::Timeline;
use super::calendar::Plan;
use super::here::Here;
use super::weather_days::WeatherError;
use crate::scenario::{Itinerary, Scenario};

/// What a plan takes over that begins on the way.
#[derive(Debug, Clone, PartialEq)]
pub struct Past {
    /// What was driven and used up to there.
    pub scenario: Scenario,
    /// The itinerary up to there.
    pub timeline: Timeline,
    /// What is known there.
    pub here: Arc<Here>,
}

impl Past {
    /// The itinerary up to the step, of `step_minutes`, that a moment falls in.
    ///
    /// # Errors
    /// [`WeatherError`] where a day has no climate.
    pub fn new(
        scenario: &Scenario,
        here: &Arc<Here>,
        step_minutes: u32,
    ) -> Result<Arc<Self>, WeatherError> {
        let step_s = i64::from(step_minutes) * 60;
        let here = here_on_a_step(&scenario.itinerary, Arc::clone(here), step_s);
        Self::in_steps_of(scenario, &here, step_s)
    }

    pub(super) fn in_steps_of(
        scenario: &Scenario,
        here: &Arc<Here>,
        step_s: i64,
    ) -> Result<Arc<Self>, WeatherError> {
        Ok(Arc::new(Self {
            scenario: scenario.clone(),
            timeline: Timeline::with_step_s(scenario, Plan::Past(Arc::clone(here)), step_s)?,
            here: Arc::clone(here),
        }))
    }
}

/// The plan with its moment at the beginning of the step that it falls in.
pub(super) fn on_a_step(itinerary: &Itinerary, plan: Plan, step_s: i64) -> Plan {
    let round = |here: Arc<Here>| here_on_a_step(itinerary, here, step_s);
    match plan {
        Plan::Trip | Plan::Stay { .. } => plan,
        Plan::Past(here) => Plan::Past(round(here)),
        Plan::Onward(here) => Plan::Onward(round(here)),
        Plan::Rest { here, horizon_days } => Plan::Rest {
            here: round(here),
            horizon_days,
        },
    }
}

fn here_on_a_step(itinerary: &Itinerary, here: Arc<Here>, step_s: i64) -> Arc<Here> {
    let start_s = itinerary.zone.first_utc_s(itinerary.start);
    let since_s = (here.now_s - start_s).max(0);
    let now_s = start_s + since_s / step_s * step_s;
    if now_s == here.now_s {
        return here;
    }
    Arc::new(Here {
        now_s,
        ..Here::clone(&here)
    })
}
