//! What loads ask of the banks in a step, and what they got.
//!
//! One job: schedules, fridges and events on the asking side, and their accounts once the banks are
//! settled. A load's schedule is in `demand`, a fridge's physics in `cooling`.

use super::availabilities::Availabilities;
use super::bank_flow::look_up_capacity;
use super::bank_offer::{feed_limit, look_up};
use super::batch::Batch;
use super::cooling::{ask, book_missed, cool};
use super::demand::Demand;
use super::draws::EventTimes;
use super::drives::part_end_s;
use super::lanes::{LANES, Lanes, ZERO, max, min, wide};
use super::state::BankState;
use crate::timeline::load_schedule::Availability;
use crate::timeline::plant::{FridgePlant, LoadPlant, Plant};

impl Batch<'_> {
    /// Takes up schedule changes; a fridge's day brings its own use.
    pub(crate) fn begin_demand(&mut self, step: usize) {
        if !self.demand.begin_step(
            self.timeline,
            self.draws,
            &mut self.availabilities,
            &mut self.state,
            step,
        ) {
            return;
        }
        for (index, fridge) in self.timeline.plant.fridges.iter().enumerate() {
            let day = self.demand.live_of(fridge.load).day;
            let factors = &self.draws.use_factor[fridge.load][day];
            let state = &mut self.state.fridges[index];
            for lane in 0..LANES {
                // Setting, sun on the box, warm food: the whole heat of the day varies.
                let heat = factors[lane] * (fridge.leak_w_per_k + fridge.use_w_per_k);
                state.heat_w_per_k[lane] = heat;
                state.k_per_w[lane] = 1.0 / (heat + fridge.store_w_per_k);
            }
        }
    }

    /// What the fridges of a bank ask in a step.
    fn ask_fridges(&mut self, bank: usize) {
        let plant = &self.timeline.plant;
        for (index, fridge) in plant.fridges_of(bank) {
            let state = &mut self.state.fridges[index];
            let around = self.air.around(fridge.kept, fridge.trailer);
            ask(fridge, around, state);
            if let Some(live) = live_share(fridge, plant, &self.demand, &self.availabilities) {
                for lane in 0..LANES {
                    state.duty[lane] = min(state.duty[lane], live[lane]);
                }
            }
        }
    }

    #[inline(never)]
    pub(crate) fn find_events(&mut self, begin_s: f64, end_s: f64) {
        self.active_events.clear();
        let events = &self.draws.events;
        while events
            .get(self.next_event)
            .is_some_and(|event| event.latest_s <= begin_s)
        {
            self.next_event += 1;
        }
        let plant = &self.timeline.plant;
        for event in events[self.next_event..]
            .iter()
            .take_while(|event| event.earliest_s < end_s)
        {
            let constants = &plant.events[event.event];
            let load = &plant.loads[constants.load];
            let Some(availability) = load.availability else {
                continue;
            };
            let availabilities = &self.availabilities[usize::from(plant.banks[load.bank].trailer)];
            let open = availabilities.share(availability);
            // Written where it stays: these are a kilobyte each.
            self.active_events.push((event.event, ZERO, ZERO));
            let asks = self
                .active_events
                .last_mut()
                .is_some_and(|(_, watts, amps)| {
                    ask_event(
                        (load, constants.start),
                        event,
                        &self.draws.end_s,
                        open,
                        [begin_s, end_s],
                        (watts, amps),
                    )
                });
            if !asks {
                self.active_events.pop();
            }
        }
    }

    /// What the loads of a bank ask in a step, events apart, once it is known what the
    /// scheduled ones ask.
    #[inline(never)]
    pub(crate) fn ask_loads(&mut self, bank: usize) {
        self.ask_fridges(bank);
        let mut others = Some(self.demand.asked(bank)[0]);
        let plant = &self.timeline.plant;
        for (index, fridge) in plant.fridges_of(bank) {
            let load_w = &mut self.flows[bank].load_w;
            let duty = &self.state.fridges[index].duty;
            add_fridge(load_w, others.take(), fridge.running_w, duty);
        }
    }

    /// What the scheduled loads of a bank ask, if that has changed.
    pub(crate) fn ask_scheduled(&mut self, bank: usize) {
        let availabilities =
            &self.availabilities[usize::from(self.timeline.plant.banks[bank].trailer)];
        let flow = &mut self.flows[bank];
        let has_moved = self
            .demand
            .sum_asked(bank, availabilities, self.availabilities_new);
        if has_moved || flow.has_event {
            let [asked_w, asked_a] = self.demand.asked(bank);
            flow.load_w = *asked_w;
            flow.load_a = *asked_a;
        }
        flow.has_event = false;
    }

    /// What events and bank-fed chargers ask on top.
    #[inline(never)]
    pub(crate) fn ask_besides(&mut self) {
        let plant = &self.timeline.plant;
        for (event, watts, amps) in &self.active_events {
            let flow = &mut self.flows[plant.loads[plant.events[*event].load].bank];
            flow.has_event = true;
            let (load_w, load_a) = (&mut flow.load_w, &mut flow.load_a);
            wide!(|load_w, load_a, watts, amps| {
                *load_w += watts;
                *load_a += amps;
            });
        }
        for (bank, constants) in plant.banks.iter().enumerate() {
            if constants.feeds.is_empty() {
                continue;
            }
            let flow = &mut self.flows[bank];
            let account = &self.state.banks[bank];
            look_up(constants, account, flow);
            let battery_c = self.air.warmth(constants.kept, constants.trailer).battery_c;
            look_up_capacity(constants, battery_c, &self.tables, &mut flow.capacity_share);
            flow.draw_w = ZERO;
            feed_limit(constants, account, flow, plant.step_h);
        }
    }

    pub(crate) fn cool_fridges(&mut self, bank: usize) {
        let plant = &self.timeline.plant;
        for (index, fridge) in plant.fridges_of(bank) {
            let state = &mut self.state.fridges[index];
            let around = self.air.around(fridge.kept, fridge.trailer);
            let account = &mut self.state.banks[bank];
            let before = (state.is_behind || !account.all_served).then_some(state.inside);
            if self.demand.is_booked {
                cool::<true>(fridge, around, &account.served, state);
            } else {
                cool::<false>(fridge, around, &account.served, state);
            }
            let Some(before) = before else { continue };
            let live = live_share(fridge, plant, &self.demand, &self.availabilities);
            let served = account.served;
            let missed = book_missed(fridge, around, &served, live.as_ref(), &before, state);
            for lane in 0..LANES {
                // The bank has booked its duty in a cabinet that may be warmer.
                let booked = (1.0 - served[lane]) * state.duty[lane];
                account.sums.unserved_wh[lane] += fridge.running_w * (missed[lane] - booked);
            }
        }
    }

    pub(crate) fn book_events(&mut self) {
        if !self.demand.is_booked {
            return;
        }
        let plant = &self.timeline.plant;
        for (event, watts, amps) in &self.active_events {
            let index = plant.loads[plant.events[*event].load].bank;
            let bank = &self.state.banks[index];
            book_event(&mut self.state.event_w[*event], watts, amps, bank);
            if !bank.all_served {
                let missed_w = &mut self.state.event_missed_w[*event];
                for lane in 0..LANES {
                    let asked_w = watts[lane] + amps[lane] * plant.banks[index].usable_v;
                    missed_w[lane] += (1.0 - bank.served[lane]) * asked_w;
                }
            }
        }
    }

    /// A load's mean power in the first trial over the step just done, W.
    pub(crate) fn load_w(&self, load: usize) -> f64 {
        let plant = &self.timeline.plant;
        let constants = &plant.loads[load];
        let bank = &self.state.banks[constants.bank];
        let served = bank.served[0];
        if let Some(event) = plant.events.iter().position(|event| event.load == load) {
            return self
                .active_events
                .iter()
                .filter(|active| active.0 == event)
                .map(|(_, watts, amps)| served * (watts[0] + amps[0] * bank.volts[0]))
                .sum();
        }
        let share = constants.availability.map_or(0.0, |availability| {
            self.availabilities(constants.bank).share(availability)[0]
        });
        let scheduled = self.demand.asked_of(load, constants, self.draws, 0);
        let mut watts = (scheduled.0 + scheduled.1 * bank.volts[0]) * share * served;
        if let Some(fridge) = plant.fridges.iter().position(|fridge| fridge.load == load) {
            watts += self.state.fridges[fridge].duty[0] * plant.fridges[fridge].running_w * served;
        }
        watts
    }
}

/// Share of a step in which a fridge's circuit is live; `None`: all of it, in every trial.
fn live_share(
    fridge: &FridgePlant,
    plant: &Plant,
    demand: &Demand,
    availabilities: &[Availabilities; 2],
) -> Option<Lanes> {
    let live = demand.live_of(fridge.load).share;
    let availability = plant.loads[fridge.load].availability;
    if availability == Some(Availability::Open) && live >= 1.0 {
        return None;
    }
    let availabilities = &availabilities[usize::from(plant.banks[fridge.bank].trailer)];
    let share = availability.map_or(ZERO, |availability| *availabilities.share(availability));
    Some(share.map(|share| share * live))
}

/// What an event asks from `begin_s` to `end_s`, in the mean: W and A. Returns whether it does in any trial.
#[inline(never)]
fn ask_event(
    (load, (start_w, start_s)): (&LoadPlant, (f64, f64)),
    event: &EventTimes,
    trial_end_s: &Lanes,
    open: &Lanes,
    [begin_s, end_s]: [f64; 2],
    (watts, amps): (&mut Lanes, &mut Lanes),
) -> bool {
    let (event_w, event_a) = (load.watts + load.idle_w, load.amps);
    wide!(|event, trial_end_s, open, watts, amps| {
        let share = |lane: usize, to_s: f64| {
            let end_s = part_end_s(trial_end_s[lane], begin_s, end_s);
            let inside_s = min(to_s, end_s) - max(event.from_s[lane], begin_s);
            max(inside_s / (end_s - begin_s), 0.0) * open[lane]
        };
        let mut any = false;
        for lane in 0..LANES {
            let share = share(lane, event.to_s[lane]);
            watts[lane] = share * event_w;
            amps[lane] = share * event_a;
            any |= share > 0.0;
        }
        if start_w > 0.0 && any {
            for lane in 0..LANES {
                let to_s = min(event.from_s[lane] + start_s, event.to_s[lane]);
                watts[lane] += share(lane, to_s) * start_w;
            }
        }
        any
    })
}

#[inline(never)]
fn book_event(account: &mut Lanes, watts: &Lanes, amps: &Lanes, bank: &BankState) {
    wide!(|account, watts, amps, bank| for lane in 0..LANES {
        account[lane] += bank.served[lane] * (watts[lane] + amps[lane] * bank.volts[lane]);
    });
}

/// Adds a compressor's power to `others`, or to what stands in `load_w`.
#[inline(never)]
fn add_fridge(load_w: &mut Lanes, others: Option<&Lanes>, running_w: f64, duty: &Lanes) {
    if let Some(others) = others {
        wide!(|load_w, others, running_w, duty| for lane in 0..LANES {
            load_w[lane] = others[lane] + running_w * duty[lane];
        });
    } else {
        wide!(|load_w, running_w, duty| for lane in 0..LANES {
            load_w[lane] += running_w * duty[lane];
        });
    }
}
