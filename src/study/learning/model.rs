//! The engine on the times of a log.
//!
//! One job: a scenario run with the drives that were driven and put at the measured charge, once without
//! chance for every part's current by step, and through its trials for what chance does to a day.

use super::drives::Drives;
use super::meter::Meter;
use crate::engine::{LANES, Lanes, MeasuredSoc, Observer, StepView, follow_batch};
use crate::scenario::{ChargerSource, Scenario};
use crate::timeline::Timeline;
use crate::trials::Drawing;
use crate::units::Whole;

/// Days of a log begin at this hour of the local clock.
const MORNING_H: u32 = 6;

/// A day shorter than this is no day, s.
const LEAST_DAY_S: f64 = 6.0 * 3600.0;

/// Current of every part without chance, A at its bank, by step.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct Traces {
    /// Draw of each load.
    pub(super) load_a: Vec<Vec<f64>>,
    /// Into its bank, of each charger.
    pub(super) charger_a: Vec<Vec<f64>>,
    /// Out of its giver, of each bank-fed charger.
    pub(super) feed_a: Vec<Vec<f64>>,
    /// What each panel could give.
    pub(super) offer_a: Vec<Vec<f64>>,
    /// The same as power, W.
    pub(super) offer_w: Vec<Vec<f64>>,
    /// What each fridge's compressor takes, W.
    pub(super) fridge_w: Vec<Vec<f64>>,
    /// Share of the step driven.
    pub(super) driving: Vec<f64>,
}

struct Tracer<'a> {
    scenario: &'a Scenario,
    traces: Traces,
}

impl Observer for Tracer<'_> {
    fn after_step(&mut self, view: &StepView<'_>) {
        let scenario = self.scenario;
        let volts = |bank: usize| view.bank(bank).1.max(1.0);
        let traces = &mut self.traces;
        for (load, part) in scenario.loads.iter().enumerate() {
            traces.load_a[load].push(view.load_w(load) / volts(part.bank));
        }
        for (charger, part) in scenario.chargers.iter().enumerate() {
            let watts = view.charger_w(charger);
            traces.charger_a[charger].push(watts / volts(part.to));
            let giver = match part.from {
                ChargerSource::Bank(giver) => Some(giver),
                _ => None,
            };
            let feed = giver.map_or(0.0, |giver| watts / part.efficiency / volts(giver));
            traces.feed_a[charger].push(feed);
        }
        for (panel, part) in scenario.solar.iter().enumerate() {
            let offer_w = view.panel_offer_w_of_all(panel)[0];
            traces.offer_a[panel].push(offer_w / volts(part.to));
            traces.offer_w[panel].push(offer_w);
        }
        for (fridge, watts) in traces.fridge_w.iter_mut().enumerate() {
            watts.push(view.fridge_w_of_all(fridge)[0]);
        }
        traces.driving.push(view.driving());
    }
}

/// Runs a scenario without chance.
pub(super) fn traces(
    scenario: &Scenario,
    timeline: &Timeline,
    drives: Option<&Drives>,
    measured: &[MeasuredSoc],
) -> Traces {
    let drawing = drawing(scenario, timeline, 1, drives);
    let columns = |count: usize| vec![Vec::with_capacity(timeline.steps); count];
    let mut tracer = Tracer {
        scenario,
        traces: Traces {
            load_a: columns(scenario.loads.len()),
            charger_a: columns(scenario.chargers.len()),
            feed_a: columns(scenario.chargers.len()),
            offer_a: columns(scenario.solar.len()),
            offer_w: columns(scenario.solar.len()),
            fridge_w: columns(timeline.plant.fridges.len()),
            driving: Vec::with_capacity(timeline.steps),
        },
    };
    follow_batch(timeline, &drawing.typical(), measured, &mut tracer);
    tracer.traces
}

fn drawing<'t>(
    scenario: &Scenario,
    timeline: &'t Timeline,
    seed: u64,
    drives: Option<&Drives>,
) -> Drawing<'t> {
    let drawing = Drawing::new(scenario, timeline, seed, &[]);
    match drives {
        Some(drives) => drawing.driven_so(drives.all.clone(), drives.legs.clone()),
        None => drawing,
    }
}

/// Charge as measured every so many steps, for the banks that have a meter.
pub(super) fn every(timeline: &Timeline, meters: &[Meter], steps: usize) -> Vec<MeasuredSoc> {
    let marks: Vec<usize> = (0..timeline.steps).step_by(steps.max(1)).collect();
    at_steps(meters, &marks)
}

/// Charge as measured at the beginning of these steps, in order.
pub(super) fn at_steps(meters: &[Meter], steps: &[usize]) -> Vec<MeasuredSoc> {
    let mut measured = Vec::new();
    for &step in steps {
        for meter in meters {
            let soc = step
                .checked_sub(1)
                .map_or(f64::NAN, |before| meter.soc[before]);
            if soc.is_finite() {
                measured.push(MeasuredSoc {
                    step,
                    bank: meter.bank,
                    soc,
                });
            }
        }
    }
    measured
}

/// The days of a meter: steps at which one ends and the next begins, where the charge is known.
pub(super) fn mornings(scenario: &Scenario, timeline: &Timeline, meter: &Meter) -> Vec<usize> {
    use chrono::Timelike as _;
    let zone = &scenario.itinerary.zone;
    let (first, last) = meter.span();
    let is_known = |step: usize| step > 0 && meter.soc[step - 1].is_finite();
    let mut steps: Vec<usize> = (first + 1..last)
        .filter(|&step| {
            let at = |step: usize| zone.local(timeline.utc_s(step));
            let (before, now) = (at(step - 1), at(step));
            let is_morning = now.hour() == MORNING_H && before.hour() == MORNING_H - 1;
            is_morning && is_known(step)
        })
        .collect();
    let begins = (first + 1..last).find(|&step| is_known(step));
    let is_long = |from: usize, to: usize| (to - from).real() * meter.step_s >= LEAST_DAY_S;
    let is_day = |begins: &usize| steps.first().is_none_or(|&step| is_long(*begins, step));
    if let Some(begins) = begins.filter(is_day) {
        steps.insert(0, begins);
    }
    let ends = (first + 1..=last).rev().find(|&step| is_known(step));
    let is_day = |ends: &usize| {
        steps
            .last()
            .is_some_and(|&step| *ends > step && is_long(step, *ends))
    };
    if let Some(ends) = ends.filter(is_day) {
        steps.push(ends);
    }
    steps
}

/// What is summed over a day in every trial.
pub(super) struct DaySum {
    /// The parts whose current is summed.
    pub(super) of: WeatherPart,
    /// Per step: the day it counts for; `None`: it does not.
    pub(super) day: Vec<Option<usize>>,
    /// Days.
    pub(super) days: usize,
}

/// Sums of parts by their numbers over the steps of each day, in the file's own trials, Wh by trial.
pub(super) type DaySums<'f> = dyn Fn(Vec<usize>, &[Option<usize>], usize) -> Vec<Vec<f64>> + 'f;

/// Parts whose current the weather moves.
pub(super) enum WeatherPart {
    /// What these panels could give.
    Panels(Vec<usize>),
    /// What these fridges take, by their number among fridges.
    Fridges(Vec<usize>),
}

/// What chance does, by the file's own trials.
pub(super) struct Trials {
    /// State of charge of each metered bank at each asked step's end, sorted by trial.
    pub(super) soc: Vec<Vec<Vec<f64>>>,
    /// Each sum's days by trial, Wh.
    pub(super) sums: Vec<Vec<Vec<f64>>>,
}

struct Watcher<'a> {
    timeline: &'a Timeline,
    meters: &'a [Meter],
    asked: &'a [Vec<usize>],
    sums: &'a [DaySum],
    count: usize,
    trials: Trials,
    first: usize,
}

impl Observer for Watcher<'_> {
    fn after_step(&mut self, view: &StepView<'_>) {
        let step = view.step();
        for (meter, (asked, soc)) in self
            .meters
            .iter()
            .zip(self.asked.iter().zip(&mut self.trials.soc))
        {
            if let Ok(place) = asked.binary_search(&step) {
                let lanes = view.soc_of_all(meter.bank);
                soc[place].extend(&lanes[..self.count]);
            }
        }
        for (sum, days) in self.sums.iter().zip(&mut self.trials.sums) {
            let Some(day) = sum.day[step] else { continue };
            let lanes: Vec<Lanes> = match &sum.of {
                WeatherPart::Panels(panels) => panels
                    .iter()
                    .map(|&panel| view.panel_offer_w_of_all(panel))
                    .collect(),
                WeatherPart::Fridges(fridges) => fridges
                    .iter()
                    .map(|&fridge| view.fridge_w_of_all(fridge))
                    .collect(),
            };
            for lanes in lanes {
                for (trial, watts) in days[self.first..].iter_mut().zip(&lanes[..self.count]) {
                    trial[day] += watts * self.timeline.plant.step_h;
                }
            }
        }
    }
}

/// Runs trials put at the measured charge in the mornings.
pub(super) fn trials(
    scenario: &Scenario,
    timeline: &Timeline,
    drives: &Drives,
    meters: &[Meter],
    (mornings, asked): (&[usize], &[Vec<usize>]),
    sums: &[DaySum],
    (seed, count): (u64, usize),
) -> Trials {
    let drawing = drawing(scenario, timeline, seed, Some(drives));
    let measured = at_steps(meters, mornings);
    let mut watcher = Watcher {
        timeline,
        meters,
        asked,
        sums,
        count: 0,
        first: 0,
        trials: Trials {
            soc: asked
                .iter()
                .map(|asked| vec![Vec::new(); asked.len()])
                .collect(),
            sums: sums
                .iter()
                .map(|sum| vec![vec![0.0; sum.days]; count])
                .collect(),
        },
    };
    while watcher.first < count {
        watcher.count = LANES.min(count - watcher.first);
        let (draws, _) = drawing.batch(watcher.first as u64, watcher.count);
        follow_batch(timeline, &draws, &measured, &mut watcher);
        watcher.first += watcher.count;
    }
    for soc in watcher.trials.soc.iter_mut().flatten() {
        soc.sort_by(f64::total_cmp);
    }
    watcher.trials
}

/// The number among the fridges of a load, if it is one that is on.
pub(super) fn fridge_number(
    scenario: &Scenario,
    timeline: &Timeline,
    load: usize,
) -> Option<usize> {
    scenario.loads[load].kind.fridge()?;
    let mut fridges = timeline.plant.fridges.iter();
    fridges.position(|fridge| fridge.load == load)
}
