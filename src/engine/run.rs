//! The step loop of a batch.

use super::air::Air;
use super::bank_step::{Flow, Tables, feed_limit, look_up, offer, settle};
use super::cooling::{ask, cool};
use super::demand::{Demand, Gates};
use super::draws::Draws;
use super::drives::{DriveTrack, part_end_s};
use super::lanes::{LANES, Lanes, ZERO, greater, lesser, splat, sum_of_first};
use super::outcome::{BankOutcome, Ledger, Outcome};
use super::sharing::{
    ChargerFlow, SunScratch, book_charger, input_current, share_alternator, share_sun, want,
};
use super::state::State;
use super::sun::Offer;
use super::track::Track;
use crate::scenario::{ChargerSource, EventMoment, Needs};
use crate::timeline::Timeline;
use crate::timeline::load_schedule::Gate;
use crate::timeline::sun_steps::NO_SLOT;

/// A portable panel stands again so long after a leg's arrival, s.
const SETTLE_S: f64 = 3600.0;

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
    step: usize,
    batch: &'a Batch<'a>,
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
        (
            state.soc[0],
            state.volts[0],
            state.current[0],
            state.temp[0],
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
        let amps = if flow.has_source {
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
        let kept = if self.batch.has_sun {
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

    /// Ambient, cabin, box and engine-bay temperature, mean over the step.
    #[must_use]
    pub fn air_c(&self) -> [f64; 4] {
        let air = &self.batch.air;
        [air.ambient[0], air.cabin[0], air.outside_box[0], air.bay[0]]
    }

    /// Share of the step driven.
    #[must_use]
    pub fn driving(&self) -> f64 {
        self.batch.drives.driving[0]
    }
}

struct Batch<'a> {
    timeline: &'a Timeline,
    draws: &'a Draws,
    state: State,
    air: Air,
    drives: DriveTrack<'a>,
    demand: Demand,
    vehicle: Gates,
    trailer: Gates,
    gates_moved: bool,
    gates_new: bool,
    flows: Vec<Flow>,
    chargers: Vec<ChargerFlow>,
    offers: Vec<Offer>,
    sun: SunScratch,
    has_sun: bool,
    tracks: Vec<Track>,
    tables: Tables,
    camp: Lanes,
    next_event: usize,
    active_events: Vec<(usize, Lanes, Lanes)>,
    latest_departure_s: f64,
}

impl std::fmt::Debug for Batch<'_> {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        out.debug_struct("Batch").finish_non_exhaustive()
    }
}

/// Runs a batch through the timeline.
pub fn run_batch(timeline: &Timeline, draws: &Draws, observer: &mut impl Observer) -> Outcome {
    let mut batch = Batch::new(timeline, draws);
    for step in 0..timeline.steps {
        if step >= timeline.tail_step {
            batch.tail_step(step);
        } else {
            batch.step(step);
            batch.track(step);
        }
        observer.after_step(&StepView {
            step,
            batch: &batch,
        });
    }
    batch.finish()
}

impl<'a> Batch<'a> {
    fn new(timeline: &'a Timeline, draws: &'a Draws) -> Self {
        let plant = &timeline.plant;
        let state = State::new(timeline, draws);
        let tracks = (0..plant.banks.len())
            .map(|bank| {
                let account = &state.banks[bank];
                Track::new(timeline, bank, &account.soc, &account.on)
            })
            .collect();
        Self {
            timeline,
            draws,
            air: Air::new(timeline, draws),
            drives: DriveTrack::new(draws, SETTLE_S),
            demand: Demand::new(plant),
            vehicle: Gates::new(),
            trailer: Gates::new(),
            gates_moved: true,
            gates_new: true,
            flows: vec![Flow::new(); plant.banks.len()],
            chargers: vec![ChargerFlow::new(); plant.chargers.len()],
            offers: vec![Offer::new(); plant.panels.len()],
            sun: SunScratch::new(plant),
            has_sun: false,
            tracks,
            tables: Tables::default(),
            camp: ZERO,
            next_event: 0,
            active_events: Vec::new(),
            latest_departure_s: draws.departure_s.iter().fold(0.0, |a: f64, b| a.max(*b)),
            state,
        }
    }

    fn tail_step(&mut self, step: usize) {
        let begin_s = self.timeline.begin_s(step);
        let end_s = self.timeline.begin_s(step + 1);
        let mut share = ZERO;
        for lane in 0..LANES {
            share[lane] = ((self.draws.end_s[lane] - begin_s) / (end_s - begin_s)).clamp(0.0, 1.0);
        }
        self.begin_demand(step);
        let before = self.state.clone();
        self.flow_step(step);
        self.state.keep_share(&before, &share);
        self.track_from(step, &before);
    }

    fn step(&mut self, step: usize) {
        self.begin_demand(step);
        self.flow_step(step);
    }

    #[inline(never)]
    fn track(&mut self, step: usize) {
        for (bank, track) in self.tracks.iter_mut().enumerate() {
            track.step(
                self.timeline,
                step,
                &self.flows[bank].begin_soc,
                &self.state.banks[bank].soc,
                &self.state.banks[bank].on,
            );
        }
    }

    fn track_from(&mut self, step: usize, before: &State) {
        for (bank, track) in self.tracks.iter_mut().enumerate() {
            track.step(
                self.timeline,
                step,
                &before.banks[bank].soc,
                &self.state.banks[bank].soc,
                &self.state.banks[bank].on,
            );
        }
    }

    /// Takes up schedule changes; a fridge's day brings its own use.
    fn begin_demand(&mut self, step: usize) {
        if !self
            .demand
            .begin_step(self.timeline, self.draws, &mut self.state, step)
        {
            return;
        }
        for (index, fridge) in self.timeline.plant.fridges.iter().enumerate() {
            let (_, day) = self.demand.live_of(fridge.load);
            let factors = &self.draws.use_factor[fridge.load][day];
            let state = &mut self.state.fridges[index];
            for lane in 0..LANES {
                let heat = fridge.leak_w_per_k + factors[lane] * fridge.use_w_per_k;
                state.heat_w_per_k[lane] = heat;
                state.k_per_w[lane] = 1.0 / (heat + fridge.store_w_per_k);
            }
        }
    }

    fn flow_step(&mut self, step: usize) {
        let timeline = self.timeline;
        let plant = &timeline.plant;
        let begin_s = timeline.begin_s(step);
        let end_s = timeline.begin_s(step + 1);
        self.drives.step(begin_s, end_s);
        self.set_gates(begin_s, end_s);
        let slot = timeline.sun.slot[step];
        self.has_sun = slot != NO_SLOT;
        let light = self.has_sun.then(|| &self.draws.light[slot as usize]);
        self.air
            .step(timeline, self.draws, step, light, &self.drives, &self.camp);
        self.state.warm_batteries(timeline, &self.air);
        self.ask_fridges();
        self.find_events(begin_s, end_s);
        self.ask_loads();
        if let Some(light) = light {
            for (panel, offer) in self.offers.iter_mut().enumerate() {
                offer.set(timeline, panel, step, light, &self.air, &self.drives);
            }
        } else {
            self.sun.clear();
        }
        self.open_chargers(step);
        for position in 0..plant.bank_order.len() {
            self.offer_bank(plant.bank_order[position]);
        }
        if self.drives.any {
            self.run_alternator();
        }
        for position in 0..plant.bank_order.len() {
            self.settle_bank(plant.bank_order[position]);
        }
        self.cool_fridges();
        self.book_events();
    }

    #[inline(never)]
    fn set_gates(&mut self, begin_s: f64, end_s: f64) {
        let before_departure = begin_s < self.latest_departure_s;
        self.gates_new = self.drives.any || self.gates_moved || before_departure;
        if !self.gates_new {
            return;
        }
        let mut away = splat(1.0);
        if before_departure {
            for lane in 0..LANES {
                let since_s = end_s - self.draws.departure_s[lane];
                away[lane] = (since_s / (end_s - begin_s)).clamp(0.0, 1.0);
            }
        }
        self.vehicle.set(&self.drives.driving, &away);
        self.trailer.set(&self.drives.towing, &away);
        self.camp = *self.vehicle.share(Gate::Camp);
        // One more time after the last drive or the departure, for open gates everywhere.
        self.gates_moved = self.drives.any || before_departure;
    }

    fn gates(&self, bank: usize) -> &Gates {
        if self.timeline.plant.banks[bank].trailer {
            &self.trailer
        } else {
            &self.vehicle
        }
    }

    fn ask_fridges(&mut self) {
        let plant = &self.timeline.plant;
        for (index, fridge) in plant.fridges.iter().enumerate() {
            let around = self.air.around(fridge.kept);
            let state = &mut self.state.fridges[index];
            ask(fridge, around, state);
            let (live, _) = self.demand.live_of(fridge.load);
            let gate = plant.loads[fridge.load].gate;
            let is_open = gate == Some(Gate::Open) && live >= 1.0;
            if !is_open {
                let gates = if plant.banks[fridge.bank].trailer {
                    &self.trailer
                } else {
                    &self.vehicle
                };
                let share = gate.map_or(ZERO, |gate| *gates.share(gate));
                for lane in 0..LANES {
                    state.duty[lane] = lesser(state.duty[lane], live * share[lane]);
                }
            }
        }
    }

    #[inline(never)]
    fn find_events(&mut self, begin_s: f64, end_s: f64) {
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
            let load = plant.loads[plant.events[event.event].load];
            let Some(gate) = load.gate else { continue };
            let gates = if plant.banks[load.bank].trailer {
                &self.trailer
            } else {
                &self.vehicle
            };
            let open = gates.share(gate);
            let mut watts = ZERO;
            let mut amps = ZERO;
            let mut any = 0.0;
            for lane in 0..LANES {
                let end_s = part_end_s(self.draws.end_s[lane], begin_s, end_s);
                let inside_s =
                    lesser(event.to_s[lane], end_s) - greater(event.from_s[lane], begin_s);
                let share = greater(inside_s / (end_s - begin_s), 0.0) * open[lane];
                watts[lane] = share * (load.watts + load.idle_w);
                amps[lane] = share * load.amps;
                any += share;
            }
            if any > 0.0 {
                self.active_events.push((event.event, watts, amps));
            }
        }
    }

    #[inline(never)]
    fn ask_loads(&mut self) {
        let plant = &self.timeline.plant;
        for bank in 0..plant.banks.len() {
            let gates = if plant.banks[bank].trailer {
                &self.trailer
            } else {
                &self.vehicle
            };
            let flow = &mut self.flows[bank];
            self.demand.ask(
                bank,
                gates,
                self.gates_new,
                &mut flow.load_w,
                &mut flow.load_a,
            );
            flow.begin_soc = self.state.banks[bank].soc;
        }
        for (index, fridge) in plant.fridges.iter().enumerate() {
            let asked = &self.state.fridges[index].duty;
            let load_w = &mut self.flows[fridge.bank].load_w;
            for lane in 0..LANES {
                load_w[lane] += fridge.running_w * asked[lane];
            }
        }
        for (event, watts, amps) in &self.active_events {
            let flow = &mut self.flows[plant.loads[plant.events[*event].load].bank];
            for lane in 0..LANES {
                flow.load_w[lane] += watts[lane];
                flow.load_a[lane] += amps[lane];
            }
        }
        for bank in 0..plant.banks.len() {
            let flow = &mut self.flows[bank];
            look_up(
                &plant.banks[bank],
                &self.state.banks[bank],
                &self.tables,
                flow,
            );
            if !plant.banks[bank].feeds.is_empty() {
                flow.draw_w = ZERO;
                feed_limit(
                    &plant.banks[bank],
                    &self.state.banks[bank],
                    flow,
                    plant.step_h,
                );
            }
        }
    }

    #[inline(never)]
    fn open_chargers(&mut self, step: usize) {
        let plant = &self.timeline.plant;
        for (charger, flow) in plant.chargers.iter().zip(&mut self.chargers) {
            flow.mean_a = ZERO;
            let gate = match (charger.from, charger.needs) {
                (ChargerSource::Mains, _) => self.timeline.mains[step].then(|| {
                    let gates = if charger.trailer {
                        &self.trailer
                    } else {
                        &self.vehicle
                    };
                    *gates.share(Gate::Camp)
                }),
                (ChargerSource::Bank(_), Needs::Always) => Some(splat(1.0)),
                (_, Needs::Towing) => self.drives.any.then_some(self.drives.towing),
                _ => self.drives.any.then_some(self.drives.driving),
            };
            flow.is_open = gate.is_some();
            if let Some(gate) = gate {
                flow.gate = gate;
            }
        }
    }

    /// What a bank would take of sun and chargers; bank-fed chargers draw on their givers.
    #[inline(never)]
    fn offer_bank(&mut self, bank: usize) {
        let timeline = self.timeline;
        let plant = &timeline.plant;
        let constants = &plant.banks[bank];
        let alternator_fed = self.drives.any && !constants.is_house && plant.alternator.is_some();
        let has_sun = self.has_sun && !constants.panels.is_empty();
        let chargers = &self.chargers;
        let has_charger = constants
            .charger_groups
            .iter()
            .flatten()
            .any(|&index| chargers[index].is_open);
        let flow = &mut self.flows[bank];
        flow.has_source = alternator_fed || has_sun || has_charger;
        if !flow.has_source {
            return;
        }
        let mut source_a = ZERO;
        for &index in constants.charger_groups.iter().flatten() {
            let charger = &chargers[index];
            if charger.is_open {
                let output_a = plant.chargers[index].output_a;
                for lane in 0..LANES {
                    source_a[lane] += charger.gate[lane] * output_a;
                }
            }
        }
        flow.sun_w = ZERO;
        flow.sun_a = ZERO;
        if has_sun {
            for &panel in &constants.panels {
                let amount = &self.offers[panel].amount;
                let sum = if plant.panels[panel].is_pwm {
                    &mut flow.sun_a
                } else {
                    &mut flow.sun_w
                };
                for lane in 0..LANES {
                    sum[lane] += amount[lane];
                }
            }
        }
        if alternator_fed {
            // As much as it takes: the alternator's own limit comes when it is shared out.
            for lane in 0..LANES {
                source_a[lane] += self.drives.driving[lane] * 1e3;
            }
        } else {
            flow.alternator_a = ZERO;
        }
        let account = &self.state.banks[bank];
        offer(
            constants,
            account,
            flow,
            &source_a,
            &self.tables,
            plant.step_h,
        );
        if has_sun {
            share_sun(
                plant,
                bank,
                &mut self.state,
                flow,
                &self.offers,
                &mut self.sun,
            );
        }
        if self.drives.any_part && (has_charger || alternator_fed) {
            self.make_room(bank);
        }
        let flow = &mut self.flows[bank];
        if has_charger {
            want(plant, bank, flow, &mut self.chargers, &self.sun);
            for position in 0..constants.charger_groups.len() {
                for &index in &constants.charger_groups[position] {
                    self.feed_charger(index);
                }
            }
        }
    }

    /// In a step that is driven in part, room for the alternator is made by the loads of that part:
    /// a pump that starts on arrival must not be fed by an engine that has stopped.
    fn make_room(&mut self, bank: usize) {
        let plant = &self.timeline.plant;
        let driving = if plant.banks[bank].trailer {
            &self.drives.towing
        } else {
            &self.drives.driving
        };
        if !driving.iter().any(|share| *share > 0.0 && *share < 1.0) {
            return;
        }
        let (mut watts, mut amps) = (ZERO, ZERO);
        self.demand
            .more_while_driving(bank, driving, &mut watts, &mut amps);
        for (event, event_w, event_a) in &self.active_events {
            let constants = &plant.events[*event];
            if plant.loads[constants.load].bank != bank {
                continue;
            }
            let departs = constants.on == EventMoment::Depart;
            for lane in 0..LANES {
                let share = driving[lane];
                if share > 0.0 && share < 1.0 {
                    let more = if departs { 1.0 / share - 1.0 } else { -1.0 };
                    watts[lane] += more * event_w[lane];
                    amps[lane] += more * event_a[lane];
                }
            }
        }
        let flow = &mut self.flows[bank];
        let on = &self.state.banks[bank].on;
        for lane in 0..LANES {
            let more_a = on[lane] * (watts[lane] / flow.full_v[lane] + amps[lane]);
            flow.room_a[lane] = greater(flow.room_a[lane] + more_a, 0.0);
        }
    }

    /// Works out a charger's input; mains and bank-fed ones are then settled.
    #[inline(never)]
    fn feed_charger(&mut self, index: usize) {
        let plant = &self.timeline.plant;
        let constants = &plant.chargers[index];
        let charger = &mut self.chargers[index];
        if !charger.is_open {
            return;
        }
        let full_v = self.flows[constants.to].full_v;
        let starved = &mut self.state.chargers[index].starved;
        match constants.from {
            ChargerSource::Alternator => {
                let volts = plant
                    .alternator
                    .as_ref()
                    .map_or(0.0, |alternator| alternator.volts);
                let source_v = splat(volts);
                input_current(constants, charger, &source_v, &full_v, starved);
            }
            ChargerSource::Mains => {
                for lane in 0..LANES {
                    charger.mean_a[lane] = charger.gate[lane] * charger.wanted_a[lane];
                }
            }
            ChargerSource::Bank(giver) => {
                let source_v = self.state.banks[giver].volts;
                input_current(constants, charger, &source_v, &full_v, starved);
                let feed = &mut self.flows[giver];
                for lane in 0..LANES {
                    let gate = charger.gate[lane];
                    let asked_w = source_v[lane] * charger.input_a[lane] * gate;
                    let given_w = lesser(asked_w, feed.feed_w[lane]);
                    let share = if asked_w > 0.0 {
                        given_w / asked_w
                    } else {
                        0.0
                    };
                    feed.feed_w[lane] -= given_w;
                    charger.mean_a[lane] = gate * charger.wanted_a[lane] * share;
                    charger.draw_w_per_a[lane] = if charger.wanted_a[lane] > 0.0 {
                        source_v[lane] * charger.input_a[lane] / charger.wanted_a[lane]
                    } else {
                        0.0
                    };
                    feed.draw_w[lane] += given_w;
                }
            }
        }
    }

    #[inline(never)]
    fn run_alternator(&mut self) {
        let plant = &self.timeline.plant;
        let Some(alternator) = &plant.alternator else {
            return;
        };
        let starter = plant.banks.iter().position(|bank| !bank.is_house);
        let mut start_a = ZERO;
        if let Some(bank) = starter {
            let flow = &self.flows[bank];
            let constants = &plant.banks[bank];
            for lane in 0..LANES {
                // The terminals cannot be lifted above the alternator's own voltage.
                let headroom_v = greater(alternator.volts - flow.open_v[lane], 0.0);
                let loads_a = flow.room_a[lane] - flow.limit_a[lane];
                let by_volts = headroom_v / constants.ohm + greater(loads_a, 0.0);
                start_a[lane] = lesser(flow.room_a[lane], by_volts);
            }
        }
        share_alternator(
            alternator,
            &self.drives.driving,
            &mut start_a,
            &mut self.chargers,
            &mut self.state,
        );
        if let Some(bank) = starter {
            self.flows[bank].alternator_a = start_a;
        }
    }

    #[inline(never)]
    fn settle_bank(&mut self, bank: usize) {
        let plant = &self.timeline.plant;
        let constants = &plant.banks[bank];
        let step_h = plant.step_h;
        let flow = &mut self.flows[bank];
        if flow.has_source {
            flow.charger_a = flow.alternator_a;
            for &index in constants.charger_groups.iter().flatten() {
                if self.chargers[index].is_open {
                    for lane in 0..LANES {
                        flow.charger_a[lane] += self.chargers[index].mean_a[lane];
                    }
                }
            }
        }
        settle(
            constants,
            &mut self.state.banks[bank],
            flow,
            &self.tables,
            step_h,
        );
        if flow.has_source {
            self.book_sources(bank);
        }
        let gates = if constants.trailer {
            &self.trailer
        } else {
            &self.vehicle
        };
        self.demand.book(&mut self.state.banks[bank], bank, gates);
    }

    fn book_sources(&mut self, bank: usize) {
        let plant = &self.timeline.plant;
        let constants = &plant.banks[bank];
        for &index in constants.charger_groups.iter().flatten() {
            let charger = &self.chargers[index];
            if !charger.is_open {
                continue;
            }
            let account = &mut self.state.chargers[index];
            book_charger(
                &plant.chargers[index],
                charger,
                account,
                &mut self.state.banks[bank],
            );
            if matches!(plant.chargers[index].from, ChargerSource::Bank(_)) {
                for lane in 0..LANES {
                    account.in_w[lane] += charger.draw_w_per_a[lane] * charger.mean_a[lane];
                }
            }
        }
        if !self.has_sun {
            return;
        }
        for &panel in &constants.panels {
            let panel_plant = &plant.panels[panel];
            let kept = &self.sun.kept[panel];
            let account = &mut self.state.panels[panel].out_w;
            let state = &mut self.state.banks[bank];
            let gross = 1.0 / panel_plant.keep;
            if panel_plant.is_pwm {
                for lane in 0..LANES {
                    let watts = kept[lane] * state.volts[lane];
                    account[lane] += watts;
                    state.conversion_w[lane] += kept[lane] * gross * panel_plant.gross_v - watts;
                }
            } else {
                for lane in 0..LANES {
                    account[lane] += kept[lane];
                    state.conversion_w[lane] += kept[lane] * (gross - 1.0);
                }
            }
        }
    }

    fn cool_fridges(&mut self) {
        let plant = &self.timeline.plant;
        for (index, fridge) in plant.fridges.iter().enumerate() {
            let around = self.air.around(fridge.kept);
            let served = &self.state.banks[fridge.bank].served;
            cool(fridge, around, served, &mut self.state.fridges[index]);
        }
    }

    fn book_events(&mut self) {
        let plant = &self.timeline.plant;
        for (event, watts, amps) in &self.active_events {
            let bank = &self.state.banks[plant.loads[plant.events[*event].load].bank];
            let account = &mut self.state.event_w[*event];
            for lane in 0..LANES {
                account[lane] += bank.served[lane] * (watts[lane] + amps[lane] * bank.volts[lane]);
            }
        }
    }

    /// A load's mean power in the first trial over the step just done, W.
    fn load_w(&self, load: usize) -> f64 {
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
        let share = constants
            .gate
            .map_or(0.0, |gate| self.gates(constants.bank).share(gate)[0]);
        let scheduled = self.demand.asked_of(load, constants, self.draws);
        let mut watts = (scheduled.0 + scheduled.1 * bank.volts[0]) * share * served;
        if let Some(fridge) = plant.fridges.iter().position(|fridge| fridge.load == load) {
            watts += self.state.fridges[fridge].duty[0] * plant.fridges[fridge].running_w * served;
        }
        watts
    }

    fn finish(mut self) -> Outcome {
        let plant = &self.timeline.plant;
        self.demand.settle_all(plant, self.draws, &mut self.state);
        let count = self.draws.count;
        let sum = |lanes: &Lanes| sum_of_first(lanes, count);
        let step_h = plant.step_h;
        let sum_h = |lanes: &Lanes| step_h * sum(lanes);
        let hours = |steps: &Lanes| steps.map(|steps| steps * step_h);
        let state = &self.state;
        let mut power_wh = self.demand.power_wh.clone();
        for (fridge, constants) in state.fridges.iter().zip(&plant.fridges) {
            power_wh[constants.load] += constants.running_w * sum_h(&fridge.run);
        }
        for (event_w, event) in state.event_w.iter().zip(&plant.events) {
            power_wh[event.load] += sum_h(event_w);
        }
        let volts_of = |wh: f64, ah: f64| if ah > 0.0 { wh / ah } else { f64::INFINITY };
        let out_v: Vec<f64> = state
            .banks
            .iter()
            .map(|bank| volts_of(sum(&bank.out_w), sum(&bank.in_a) - sum(&bank.net_a)))
            .collect();
        let in_v: Vec<f64> = state
            .banks
            .iter()
            .map(|bank| volts_of(sum(&bank.in_w), sum(&bank.in_a)))
            .collect();
        let loads = || plant.loads.iter().enumerate();
        let load_wh = loads().map(|(load, _)| power_wh[load] + self.demand.current_wh[load]);
        let load_ah = loads()
            .map(|(load, of)| power_wh[load] / out_v[of.bank] + self.demand.current_ah[load]);
        let (load_wh, load_ah) = (load_wh.collect(), load_ah.collect());
        let chargers = &state.chargers;
        let banks = state
            .banks
            .iter()
            .zip(self.tracks)
            .map(|(bank, mut track)| {
                track.finish();
                let mut worst_gap: f64 = 0.0;
                for lane in 0..count {
                    let gap = bank.in_w[lane]
                        - bank.out_w[lane]
                        - bank.loss_w[lane]
                        - bank.stored_w[lane];
                    let through_wh = step_h * (bank.in_w[lane] + bank.out_w[lane]);
                    worst_gap = worst_gap.max(step_h * gap.abs() / through_wh.max(1.0));
                }
                BankOutcome {
                    reserve_soc: track.reserve_soc,
                    lowest_soc: track.lowest,
                    end_soc: bank.soc,
                    shortfall_s: track.shortfall_s,
                    had_outage: std::array::from_fn(|lane| bank.had_outage[lane] > 0.0),
                    worst_gap,
                    ledger: Ledger {
                        in_wh: sum_h(&bank.in_w),
                        out_wh: sum_h(&bank.out_w),
                        loss_wh: sum_h(&bank.loss_w),
                        stored_wh: sum_h(&bank.stored_w),
                        standby_wh: sum_h(&bank.standby_w),
                        conversion_wh: sum_h(&bank.conversion_w),
                        curtailed_wh: sum_h(&bank.curtailed_w),
                        unserved_wh: sum_h(&bank.unserved_w),
                        over_limit_wh: sum_h(&bank.over_limit_w),
                        alternator_wh: sum_h(&bank.alternator_w),
                        alternator_ah: sum_h(&bank.alternator_a),
                        in_ah: sum_h(&bank.in_a),
                        out_ah: sum_h(&bank.in_a) - sum_h(&bank.net_a),
                        cold_h: sum_h(&bank.cold),
                    },
                    nights: track.nights,
                    samples: track.samples,
                }
            });
        Outcome {
            count,
            banks: banks.collect(),
            load_wh,
            load_ah,
            load_live_h: self.demand.live_h.clone(),
            charger_wh: chargers
                .iter()
                .map(|charger| sum_h(&charger.out_w))
                .collect(),
            charger_ah: chargers
                .iter()
                .map(|charger| sum_h(&charger.out_a))
                .collect(),
            charger_in_wh: chargers
                .iter()
                .map(|charger| sum_h(&charger.in_w))
                .collect(),
            charger_gate_h: chargers
                .iter()
                .map(|charger| sum_h(&charger.gate))
                .collect(),
            charger_full_h: chargers
                .iter()
                .map(|charger| sum_h(&charger.full))
                .collect(),
            charger_starved_h: chargers
                .iter()
                .map(|charger| sum_h(&charger.starved))
                .collect(),
            charger_denied_ah: chargers
                .iter()
                .map(|charger| sum_h(&charger.denied_a))
                .collect(),
            panel_wh: state
                .panels
                .iter()
                .map(|panel| sum_h(&panel.out_w))
                .collect(),
            panel_ah: state
                .panels
                .iter()
                .zip(&plant.panels)
                .map(|(panel, of)| sum_h(&panel.out_w) / in_v[of.to])
                .collect(),
            fridge_above_h: state
                .fridges
                .iter()
                .map(|fridge| hours(&fridge.above))
                .collect(),
            fridge_run_h: state
                .fridges
                .iter()
                .map(|fridge| sum_h(&fridge.run))
                .collect(),
            oversubscribed_h: hours(&state.oversubscribed),
            peak_a: state.peak_a,
            driven_h: sum_h(&state.driven),
            hours: sum(&self.draws.end_s) / 3600.0,
        }
    }
}
