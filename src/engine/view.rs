//! What can be seen of a batch while it runs.
//!
//! One job: the observer of the step loop, and the first trial as it stands after a step. The loop
//! itself is in `run`; what is left at the end is an `Outcome`.

use super::batch::Batch;
use super::lanes::{Lanes, ZERO};

/// Sees every step of a batch.
pub trait Observer {
    /// Called after each step.
    fn after_step(&mut self, view: &StepView<'_>);
}

/// Sees nothing.
#[derive(Debug, Clone, Copy)]
pub struct Unobserved;

impl Observer for Unobserved {
    #[inline(always)]
    fn after_step(&mut self, _view: &StepView<'_>) {}
}

/// The first trial of a batch after a step.
#[derive(Debug)]
pub struct StepView<'a> {
    pub(crate) step: usize,
    pub(crate) batch: &'a Batch<'a>,
}

impl StepView<'_> {
    /// The step.
    #[must_use]
    pub fn step(&self) -> usize {
        self.step
    }

    /// A bank's state of charge, voltage, current into it and temperature at the step's end.
    #[must_use]
    pub fn bank(&self, bank: usize) -> (f64, f64, f64, f64) {
        let state = &self.batch.state.banks[bank];
        let plant = &self.batch.timeline.plant.banks[bank];
        let volts = state.volts[0];
        (
            state.soc[0],
            volts,
            (volts - self.batch.flows[bank].open_v[0]) / plant.ohm,
            self.batch.air.first_battery_c(plant.kept, plant.trailer),
        )
    }

    /// A charger's mean power into its bank, W.
    #[must_use]
    pub fn charger_w(&self, charger: usize) -> f64 {
        let to = self.batch.timeline.plant.chargers[charger].to;
        self.batch.chargers[charger].mean_a[0] * self.batch.state.banks[to].volts[0]
    }

    /// Mean power from the alternator straight into a start bank, W.
    #[must_use]
    pub fn alternator_w(&self, bank: usize) -> f64 {
        let flow = &self.batch.flows[bank];
        let amps = if flow.feed.has_charger {
            flow.alternator_a[0]
        } else {
            0.0
        };
        amps * self.batch.state.banks[bank].volts[0]
    }

    /// A panel's mean power into its bank, W.
    #[must_use]
    pub fn panel_w(&self, panel: usize) -> f64 {
        let plant = &self.batch.timeline.plant.panels[panel];
        let flow = &self.batch.flows[plant.to];
        let kept = if flow.feed.has_sun {
            self.batch.sun.kept[panel][0]
        } else {
            0.0
        };
        if plant.is_pwm {
            kept * self.batch.state.banks[plant.to].volts[0]
        } else {
            kept
        }
    }

    /// A load's mean power at its bank, W.
    #[must_use]
    pub fn load_w(&self, load: usize) -> f64 {
        self.batch.load_w(load)
    }

    /// A fridge's cabinet temperature, °C.
    #[must_use]
    pub fn fridge_c(&self, fridge: usize) -> f64 {
        self.batch.state.fridges[fridge].inside[0]
    }

    /// Ambient, cabin, box and engine-bay temperature, mean over the step; NaN where nothing is kept
    /// there, since the engine then does not work it out.
    #[must_use]
    pub fn air_c(&self) -> [f64; 4] {
        self.batch.air.first_trial_c()
    }

    /// A bank's state of charge at the step's end in every trial.
    #[must_use]
    pub fn soc_of_all(&self, bank: usize) -> &Lanes {
        &self.batch.state.banks[bank].soc
    }

    /// What a panel could give in every trial, whether or not its bank takes it, W.
    #[must_use]
    pub fn panel_offer_w_of_all(&self, panel: usize) -> Lanes {
        if !self.batch.sun.is_up {
            return ZERO;
        }
        let plant = &self.batch.timeline.plant.panels[panel];
        let amount = self.batch.offers[panel].amount;
        if !plant.is_pwm {
            return amount;
        }
        let volts = &self.batch.state.banks[plant.to].volts;
        Lanes::from_fn(|lane| amount[lane] * volts[lane])
    }

    /// What a fridge's compressor takes at its bank in every trial, W.
    #[must_use]
    pub fn fridge_w_of_all(&self, fridge: usize) -> Lanes {
        let duty = &self.batch.state.fridges[fridge].duty;
        let running_w = self.batch.timeline.plant.fridges[fridge].running_w;
        duty.map(|duty| duty * running_w)
    }

    /// Share of the step driven.
    #[must_use]
    pub fn driving(&self) -> f64 {
        self.batch.drives.driving()[0]
    }
}
