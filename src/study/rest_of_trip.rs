//! The other half of `stay`: does the rest of the trip still work after so many more nights here?
//!
//! One job: the rest of the itinerary run for each number of nights, on the same trials. How long the charge
//! lasts here is in `study::stay`.

use std::sync::Arc;

use super::answer::{NextDrive, RestRow};
use super::assemble::rfc3339;
use super::figures::{chance, tidy};
use super::from_here::nights_left_here;
use super::settings::Settings;
use super::simulation::Simulation;
use crate::scenario::Scenario;
use crate::timeline::Timeline;
use crate::timeline::calendar::Plan;
use crate::timeline::here::Here;
use crate::timeline::weather_days::WeatherError;
use crate::trials::{Ensemble, Silent};

/// Rows of the table, at most: from none to one night less.
const MOST_ROWS: u32 = 10;

/// Once the chance of both halves is below this part of the aim, more nights are not asked about.
const HOPELESS: f64 = 0.25;

/// What was found for the rest of the trip.
#[derive(Debug, Clone, PartialEq)]
pub struct RestOfTrip {
    /// By nights still spent here, from none.
    pub rows: Vec<RestRow>,
    /// Nights that the plan, or the question, has here.
    pub nights_planned: u32,
    /// What the drive after the planned nights brings each house bank; empty at the last stop.
    pub next_drive: Vec<NextDrive>,
}

/// Runs the rest of the trip for every number of nights. The chance of the planned number is that which
/// `trip` gives from here.
///
/// # Errors
/// [`WeatherError`] where a day has no climate. A row whose weather is out of reach ends the table.
pub fn rest_of_trip(
    scenario: &Scenario,
    here: &Arc<Here>,
    settings: &Settings,
) -> Result<RestOfTrip, WeatherError> {
    let nights_planned = nights_left_here(scenario, here).unwrap_or(0);
    let mut found = RestOfTrip {
        rows: Vec::new(),
        nights_planned,
        next_drive: Vec::new(),
    };
    for nights_more in 0..MOST_ROWS.max(nights_planned.saturating_add(1)) {
        if found.rows.len() >= MOST_ROWS as usize && nights_more != nights_planned {
            continue;
        }
        let asked = Plan::Onward(Arc::new(Here {
            nights: Some(nights_more),
            ..Here::clone(here)
        }));
        let run = match Simulation::of_plan(scenario, asked, &[], settings, &Silent) {
            Ok(run) => run,
            Err(_) if !found.rows.is_empty() => break,
            Err(error) => return Err(error),
        };
        let (timeline, ensemble) = (&run.timeline, &run.ensemble);
        if nights_more == nights_planned {
            found.next_drive = next_drive(scenario, here, timeline, ensemble);
        }
        let row = row(scenario, here, nights_more, timeline, ensemble);
        let is_hopeless = row.chance_both.value < HOPELESS * scenario.aim_chance;
        if found.rows.len() < MOST_ROWS as usize {
            found.rows.push(row);
        }
        if is_hopeless && nights_more >= nights_planned {
            break;
        }
    }
    Ok(found)
}

/// When one leaves the stop, UTC seconds.
fn leave_s(here: &Here, timeline: &Timeline) -> i64 {
    let next = here
        .stop
        .and_then(|stop| timeline.calendar.legs.get(stop + 1));
    next.map_or(timeline.calendar.end_s, |leg| leg.depart_s)
}

fn row(
    scenario: &Scenario,
    here: &Here,
    nights_more: u32,
    timeline: &Timeline,
    ensemble: &Ensemble,
) -> RestRow {
    let leave_s = leave_s(here, timeline);
    #[expect(clippy::cast_precision_loss, reason = "seconds of a trip")]
    let leave_days = (leave_s - timeline.calendar.start_s) as f64 / 86_400.0;
    let trials = ensemble.trials;
    let held = |days: &[f32], holds: &dyn Fn(f64) -> bool| {
        let held = days.iter().filter(|days| holds(f64::from(**days)));
        chance(held.count() as u64, trials)
    };
    RestRow {
        nights_more,
        leave: rfc3339(&scenario.itinerary.zone, leave_s),
        chance_here: held(&ensemble.house_autonomy_days, &|first| first >= leave_days),
        chance_rest: held(&ensemble.house_last_short_days, &|last| last <= leave_days),
        chance_both: held(&ensemble.house_autonomy_days, &f64::is_infinite),
    }
}

/// What the drive from here brings: the median charge of each house bank before and after it.
fn next_drive(
    scenario: &Scenario,
    here: &Here,
    timeline: &Timeline,
    ensemble: &Ensemble,
) -> Vec<NextDrive> {
    let calendar = &timeline.calendar;
    let Some(leg) = here.stop.and_then(|stop| calendar.legs.get(stop + 1)) else {
        return Vec::new();
    };
    let every_s = timeline.step_s * i64::try_from(timeline.sample_every).unwrap_or(1);
    let last = ensemble.samples.samples().saturating_sub(1);
    let sample = |utc_s: i64| usize::try_from(utc_s / every_s).unwrap_or(0).min(last);
    let before = sample(leg.depart_s - calendar.start_s);
    let after = sample(leg.arrive_s - calendar.start_s + every_s - 1);
    let median =
        |bank: usize, sample: usize| tidy(ensemble.samples.quantiles(bank, sample, [0.5])[0]);
    (0..scenario.banks.len())
        .filter(|&bank| timeline.plant.banks[bank].is_house)
        .map(|bank| NextDrive {
            bank: scenario.banks[bank].id.clone(),
            soc_before: median(bank, before),
            soc_after: median(bank, after),
        })
        .collect()
}
