//! What a batch carries from step to step.

use super::carried::CarriedBank;
use super::draws::Draws;
use super::lanes::{LANES, Lanes, ZERO, splat, widest};
use super::overload::OverloadState;
use crate::timeline::Timeline;
use crate::timeline::load_schedule::AVAILABILITIES;
use crate::timeline::plant::BankPlant;

/// One bank in every trial.
#[derive(Debug, Clone)]
#[repr(C, align(64))]
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
    /// Accounts: sums over the steps of mean powers, W. Times the step they are energies.
    pub(crate) in_w: Lanes,
    pub(crate) out_w: Lanes,
    pub(crate) loss_w: Lanes,
    pub(crate) stored_w: Lanes,
    pub(crate) standby_w: Lanes,
    pub(crate) conversion_w: Lanes,
    pub(crate) curtailed_w: Lanes,
    pub(crate) unserved_w: Lanes,
    /// The same of currents into the bank, and of the net current, A.
    pub(crate) in_a: Lanes,
    pub(crate) net_a: Lanes,
    /// From the alternator straight into a start bank.
    pub(crate) alternator_w: Lanes,
    pub(crate) alternator_a: Lanes,
    /// Steps in which cold kept charge out, and that charge as a current, A.
    pub(crate) cold: Lanes,
    pub(crate) cold_a: Lanes,
    /// Charge that it would hold besides, had cold kept none out, Ah.
    pub(crate) cold_held_ah: Lanes,
    /// Load not served because of the discharge limit.
    pub(crate) over_limit_w: Lanes,
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
            total: ZERO,
            available: ZERO,
            soc: *start_soc,
            begin_soc: *start_soc,
            on: splat(1.0),
            all_on: true,
            had_outage: ZERO,
            volts: ZERO,
            served: splat(1.0),
            all_served: true,
            in_w: ZERO,
            out_w: ZERO,
            loss_w: ZERO,
            stored_w: ZERO,
            standby_w: ZERO,
            conversion_w: ZERO,
            curtailed_w: ZERO,
            unserved_w: ZERO,
            in_a: ZERO,
            net_a: ZERO,
            alternator_w: ZERO,
            alternator_a: ZERO,
            cold: ZERO,
            cold_a: ZERO,
            cold_held_ah: ZERO,
            over_limit_w: ZERO,
            missed_steps: [ZERO; AVAILABILITIES],
            served_volts: [ZERO; AVAILABILITIES],
        };
        bank.rest_at(plant, start_soc);
        if let Some(carried) = carried {
            bank.soc = carried.soc;
            bank.begin_soc = carried.soc;
            bank.total = carried.total;
            bank.available = carried.available;
            bank.on = carried.on;
            bank.volts = carried.volts;
        }
        bank.had_outage = bank.on.map(|on| 1.0 - on);
        bank.all_on = bank.on.iter().all(|on| *on > 0.0);
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
        self.all_on = self.on.iter().all(|on| *on > 0.0);
    }

    /// Every number that a partial step scales.
    fn parts(&mut self) -> impl Iterator<Item = &mut Lanes> {
        let single = [
            &mut self.total,
            &mut self.available,
            &mut self.soc,
            &mut self.in_w,
            &mut self.out_w,
            &mut self.loss_w,
            &mut self.stored_w,
            &mut self.standby_w,
            &mut self.conversion_w,
            &mut self.curtailed_w,
            &mut self.unserved_w,
            &mut self.in_a,
            &mut self.net_a,
            &mut self.alternator_w,
            &mut self.alternator_a,
            &mut self.cold,
            &mut self.cold_a,
            &mut self.over_limit_w,
            &mut self.volts,
        ];
        single
            .into_iter()
            .chain(&mut self.missed_steps)
            .chain(&mut self.served_volts)
    }
}

/// One charger in every trial: sums over the steps.
#[derive(Debug, Clone)]
#[repr(C, align(64))]
pub(crate) struct ChargerState {
    /// Power into the bank it charges, W.
    pub(crate) out_w: Lanes,
    /// Power out of the bank that feeds it, W.
    pub(crate) in_w: Lanes,
    /// Share in which it could work.
    pub(crate) availability: Lanes,
    /// Share in which it gave all it can.
    pub(crate) full: Lanes,
    /// Share in which its input voltage was too low.
    pub(crate) starved: Lanes,
    /// Output current that the alternator could not give it, A.
    pub(crate) denied_a: Lanes,
    /// Output current, A.
    pub(crate) out_a: Lanes,
}

/// One panel in every trial: sums over the steps.
#[derive(Debug, Clone)]
#[repr(C, align(64))]
pub(crate) struct PanelState {
    /// Power into the bank, W.
    pub(crate) out_w: Lanes,
}

/// One fridge in every trial.
#[derive(Debug, Clone)]
#[repr(C, align(64))]
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

/// A whole batch.
#[derive(Debug, Clone)]
pub(crate) struct State {
    pub(crate) banks: Vec<BankState>,
    pub(crate) chargers: Vec<ChargerState>,
    pub(crate) panels: Vec<PanelState>,
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
        let carried = draws.carried.as_ref();
        Self {
            banks: banks
                .map(|(index, (bank, soc))| {
                    let carried = carried.and_then(|carried| carried.banks[index].as_ref());
                    BankState::new(bank, soc, carried)
                })
                .collect(),
            chargers: plant
                .chargers
                .iter()
                .map(|_| ChargerState {
                    out_w: ZERO,
                    in_w: ZERO,
                    availability: ZERO,
                    full: ZERO,
                    starved: ZERO,
                    denied_a: ZERO,
                    out_a: ZERO,
                })
                .collect(),
            panels: plant
                .panels
                .iter()
                .map(|_| PanelState { out_w: ZERO })
                .collect(),
            fridges: plant
                .fridges
                .iter()
                .enumerate()
                .map(|(index, fridge)| FridgeState {
                    inside: match carried {
                        Some(carried) => carried.inside_c[index],
                        None if fridge.starts_warm => *ambient_c,
                        None => splat(fridge.set_c),
                    },
                    duty: ZERO,
                    capacity_w: ZERO,
                    heat_w_per_k: ZERO,
                    k_per_w: ZERO,
                    run: ZERO,
                    missed: ZERO,
                    supplied: ZERO,
                    is_behind: false,
                    above: ZERO,
                })
                .collect(),
            event_w: vec![ZERO; plant.events.len()],
            event_missed_w: vec![ZERO; plant.events.len()],
            overloads: vec![OverloadState::new(); plant.inverters.len()],
            oversubscribed: ZERO,
            peak_a: ZERO,
            driven: ZERO,
        }
    }

    fn parts(&mut self) -> Vec<&mut Lanes> {
        let mut parts: Vec<&mut Lanes> = Vec::new();
        for bank in &mut self.banks {
            parts.extend(bank.parts());
        }
        for charger in &mut self.chargers {
            parts.extend([
                &mut charger.out_w,
                &mut charger.in_w,
                &mut charger.availability,
                &mut charger.full,
                &mut charger.starved,
                &mut charger.denied_a,
                &mut charger.out_a,
            ]);
        }
        for panel in &mut self.panels {
            parts.push(&mut panel.out_w);
        }
        for fridge in &mut self.fridges {
            parts.extend([
                &mut fridge.inside,
                &mut fridge.run,
                &mut fridge.missed,
                &mut fridge.supplied,
                &mut fridge.above,
            ]);
        }
        parts.extend(&mut self.event_w);
        parts.extend(&mut self.event_missed_w);
        for inverter in &mut self.overloads {
            parts.extend([&mut inverter.steps, &mut inverter.missed_w]);
        }
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
            now.all_on = now.on.iter().all(|on| *on > 0.0);
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
