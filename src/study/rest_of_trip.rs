//! The other half of `stay`: does the rest of the trip still work after so many more nights here?
//!
//! One job: the rest of the itinerary run for each number of nights, on the same trials. How long the charge
//! lasts here is in `study::stay`.

use std::sync::Arc;

use super::answer::{Chance, NextDrive, RestRow};
use super::figures::tidy;
use super::from_here::nights_left_here;
use super::settings::Settings;
use super::simulation::{Besides, Simulation};
use crate::engine::Figures;
use crate::scenario::Scenario;
use crate::timeline::calendar::Plan;
use crate::timeline::here::Here;
use crate::timeline::weather_days::WeatherError;
use crate::timeline::{Past, Timeline};
use crate::trials::intervals::wilson_of;
use crate::trials::{Behind, Silent, each_of, useful_threads};
use crate::units::Whole;

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

/// How the rest of a trip is run: what led up to here, and the settings of the run.
pub(super) struct OnwardRuns<'a> {
    pub(super) scenario: &'a Scenario,
    pub(super) past: &'a Arc<Past>,
    pub(super) behind: &'a Behind<'a>,
    pub(super) settings: &'a Settings,
}

impl OnwardRuns<'_> {
    fn here(&self) -> &Arc<Here> {
        &self.past.here
    }

    fn with_nights(&self, nights: u32, settings: &Settings) -> Result<Simulation, WeatherError> {
        let here = Here {
            nights: Some(nights),
            ..Here::clone(self.here())
        };
        let plan = Plan::Onward(Arc::new(here));
        let timeline = Timeline::going_on(self.scenario, &plan, settings.step_minutes, self.past)?;
        let besides = Besides {
            behind: Some(self.behind),
            figures: Figures::Charge,
            ..Besides::default()
        };
        Simulation::run(self.scenario, settings, timeline, &besides, &Silent)
    }

    /// A first look at each number of nights, up to one that is hopeless. Several are run at once: those beyond
    /// the end are thrown away, so that they are the same for any number of threads.
    fn looks(&self, nights_planned: u32, look: &Settings) -> Result<Vec<Look>, WeatherError> {
        let threads = self.settings.run.threads;
        let mut alone = look.clone();
        alone.run.threads = Some(1);
        let at_once = u32::try_from(useful_threads(threads)).unwrap_or(MOST_ROWS);
        let mut looks: Vec<Look> = Vec::new();
        for first in (0..MOST_ROWS).step_by(at_once.clamp(1, MOST_ROWS) as usize) {
            let some: Vec<u32> = (first..MOST_ROWS).take(at_once as usize).collect();
            let found = each_of(some.len(), threads, |at| self.look(some[at], &alone));
            for found in found {
                match found {
                    Ok(found) => looks.push(found),
                    Err(error) if looks.is_empty() => return Err(error),
                    Err(_) => return Ok(looks),
                }
                let row = &looks[looks.len() - 1].row;
                let is_hopeless = row.chance_both.value < HOPELESS * self.scenario.aim_chance;
                if is_hopeless && row.nights_more >= nights_planned {
                    return Ok(looks);
                }
            }
        }
        Ok(looks)
    }

    fn look(&self, nights: u32, settings: &Settings) -> Result<Look, WeatherError> {
        let run = self.with_nights(nights, settings)?;
        Ok(Look {
            row: row(self.here(), nights, &run),
            next_drive: next_drive(self.here(), &run),
        })
    }
}

/// So many more nights, looked at.
struct Look {
    row: RestRow,
    next_drive: Vec<NextDrive>,
}

/// Runs the rest of the trip for every number of nights: a first look with fewer trials and steps of half
/// an hour or more, then the planned number with the trials of the run, which is what `trip` gives from here in the
/// same steps. So is the last that meets the aim, where the first look leaves a doubt that it does.
///
/// # Errors
/// [`WeatherError`] where a day has no climate. A row whose weather is out of reach ends the table.
pub(super) fn rest_of_trip(runs: &OnwardRuns<'_>) -> Result<RestOfTrip, WeatherError> {
    let (scenario, settings) = (runs.scenario, runs.settings);
    let nights_planned = nights_left_here(scenario, runs.here()).unwrap_or(0);
    let coarse = settings.screening();
    // A look in the run's own trials and steps is the run.
    let is_run = coarse == *settings;
    let mut looks = runs.looks(nights_planned, &coarse)?;
    let planned = looks
        .iter()
        .position(|look| look.row.nights_more == nights_planned);
    let next_drive = match planned {
        Some(at) if is_run => looks[at].next_drive.clone(),
        planned => {
            let run = runs.look(nights_planned, settings)?;
            let next_drive = run.next_drive.clone();
            if let Some(at) = planned {
                looks[at] = run;
            }
            next_drive
        }
    };
    let mut settled = vec![nights_planned];
    while !is_run && let Some(at) = last_at_aim(&looks, scenario.aim_chance) {
        let last = &looks[at].row;
        let is_sure = clearly_meets(&last.chance_both, coarse.run.trials, scenario.aim_chance);
        if settled.contains(&last.nights_more) || (is_sure && !settings.typical) {
            break;
        }
        settled.push(last.nights_more);
        looks[at] = runs.look(last.nights_more, settings)?;
    }
    Ok(RestOfTrip {
        rows: looks.into_iter().map(|look| look.row).collect(),
        nights_planned,
        next_drive,
    })
}

/// Whether a chance that so few trials gave is above the aim beyond doubt: 999 of 1,000 intervals like this one hold
/// the true chance, so that more trials, or other draws, would say so too.
fn clearly_meets(chance: &Chance, trials: u64, aim_chance: f64) -> bool {
    const Z_999: f64 = 3.290_526_731_491_926;
    let hits = u64::cut((chance.value * trials.real()).round());
    wilson_of(Z_999, hits, trials).0 >= aim_chance
}

/// Where the most nights stand with which both halves meet the aim.
fn last_at_aim(looks: &[Look], aim_chance: f64) -> Option<usize> {
    looks
        .iter()
        .rposition(|look| look.row.chance_both.value >= aim_chance)
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
    let days = |utc_s: i64| timeline.calendar.since_s(utc_s) / 86_400.0;
    let (leave_days, arrive_days) = (days(leave_s), days(arrive_s));
    let held = |days: &[f32], holds: &dyn Fn(f64) -> bool| {
        let held = days.iter().filter(|days| holds(f64::from(**days)));
        run.chance(held.count() as u64)
    };
    RestRow {
        nights_more,
        leave: run.local(leave_s),
        // What is short now is short here, also for those who leave at once.
        chance_here: held(&ensemble.house_autonomy_days, &|first| {
            first > 0.0 && first >= leave_days
        }),
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
    let house = scenario.house_banks().into_iter();
    house
        .map(|bank| NextDrive {
            bank: scenario.banks[bank].id.clone(),
            soc_before: median(bank, before),
            soc_after: median(bank, after),
        })
        .collect()
}
