//! The timeline: calendar, sun, weather source, load schedule and constants in one value.

use std::sync::Arc;

use super::calendar::{NominalCalendar, Plan};
use super::daily_windows::{DayTimes, day_times, step_shares, window_spans};
use super::here::{Here, SkyWord, clock};
use super::load_schedule::{Change, load_changes};
use super::past::{Past, on_a_step};
use super::plant::Plant;
use super::steps::Steps;
use super::sun_steps::{SunSteps, planes, sun_steps};
use super::weather_days::{WeatherError, WeatherSource, weather_source};
use super::whole_days::{DayKind, WholeDay, like_days, whole_days};
use crate::scenario::{Mount, Scenario};
use crate::units::Whole;

/// Samples of the state of charge for pictures, at most, over the whole plan.
const MOST_SAMPLES: usize = 300;

/// A portable panel is set up one hour after sunrise and taken down one hour before sunset.
const PORTABLE_MARGIN_S: i64 = 3600;

/// Where a night lies among the steps.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NightMark {
    /// First step of the night.
    pub first_step: usize,
    /// Step after its last.
    pub end_step: usize,
    /// Step in which dawn breaks.
    pub dawn_step: usize,
    /// How far into that step.
    pub dawn_share: f64,
    /// Its end, seconds since the start.
    pub to_s: f64,
}

/// Everything about a plan that no trial changes.
#[derive(Debug, Clone, PartialEq)]
pub struct Timeline {
    /// Step length, s.
    pub step_s: i64,
    /// Number of steps.
    pub steps: usize,
    /// Steps from here on may hold the end of a trial.
    pub tail_step: usize,
    /// The nominal calendar.
    pub calendar: NominalCalendar,
    /// Dates with their sun and clock.
    pub days: Vec<DayTimes>,
    /// The sun.
    pub sun: SunSteps,
    /// Where the weather comes from.
    pub weather: WeatherSource,
    /// Changes of the loads.
    pub changes: Vec<Change>,
    /// Constants.
    pub plant: Plant,
    /// The whole days.
    pub whole_days: Vec<WholeDay>,
    /// Two of one kind, as far apart as can be.
    pub like_days: Option<[WholeDay; 2]>,
    /// Per step: whether the stop where it begins, or to which the leg then driven leads, has mains.
    pub mains: Vec<bool>,
    /// Per step: share in which people are in the vehicle, if in camp.
    pub lived_in: Vec<f64>,
    /// Per step: share in which a portable panel may stand; empty without one.
    pub portable: Vec<f64>,
    /// Nights, in order.
    pub nights: Vec<NightMark>,
    /// What leads up to the beginning, where that is not the file's.
    pub past: Option<Arc<Past>>,
    /// What a forecast says of each of the `days`; none said: empty.
    pub forecast: Vec<Option<SkyWord>>,
    /// A sample for pictures every so many steps.
    pub sample_every: usize,
    /// Per step: whether a night begins or ends, dawn breaks or a sample is due.
    pub marked: Vec<bool>,
}

impl Timeline {
    /// Compiles a scenario for a plan, in steps of `step_minutes` (1 to 60, dividing the hour).
    ///
    /// # Errors
    /// [`WeatherError`] where a day has no climate.
    pub fn new(scenario: &Scenario, plan: Plan, step_minutes: u32) -> Result<Self, WeatherError> {
        Self::with_step_s(scenario, plan, i64::from(step_minutes) * 60)
    }

    /// The same for a step in seconds, 1 or more.
    ///
    /// # Errors
    /// [`WeatherError`] where a day has no climate.
    pub fn with_step_s(scenario: &Scenario, plan: Plan, step_s: i64) -> Result<Self, WeatherError> {
        let plan = on_a_step(&scenario.itinerary, plan, step_s);
        let past = match &plan {
            Plan::Onward(here) | Plan::Rest { here, .. } => {
                Some(Past::in_steps_of(scenario, here, step_s)?)
            }
            Plan::Trip | Plan::Past(_) | Plan::Stay { .. } => None,
        };
        let calendar = NominalCalendar::new(scenario, &plan);
        Self::of_calendar(scenario, calendar, past, step_s)
    }

    /// A plan that goes on from a moment, in steps of `step_minutes`, with what led up to there: its plan must
    /// begin at that moment.
    ///
    /// # Errors
    /// [`WeatherError`] where a day has no climate.
    pub fn going_on(
        scenario: &Scenario,
        plan: &Plan,
        step_minutes: u32,
        past: &Arc<Past>,
    ) -> Result<Self, WeatherError> {
        let calendar = NominalCalendar::new(scenario, plan);
        let step_s = i64::from(step_minutes) * 60;
        Self::of_calendar(scenario, calendar, Some(Arc::clone(past)), step_s)
    }

    /// The same plan with its departures put off: days by leg.
    ///
    /// # Errors
    /// [`WeatherError`] where a day has no climate.
    pub fn put_off(&self, scenario: &Scenario, days: &[u32]) -> Result<Self, WeatherError> {
        let plan = self.calendar.plan();
        let calendar = NominalCalendar::put_off(scenario, plan, days);
        self.on_another(scenario, calendar)
    }

    /// The same plan with room for so many days of delay: its nights and samples are those of all trials,
    /// whenever they end. Those run on timelines of their own.
    ///
    /// # Errors
    /// [`WeatherError`] where a day has no climate.
    pub fn with_room(&self, scenario: &Scenario, days: u32) -> Result<Self, WeatherError> {
        let calendar = NominalCalendar::new(scenario, self.calendar.plan());
        let calendar = calendar.with_room(&scenario.itinerary.zone, days);
        let mut roomy = self.on_another(scenario, calendar)?;
        roomy.sample_every = roomy.steps.div_ceil(MOST_SAMPLES).max(1);
        Ok(roomy)
    }

    /// On another calendar of the same plan, with the constants and samples that it has.
    fn on_another(
        &self,
        scenario: &Scenario,
        calendar: NominalCalendar,
    ) -> Result<Self, WeatherError> {
        let past = self.past.clone();
        let mut other = Self::of_calendar(scenario, calendar, past, self.step_s)?;
        other.plant = self.plant.clone();
        other.sample_every = self.sample_every;
        other.marked = marked(&other.nights, other.sample_every, other.steps);
        Ok(other)
    }

    fn of_calendar(
        scenario: &Scenario,
        calendar: NominalCalendar,
        past: Option<Arc<Past>>,
        step_s: i64,
    ) -> Result<Self, WeatherError> {
        let itinerary = &scenario.itinerary;
        let here = match calendar.plan() {
            Plan::Past(here) | Plan::Onward(here) | Plan::Rest { here, .. } => Some(here),
            Plan::Trip | Plan::Stay { .. } => None,
        };
        let days = day_times(itinerary, &calendar);
        let length_s = calendar.latest_end_s - calendar.start_s;
        let count = usize::try_from((length_s + step_s - 1) / step_s);
        let on_clock = Steps {
            start_s: calendar.start_s,
            step_s,
            count: count.unwrap_or(0).max(1),
        };
        let steps = on_clock.count;
        let nominal_s = calendar.end_s - calendar.start_s;
        let forecast = forecast(here.map(Arc::as_ref), &days);
        let sun = sun_steps(scenario, &calendar, &days, on_clock);
        let spare_s = calendar.latest_end_s - calendar.end_s;
        let spare_days = usize::try_from(spare_s / 86_400).unwrap_or(0) + 2;
        let weather = weather_source(&scenario.climate, &days, spare_days)?;
        let plant = Plant::new(scenario, &sun.plane_of_panel, step_s.real() / 3600.0);
        // Where the step begins: within it the trial's own departure and arrival rule.
        let stops = (0..steps).map(|step| calendar.stop_at(on_clock.begin_s(step)));
        let mains = stops.map(|stop| stop.is_some_and(|stop| itinerary.legs[stop].mains));
        let mains: Vec<bool> = mains.collect();
        let nights = night_marks(scenario, &calendar, &days, on_clock);
        let sample_every = steps.div_ceil(MOST_SAMPLES).max(1);
        let marked = marked(&nights, sample_every, steps);
        let whole_days = whole_days(&calendar, &itinerary.zone, step_s);
        let changes = load_changes(scenario, &calendar, &days, on_clock);
        let tail_step = usize::try_from(nominal_s / step_s)
            .unwrap_or(0)
            .min(steps - 1);
        Ok(Self {
            step_s,
            steps,
            tail_step,
            changes,
            lived_in: lived_in(scenario, &days, on_clock),
            portable: portable(scenario, &days, on_clock),
            marked,
            nights,
            sample_every,
            past,
            forecast,
            sun,
            weather,
            plant,
            like_days: like_days(&whole_days),
            whole_days,
            mains,
            calendar,
            days,
        })
    }

    /// The timeline of `changed` for the same plan, where this is that of `scenario`: calendar, sun and
    /// weather are taken over if the change leaves them, which saves nearly all of the work.
    ///
    /// # Errors
    /// [`WeatherError`] where a day has no climate.
    pub fn of_changed(
        &self,
        scenario: &Scenario,
        changed: &Scenario,
    ) -> Result<Self, WeatherError> {
        let is_under_one_sky =
            Self::has_same_weather(scenario, changed) && planes(scenario).0 == planes(changed).0;
        if !is_under_one_sky {
            return Self::with_step_s(changed, self.calendar.plan().clone(), self.step_s);
        }
        Ok(self.replanted(changed))
    }

    /// The same for loads that are switched off where the plan begins: what led up to there is as it was.
    ///
    /// # Errors
    /// [`WeatherError`] where a day has no climate.
    pub fn of_switched_off(
        &self,
        scenario: &Scenario,
        changed: &Scenario,
    ) -> Result<Self, WeatherError> {
        let mut other = self.of_changed(scenario, changed)?;
        other.past.clone_from(&self.past);
        Ok(other)
    }

    /// Whether two scenarios have the same calendar and weather for every plan.
    #[must_use]
    pub fn has_same_weather(scenario: &Scenario, changed: &Scenario) -> bool {
        scenario.itinerary == changed.itinerary && scenario.climate.is_same(&changed.climate)
    }

    /// The same under the same sky with the parts of another scenario.
    fn replanted(&self, scenario: &Scenario) -> Self {
        let mut other = self.clone();
        other.sun.plane_of_panel = planes(scenario).1;
        other.plant = Plant::new(scenario, &other.sun.plane_of_panel, self.plant.step_h);
        other.changes = load_changes(scenario, &self.calendar, &self.days, self.on_clock());
        other.past = self.past.as_ref().map(|past| {
            Arc::new(Past {
                scenario: scenario.clone(),
                timeline: past.timeline.replanted(scenario),
                here: Arc::clone(&past.here),
            })
        });
        other
    }

    fn on_clock(&self) -> Steps {
        Steps {
            start_s: self.calendar.start_s,
            step_s: self.step_s,
            count: self.steps,
        }
    }

    /// Beginning of a step, UTC seconds.
    #[must_use]
    pub fn utc_s(&self, step: usize) -> i64 {
        self.on_clock().begin_s(step)
    }

    /// Number of whole days of a kind.
    #[must_use]
    pub fn days_of(&self, kind: DayKind) -> usize {
        let days = self.whole_days.iter();
        days.filter(|day| day.kind == kind).count()
    }

    /// Seconds since the start at which a step begins.
    #[must_use]
    pub fn begin_s(&self, step: usize) -> f64 {
        (i64::try_from(step).unwrap_or(0) * self.step_s).real()
    }
}

/// What is said of each day; empty where nothing is.
fn forecast(here: Option<&Here>, days: &[DayTimes]) -> Vec<Option<SkyWord>> {
    let Some(here) = here.filter(|here| !here.sky.is_empty()) else {
        return Vec::new();
    };
    let said = |day: &DayTimes| here.sky.iter().find(|(date, _)| *date == day.date);
    days.iter()
        .map(|day| said(day).map(|(_, word)| *word))
        .collect()
}

fn marked(nights: &[NightMark], sample_every: usize, steps: usize) -> Vec<bool> {
    let mut marked: Vec<bool> = (1..=steps)
        .map(|end| end.is_multiple_of(sample_every) || end == steps)
        .collect();
    for night in nights {
        for step in [night.first_step, night.dawn_step, night.end_step - 1] {
            if let Some(marked) = marked.get_mut(step) {
                *marked = true;
            }
        }
    }
    marked
}

fn lived_in(scenario: &Scenario, days: &[DayTimes], steps: Steps) -> Vec<f64> {
    let Some(window) = scenario.itinerary.lived_in else {
        return vec![0.0; steps.count];
    };
    if window.from == window.to {
        return vec![1.0; steps.count];
    }
    let spans = window_spans(window, days, &scenario.itinerary.zone);
    step_shares(spans.iter().map(|span| (span.from_s, span.to_s)), steps)
}

fn portable(scenario: &Scenario, days: &[DayTimes], steps: Steps) -> Vec<f64> {
    let mut panels = scenario.solar.iter();
    if !panels.any(|panel| panel.mount == Mount::Portable) {
        return Vec::new();
    }
    let sunny = days.iter().filter(|day| day.set_s > day.rise_s);
    let margin_s = PORTABLE_MARGIN_S;
    step_shares(
        sunny.map(|day| (day.rise_s + margin_s, day.set_s - margin_s)),
        steps,
    )
}

fn night_marks(
    scenario: &Scenario,
    calendar: &NominalCalendar,
    days: &[DayTimes],
    steps: Steps,
) -> Vec<NightMark> {
    let (start_s, step_s, count) = (steps.start_s, steps.step_s, steps.count);
    let zone = &scenario.itinerary.zone;
    calendar
        .nights
        .iter()
        .map(|night| {
            let morning = night.date.succ_opt().unwrap_or(night.date);
            let day = days.iter().find(|day| day.date == morning);
            let dawn_s = match day {
                Some(day) if day.has_sunrise => day.rise_s,
                _ => zone.first_utc_s(morning.and_time(clock(6))),
            };
            let dawn_s = dawn_s.clamp(start_s, night.to_s);
            let nearest = |utc_s: i64| {
                let step = (utc_s - start_s + step_s / 2) / step_s;
                usize::try_from(step).unwrap_or(0).min(count)
            };
            let since_s = dawn_s - start_s;
            let dawn_step = usize::try_from(since_s / step_s)
                .unwrap_or(0)
                .min(count - 1);
            NightMark {
                first_step: nearest(night.from_s),
                end_step: nearest(night.to_s)
                    .max(nearest(night.from_s) + 1)
                    .min(count),
                dawn_step,
                dawn_share: ((since_s.real() / step_s.real())
                    - f64::from(u32::try_from(dawn_step).unwrap_or(0)))
                .clamp(0.0, 1.0),
                to_s: (night.to_s - start_s).real(),
            }
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scenario::{Changes, read};

    #[test]
    fn law_the_timeline_of_a_changed_scenario_is_its_own() {
        let text = include_str!("../../scenarios/desert-crossing.json");
        let reading = read(text, "a.json", &|_| Err("none".to_owned())).expect("sound");
        let base = reading.scenario;
        let before = Timeline::new(&base, Plan::Trip, 30).expect("has a climate");
        for changes in [
            Changes::one("banks.main.capacity_ah", 77),
            Changes::one("loads.uplink.off", true),
            Changes::one(
                "loads.uplink.when",
                serde_json::json!({ "window": ["12:00", "20:00"] }),
            ),
            Changes::one("itinerary.legs.2.nights", 5),
            Changes::one("solar.1.mount", "portable"),
            Changes::one(
                "solar",
                serde_json::json!([
                    { "id": "a", "to": "main", "panel_w": 50, "mount": "flat" },
                    { "id": "b", "to": "trailer", "panel_w": 120, "mount": "portable" },
                ]),
            ),
        ] {
            let changed = base.with(&changes).expect("sound");
            let own = Timeline::new(&changed, Plan::Trip, 30).expect("has a climate");
            let found = before.of_changed(&base, &changed);
            assert!(found.expect("has a climate") == own, "{changes:?}");
        }
    }
}
