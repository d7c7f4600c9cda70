//! What a batch carries from step to step.

use super::air::Air;
use super::draws::Draws;
use super::lanes::{LANES, Lanes, ZERO, splat, widest};
use crate::system::battery_temperature::FOLLOWS_IN_H;
use crate::system::surroundings::lag_share;
use crate::timeline::Timeline;
use crate::timeline::plant::BankPlant;

/// One bank in every trial.
#[derive(Debug, Clone)]
pub(crate) struct BankState {
    /// Charge in both tanks, Ah.
    pub(crate) total: Lanes,
    /// Charge at hand, Ah (lead-acid only).
    pub(crate) at_hand: Lanes,
    /// State of charge.
    pub(crate) soc: Lanes,
    /// Battery temperature at the step's end.
    pub(crate) temp: Lanes,
    /// At the middle of the step.
    pub(crate) temp_middle: Lanes,
    /// 1: loads on, 0: dropped.
    pub(crate) on: Lanes,
    /// 1 once there was an outage.
    pub(crate) had_outage: Lanes,
    /// Terminal voltage.
    pub(crate) volts: Lanes,
    /// Current into the bank.
    pub(crate) current: Lanes,
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
    /// Steps in which a source was there and cold let nothing in.
    pub(crate) cold: Lanes,
    /// Load not served because of the discharge limit.
    pub(crate) over_limit_w: Lanes,
    /// Since the last change of the loads, by gate: steps served, and the same times the voltage.
    pub(crate) served_steps: [Lanes; 4],
    pub(crate) served_volts: [Lanes; 4],
}

impl BankState {
    fn new(plant: &BankPlant, start_soc: &Lanes, temp: Lanes) -> Self {
        let mut bank = Self {
            total: ZERO,
            at_hand: ZERO,
            soc: *start_soc,
            temp,
            temp_middle: temp,
            on: splat(1.0),
            had_outage: ZERO,
            volts: ZERO,
            current: ZERO,
            served: splat(1.0),
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
            over_limit_w: ZERO,
            served_steps: [ZERO; 4],
            served_volts: [ZERO; 4],
        };
        for lane in 0..LANES {
            let soc = start_soc[lane];
            bank.total[lane] = plant.full_ah - (1.0 - soc) * plant.capacity_ah;
            let share = plant.two_tank.map_or(1.0, |tanks| tanks.share);
            bank.at_hand[lane] = bank.total[lane] * share;
            bank.volts[lane] = plant.voltage.volts(soc);
            if soc <= plant.cutoff_soc {
                bank.on[lane] = 0.0;
                bank.had_outage[lane] = 1.0;
            }
        }
        bank
    }

    /// Every number that a partial step scales.
    fn parts(&mut self) -> impl Iterator<Item = &mut Lanes> {
        let single = [
            &mut self.total,
            &mut self.at_hand,
            &mut self.soc,
            &mut self.temp,
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
            &mut self.over_limit_w,
            &mut self.volts,
            &mut self.current,
        ];
        single
            .into_iter()
            .chain(&mut self.served_steps)
            .chain(&mut self.served_volts)
    }
}

/// One charger in every trial: sums over the steps.
#[derive(Debug, Clone)]
pub(crate) struct ChargerState {
    /// Power into the bank it charges, W.
    pub(crate) out_w: Lanes,
    /// Power out of the bank that feeds it, W.
    pub(crate) in_w: Lanes,
    /// Share in which it could work.
    pub(crate) gate: Lanes,
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
pub(crate) struct PanelState {
    /// Power into the bank, W.
    pub(crate) out_w: Lanes,
}

/// One fridge in every trial.
#[derive(Debug, Clone)]
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
    /// Steps in which more was asked of the alternator than there was.
    pub(crate) oversubscribed: Lanes,
    /// Largest current asked of it, A.
    pub(crate) peak_a: Lanes,
    /// Steps driven.
    pub(crate) driven: Lanes,
    pub(crate) battery_lag: f64,
}

#[inline(never)]
fn warm(bank: &mut BankState, around: &Lanes, lag: f64) {
    widest(
        #[inline(always)]
        || warm_lanes(bank, around, lag),
    );
}

#[inline(always)]
fn warm_lanes(bank: &mut BankState, around: &Lanes, lag: f64) {
    for lane in 0..LANES {
        let before_c = bank.temp[lane];
        let after_c = before_c + (around[lane] - before_c) * lag;
        bank.temp[lane] = after_c;
        bank.temp_middle[lane] = 0.5 * (before_c + after_c);
    }
}

impl State {
    pub(crate) fn new(timeline: &Timeline, draws: &Draws) -> Self {
        let plant = &timeline.plant;
        let day = timeline.sun.weather_day[0] as usize;
        let mut mean_c = ZERO;
        for lane in 0..LANES {
            mean_c[lane] = 0.5 * (draws.day_min_c[day][lane] + draws.day_max_c[day][lane]);
        }
        let banks = plant.banks.iter().zip(&draws.start_soc);
        Self {
            banks: banks
                .map(|(bank, soc)| BankState::new(bank, soc, mean_c))
                .collect(),
            chargers: plant
                .chargers
                .iter()
                .map(|_| ChargerState {
                    out_w: ZERO,
                    in_w: ZERO,
                    gate: ZERO,
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
                .map(|fridge| FridgeState {
                    inside: if fridge.starts_warm {
                        mean_c
                    } else {
                        splat(fridge.set_c)
                    },
                    duty: ZERO,
                    capacity_w: ZERO,
                    heat_w_per_k: ZERO,
                    k_per_w: ZERO,
                    run: ZERO,
                    above: ZERO,
                })
                .collect(),
            event_w: vec![ZERO; plant.events.len()],
            oversubscribed: ZERO,
            peak_a: ZERO,
            driven: ZERO,
            battery_lag: lag_share(plant.step_h, FOLLOWS_IN_H),
        }
    }

    /// Moves every battery's temperature towards its surroundings.
    pub(crate) fn warm_batteries(&mut self, timeline: &Timeline, air: &Air) {
        for (bank, plant) in self.banks.iter_mut().zip(&timeline.plant.banks) {
            warm(bank, air.around(plant.kept), self.battery_lag);
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
                &mut charger.gate,
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
            parts.extend([&mut fridge.inside, &mut fridge.run, &mut fridge.above]);
        }
        parts.extend(&mut self.event_w);
        parts.extend([&mut self.oversubscribed, &mut self.peak_a, &mut self.driven]);
        parts
    }

    /// Keeps only `share` of what has changed since `before`: the last, partial step of a trial.
    pub(crate) fn keep_share(&mut self, before: &Self, share: &Lanes) {
        let mut before = before.clone();
        for (now, then) in self.parts().into_iter().zip(before.parts()) {
            for lane in 0..LANES {
                now[lane] = then[lane] + share[lane] * (now[lane] - then[lane]);
            }
        }
        for (now, then) in self.banks.iter_mut().zip(&before.banks) {
            for lane in 0..LANES {
                if share[lane] <= 0.0 {
                    now.on[lane] = then.on[lane];
                    now.had_outage[lane] = then.had_outage[lane];
                }
            }
        }
    }
}
