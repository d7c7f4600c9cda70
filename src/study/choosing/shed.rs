//! `shed`: what to switch off first, and what each buys.
//!
//! One job: the trip and a stay re-run without each load, then without one after the other. Days
//! are those of a stay without driving, from the charge of the file's start or of now, because a trip may
//! end before its P10; what is past is as it was, with everything on. A bank that its meter shows below the reserve
//! lasts until it drops its loads. Fridges, and loads marked `keep`, are never proposed.
//!
//! Switching off can only help: of the trip only those trials are run again that fall short with more
//! switched on. How the days of a stay are found is in `shed_stays`.

use serde::Serialize;

use super::ChoosingError;
use super::paired::{Difference, chance_difference, percentile_difference};
use super::shed_stays::{Stays, without};
use crate::engine::LoadTotals;
use crate::scenario::{Load, Scenario, indices};
use crate::study::answer::{Chance, Days, Heading, Warning};
use crate::study::figures::{autonomy, chance_of, tidy};
use crate::study::first_shortfalls::Meeting;
use crate::study::settings::Settings;
use crate::study::simulation::Simulation;
use crate::trials::Progress;

/// How far the stay looks, days.
pub const HORIZON_DAYS: u32 = 30;

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
    /// Banks below their reserve now, whose days are told to the cut-off.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub to_cutoff: Vec<String>,
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

/// What is left with some loads off.
#[derive(Clone)]
struct Left {
    /// Trials of the trip that fall short all the same, by number.
    short: Vec<u64>,
    days: Vec<f32>,
    stay: Vec<LoadTotals>,
    /// How far the stay was looked at: without more loads it lasts no shorter.
    horizon: usize,
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
    let runs = 2 * candidates(scenario)?.len() as u64 + 1;
    let trip = Simulation::first_of(scenario, settings, runs, progress)?;
    shed_of(&trip, progress)
}

/// The same from the trip as it is.
///
/// # Errors
/// As [`shed`].
pub fn shed_of(trip: &Simulation, progress: &dyn Progress) -> Result<ShedResult, ChoosingError> {
    let scenario = &trip.scenario;
    let candidates = candidates(scenario)?;
    let stays = Stays::new(trip)?;
    let drawn = trip.kept_draws();
    let meeting = Meeting {
        seed: trip.settings.seed,
        kept: Some(&drawn),
        threads: trip.settings.run.threads,
    };
    let kept = trip.kept();
    let short = kept.iter().zip(0_u64..).filter(|(kept, _)| !**kept);
    let all_on = stays.run(&[], 0)?;
    let all_on = Left {
        short: short.map(|(_, trial)| trial).collect(),
        days: all_on.days,
        stay: all_on.loads,
        horizon: all_on.horizon,
    };
    // Without `load` as well, after `before` with others off already.
    let further = |off: &[usize], before: &Left| -> Result<Left, ChoosingError> {
        let load = off[off.len() - 1];
        let found = trip.days_of(&without(scenario, off)?, &before.short, &meeting)?;
        let still = before.short.iter().zip(found.days);
        let short = still.filter(|(_, days)| days.is_finite());
        let short = short.map(|(&trial, _)| trial).collect();
        if before.stay[load].asked_wh <= 0.0 {
            // It asks for nothing on a stay.
            return Ok(Left {
                short,
                ..before.clone()
            });
        }
        let stay = stays.run(off, before.horizon)?;
        Ok(Left {
            short,
            days: stay.days,
            stay: stay.loads,
            horizon: stay.horizon,
        })
    };
    let horizon = f32::from(u16::try_from(HORIZON_DAYS).unwrap_or(u16::MAX));
    let days = trip.days();
    let entry = |load: usize, found: &Left| {
        let mut kept = vec![true; kept.len()];
        for &trial in &found.short {
            kept[usize::try_from(trial).unwrap_or(0)] = false;
        }
        Shed {
            load: scenario.loads[load].id.clone(),
            gain_days_p10: percentile_difference(&all_on.days, &found.days, 0.1, horizon),
            days_p10: autonomy(&found.days).p10,
            chance_no_shortfall: chance_of(&kept),
            gain_chance: chance_difference(&trip.kept(), &kept),
            wh_per_day: tidy(trip.ensemble.totals.loads[load].asked_wh / days),
        }
    };
    let mut alone: Vec<(usize, Shed, Left)> = Vec::new();
    for &load in &candidates {
        let left = further(&[load], &all_on)?;
        alone.push((load, entry(load, &left), left));
        progress.advance(1, 1);
    }
    alone.sort_by(|(_, a, _), (_, b, _)| {
        b.gain_days_p10
            .value
            .total_cmp(&a.gain_days_p10.value)
            .then(b.gain_chance.value.total_cmp(&a.gain_chance.value))
            .then(b.wh_per_day.total_cmp(&a.wh_per_day))
    });
    let mut order: Vec<usize> = alone.iter().map(|(load, ..)| *load).collect();
    order.sort_by_key(|&load| scenario.loads[load].shed_order.unwrap_or(u32::MAX));
    let mut steps: Vec<Shed> = Vec::new();
    let first = alone.iter().find(|(load, ..)| *load == order[0]);
    let mut left = first.map_or_else(|| all_on.clone(), |(_, _, left)| left.clone());
    for last in 0..order.len() {
        if last > 0 {
            left = further(&order[..=last], &left)?;
        }
        steps.push(entry(order[last], &left));
        progress.advance(1, 1);
    }
    let house = scenario.house_banks();
    let protected = scenario
        .loads
        .iter()
        .filter(|load| house.contains(&load.bank) && !load.off && !may(load));
    Ok(ShedResult {
        heading: trip.heading(),
        aim_chance: scenario.aim_chance,
        stop: scenario.itinerary.stop_name(stays.stop),
        horizon_days: HORIZON_DAYS,
        to_cutoff: stays.named_to_cutoff(),
        days_p10: autonomy(&all_on.days).p10,
        chance_no_shortfall: trip.chance_no_shortfall(),
        alone: alone.into_iter().map(|(_, shed, _)| shed).collect(),
        steps,
        kept: protected.map(|load| load.id.clone()).collect(),
        warnings: trip.warnings(),
    })
}

fn may(load: &Load) -> bool {
    !(load.keep || load.off || load.kind.fridge().is_some())
}

/// Loads of house banks that may be switched off.
fn candidates(scenario: &Scenario) -> Result<Vec<usize>, ChoosingError> {
    let house = scenario.house_banks();
    let found = indices(&scenario.loads, |load| {
        house.contains(&load.bank) && may(load)
    });
    if found.is_empty() {
        return Err(ChoosingError::Nothing(
            "no load may be switched off: all are fridges, marked `keep`, or on a start bank",
        ));
    }
    Ok(found)
}
