//! When each load is live, as changes from step to step.
//!
//! One job: windows, duty and hours of use turned into a share for every step. Whether the engine
//! runs or the vehicle is in camp is the trial's to say: that is a load's [`Availability`].

use super::calendar::NominalCalendar;
use super::daily_windows::{DayTimes, step_shares, window_spans};
use super::steps::Steps;
use crate::scenario::{Load, Scenario, StopChoice, When, Where};
use crate::units::Whole;

/// On what of a trial a load depends.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Availability {
    /// On nothing.
    Open,
    /// The engine runs.
    Driving,
    /// It does not.
    Parked,
    /// Parked at a stop.
    Camp,
}

impl Availability {
    /// Every availability, in the order of its index.
    pub const ALL: [Self; 4] = [Self::Open, Self::Driving, Self::Parked, Self::Camp];

    /// Place in [`Self::ALL`].
    #[must_use]
    pub fn index(self) -> usize {
        self as usize
    }
}

/// Number of availabilities.
pub const AVAILABILITIES: usize = Availability::ALL.len();

/// The availability of a load; `None`: its `when` and `where` exclude each other.
#[must_use]
pub fn availability(load: &Load) -> Option<Availability> {
    match (load.when, load.place) {
        (When::Always | When::Window(_), Where::Anywhere) => Some(Availability::Open),
        (When::Always | When::Window(_) | When::Ignition, Where::Driving)
        | (When::Ignition, Where::Anywhere) => Some(Availability::Driving),
        (When::Parked, Where::Anywhere) => Some(Availability::Parked),
        (When::Always | When::Window(_) | When::Parked, Where::Camp) => Some(Availability::Camp),
        (When::Ignition, Where::Camp) | (When::Parked, Where::Driving) => None,
    }
}

/// From this step on a load has other shares.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Change {
    /// The step.
    pub step: usize,
    /// Index of the load.
    pub load: usize,
    /// Share of the step in which it is live: inverter idling.
    pub live: f64,
    /// What the trial's factor of the day is multiplied by: the live share times its duty, or over
    /// the hours of its window.
    pub used: f64,
    /// Index of the day to which the use belongs.
    pub day: usize,
}

/// The changes of every load but events, in order of steps.
pub(super) fn load_changes(
    scenario: &Scenario,
    calendar: &NominalCalendar,
    days: &[DayTimes],
    steps: Steps,
) -> Vec<Change> {
    let zone = &scenario.itinerary.zone;
    let (start_s, step_s, count) = (steps.start_s, steps.step_s, steps.count);
    let first_date = scenario.itinerary.start.date();
    let dates = date_of_steps(days, steps);
    let mut changes = Vec::new();
    for (index, load) in scenario.loads.iter().enumerate() {
        if availability(load).is_none() || load.kind.is_event() {
            continue;
        }
        let mut day_of = dates.clone();
        // Hours of each date's window, or 24 without one.
        let mut hours = vec![24.0; days.len()];
        let mut live = match load.when {
            When::Window(window) => {
                let spans = window_spans(window, days, zone);
                hours.fill(0.0);
                for span in &spans {
                    hours[span.day] = (span.to_s - span.from_s).real() / 3600.0;
                    let first = (span.from_s - start_s).div_euclid(step_s).max(0);
                    let beyond = (span.to_s - start_s + step_s - 1).div_euclid(step_s).max(0);
                    let clip = |step: i64| usize::try_from(step).unwrap_or(0).min(count);
                    day_of[clip(first)..clip(beyond)].fill(span.day);
                }
                let ends = spans.iter().map(|span| (span.from_s, span.to_s));
                step_shares(ends, steps)
            }
            _ => vec![1.0; count],
        };
        if load.every_days > 1 || load.stops != StopChoice::Everywhere {
            for (step, live) in live.iter_mut().enumerate() {
                let is_used = load.stops.holds(calendar.stop_at(steps.middle_s(step)))
                    && load.is_day(days[day_of[step]].date, first_date);
                if !is_used {
                    *live = 0.0;
                }
            }
        }
        let mut last = (f64::NAN, f64::NAN, usize::MAX);
        for step in 0..count {
            let day = day_of[step];
            let used = load.kind.used(live[step], hours[day]);
            let live = live[step];
            let now = (live, used, if live > 0.0 { day } else { last.2 });
            if now != last {
                let load = index;
                changes.push(Change {
                    step,
                    load,
                    live,
                    used,
                    day,
                });
                last = now;
            }
        }
    }
    changes.sort_by_key(|change| (change.step, change.load));
    changes
}

/// The local date of each step, index into the day times.
fn date_of_steps(days: &[DayTimes], steps: Steps) -> Vec<usize> {
    let mut day = 0;
    (0..steps.count)
        .map(|step| {
            let middle_s = steps.middle_s(step);
            while day + 1 < days.len() && days[day].next_midnight_s <= middle_s {
                day += 1;
            }
            day
        })
        .collect()
}
