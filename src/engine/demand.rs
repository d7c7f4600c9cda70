//! What the loads ask of each bank, and what each of them got.
//!
//! One job: sums of loads. Between two changes of the schedule a bank's loads are a fixed sum for
//! each availability, so the step loop never goes through single loads; what each got is settled when
//! the sum changes, from the hours (and volt-hours) served meanwhile.

use super::availabilities::Availabilities;
use super::demand_sums::{
    add_by_share, book_missed, book_volts, over_mean, sum_of, sum_of_products,
};
use super::draws::Draws;
use super::lanes::{LANES, Lanes, ZERO};
use super::state::{BankState, State};
use crate::timeline::Timeline;
use crate::timeline::load_schedule::{AVAILABILITIES, Availability};
use crate::timeline::plant::{LoadPlant, Plant};

/// What the loads of one bank ask as constant power, W, or as constant current, A.
#[derive(Debug, Clone, Default)]
struct Asked {
    by_availability: [Lanes; AVAILABILITIES],
    /// Mean of the step.
    mean: Lanes,
    has_any: [bool; AVAILABILITIES],
}

/// Sums of the loads of one bank.
#[derive(Debug, Clone, Default)]
struct BankSums {
    /// Power and current.
    asked: [Asked; 2],
    /// Which availabilities its loads depend on: of the others nothing is summed.
    used: [bool; AVAILABILITIES],
    /// Open steps of each availability when the loads last changed.
    settled_steps: [Lanes; AVAILABILITIES],
    is_stale: bool,
    is_new: bool,
}

/// What the schedule has of a load now.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Live {
    /// Share of the step in which it is live.
    pub(crate) share: f64,
    /// What of a day's use it asks per hour of the step.
    pub(crate) used: f64,
    /// The day.
    pub(crate) day: usize,
}

/// What a load was given, summed over the trials in use.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct LoadBook {
    /// Energy of constant power, Wh.
    pub(crate) power_wh: f64,
    /// Energy of constant current, Wh.
    pub(crate) current_wh: f64,
    /// Its charge, Ah.
    pub(crate) current_ah: f64,
    /// Energy that was asked for and not given, Wh.
    pub(crate) missed_wh: f64,
    /// Charge of that, of constant current, Ah.
    pub(crate) missed_ah: f64,
    /// Hours in which it was live.
    pub(crate) live_h: f64,
}

/// The loads of a batch.
#[derive(Debug, Clone)]
pub(crate) struct Demand {
    live: Vec<Live>,
    sums: Vec<BankSums>,
    next_change: usize,
    /// Whether what loads get and sources bring is booked; if not, only what a shortfall depends on.
    pub(crate) is_booked: bool,
    pub(crate) books: Vec<LoadBook>,
}

/// Loads of a bank that are live now, with their number and the place of their availability.
fn live_of_bank<'a>(
    live: &'a [Live],
    plant: &'a Plant,
    bank: usize,
) -> impl Iterator<Item = (usize, &'a LoadPlant, usize, Live)> {
    let loads = plant.loads.iter().zip(live).enumerate();
    loads.filter_map(move |(index, (load, live))| {
        let is_live = load.bank == bank && live.share > 0.0;
        let availability = load.availability.filter(|_| is_live)?;
        Some((index, load, availability.index(), *live))
    })
}

impl Demand {
    pub(crate) fn new(plant: &Plant) -> Self {
        let sums = |bank: usize| BankSums {
            is_new: true,
            used: Availability::ALL.map(|of| {
                let mut loads = plant.loads.iter();
                loads.any(|load| load.bank == bank && load.availability == Some(of))
            }),
            ..BankSums::default()
        };
        Self {
            live: vec![Live::default(); plant.loads.len()],
            sums: (0..plant.banks.len()).map(sums).collect(),
            next_change: 0,
            is_booked: true,
            books: vec![LoadBook::default(); plant.loads.len()],
        }
    }

    /// What the schedule has of a load.
    pub(crate) fn live_of(&self, load: usize) -> Live {
        self.live[load]
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
        let changes = &timeline.changes[self.next_change..];
        let changes = &changes[..changes.iter().take_while(|of| of.step == step).count()];
        if changes.is_empty() {
            return false;
        }
        self.next_change += changes.len();
        let plant = &timeline.plant;
        // Settled under the old schedule first, then changed: what was served meanwhile was served by the old one.
        for change in changes {
            self.sums[plant.loads[change.load].bank].is_stale = true;
        }
        for bank in 0..self.sums.len() {
            if self.sums[bank].is_stale {
                self.settle(plant, draws, availabilities, state, bank);
            }
        }
        for change in changes {
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
        if !self.is_booked {
            return;
        }
        let availabilities = &mut availabilities[usize::from(plant.banks[bank].trailer)];
        let account = &mut state.banks[bank];
        let mut served_steps = [ZERO; AVAILABILITIES];
        let missed_steps = &mut account.missed_steps;
        let sums = &mut self.sums[bank];
        let mut has_missed = false;
        for availability in Availability::ALL {
            let index = availability.index();
            if !sums.used[index] {
                continue;
            }
            // Only trials in use count.
            let missed = &mut missed_steps[index];
            // The last batch may not be full: its spare trials run along, and are counted nowhere.
            missed[draws.count..].fill(0.0);
            has_missed |= missed.iter().any(|of| *of > 0.0);
            let steps = availabilities.steps(availability);
            let settled = &mut sums.settled_steps[index];
            for lane in 0..LANES {
                served_steps[index][lane] = steps[lane] - settled[lane] - missed[lane];
            }
            *settled = steps;
            served_steps[index][draws.count..].fill(0.0);
            account.served_volts[index][draws.count..].fill(0.0);
        }
        let usable_v = plant.banks[bank].usable_v;
        for (index, load, availability, live) in live_of_bank(&self.live, plant, bank) {
            let book = &mut self.books[index];
            let factors = &draws.use_factor[index][live.day];
            let steps = &served_steps[availability];
            let hours = plant.step_h * sum_of(steps);
            book.live_h += live.share * hours;
            book.power_wh += load.idle_w * live.share * hours;
            if load.watts > 0.0 {
                let used_h = plant.step_h * live.used * sum_of_products(factors, steps);
                book.power_wh += load.watts * used_h;
            }
            if load.amps > 0.0 {
                let volts = &account.served_volts[availability];
                let amp_h = plant.step_h * live.used * load.amps;
                // A load of constant current takes more power the higher the voltage, which is a step's own: so volt-hours are
                // kept beside the hours.
                book.current_wh += amp_h * sum_of_products(factors, volts);
                book.current_ah += amp_h * sum_of_products(factors, steps);
            }
            if has_missed {
                let steps = &account.missed_steps[availability];
                let hours = plant.step_h * sum_of(steps);
                let used_h = plant.step_h * live.used * sum_of_products(factors, steps);
                book.live_h += live.share * hours;
                book.missed_ah += load.amps * used_h;
                book.missed_wh +=
                    load.idle_w * live.share * hours + (load.watts + load.amps * usable_v) * used_h;
            }
        }
        for index in (0..AVAILABILITIES).filter(|index| self.sums[bank].used[*index]) {
            account.missed_steps[index] = ZERO;
            account.served_volts[index] = ZERO;
        }
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
        (sums.is_stale, sums.is_new) = (false, true);
        for asked in &mut sums.asked {
            for (sum, has_any) in asked.by_availability.iter_mut().zip(asked.has_any) {
                if has_any {
                    *sum = ZERO;
                }
            }
            asked.has_any = [false; AVAILABILITIES];
        }
        for (index, load, availability, live) in live_of_bank(&self.live, plant, bank) {
            let factors = &draws.use_factor[index][live.day];
            let parts = [
                (load.watts * live.used, load.idle_w * live.share),
                (load.amps * live.used, 0.0),
            ];
            for (asked, (by_use, always)) in sums.asked.iter_mut().zip(parts) {
                if by_use > 0.0 || always > 0.0 {
                    asked.has_any[availability] = true;
                    let sum = &mut asked.by_availability[availability];
                    for lane in 0..LANES {
                        sum[lane] += factors[lane] * by_use + always;
                    }
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
        for asked in &mut sums.asked {
            asked.mean = ZERO;
            for availability in availabilities.open() {
                let index = availability.index();
                if asked.has_any[index] {
                    let share = availabilities.share(availability);
                    add_by_share(&mut asked.mean, &asked.by_availability[index], share);
                }
            }
        }
        true
    }

    /// What the scheduled loads of a bank ask: constant power and constant current.
    pub(crate) fn asked(&self, bank: usize) -> [&Lanes; 2] {
        self.sums[bank].asked.each_ref().map(|asked| &asked.mean)
    }

    /// What the scheduled loads of a bank ask while some of the availabilities hold, over what they ask in the
    /// mean of the step: W and A, for the trials that drive a part of it.
    pub(crate) fn more_while(
        &self,
        bank: usize,
        holding: &[Availability],
        driving: &Lanes,
        more: &mut [Lanes; 2],
    ) {
        for (more, asked) in more.iter_mut().zip(&self.sums[bank].asked) {
            *more = ZERO;
            for availability in holding {
                *more += &asked.by_availability[availability.index()];
            }
            over_mean(more, &asked.mean, driving);
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
        if !self.is_booked {
            return;
        }
        let [watts, amps] = self.sums[bank].asked.each_ref().map(|asked| &asked.has_any);
        for availability in availabilities.open() {
            let index = availability.index();
            let share = availabilities.share(availability);
            if !account.all_served && (watts[index] || amps[index]) {
                book_missed(&mut account.missed_steps[index], &account.served, share);
            }
            if amps[index] {
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
