//! The step loop of a batch.

use super::air::Air;
use super::bank_step::{Flow, Tables, feed_limit, look_up, offer, settle};
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
use crate::scenario::{ChargerSource, Needs};
use crate::system::fridge::{duty, inside_after_c, performance};
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
        self.batch.flows[bank].alternator_a[0] * self.batch.state.banks[bank].volts[0]
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
            let heat = &mut self.state.fridges[index].heat_w_per_k;
            for lane in 0..LANES {
                heat[lane] = fridge.leak_w_per_k + factors[lane] * fridge.use_w_per_k;
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
        let air = &self.air;
        self.state
            .warm_batteries(timeline, |kept| *air.around(kept));
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

    fn set_gates(&mut self, begin_s: f64, end_s: f64) {
        let before_departure = begin_s < self.latest_departure_s;
        if !(self.drives.any || self.gates_moved || before_departure) {
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
            for lane in 0..LANES {
                state.duty[lane] = duty(
                    state.inside[lane],
                    around[lane],
                    fridge.set_c,
                    state.heat_w_per_k[lane],
                    fridge.store_w_per_k,
                    fridge.compressor_w,
                );
            }
            let (live, _) = self.demand.live_of(fridge.load);
            let gate = plant.loads[fridge.load].gate.unwrap_or(Gate::Open);
            let is_open = gate == Gate::Open && live >= 1.0;
            if !is_open {
                let gates = if plant.banks[fridge.bank].trailer {
                    &self.trailer
                } else {
                    &self.vehicle
                };
                let share = gates.share(gate);
                for lane in 0..LANES {
                    state.duty[lane] = lesser(state.duty[lane], live * share[lane]);
                }
            }
        }
    }

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

    fn ask_loads(&mut self) {
        let plant = &self.timeline.plant;
        for bank in 0..plant.banks.len() {
            let gates = if plant.banks[bank].trailer {
                &self.trailer
            } else {
                &self.vehicle
            };
            let flow = &mut self.flows[bank];
            self.demand
                .ask(bank, gates, &mut flow.load_w, &mut flow.load_a);
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
            flow.draw_w = ZERO;
            flow.charger_a = ZERO;
            flow.alternator_a = ZERO;
            if !plant.banks[bank].feeds.is_empty() {
                feed_limit(
                    &plant.banks[bank],
                    &self.state.banks[bank],
                    flow,
                    plant.step_h,
                );
            }
        }
    }

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
    fn offer_bank(&mut self, bank: usize) {
        let timeline = self.timeline;
        let plant = &timeline.plant;
        let constants = &plant.banks[bank];
        let alternator_fed = self.drives.any && !constants.is_house && plant.alternator.is_some();
        let has_sun = self.has_sun && !constants.panels.is_empty();
        let mut source_a = ZERO;
        let mut has_charger = false;
        for &index in constants.charger_groups.iter().flatten() {
            let charger = &self.chargers[index];
            if charger.is_open {
                has_charger = true;
                let output_a = plant.chargers[index].output_a;
                for lane in 0..LANES {
                    source_a[lane] += charger.gate[lane] * output_a;
                }
            }
        }
        let flow = &mut self.flows[bank];
        flow.has_source = alternator_fed || has_sun || has_charger;
        if !flow.has_source {
            flow.sun_w = ZERO;
            flow.sun_a = ZERO;
            return;
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
            for lane in 0..LANES {
                source_a[lane] += self.drives.driving[lane] * 1e3;
            }
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
        if has_charger {
            want(plant, bank, flow, &mut self.chargers, &self.sun);
            for position in 0..constants.charger_groups.len() {
                for &index in &constants.charger_groups[position] {
                    self.feed_charger(index);
                }
            }
        }
    }

    /// Works out a charger's input; mains and bank-fed ones are then settled.
    fn feed_charger(&mut self, index: usize) {
        let plant = &self.timeline.plant;
        let constants = &plant.chargers[index];
        let charger = &mut self.chargers[index];
        if !charger.is_open {
            return;
        }
        let full_v = self.flows[constants.to].full_v;
        let starved_h = &mut self.state.chargers[index].starved_h;
        match constants.from {
            ChargerSource::Alternator => {
                let volts = plant
                    .alternator
                    .as_ref()
                    .map_or(0.0, |alternator| alternator.volts);
                let source_v = splat(volts);
                input_current(
                    constants,
                    charger,
                    &source_v,
                    &full_v,
                    starved_h,
                    plant.step_h,
                );
            }
            ChargerSource::Mains => {
                for lane in 0..LANES {
                    charger.mean_a[lane] = charger.gate[lane] * charger.wanted_a[lane];
                }
            }
            ChargerSource::Bank(giver) => {
                let source_v = self.state.banks[giver].volts;
                input_current(
                    constants,
                    charger,
                    &source_v,
                    &full_v,
                    starved_h,
                    plant.step_h,
                );
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
            plant,
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
        self.demand.book(&mut self.state, bank, gates, step_h);
    }

    fn book_sources(&mut self, bank: usize) {
        let plant = &self.timeline.plant;
        let constants = &plant.banks[bank];
        let step_h = plant.step_h;
        for &index in constants.charger_groups.iter().flatten() {
            if !self.chargers[index].is_open {
                continue;
            }
            book_charger(plant, index, &self.chargers[index], &mut self.state);
            if matches!(plant.chargers[index].from, ChargerSource::Bank(_)) {
                let charger = &self.chargers[index];
                let account = &mut self.state.chargers[index];
                for lane in 0..LANES {
                    account.in_wh[lane] +=
                        charger.draw_w_per_a[lane] * charger.mean_a[lane] * step_h;
                }
            }
        }
        if self.has_sun {
            for &panel in &constants.panels {
                let panel_plant = &plant.panels[panel];
                let kept = &self.sun.kept[panel];
                let account = &mut self.state.panels[panel];
                let state = &mut self.state.banks[bank];
                for lane in 0..LANES {
                    let volts = state.volts[lane];
                    let (watts, gross_w) = if panel_plant.is_pwm {
                        (
                            kept[lane] * volts,
                            kept[lane] / panel_plant.keep * panel_plant.gross_v,
                        )
                    } else {
                        (kept[lane], kept[lane] / panel_plant.keep)
                    };
                    account.out_wh[lane] += watts * step_h;
                    account.out_ah[lane] += watts * state.per_volt[lane] * step_h;
                    state.conversion_wh[lane] += (gross_w - watts) * step_h;
                }
            }
        }
    }

    fn cool_fridges(&mut self) {
        let plant = &self.timeline.plant;
        let step_h = plant.step_h;
        for (index, fridge) in plant.fridges.iter().enumerate() {
            let around = self.air.around(fridge.kept);
            let bank = &self.state.banks[fridge.bank];
            let (served, per_volt) = (&bank.served, &bank.per_volt);
            let state = &mut self.state.fridges[index];
            for lane in 0..LANES {
                let ran = state.duty[lane] * served[lane];
                let before_c = state.inside[lane];
                let cooling_w = ran * fridge.compressor_w * performance(before_c, around[lane]);
                let after_c = inside_after_c(
                    before_c,
                    around[lane],
                    state.heat_w_per_k[lane],
                    fridge.store_w_per_k,
                    cooling_w,
                );
                state.inside[lane] = after_c;
                state.out_wh[lane] += ran * fridge.running_w * step_h;
                state.out_ah[lane] += ran * fridge.running_w * per_volt[lane] * step_h;
                state.run_h[lane] += ran * step_h;
                let middle_c = 0.5 * (before_c + after_c);
                state.above_h[lane] += if middle_c > fridge.limit_c {
                    step_h
                } else {
                    0.0
                };
            }
        }
    }

    fn book_events(&mut self) {
        let plant = &self.timeline.plant;
        for (event, watts, amps) in &self.active_events {
            let bank = &self.state.banks[plant.loads[plant.events[*event].load].bank];
            let wh = &mut self.state.event_wh[*event];
            let ah = &mut self.state.event_ah[*event];
            for lane in 0..LANES {
                let served_h = bank.served[lane] * plant.step_h;
                wh[lane] += served_h * (watts[lane] + amps[lane] * bank.volts[lane]);
                ah[lane] += served_h * (watts[lane] * bank.per_volt[lane] + amps[lane]);
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
        let mut load_wh = self.demand.load_wh.clone();
        let mut load_ah = self.demand.load_ah.clone();
        for (state, fridge) in self.state.fridges.iter().zip(&plant.fridges) {
            load_wh[fridge.load] += sum(&state.out_wh);
            load_ah[fridge.load] += sum(&state.out_ah);
        }
        for ((wh, ah), event) in self
            .state
            .event_wh
            .iter()
            .zip(&self.state.event_ah)
            .zip(&plant.events)
        {
            load_wh[event.load] += sum(wh);
            load_ah[event.load] += sum(ah);
        }
        let state = &self.state;
        let chargers = &state.chargers;
        let banks = state
            .banks
            .iter()
            .zip(self.tracks)
            .map(|(bank, mut track)| {
                track.finish();
                let mut worst_gap: f64 = 0.0;
                for lane in 0..count {
                    let gap = bank.in_wh[lane]
                        - bank.out_wh[lane]
                        - bank.loss_wh[lane]
                        - bank.stored_wh[lane];
                    let through = bank.in_wh[lane] + bank.out_wh[lane];
                    worst_gap = worst_gap.max(gap.abs() / through.max(1.0));
                }
                BankOutcome {
                    reserve_soc: track.reserve_soc,
                    lowest_soc: track.lowest,
                    end_soc: bank.soc,
                    shortfall_s: track.shortfall_s,
                    had_outage: std::array::from_fn(|lane| bank.had_outage[lane] > 0.0),
                    worst_gap,
                    ledger: Ledger {
                        in_wh: sum(&bank.in_wh),
                        out_wh: sum(&bank.out_wh),
                        loss_wh: sum(&bank.loss_wh),
                        stored_wh: sum(&bank.stored_wh),
                        standby_wh: sum(&bank.standby_wh),
                        conversion_wh: sum(&bank.conversion_wh),
                        curtailed_wh: sum(&bank.curtailed_wh),
                        unserved_wh: sum(&bank.unserved_wh),
                        over_limit_wh: sum(&bank.over_limit_wh),
                        alternator_wh: sum(&bank.alternator_wh),
                        alternator_ah: sum(&bank.alternator_ah),
                        in_ah: sum(&bank.in_ah),
                        out_ah: sum(&bank.out_ah),
                        cold_h: sum(&bank.cold_h),
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
                .map(|charger| sum(&charger.out_wh))
                .collect(),
            charger_ah: chargers
                .iter()
                .map(|charger| sum(&charger.out_ah))
                .collect(),
            charger_in_wh: chargers.iter().map(|charger| sum(&charger.in_wh)).collect(),
            charger_gate_h: chargers
                .iter()
                .map(|charger| sum(&charger.gate_h))
                .collect(),
            charger_full_h: chargers
                .iter()
                .map(|charger| sum(&charger.full_h))
                .collect(),
            charger_starved_h: chargers
                .iter()
                .map(|charger| sum(&charger.starved_h))
                .collect(),
            charger_denied_ah: chargers
                .iter()
                .map(|charger| sum(&charger.denied_ah))
                .collect(),
            panel_wh: state
                .panels
                .iter()
                .map(|panel| sum(&panel.out_wh))
                .collect(),
            panel_ah: state
                .panels
                .iter()
                .map(|panel| sum(&panel.out_ah))
                .collect(),
            fridge_above_h: state.fridges.iter().map(|fridge| fridge.above_h).collect(),
            fridge_run_h: state
                .fridges
                .iter()
                .map(|fridge| sum(&fridge.run_h))
                .collect(),
            oversubscribed_h: state.oversubscribed_h,
            peak_a: state.peak_a,
            driven_h: sum(&state.driven_h),
            hours: sum(&self.draws.end_s) / 3600.0,
        }
    }
}
