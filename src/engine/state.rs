//! What a batch carries from step to step.

use super::carried::CarriedBank;
use super::draws::Draws;
use super::lanes::{LANES, Lanes, NEVER, ONE, splat, widest};
use super::totals::{ChargerTotals, Ledger};
use crate::timeline::Timeline;
use crate::timeline::load_schedule::AVAILABILITIES;
use crate::timeline::plant::BankPlant;

/// One bank in every trial.
#[derive(Debug, Clone, Default)]
pub(crate) struct BankState {
    /// Charge in both tanks, Ah.
    pub(crate) total: Lanes,
    /// Available charge, Ah (lead-acid only).
    pub(crate) available: Lanes,
    /// State of charge.
    pub(crate) soc: Lanes,
    /// At the step's beginning.
    pub(crate) begin_soc: Lanes,
    /// 1: loads on, 0: dropped.
    pub(crate) on: Lanes,
    /// 1 once there was an outage.
    pub(crate) had_outage: Lanes,
    /// Terminal voltage.
    pub(crate) volts: Lanes,
    /// Share of the loads served in the step.
    pub(crate) served: Lanes,
    /// Sums over the steps.
    pub(crate) sums: Ledger<Lanes>,
    /// Charge that it would hold besides, had cold kept none out, Ah.
    pub(crate) cold_held_ah: Lanes,
    /// Since the last change of the loads, by availability: open steps in which they were not served.
    pub(crate) missed_steps: [Lanes; AVAILABILITIES],
    /// Voltage summed over the open steps in which they were.
    pub(crate) served_volts: [Lanes; AVAILABILITIES],
    /// Whether the loads are on in every trial.
    pub(crate) all_on: bool,
    /// Whether that is all of them in every trial.
    pub(crate) all_served: bool,
}

impl BankState {
    fn new(plant: &BankPlant, start_soc: &Lanes, carried: Option<&CarriedBank>) -> Self {
        let mut bank = Self {
            served: ONE,
            all_served: true,
            ..Self::default()
        };
        bank.rest_at(plant, start_soc);
        if let Some(carried) = carried {
            bank.soc = carried.soc;
            bank.total = carried.total;
            bank.available = carried.available;
            bank.on = carried.on;
            bank.volts = carried.volts;
        }
        bank.begin_soc = bank.soc;
        bank.had_outage = bank.on.map(|on| 1.0 - on);
        bank.look_if_on();
        bank
    }

    /// Puts the bank at a state of charge, both tanks at rest.
    pub(crate) fn rest_at(&mut self, plant: &BankPlant, soc: &Lanes) {
        self.soc = *soc;
        for lane in 0..LANES {
            let soc = soc[lane];
            self.total[lane] = plant.full_ah - (1.0 - soc) * plant.capacity_ah;
            let share = plant.two_tank.map_or(1.0, |tanks| tanks.share);
            self.available[lane] = self.total[lane] * share;
            self.volts[lane] = plant.voltage.volts(soc);
            self.on[lane] = if soc <= plant.cutoff_soc { 0.0 } else { 1.0 };
        }
        self.look_if_on();
    }

    /// Takes note of whether the loads are on in every trial.
    pub(crate) fn look_if_on(&mut self) {
        self.all_on = self.on.iter().all(|on| *on > 0.0);
    }

    /// Every number that a partial step scales.
    fn parts(&mut self) -> impl Iterator<Item = &mut Lanes> {
        let charge = [&mut self.total, &mut self.available, &mut self.soc];
        charge
            .into_iter()
            .chain([&mut self.volts])
            .chain(self.sums.each_mut())
            .chain(&mut self.missed_steps)
            .chain(&mut self.served_volts)
    }
}

/// One fridge in every trial.
#[derive(Debug, Clone, Default)]
pub(crate) struct FridgeState {
    /// Cabinet temperature.
    pub(crate) inside: Lanes,
    /// Share of the step that the compressor is asked to run.
    pub(crate) duty: Lanes,
    /// Heat that a compressor running all the step takes out, W.
    pub(crate) capacity_w: Lanes,
    /// Heat per kelvin, today's use counted.
    pub(crate) heat_w_per_k: Lanes,
    /// Inverse of stored heat and heat per kelvin together.
    pub(crate) k_per_w: Lanes,
    /// Share of the steps that the compressor ran, summed.
    pub(crate) run: Lanes,
    /// What it would have run more if it had always been supplied, summed.
    pub(crate) missed: Lanes,
    /// Cabinet temperature if it had always been supplied; kept while `is_behind`.
    pub(crate) supplied: Lanes,
    /// Whether the cabinet of any trial differs from that.
    pub(crate) is_behind: bool,
    /// Steps above the limit.
    pub(crate) above: Lanes,
}

/// An inverter in every trial.
#[derive(Debug, Clone)]
pub(crate) struct OverloadState {
    /// Begin of the first step in which it was asked for too much, s from the start; infinite: none.
    pub(crate) first_s: Lanes,
    /// Steps in which it was.
    pub(crate) steps: Lanes,
    /// What it did not give, at the bank, summed over the steps, W.
    pub(crate) missed_w: Lanes,
}

impl Default for OverloadState {
    fn default() -> Self {
        Self {
            first_s: NEVER,
            steps: Lanes::default(),
            missed_w: Lanes::default(),
        }
    }
}

/// A whole batch.
#[derive(Debug, Clone)]
pub(crate) struct State {
    pub(crate) banks: Vec<BankState>,
    pub(crate) chargers: Vec<ChargerTotals<Lanes>>,
    /// Power of each panel into its bank, summed over the steps, W.
    pub(crate) panel_w: Vec<Lanes>,
    pub(crate) fridges: Vec<FridgeState>,
    /// Power of each event load, summed over the steps, W.
    pub(crate) event_w: Vec<Lanes>,
    /// The same that it asked for and did not get.
    pub(crate) event_missed_w: Vec<Lanes>,
    /// Inverters that can be asked for more than they give.
    pub(crate) overloads: Vec<OverloadState>,
    /// Steps in which more was asked of the alternator than there was.
    pub(crate) oversubscribed: Lanes,
    /// Largest current asked of it, A.
    pub(crate) peak_a: Lanes,
    /// Steps driven.
    pub(crate) driven: Lanes,
}

impl State {
    /// At the start, with the air outside at `ambient_c`.
    pub(crate) fn new(timeline: &Timeline, draws: &Draws, ambient_c: &Lanes) -> Self {
        let plant = &timeline.plant;
        let banks = plant.banks.iter().zip(&draws.start_soc).enumerate();
        let fridges = plant.fridges.iter().enumerate();
        let carried = draws.carried.as_ref();
        Self {
            banks: banks
                .map(|(index, (bank, soc))| {
                    let carried = carried.and_then(|carried| carried.banks[index].as_ref());
                    BankState::new(bank, soc, carried)
                })
                .collect(),
            fridges: fridges
                .map(|(index, fridge)| FridgeState {
                    inside: match carried {
                        Some(carried) => carried.inside_c[index],
                        None if fridge.starts_warm => *ambient_c,
                        None => splat(fridge.set_c),
                    },
                    ..FridgeState::default()
                })
                .collect(),
            chargers: vec![ChargerTotals::default(); plant.chargers.len()],
            panel_w: vec![Lanes::default(); plant.panels.len()],
            event_w: vec![Lanes::default(); plant.events.len()],
            event_missed_w: vec![Lanes::default(); plant.events.len()],
            overloads: vec![OverloadState::default(); plant.inverters.len()],
            oversubscribed: Lanes::default(),
            peak_a: Lanes::default(),
            driven: Lanes::default(),
        }
    }

    fn parts(&mut self) -> Vec<&mut Lanes> {
        let mut parts: Vec<&mut Lanes> = Vec::new();
        parts.extend(self.banks.iter_mut().flat_map(BankState::parts));
        parts.extend(self.chargers.iter_mut().flat_map(ChargerTotals::each_mut));
        for of in &mut self.fridges {
            parts.extend([&mut of.inside, &mut of.run, &mut of.missed]);
            parts.extend([&mut of.supplied, &mut of.above]);
        }
        for inverter in &mut self.overloads {
            parts.extend([&mut inverter.steps, &mut inverter.missed_w]);
        }
        let lists = [
            &mut self.panel_w,
            &mut self.event_w,
            &mut self.event_missed_w,
        ];
        parts.extend(lists.into_iter().flatten());
        parts.extend([&mut self.oversubscribed, &mut self.peak_a, &mut self.driven]);
        parts
    }

    /// Keeps only `share` of what has changed since `before`: the last, partial step of a trial.
    pub(crate) fn keep_share(&mut self, before: &mut Self, share: &Lanes) {
        widest(
            #[inline(always)]
            || {
                for (now, then) in self.parts().into_iter().zip(before.parts()) {
                    keep_part(now, then, share);
                }
            },
        );
        for (now, then) in self.banks.iter_mut().zip(&before.banks) {
            for lane in 0..LANES {
                if share[lane] <= 0.0 {
                    now.on[lane] = then.on[lane];
                    now.had_outage[lane] = then.had_outage[lane];
                }
            }
            now.look_if_on();
        }
    }
}

/// A trial that goes on keeps all to the bit.
#[inline(always)]
fn keep_part(now: &mut Lanes, then: &Lanes, share: &Lanes) {
    for lane in 0..LANES {
        let part = then[lane] + share[lane] * (now[lane] - then[lane]);
        now[lane] = if share[lane] < 1.0 { part } else { now[lane] };
    }
}
