//! Banks that a relay joins to the alternator's side, and the voltage that all on it share.
//!
//! One job: what flows through a closed relay. A relay controls no current: at the alternator's own
//! voltage the circuit of run and battery does, as far as the battery takes it; where the alternator
//! cannot give the sum, its voltage falls until what is left fits. Shares of DC-DC chargers are in
//! `alternator_share`.
//!
//! Left out: current back out of a joined bank. The engine off, a voltage-sensing relay parts within the
//! step: the voltage falls to that of the batteries as soon as nothing charges them.

use super::bank_flow::Flow;
use super::lanes::{LANES, Lanes, NEVER, ONE, ZERO, max, min, share_of, splat, wide};
use super::sharing::ChargerFlow;
use super::state::BankState;
use super::totals::ChargerTotals;
use crate::system::relay_circuit::RelayCircuit;
use crate::timeline::plant::{AlternatorPlant, BankPlant, Plant};

/// Lowest voltage that is looked for, as a share of the alternator's own: below it no battery of the same
/// nominal voltage takes anything.
const LEAST_SHARE: f64 = 0.5;

/// Steps of the search for the voltage.
const SEARCH_STEPS: usize = 18;

/// Share of what there is by which a sum may be over.
const ROUNDING: f64 = 1e-10;

/// What flows beside the relay of one bank.
#[derive(Debug, Clone)]
pub(crate) struct RelayFlow {
    open_v: Lanes,
    beside_a: Lanes,
    beside_w: Lanes,
    /// 1: closed.
    joined: Lanes,
    charger: usize,
    bank_ohm: f64,
    run_ohm: f64,
    joins_v: f64,
    parts_v: f64,
}

impl RelayFlow {
    /// Every relay of the plant, those that part at the highest voltage first.
    pub(crate) fn all(plant: &Plant) -> Vec<Self> {
        let relays = plant.alternator.iter().flat_map(|of| &of.relays);
        let mut all: Vec<Self> = relays
            .filter_map(|&charger| {
                let constants = &plant.chargers[charger];
                let relay = constants.relay?;
                Some(Self {
                    open_v: ZERO,
                    beside_a: ZERO,
                    beside_w: ZERO,
                    joined: ZERO,
                    charger,
                    bank_ohm: plant.banks[constants.to].ohm,
                    run_ohm: constants.input_ohm,
                    joins_v: relay.joins_v,
                    parts_v: relay.parts_v,
                })
            })
            .collect();
        // As the voltage falls they part one after the other, and each that parts takes load off it for those below.
        all.sort_by(|a, b| b.parts_v.total_cmp(&a.parts_v));
        all
    }

    pub(crate) fn is_of(&self, charger: usize) -> bool {
        self.charger == charger
    }

    /// Works out what the circuit would let through at the alternator's own voltage, sun already in.
    #[inline(never)]
    pub(crate) fn ask(
        &mut self,
        source_v: f64,
        plant: &BankPlant,
        bank: &BankState,
        flow: &Flow,
        charger: &mut ChargerFlow,
        starved: &mut Lanes,
    ) {
        let never_joins = source_v < self.joins_v;
        let relay = self;
        wide!(
            |relay, plant, bank, flow, charger, starved| for lane in 0..LANES {
                let (on, sun) = (bank.on[lane], flow.sun_share[lane]);
                let standby_a = plant.standby.amps_at(bank.soc[lane]);
                relay.open_v[lane] = flow.open_v[lane];
                relay.beside_a[lane] = sun * flow.sun_a[lane] - flow.load_a[lane] * on - standby_a;
                relay.beside_w[lane] =
                    sun * flow.sun_w[lane] - flow.load_w[lane] * on - flow.draw_w[lane];
                let asked_a = max(relay.circuit(lane).current_a(source_v), 0.0);
                let availability = charger.availability[lane];
                let works = (availability > 0.0) & !never_joins;
                charger.wanted_a[lane] = if works { asked_a } else { 0.0 };
                charger.lost_w[lane] = 0.0;
                starved[lane] += if never_joins { availability } else { 0.0 };
            }
        );
    }

    #[inline(always)]
    fn circuit(&self, lane: usize) -> RelayCircuit {
        RelayCircuit {
            open_v: self.open_v[lane],
            bank_ohm: self.bank_ohm,
            run_ohm: self.run_ohm,
            beside_a: self.beside_a[lane],
            beside_w: self.beside_w[lane],
        }
    }

    /// Current through the relay, were it closed: no more than the bank takes.
    #[inline(always)]
    fn closed_a(&self, source_v: f64, takes_a: f64, lane: usize) -> f64 {
        min(max(self.circuit(lane).current_a(source_v), 0.0), takes_a)
    }
}

/// The start bank on the alternator; as it begins, one that takes nothing.
#[derive(Debug, Clone, Default)]
pub(crate) struct Starter {
    pub(crate) open_v: Lanes,
    /// What its loads draw, A.
    pub(crate) loads_a: Lanes,
    pub(crate) per_ohm: f64,
}

/// All that shares the alternator's voltage.
pub(crate) struct Joined<'a> {
    pub(crate) relays: &'a mut [RelayFlow],
    pub(crate) starter: &'a Starter,
    pub(crate) alternator: &'a AlternatorPlant,
}

impl Joined<'_> {
    /// What relays ask at the alternator's own voltage.
    #[inline(always)]
    pub(super) fn add_asked(&self, total_a: &mut Lanes, chargers: &[ChargerFlow]) {
        for relay in self.relays.iter() {
            *total_a += &chargers[relay.charger].wanted_a;
        }
    }

    /// Gives the relays what flows while the alternator has `spare_a`, for `time_share` of the engine's
    /// time. Returns which share the start bank gets meanwhile of the `start_a` that it wants, and what of
    /// `spare_a` is left for chargers.
    #[inline(always)]
    pub(super) fn share(
        &mut self,
        spare_a: f64,
        time_share: &Lanes,
        total_a: &Lanes,
        start_a: &Lanes,
        chargers: &mut [ChargerFlow],
        accounts: &mut [ChargerTotals<Lanes>],
    ) -> (Lanes, Lanes) {
        let own_v = self.alternator.volts;
        for relay in self.relays.iter_mut() {
            // As long as there is enough the regulator holds its voltage, every relay stays closed, and nothing is searched.
            relay.joined = ONE;
        }
        let mut source_v = splat(own_v);
        let is_over = total_a.iter().any(|total_a| *total_a > spare_a);
        if is_over {
            self.close(spare_a, total_a, start_a, chargers);
            source_v = self.common_v(spare_a, total_a, start_a, chargers);
        }
        let (mut start_share, mut left_a) = (ZERO, ZERO);
        for lane in 0..LANES {
            let wanted_a = start_a[lane];
            let gets_a = min(self.start_at(source_v[lane], wanted_a, lane), spare_a);
            start_share[lane] = share_of(wanted_a, gets_a);
            left_a[lane] = spare_a - gets_a;
        }
        for relay in self.relays.iter() {
            let charger = &mut chargers[relay.charger];
            for lane in 0..LANES {
                let availability = charger.availability[lane] * time_share[lane];
                let wanted_a = charger.wanted_a[lane];
                charger.input_a[lane] = wanted_a;
                let given_a = relay.joined[lane] * relay.closed_a(source_v[lane], wanted_a, lane);
                charger.mean_a[lane] += availability * given_a;
                charger.lost_w[lane] += availability * relay.run_ohm * given_a * given_a;
                left_a[lane] = max(left_a[lane] - given_a, 0.0);
                let is_parted = (relay.joined[lane] <= 0.0) & (wanted_a > 0.0);
                accounts[relay.charger].starved_h[lane] +=
                    if is_parted { availability } else { 0.0 };
            }
        }
        (start_share, left_a)
    }

    /// Which relays are closed where more is asked than there is. One joins where the voltage without
    /// any of them is high enough, and parts where with those that are closed it would be too low; those
    /// that part at the same voltage do so together.
    #[inline(always)]
    fn close(&mut self, spare_a: f64, total_a: &Lanes, start_a: &Lanes, chargers: &[ChargerFlow]) {
        for relay in self.relays.iter_mut() {
            relay.joined = ZERO;
        }
        for index in 0..self.relays.len() {
            if self.relays[index].joins_v <= 0.0 {
                self.relays[index].joined = ONE;
                continue;
            }
            let joins_v = splat(self.relays[index].joins_v);
            // No relay is closed yet in the sum: those before are counted only once all have been asked.
            let alone_a = self.asked_at(&joins_v, start_a, chargers, false);
            for lane in 0..LANES {
                let joins = (total_a[lane] <= spare_a) | (alone_a[lane] <= spare_a);
                self.relays[index].joined[lane] = if joins { 1.0 } else { 0.0 };
            }
        }
        let mut first = 0;
        while first < self.relays.len() {
            let parts_v = self.relays[first].parts_v;
            if parts_v <= 0.0 {
                // The others go by the ignition.
                break;
            }
            let alike = self.relays[first..].iter();
            let count = alike.take_while(|it| it.parts_v >= parts_v).count();
            let together_a = self.asked_at(&splat(parts_v), start_a, chargers, true);
            for relay in &mut self.relays[first..first + count] {
                for lane in 0..LANES {
                    let holds = (total_a[lane] <= spare_a) | (together_a[lane] <= spare_a);
                    let joined = relay.joined[lane];
                    relay.joined[lane] = if holds { joined } else { 0.0 };
                }
            }
            first += count;
        }
    }

    /// The highest voltage, up to the alternator's own, at which it has what all closed circuits take: by
    /// false position (Illinois), every third step by halves.
    #[inline(always)]
    fn common_v(
        &self,
        spare_a: f64,
        total_a: &Lanes,
        start_a: &Lanes,
        chargers: &[ChargerFlow],
    ) -> Lanes {
        let own_v = self.alternator.volts;
        let (mut low_v, mut high_v) = (splat(LEAST_SHARE * own_v), splat(own_v));
        let mut low_a = self.asked_at(&low_v, start_a, chargers, true);
        let mut high_a = self.asked_at(&high_v, start_a, chargers, true);
        let mut fits = ZERO;
        for lane in 0..LANES {
            low_a[lane] -= spare_a;
            high_a[lane] -= spare_a;
            fits[lane] = if (total_a[lane] <= spare_a) | (high_a[lane] <= 0.0) {
                1.0
            } else {
                0.0
            };
        }
        let mut tried_v = ZERO;
        let (mut least_over_a, mut was_low) = (NEVER, ZERO);
        // A fixed number of steps for all trials at once, enough for the last digits: a trial that is done goes on
        // without harm, where a test for it would part the lanes.
        for step in 0..SEARCH_STEPS {
            let halves = step % 3 == 2;
            for lane in 0..LANES {
                let rise_a = high_a[lane] - low_a[lane];
                let share = -low_a[lane] / if rise_a > 0.0 { rise_a } else { 1.0 };
                let share = min(max(share, 0.0), 1.0);
                let share = if halves | (rise_a <= 0.0) { 0.5 } else { share };
                tried_v[lane] = low_v[lane] + share * (high_v[lane] - low_v[lane]);
            }
            let asked_a = self.asked_at(&tried_v, start_a, chargers, true);
            for lane in 0..LANES {
                let over_a = asked_a[lane] - spare_a;
                let is_low = over_a <= 0.0;
                let now = if is_low { 1.0 } else { -1.0 };
                // An end that stays twice is weighed half, so that it does not stay for good.
                let weight = if was_low[lane] * now > 0.0 { 0.5 } else { 1.0 };
                was_low[lane] = now;
                low_v[lane] = if is_low { tried_v[lane] } else { low_v[lane] };
                high_v[lane] = if is_low { high_v[lane] } else { tried_v[lane] };
                high_a[lane] = if is_low {
                    weight * high_a[lane]
                } else {
                    over_a
                };
                low_a[lane] = if is_low { over_a } else { weight * low_a[lane] };
                least_over_a[lane] = if is_low { least_over_a[lane] } else { over_a };
            }
        }
        for lane in 0..LANES {
            // Digits beyond what there is are none.
            let is_met = least_over_a[lane] <= ROUNDING * spare_a;
            let found_v = if is_met { high_v[lane] } else { low_v[lane] };
            low_v[lane] = if fits[lane] > 0.0 { own_v } else { found_v };
        }
        low_v
    }

    /// What start bank, chargers and, with `closed`, the closed relays take at a voltage of the
    /// alternator. A charger takes the same power down to the voltage at which its input is too low.
    #[inline(always)]
    fn asked_at(
        &self,
        source_v: &Lanes,
        start_a: &Lanes,
        chargers: &[ChargerFlow],
        closed: bool,
    ) -> Lanes {
        let own_v = self.alternator.volts;
        let mut sum_a = ZERO;
        for lane in 0..LANES {
            sum_a[lane] = self.start_at(source_v[lane], start_a[lane], lane);
        }
        for &(index, least_v) in &self.alternator.least_v {
            let charger = &chargers[index];
            if charger.is_open {
                for lane in 0..LANES {
                    let volts = source_v[lane];
                    let asked_a = charger.input_a[lane] * own_v / volts;
                    sum_a[lane] += if volts >= least_v { asked_a } else { 0.0 };
                }
            }
        }
        if !closed {
            return sum_a;
        }
        for relay in self.relays.iter() {
            let takes_a = &chargers[relay.charger].wanted_a;
            for lane in 0..LANES {
                let flows_a = relay.closed_a(source_v[lane], takes_a[lane], lane);
                sum_a[lane] += relay.joined[lane] * flows_a;
            }
        }
        sum_a
    }

    /// What the start bank takes at a voltage of the alternator, of what it wants.
    #[inline(always)]
    fn start_at(&self, source_v: f64, start_a: f64, lane: usize) -> f64 {
        let starter = self.starter;
        let headroom_v = max(source_v - starter.open_v[lane], 0.0);
        min(
            start_a,
            headroom_v * starter.per_ohm + starter.loads_a[lane],
        )
    }
}
