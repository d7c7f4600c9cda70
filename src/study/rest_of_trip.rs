//! The other half of `stay`: does the rest of the trip still work after so many more nights here?
//!
//! One job: the rest of the itinerary run for each number of nights, on the same trials. How long the charge
//! lasts here is in `study::stay`.

use std::sync::Arc;

use super::answer::{NextDrive, RestRow};
use super::assemble::rfc3339;
use super::figures::{chance_in, tidy};
use super::from_here::nights_left_here;
use super::settings::Settings;
use super::simulation::Simulation;
use crate::scenario::Scenario;
use crate::timeline::Timeline;
use crate::timeline::calendar::Plan;
use crate::timeline::here::Here;
use crate::timeline::weather_days::WeatherError;
use crate::trials::Silent;

/// Rows of the table, at most: from none to one night less.
const MOST_ROWS: u32 = 10;

/// Trials of the first look, at most.
const LOOK_TRIALS: u64 = 256;

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

/// Runs the rest of the trip for every number of nights: a first look with fewer trials and longer steps,
/// then the planned number, which is what `trip` gives from here, and the last that meets the aim with the
/// trials of the run.
///
/// # Errors
/// [`WeatherError`] where a day has no climate. A row whose weather is out of reach ends the table.
pub fn rest_of_trip(
    scenario: &Scenario,
    here: &Arc<Here>,
    settings: &Settings,
) -> Result<RestOfTrip, WeatherError> {
    let nights_planned = nights_left_here(scenario, here).unwrap_or(0);
    let with_nights = |nights: u32, settings: &Settings| {
        let plan = Plan::Onward(Arc::new(Here {
            nights: Some(nights),
            ..Here::clone(here)
        }));
        Simulation::of_plan(scenario, plan, &[], settings, &Silent)
    };
    let look = settings.coarse(LOOK_TRIALS);
    let mut rows: Vec<RestRow> = Vec::new();
    for nights in 0..MOST_ROWS {
        match with_nights(nights, &look) {
            Ok(run) => rows.push(row(here, nights, &run)),
            Err(error) if rows.is_empty() => return Err(error),
            Err(_) => break,
        }
        let both = rows.last().map_or(0.0, |row| row.chance_both.value);
        if both < HOPELESS * scenario.aim_chance && nights >= nights_planned {
            break;
        }
    }
    let planned = with_nights(nights_planned, settings)?;
    let settle = |rows: &mut Vec<RestRow>, run: &Simulation, nights: u32| {
        let known = rows.iter_mut().find(|known| known.nights_more == nights);
        if let Some(known) = known {
            *known = row(here, nights, run);
        }
    };
    settle(&mut rows, &planned, nights_planned);
    // The last that meets the aim must do so with all trials too.
    let mut settled = vec![nights_planned];
    while let Some(last) = last_at_aim(&rows, scenario.aim_chance) {
        if settled.contains(&last) {
            break;
        }
        settle(&mut rows, &with_nights(last, settings)?, last);
        settled.push(last);
    }
    Ok(RestOfTrip {
        rows,
        nights_planned,
        next_drive: next_drive(here, &planned),
    })
}

/// The most nights with which both halves meet the aim.
fn last_at_aim(rows: &[RestRow], aim_chance: f64) -> Option<u32> {
    let mut last_first = rows.iter().rev();
    let last = last_first.find(|row| row.chance_both.value >= aim_chance);
    last.map(|row| row.nights_more)
}

/// When one leaves the stop, and when the drive from there is done: from then on what is short is short by the
/// rest of the trip, and not for what was spent here. UTC seconds.
fn leave_and_arrive_s(here: &Here, timeline: &Timeline) -> (i64, i64) {
    let calendar = &timeline.calendar;
    let next = here.stop.and_then(|stop| calendar.legs.get(stop + 1));
    next.map_or((calendar.end_s, calendar.end_s), |leg| {
        (leg.depart_s, leg.arrive_s)
    })
}

fn row(here: &Here, nights_more: u32, run: &Simulation) -> RestRow {
    let (timeline, ensemble) = (&run.timeline, &run.ensemble);
    let (leave_s, arrive_s) = leave_and_arrive_s(here, timeline);
    #[expect(clippy::cast_precision_loss, reason = "seconds of a trip")]
    let days = |utc_s: i64| (utc_s - timeline.calendar.start_s) as f64 / 86_400.0;
    let (leave_days, arrive_days) = (days(leave_s), days(arrive_s));
    let held = |days: &[f32], holds: &dyn Fn(f64) -> bool| {
        let held = days.iter().filter(|days| holds(f64::from(**days)));
        chance_in(ensemble, held.count() as u64)
    };
    RestRow {
        nights_more,
        leave: rfc3339(&run.scenario.itinerary.zone, leave_s),
        chance_here: held(&ensemble.house_autonomy_days, &|first| first >= leave_days),
        chance_rest: held(&ensemble.house_last_short_days, &|last| last <= arrive_days),
        chance_both: held(&ensemble.house_autonomy_days, &f64::is_infinite),
    }
}

/// What the drive from here brings: the median charge of each house bank before and after it.
fn next_drive(here: &Here, run: &Simulation) -> Vec<NextDrive> {
    let (scenario, timeline, ensemble) = (&run.scenario, &run.timeline, &run.ensemble);
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
