//! What the loads ask of each bank, and what each of them got.
//!
//! One job: sums of loads. Between two changes of the schedule a bank's loads are a fixed sum for
//! each availability, so the step loop never goes through single loads; what each got is settled when
//! the sum changes, from the hours (and volt-hours) served meanwhile.

use super::availabilities::Availabilities;
use super::demand_sums::{add_by_share, book_missed, book_volts, more, sum_of, sum_of_products};
use super::draws::Draws;
use super::lanes::{LANES, Lanes, ZERO};
use super::state::{BankState, State};
use crate::timeline::Timeline;
use crate::timeline::load_schedule::{AVAILABILITIES, Availability};
use crate::timeline::plant::{LoadPlant, Plant};

/// Sums of the loads of one bank.
#[derive(Debug, Clone)]
#[repr(C, align(64))]
struct BankSums {
    watts: [Lanes; AVAILABILITIES],
    amps: [Lanes; AVAILABILITIES],
    asked_w: Lanes,
    asked_a: Lanes,
    /// Open steps of each availability when the loads last changed.
    settled_steps: [Lanes; AVAILABILITIES],
    has_watts: [bool; AVAILABILITIES],
    has_amps: [bool; AVAILABILITIES],
    is_stale: bool,
    is_new: bool,
}

#[derive(Debug, Clone, Copy)]
struct Live {
    share: f64,
    used: f64,
    day: usize,
}

/// The loads of a batch.
#[derive(Debug, Clone)]
pub(crate) struct Demand {
    live: Vec<Live>,
    sums: Vec<BankSums>,
    next_change: usize,
    /// Energy of each load of constant power, summed over the trials in use, Wh.
    pub(crate) power_wh: Vec<f64>,
    /// Energy of each load of constant current, Wh.
    pub(crate) current_wh: Vec<f64>,
    /// Its charge, Ah.
    pub(crate) current_ah: Vec<f64>,
    /// Energy that each load asked for and did not get, Wh.
    pub(crate) missed_wh: Vec<f64>,
    /// Charge of that, of a load of constant current, Ah.
    pub(crate) missed_ah: Vec<f64>,
    /// Hours in which it was live, summed.
    pub(crate) live_h: Vec<f64>,
}

impl Demand {
    pub(crate) fn new(plant: &Plant) -> Self {
        let sums = BankSums {
            watts: [ZERO; AVAILABILITIES],
            amps: [ZERO; AVAILABILITIES],
            has_watts: [false; AVAILABILITIES],
            has_amps: [false; AVAILABILITIES],
            asked_w: ZERO,
            asked_a: ZERO,
            is_stale: false,
            is_new: true,
            settled_steps: [ZERO; AVAILABILITIES],
        };
        Self {
            live: vec![
                Live {
                    share: 0.0,
                    used: 0.0,
                    day: 0
                };
                plant.loads.len()
            ],
            sums: vec![sums; plant.banks.len()],
            next_change: 0,
            power_wh: vec![0.0; plant.loads.len()],
            current_wh: vec![0.0; plant.loads.len()],
            current_ah: vec![0.0; plant.loads.len()],
            missed_wh: vec![0.0; plant.loads.len()],
            missed_ah: vec![0.0; plant.loads.len()],
            live_h: vec![0.0; plant.loads.len()],
        }
    }

    /// Live share of a load, what of a day's use it asks per hour of the step, and its day.
    pub(crate) fn live_of(&self, load: usize) -> (f64, f64, usize) {
        let live = self.live[load];
        (live.share, live.used, live.day)
    }

    /// Takes up the changes of this step. Returns whether any fridge's day changed.
    #[inline(never)]
    pub(crate) fn begin_step(
        &mut self,
        timeline: &Timeline,
        draws: &Draws,
        availabilities: &mut [Availabilities; 2],
        state: &mut State,
        step: usize,
    ) -> bool {
        let first = self.next_change;
        let changes = &timeline.changes;
        while changes
            .get(self.next_change)
            .is_some_and(|change| change.step == step)
        {
            self.next_change += 1;
        }
        if first == self.next_change {
            return false;
        }
        let plant = &timeline.plant;
        for change in &changes[first..self.next_change] {
            self.sums[plant.loads[change.load].bank].is_stale = true;
        }
        for bank in 0..self.sums.len() {
            if self.sums[bank].is_stale {
                self.settle(plant, draws, availabilities, state, bank);
            }
        }
        for change in &changes[first..self.next_change] {
            self.live[change.load] = Live {
                share: change.live,
                used: change.used,
                day: change.day,
            };
        }
        for bank in 0..self.sums.len() {
            if self.sums[bank].is_stale {
                self.sum_up(plant, draws, bank);
            }
        }
        true
    }

    /// Books what each load of a bank got since the last change.
    #[inline(never)]
    fn settle(
        &mut self,
        plant: &Plant,
        draws: &Draws,
        availabilities: &mut [Availabilities; 2],
        state: &mut State,
        bank: usize,
    ) {
        let availabilities = &mut availabilities[usize::from(plant.banks[bank].trailer)];
        let account = &mut state.banks[bank];
        let mut served_steps = [ZERO; AVAILABILITIES];
        let missed_steps = &mut account.missed_steps;
        for steps in &mut *missed_steps {
            // Only trials in use count.
            steps[draws.count..].fill(0.0);
        }
        let has_missed = missed_steps.iter().flatten().any(|steps| *steps > 0.0);
        for availability in Availability::ALL {
            let index = availability.index();
            let steps = availabilities.steps(availability);
            let settled = &mut self.sums[bank].settled_steps[index];
            for lane in 0..LANES {
                served_steps[index][lane] = steps[lane] - settled[lane] - missed_steps[index][lane];
            }
            *settled = steps;
        }
        for steps in served_steps.iter_mut().chain(&mut account.served_volts) {
            steps[draws.count..].fill(0.0);
        }
        let usable_v = plant.banks[bank].usable_v;
        for (index, load) in plant.loads.iter().enumerate() {
            let Live {
                share: live,
                used,
                day,
            } = self.live[index];
            let Some(availability) = load
                .availability
                .filter(|_| load.bank == bank && live > 0.0)
            else {
                continue;
            };
            let factors = &draws.use_factor[index][day];
            let steps = &served_steps[availability.index()];
            let hours = plant.step_h * sum_of(steps);
            self.live_h[index] += live * hours;
            self.power_wh[index] += load.idle_w * live * hours;
            if load.watts > 0.0 {
                let used_h = plant.step_h * used * sum_of_products(factors, steps);
                self.power_wh[index] += load.watts * used_h;
            }
            if load.amps > 0.0 {
                let volts = &account.served_volts[availability.index()];
                let amp_h = plant.step_h * used * load.amps;
                self.current_wh[index] += amp_h * sum_of_products(factors, volts);
                self.current_ah[index] += amp_h * sum_of_products(factors, steps);
            }
            if has_missed {
                let steps = &account.missed_steps[availability.index()];
                let hours = plant.step_h * sum_of(steps);
                let used_h = plant.step_h * used * sum_of_products(factors, steps);
                self.live_h[index] += live * hours;
                self.missed_ah[index] += load.amps * used_h;
                self.missed_wh[index] +=
                    load.idle_w * live * hours + (load.watts + load.amps * usable_v) * used_h;
            }
        }
        account.missed_steps = [ZERO; AVAILABILITIES];
        account.served_volts = [ZERO; AVAILABILITIES];
    }

    /// Settles every bank, at the end.
    pub(crate) fn settle_all(
        &mut self,
        plant: &Plant,
        draws: &Draws,
        availabilities: &mut [Availabilities; 2],
        state: &mut State,
    ) {
        for bank in 0..self.sums.len() {
            self.settle(plant, draws, availabilities, state, bank);
        }
    }

    #[inline(never)]
    fn sum_up(&mut self, plant: &Plant, draws: &Draws, bank: usize) {
        let sums = &mut self.sums[bank];
        sums.is_stale = false;
        sums.is_new = true;
        sums.watts = [ZERO; AVAILABILITIES];
        sums.amps = [ZERO; AVAILABILITIES];
        sums.has_watts = [false; AVAILABILITIES];
        sums.has_amps = [false; AVAILABILITIES];
        for (index, load) in plant.loads.iter().enumerate() {
            let Live {
                share: live,
                used,
                day,
            } = self.live[index];
            let Some(availability) = load
                .availability
                .filter(|_| load.bank == bank && live > 0.0)
            else {
                continue;
            };
            let factors = &draws.use_factor[index][day];
            let use_watts = load.watts * used;
            let idle_w = load.idle_w * live;
            if use_watts > 0.0 || idle_w > 0.0 {
                sums.has_watts[availability.index()] = true;
                let watts = &mut sums.watts[availability.index()];
                for lane in 0..LANES {
                    watts[lane] += factors[lane] * use_watts + idle_w;
                }
            }
            let use_amps = load.amps * used;
            if use_amps > 0.0 {
                sums.has_amps[availability.index()] = true;
                let amps = &mut sums.amps[availability.index()];
                for lane in 0..LANES {
                    amps[lane] += factors[lane] * use_amps;
                }
            }
        }
    }

    /// Works out what the scheduled loads of a bank ask, where the schedule or the availabilities have moved.
    /// Returns whether they have.
    pub(crate) fn sum_asked(
        &mut self,
        bank: usize,
        availabilities: &Availabilities,
        has_moved: bool,
    ) -> bool {
        let sums = &mut self.sums[bank];
        if !(has_moved || sums.is_new) {
            return false;
        }
        sums.is_new = false;
        sums.asked_w = ZERO;
        sums.asked_a = ZERO;
        for availability in Availability::ALL
            .into_iter()
            .filter(|availability| !availabilities.is_shut(*availability))
        {
            let share = availabilities.share(availability);
            if sums.has_watts[availability.index()] {
                add_by_share(&mut sums.asked_w, &sums.watts[availability.index()], share);
            }
            if sums.has_amps[availability.index()] {
                add_by_share(&mut sums.asked_a, &sums.amps[availability.index()], share);
            }
        }
        true
    }

    /// What the scheduled loads of a bank ask: constant power and constant current.
    pub(crate) fn asked(&self, bank: usize) -> (&Lanes, &Lanes) {
        (&self.sums[bank].asked_w, &self.sums[bank].asked_a)
    }

    /// What the scheduled loads of a bank ask while the engine runs, over what they ask in the mean
    /// of the step: W and A, for the trials that drive a part of it.
    pub(crate) fn more_while_driving(
        &self,
        bank: usize,
        driving: &Lanes,
        watts: &mut Lanes,
        amps: &mut Lanes,
    ) {
        let sums = &self.sums[bank];
        let (open, drive) = (Availability::Open.index(), Availability::Driving.index());
        more(
            watts,
            driving,
            [&sums.watts[open], &sums.watts[drive]],
            &sums.asked_w,
        );
        more(
            amps,
            driving,
            [&sums.amps[open], &sums.amps[drive]],
            &sums.asked_a,
        );
    }

    /// The same while it is parked at a stop.
    pub(crate) fn more_while_parked(
        &self,
        bank: usize,
        driving: &Lanes,
        watts: &mut Lanes,
        amps: &mut Lanes,
    ) {
        let sums = &self.sums[bank];
        let asked = [(&sums.watts, &sums.asked_w), (&sums.amps, &sums.asked_a)];
        for (more, (parts, mean)) in [watts, amps].into_iter().zip(asked) {
            let [open, _, parked, camp] = parts;
            for lane in 0..LANES {
                let is_part = (driving[lane] > 0.0) & (driving[lane] < 1.0);
                let part = if is_part { 1.0 } else { 0.0 };
                more[lane] = part * (open[lane] + parked[lane] + camp[lane] - mean[lane]);
            }
        }
    }

    /// Whether a load's schedule asks anything while it is available.
    pub(crate) fn is_asking(&self, load: usize, plant: &LoadPlant) -> bool {
        let live = self.live[load];
        (plant.watts + plant.amps) * live.used + plant.idle_w * live.share > 0.0
    }

    /// What a load's schedule asks in a trial while it is available: W and A.
    pub(crate) fn asked_of(
        &self,
        load: usize,
        plant: &LoadPlant,
        draws: &Draws,
        lane: usize,
    ) -> (f64, f64) {
        let live = self.live[load];
        let factor = draws.use_factor[load][live.day][lane];
        (
            factor * plant.watts * live.used + plant.idle_w * live.share,
            factor * plant.amps * live.used,
        )
    }

    /// Books what a step left open of the scheduled loads of a bank, and at which voltage the rest
    /// was served.
    pub(crate) fn book(
        &self,
        account: &mut BankState,
        bank: usize,
        availabilities: &Availabilities,
    ) {
        let sums = &self.sums[bank];
        for availability in Availability::ALL
            .into_iter()
            .filter(|availability| !availabilities.is_shut(*availability))
        {
            let index = availability.index();
            let share = availabilities.share(availability);
            if !account.all_served && (sums.has_watts[index] || sums.has_amps[index]) {
                book_missed(&mut account.missed_steps[index], &account.served, share);
            }
            if sums.has_amps[index] {
                book_volts(
                    &mut account.served_volts[index],
                    &account.served,
                    &account.volts,
                    share,
                );
            }
        }
    }
}
