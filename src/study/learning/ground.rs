//! What all findings stand on: meters, drives and the engine's own traces, and which steps say what.
//!
//! One job: the sorting of steps into quiet ones, sunny ones and driven ones. What they say is in
//! `nights` and `sources`.

use chrono::{NaiveDate, TimeDelta};

use super::drives::Drives;
use super::meter::Meter;
use super::model::{Traces, every, traces};
use crate::engine::MeasuredSoc;
use crate::scenario::{ChargerSource, Scenario, indices};
use crate::timeline::Timeline;
use crate::timeline::sun_steps::NO_SLOT;
use crate::units::Whole;

/// Steps beside a drive that belong to it.
const MARGIN_STEPS: usize = 2;

/// Steps beside a short burst that are not quiet.
const BURST_STEPS: usize = 4;

/// Everything known of the days of the logs.
pub(super) struct Ground<'a> {
    pub(super) scenario: &'a Scenario,
    pub(super) timeline: &'a Timeline,
    pub(super) meters: &'a [Meter],
    pub(super) drives: &'a Drives,
    /// Charge as measured, where the engine is put at it.
    pub(super) measured: Vec<MeasuredSoc>,
    /// The engine without chance.
    pub(super) traces: Traces,
    /// Per step: the local date.
    pub(super) date: Vec<NaiveDate>,
    /// Per step: the date of the evening, from noon to noon.
    pub(super) night: Vec<NaiveDate>,
    /// Per step: no sun.
    pub(super) dark: Vec<bool>,
    /// Per step: on the road, or about to be.
    pub(super) near_drive: Vec<bool>,
}

/// Steps without sun.
pub(super) fn dark(timeline: &Timeline) -> Vec<bool> {
    timeline
        .sun
        .slot
        .iter()
        .map(|slot| *slot == NO_SLOT)
        .collect()
}

/// True beside what is true, so many steps to both sides.
fn widened(marks: &[bool], by: usize) -> Vec<bool> {
    (0..marks.len())
        .map(|step| {
            let from = step.saturating_sub(by);
            marks[from..(step + by + 1).min(marks.len())].contains(&true)
        })
        .collect()
}

impl<'a> Ground<'a> {
    pub(super) fn new(
        scenario: &'a Scenario,
        timeline: &'a Timeline,
        meters: &'a [Meter],
        drives: &'a Drives,
    ) -> Self {
        // Lead-acid is put at rest with the charge, so it is left in peace from morning to morning.
        let is_lead = |meter: &Meter| scenario.banks[meter.bank].chemistry.is_lead_acid();
        let steps_of = |hours: f64| usize::cut((hours / timeline.plant.step_h).round());
        let hours = if meters.iter().any(is_lead) {
            24.0
        } else {
            1.0
        };
        let measured = every(timeline, meters, steps_of(hours));
        let zone = &scenario.itinerary.zone;
        let local = |step: usize| zone.local(timeline.utc_s(step));
        let traces = traces(scenario, timeline, Some(drives), &measured);
        let driven: Vec<bool> = traces.driving.iter().map(|share| *share > 0.0).collect();
        Self {
            date: (0..timeline.steps).map(|step| local(step).date()).collect(),
            night: (0..timeline.steps)
                .map(|step| (local(step) - TimeDelta::hours(12)).date())
                .collect(),
            dark: dark(timeline),
            near_drive: widened(&driven, MARGIN_STEPS),
            scenario,
            timeline,
            meters,
            drives,
            measured,
            traces,
        }
    }

    /// Loads of a bank; events apart.
    pub(super) fn loads(&self, bank: usize) -> Vec<usize> {
        indices(&self.scenario.loads, |load| {
            load.bank == bank && !load.off && !load.kind.is_event()
        })
    }

    /// Events of a bank.
    pub(super) fn events(&self, bank: usize) -> Vec<usize> {
        indices(&self.scenario.loads, |load| {
            load.bank == bank && load.kind.is_event()
        })
    }

    /// Panels of a bank.
    pub(super) fn panels(&self, bank: usize) -> Vec<usize> {
        indices(&self.scenario.solar, |panel| panel.to == bank)
    }

    /// Chargers into a bank.
    pub(super) fn chargers(&self, bank: usize) -> Vec<usize> {
        indices(&self.scenario.chargers, |charger| charger.to == bank)
    }

    /// Steps near an event by the plan, which draws much for minutes.
    fn bursts(&self, bank: usize) -> Vec<bool> {
        let events = self.events(bank);
        let is_on = |step| (events.iter()).any(|&load| self.traces.load_a[load][step] > 0.0);
        let marks: Vec<bool> = (0..self.timeline.steps).map(is_on).collect();
        widened(&marks, BURST_STEPS)
    }

    /// Parked steps with a measured current in which nothing but the sun may charge.
    fn parked(&self, meter: &Meter) -> Vec<bool> {
        let bank = meter.bank;
        let chargers = self.chargers(bank);
        let has_mains = chargers
            .iter()
            .any(|&charger| self.scenario.chargers[charger].from == ChargerSource::Mains);
        let bursts = self.bursts(bank);
        (0..self.timeline.steps)
            .map(|step| {
                let is_charging = chargers
                    .iter()
                    .any(|&charger| self.traces.charger_a[charger][step] > 0.01);
                let is_plugged = has_mains && self.timeline.mains[step];
                let is_disturbed = self.near_drive[step] || bursts[step];
                meter.amps[step].is_finite() && !(is_disturbed || is_charging || is_plugged)
            })
            .collect()
    }

    /// Steps in which a bank only gives.
    pub(super) fn quiet(&self, meter: &Meter) -> Vec<bool> {
        let has_sun = !self.panels(meter.bank).is_empty();
        let parked = self.parked(meter);
        (0..parked.len())
            .map(|step| parked[step] && (self.dark[step] || !has_sun))
            .collect()
    }

    /// Parked steps in which the sun charges a bank that has room.
    pub(super) fn sunny(&self, meter: &Meter) -> Vec<bool> {
        let panels = self.panels(meter.bank);
        let parked = self.parked(meter);
        (0..parked.len())
            .map(|step| {
                let offer_a: f64 = panels.iter().map(|&p| self.traces.offer_a[p][step]).sum();
                parked[step] && offer_a > 0.02 && self.has_room(meter, step)
            })
            .collect()
    }

    /// Whether a bank takes what it is offered: by its charge and its voltage far from full.
    pub(super) fn has_room(&self, meter: &Meter, step: usize) -> bool {
        let bank = &self.scenario.banks[meter.bank];
        let most = if bank.chemistry.is_lead_acid() {
            0.75
        } else {
            0.95
        };
        let full_v = bank.absorption_v - 0.2 * self.scenario.voltage_factor();
        let is_low = |volts: f64| volts.is_nan() || volts < full_v;
        meter.soc[step] < most && is_low(meter.volts[step])
    }

    /// What the compressors of a bank take together while they run, by the file, A.
    pub(super) fn compressors_a(&self, bank: usize) -> f64 {
        let loads = self.loads(bank).into_iter();
        let running_w = loads.map(|load| {
            self.scenario.loads[load]
                .kind
                .fridge()
                .map_or(0.0, |fridge| fridge.running_w)
        });
        running_w.sum::<f64>() / (13.0 * self.scenario.voltage_factor())
    }

    /// What other banks draw through chargers, A.
    pub(super) fn fed_a(&self, bank: usize, step: usize) -> f64 {
        let chargers = self.scenario.chargers.iter().zip(&self.traces.feed_a);
        chargers
            .filter(|(charger, _)| charger.from == ChargerSource::Bank(bank))
            .map(|(_, feed)| feed[step])
            .sum()
    }

    /// Runs of steps that are marked, of one night each.
    pub(super) fn spans(&self, marks: &[bool]) -> Vec<(usize, usize)> {
        let mut spans: Vec<(usize, usize)> = Vec::new();
        for step in (0..marks.len()).filter(|&step| marks[step]) {
            match spans.last_mut() {
                Some((_, end)) if *end == step && self.night[step] == self.night[step - 1] => {
                    *end = step + 1;
                }
                _ => spans.push((step, step + 1)),
            }
        }
        spans
    }
}
