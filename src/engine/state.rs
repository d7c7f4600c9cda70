//! What a batch carries from step to step.

use super::draws::Draws;
use super::lanes::{LANES, Lanes, ZERO, splat};
use crate::scenario::Kept;
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
    /// Energy accounts, Wh.
    pub(crate) in_wh: Lanes,
    pub(crate) out_wh: Lanes,
    pub(crate) loss_wh: Lanes,
    pub(crate) stored_wh: Lanes,
    pub(crate) standby_wh: Lanes,
    pub(crate) conversion_wh: Lanes,
    pub(crate) curtailed_wh: Lanes,
    pub(crate) unserved_wh: Lanes,
    /// Charge that went in and came out, Ah.
    pub(crate) in_ah: Lanes,
    pub(crate) out_ah: Lanes,
    /// From the alternator straight into a start bank, Wh.
    pub(crate) alternator_wh: Lanes,
    pub(crate) alternator_ah: Lanes,
    /// Hours in which a source was there and cold let nothing in.
    pub(crate) cold_h: Lanes,
    /// Load not served because of the discharge limit, Wh.
    pub(crate) over_limit_wh: Lanes,
    /// Inverse of the terminal voltage.
    pub(crate) per_volt: Lanes,
    /// Since the last change of the loads, by gate: hours served, times and over the voltage.
    pub(crate) served_h: [Lanes; 4],
    pub(crate) served_vh: [Lanes; 4],
    pub(crate) served_h_per_v: [Lanes; 4],
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
            in_wh: ZERO,
            out_wh: ZERO,
            loss_wh: ZERO,
            stored_wh: ZERO,
            standby_wh: ZERO,
            conversion_wh: ZERO,
            curtailed_wh: ZERO,
            unserved_wh: ZERO,
            in_ah: ZERO,
            out_ah: ZERO,
            alternator_wh: ZERO,
            alternator_ah: ZERO,
            cold_h: ZERO,
            over_limit_wh: ZERO,
            per_volt: ZERO,
            served_h: [ZERO; 4],
            served_vh: [ZERO; 4],
            served_h_per_v: [ZERO; 4],
        };
        for lane in 0..LANES {
            let soc = start_soc[lane];
            bank.total[lane] = plant.full_ah - (1.0 - soc) * plant.capacity_ah;
            let share = plant.two_tank.map_or(1.0, |tanks| tanks.share);
            bank.at_hand[lane] = bank.total[lane] * share;
            bank.volts[lane] = plant.voltage.volts(soc);
            bank.per_volt[lane] = 1.0 / bank.volts[lane];
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
            &mut self.in_wh,
            &mut self.out_wh,
            &mut self.loss_wh,
            &mut self.stored_wh,
            &mut self.standby_wh,
            &mut self.conversion_wh,
            &mut self.curtailed_wh,
            &mut self.unserved_wh,
            &mut self.in_ah,
            &mut self.out_ah,
            &mut self.alternator_wh,
            &mut self.alternator_ah,
            &mut self.cold_h,
            &mut self.over_limit_wh,
            &mut self.volts,
            &mut self.current,
        ];
        single
            .into_iter()
            .chain(&mut self.served_h)
            .chain(&mut self.served_vh)
            .chain(&mut self.served_h_per_v)
    }
}

/// One charger in every trial.
#[derive(Debug, Clone)]
pub(crate) struct ChargerState {
    /// Energy into the bank it charges, Wh.
    pub(crate) out_wh: Lanes,
    /// Energy out of the bank that feeds it, Wh.
    pub(crate) in_wh: Lanes,
    /// Hours in which it could work.
    pub(crate) gate_h: Lanes,
    /// Hours in which it gave all it can.
    pub(crate) full_h: Lanes,
    /// Hours in which its input voltage was too low.
    pub(crate) starved_h: Lanes,
    /// Charge that the alternator could not give it, Ah at its output.
    pub(crate) denied_ah: Lanes,
    /// Charge it gave, Ah.
    pub(crate) out_ah: Lanes,
}

/// One panel in every trial.
#[derive(Debug, Clone)]
pub(crate) struct PanelState {
    /// Energy into the bank, Wh.
    pub(crate) out_wh: Lanes,
    /// Charge into the bank, Ah.
    pub(crate) out_ah: Lanes,
}

/// One fridge in every trial.
#[derive(Debug, Clone)]
pub(crate) struct FridgeState {
    /// Cabinet temperature.
    pub(crate) inside: Lanes,
    /// Share of the step that the compressor is asked to run.
    pub(crate) duty: Lanes,
    /// Heat per kelvin, today's use counted.
    pub(crate) heat_w_per_k: Lanes,
    /// Energy at the bank, Wh.
    pub(crate) out_wh: Lanes,
    /// Charge at the bank, Ah.
    pub(crate) out_ah: Lanes,
    /// Hours that the compressor ran.
    pub(crate) run_h: Lanes,
    /// Hours above the limit.
    pub(crate) above_h: Lanes,
}

/// A whole batch.
#[derive(Debug, Clone)]
pub(crate) struct State {
    pub(crate) banks: Vec<BankState>,
    pub(crate) chargers: Vec<ChargerState>,
    pub(crate) panels: Vec<PanelState>,
    pub(crate) fridges: Vec<FridgeState>,
    /// Energy of each event load, Wh.
    pub(crate) event_wh: Vec<Lanes>,
    /// Charge of each event load, Ah.
    pub(crate) event_ah: Vec<Lanes>,
    /// Hours in which more was asked of the alternator than there was.
    pub(crate) oversubscribed_h: Lanes,
    /// Largest current asked of it, A.
    pub(crate) peak_a: Lanes,
    /// Hours driven.
    pub(crate) driven_h: Lanes,
    pub(crate) battery_lag: f64,
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
                    out_wh: ZERO,
                    in_wh: ZERO,
                    gate_h: ZERO,
                    full_h: ZERO,
                    starved_h: ZERO,
                    denied_ah: ZERO,
                    out_ah: ZERO,
                })
                .collect(),
            panels: plant
                .panels
                .iter()
                .map(|_| PanelState {
                    out_wh: ZERO,
                    out_ah: ZERO,
                })
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
                    heat_w_per_k: splat(fridge.leak_w_per_k + fridge.use_w_per_k),
                    out_wh: ZERO,
                    out_ah: ZERO,
                    run_h: ZERO,
                    above_h: ZERO,
                })
                .collect(),
            event_wh: vec![ZERO; plant.events.len()],
            event_ah: vec![ZERO; plant.events.len()],
            oversubscribed_h: ZERO,
            peak_a: ZERO,
            driven_h: ZERO,
            battery_lag: lag_share(plant.step_h, FOLLOWS_IN_H),
        }
    }

    /// Moves every battery's temperature towards its surroundings.
    pub(crate) fn warm_batteries(&mut self, timeline: &Timeline, around: impl Fn(Kept) -> Lanes) {
        for (bank, plant) in self.banks.iter_mut().zip(&timeline.plant.banks) {
            let around_c = around(plant.kept);
            for lane in 0..LANES {
                let before_c = bank.temp[lane];
                let after_c = before_c + (around_c[lane] - before_c) * self.battery_lag;
                bank.temp[lane] = after_c;
                bank.temp_middle[lane] = 0.5 * (before_c + after_c);
            }
        }
    }

    fn parts(&mut self) -> Vec<&mut Lanes> {
        let mut parts: Vec<&mut Lanes> = Vec::new();
        for bank in &mut self.banks {
            parts.extend(bank.parts());
        }
        for charger in &mut self.chargers {
            parts.extend([
                &mut charger.out_wh,
                &mut charger.in_wh,
                &mut charger.gate_h,
                &mut charger.full_h,
                &mut charger.starved_h,
                &mut charger.denied_ah,
                &mut charger.out_ah,
            ]);
        }
        for panel in &mut self.panels {
            parts.extend([&mut panel.out_wh, &mut panel.out_ah]);
        }
        for fridge in &mut self.fridges {
            parts.extend([
                &mut fridge.inside,
                &mut fridge.out_wh,
                &mut fridge.out_ah,
                &mut fridge.run_h,
                &mut fridge.above_h,
            ]);
        }
        parts.extend(&mut self.event_wh);
        parts.extend(&mut self.event_ah);
        parts.extend([
            &mut self.oversubscribed_h,
            &mut self.peak_a,
            &mut self.driven_h,
        ]);
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
