//! The trip as planned: what the mean asks, drives and is offered, step by step.
//!
//! One job: sums to hold a trial against. They are those of the trip without chance.

use crate::engine::{BankMeter, ChargerMeter, Meters, Observer, PanelMeter, StepView};
use crate::timeline::Timeline;

/// Sums of the trip without chance after so many steps; the first entry is the start.
pub(super) struct Reference {
    meters: Meters,
    /// Asked of the bank, Wh.
    pub(super) asked_wh: Vec<f64>,
    /// Offered by its panels, Wh.
    pub(super) sun_wh: Vec<f64>,
    /// Hours in which each of its chargers could work, one row a step.
    pub(super) open_h: Vec<Vec<f64>>,
    /// What could charge it in a step: whether anything but the engine, and what the engine, Ah.
    could: Vec<(bool, f64)>,
    volts: f64,
    step_h: f64,
}

/// A drive that can bring less than this share of what was asked since the chance before is none. Ours.
const A_CHANCE: f64 = 0.5;

impl Reference {
    pub(super) fn new(timeline: &Timeline, bank: usize) -> Self {
        let meters = Meters::new(&timeline.plant, bank);
        Self {
            asked_wh: vec![0.0],
            sun_wh: vec![0.0],
            open_h: vec![vec![0.0; meters.chargers.len()]],
            could: Vec::new(),
            volts: timeline.plant.banks[bank].voltage.volts(0.5),
            step_h: timeline.plant.step_h,
            meters,
        }
    }

    /// Whether a step is part of a chance to charge: sun, mains or another bank at any time, a drive if
    /// it can win back a fair part of what was asked since the chance before.
    pub(super) fn chances(&self) -> Vec<bool> {
        let mut chances = vec![false; self.could.len()];
        let (mut from, mut asked_from) = (0, 0);
        while from < chances.len() {
            let works = |&(stands, driven_ah): &(bool, f64)| stands || driven_ah > 0.0;
            let length = self.could[from..]
                .iter()
                .take_while(|could| works(could))
                .count();
            let spell = from..from + length;
            let stands = self.could[spell.clone()].iter().any(|could| could.0);
            let driven_ah: f64 = self.could[spell.clone()].iter().map(|could| could.1).sum();
            let asked_wh = self.asked_wh[from] - self.asked_wh[asked_from];
            if length > 0 && (stands || driven_ah >= A_CHANCE * asked_wh / self.volts) {
                chances[spell.clone()].fill(true);
                asked_from = spell.end;
            }
            from = spell.end + 1;
        }
        chances
    }

    /// What each of its chargers brings on the whole trip, and what each of its panels offers, Ah.
    pub(super) fn brings_ah(&self) -> (Vec<f64>, Vec<f64>) {
        let now = |at: usize| self.meters.now[at][0];
        let chargers = 0..self.meters.chargers.len();
        let panels = 0..self.meters.panels.len();
        (
            chargers
                .map(|at| now(Meters::of_charger(at, ChargerMeter::GivenAh)))
                .collect(),
            panels
                .map(|at| now(self.meters.of_panel(at, PanelMeter::OfferedWh)) / self.volts)
                .collect(),
        )
    }
}

impl Observer for Reference {
    fn after_step(&mut self, view: &StepView<'_>) {
        self.meters.read(view);
        let now = &self.meters.now;
        self.asked_wh
            .push(now[Meters::of_bank(BankMeter::AskedWh)][0]);
        self.sun_wh.push(now[Meters::of_bank(BankMeter::SunWh)][0]);
        let chargers = 0..self.meters.chargers.len();
        let open_h = chargers.map(|at| now[Meters::of_charger(at, ChargerMeter::OpenH)][0]);
        self.open_h.push(open_h.collect());
        let (stands, driven_a) = view.could_charge(self.meters.bank);
        self.could.push((stands, driven_a * self.step_h));
    }
}
