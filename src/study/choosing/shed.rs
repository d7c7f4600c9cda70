//! `shed`: what to switch off first, and what each buys.
//!
//! One job: the trip and a stay re-run without each load, then without one after the other. Days
//! are those of a stay without driving, from the charge of the file's start, because a trip may
//! end before its P10. Fridges, and loads marked `keep`, are never proposed.

use std::sync::Arc;

use serde::Serialize;

use super::ChoosingError;
use super::paired::{Difference, chance_difference, percentile_difference};
use super::runs::{hits, house_banks};
use crate::scenario::{Changes, Load, LoadKind, Scenario};
use crate::study::answer::{Chance, Days, Heading, Warning};
use crate::study::figures::{autonomy, chance, tidy};
use crate::study::settings::Settings;
use crate::study::simulation::Simulation;
use crate::study::stay::StayQuestion;
use crate::timeline::Timeline;
use crate::timeline::calendar::Plan;
use crate::trials::Progress;

/// How far the stay looks, days.
pub const HORIZON_DAYS: u32 = 30;
/// Least step of the stay, minutes: a month in five-minute steps would take longer than it tells.
const STAY_STEP_MINUTES: u32 = 15;

/// What switching off buys.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Shed {
    /// The load; in `steps`, the one added to those before.
    pub load: String,
    /// Gain in the days that 9 in 10 last, against everything on; beyond the horizon counted as it.
    pub gain_days_p10: Difference,
    /// Days that 9 in 10 last then.
    pub days_p10: Days,
    /// Chance of no shortfall of the trip then.
    pub chance_no_shortfall: Chance,
    /// Gain in that chance, against everything on.
    pub gain_chance: Difference,
    /// What the load asks for, supplied or not, Wh a day.
    pub wh_per_day: f64,
}

/// The result of `shed`.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ShedResult {
    /// Tool, scenario, seed, trials.
    #[serde(flatten)]
    pub heading: Heading,
    /// The confidence aimed at.
    pub aim_chance: f64,
    /// The stop at which the stay is.
    pub stop: String,
    /// How far the stay looks, days.
    pub horizon_days: u32,
    /// With everything on: days that 9 in 10 last.
    pub days_p10: Days,
    /// With everything on: chance of no shortfall of the trip.
    pub chance_no_shortfall: Chance,
    /// Each load alone, what buys most first.
    pub alone: Vec<Shed>,
    /// One after the other: by `shed_order`, then what buys most.
    pub steps: Vec<Shed>,
    /// Loads never proposed: fridges and what is marked `keep`.
    pub kept: Vec<String>,
    /// What the reader should know.
    pub warnings: Vec<Warning>,
}

struct Pair {
    kept: Vec<bool>,
    days: Vec<f32>,
    load_wh_per_day: Vec<f64>,
}

/// Works out what to switch off.
///
/// # Errors
/// [`ChoosingError::Weather`] where a day has no climate; [`ChoosingError::Nothing`] if no load of
/// a house bank may be switched off.
pub fn shed(
    scenario: &Scenario,
    settings: &Settings,
    progress: &dyn Progress,
) -> Result<ShedResult, ChoosingError> {
    let house = house_banks(scenario);
    let may = |load: &Load| {
        house.contains(&load.bank)
            && !(load.keep || load.off)
            && !matches!(load.kind, LoadKind::Fridge(_))
    };
    let candidates: Vec<usize> = (0..scenario.loads.len())
        .filter(|&load| may(&scenario.loads[load]))
        .collect();
    if candidates.is_empty() {
        return Err(ChoosingError::Nothing(
            "no load may be switched off: all are fridges, marked `keep`, or on a start bank",
        ));
    }
    let longest = (0..scenario.itinerary.legs.len())
        .max_by_key(|&leg| (scenario.itinerary.legs[leg].nights, usize::MAX - leg));
    let question = StayQuestion::new(scenario, longest, None);
    let steps = Timeline::new(scenario, settings.plan(), settings.step_minutes)?.steps;
    progress.expect(3 + 4 * candidates.len() as u64, steps);
    let trip = Simulation::trip(scenario, settings, progress)?;
    // From here on it is told of the stop where one stands.
    let turn = trip.timeline.calendar.turn;
    let stop = turn
        .map_or(question.here.stop, |turn| turn.leg)
        .unwrap_or(0);
    let plan = match &settings.here {
        Some(here) => Plan::Rest {
            here: Arc::clone(here),
            horizon_days: HORIZON_DAYS,
        },
        None => Plan::Stay {
            stop,
            now_s: question.here.now_s,
            horizon_days: HORIZON_DAYS,
        },
    };
    let run = |off: &[usize]| pair(&without(scenario, off)?, plan.clone(), settings, progress);
    let all_on = run(&[])?;
    let horizon = f32::from(u16::try_from(HORIZON_DAYS).unwrap_or(u16::MAX));
    let entry = |load: usize, found: &Pair| Shed {
        load: scenario.loads[load].id.clone(),
        gain_days_p10: percentile_difference(&all_on.days, &found.days, 0.1, horizon),
        days_p10: autonomy(&found.days).p10,
        chance_no_shortfall: chance(hits(&found.kept), found.kept.len() as u64),
        gain_chance: chance_difference(&all_on.kept, &found.kept),
        wh_per_day: tidy(all_on.load_wh_per_day[load]),
    };
    let mut alone: Vec<(usize, Shed)> = Vec::new();
    for &load in &candidates {
        alone.push((load, entry(load, &run(&[load])?)));
    }
    alone.sort_by(|(_, a), (_, b)| {
        b.gain_days_p10
            .value
            .total_cmp(&a.gain_days_p10.value)
            .then(b.gain_chance.value.total_cmp(&a.gain_chance.value))
            .then(b.wh_per_day.total_cmp(&a.wh_per_day))
    });
    let mut order: Vec<usize> = alone.iter().map(|(load, _)| *load).collect();
    order.sort_by_key(|&load| scenario.loads[load].shed_order.unwrap_or(u32::MAX));
    let mut steps = Vec::new();
    for last in 0..order.len() {
        steps.push(entry(order[last], &run(&order[..=last])?));
    }
    let kept = scenario
        .loads
        .iter()
        .filter(|load| house.contains(&load.bank) && !load.off && !may(load));
    Ok(ShedResult {
        heading: trip.heading(),
        aim_chance: scenario.aim_chance,
        stop: scenario.itinerary.legs[stop].stop.name.clone(),
        horizon_days: HORIZON_DAYS,
        days_p10: autonomy(&all_on.days).p10,
        chance_no_shortfall: chance(hits(&all_on.kept), all_on.kept.len() as u64),
        alone: alone.into_iter().map(|(_, shed)| shed).collect(),
        steps,
        kept: kept.map(|load| load.id.clone()).collect(),
        warnings: trip.warnings(),
    })
}

fn pair(
    scenario: &Scenario,
    plan: Plan,
    settings: &Settings,
    progress: &dyn Progress,
) -> Result<Pair, ChoosingError> {
    let trip = Simulation::trip(scenario, settings, progress)?;
    let mut coarse = settings.clone();
    coarse.step_minutes = settings.step_minutes.max(STAY_STEP_MINUTES);
    let stay = Simulation::of_plan(scenario, plan, &[], &coarse, progress)?;
    let days = trip.days();
    Ok(Pair {
        kept: trip.kept(),
        days: stay.ensemble.house_autonomy_days.clone(),
        load_wh_per_day: trip.ensemble.asked_wh.iter().map(|wh| wh / days).collect(),
    })
}

/// The scenario with some loads switched off; they keep their places.
fn without(scenario: &Scenario, off: &[usize]) -> Result<Scenario, ChoosingError> {
    let ids = off.iter().map(|&load| &scenario.loads[load].id);
    let changes = ids.fold(Changes::default(), |changes, id| {
        changes.and(format!("loads.{id}.off"), true)
    });
    let broken = |error| ChoosingError::of_change("switched off", "switched off", error);
    scenario.with(&changes).map_err(broken)
}
