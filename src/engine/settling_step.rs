//! The end of a step: the alternator is shared out, the banks are settled, the sources booked.
//!
//! One job: to bring together what was asked and what was offered. What a bank does with it is in
//! `bank_step`; the offers come from `sources_step`.

use super::alternator_share::{book_charger, share_alternator};
use super::bank_step::settle;
use super::batch::Batch;
use super::lanes::{LANES, ZERO, greater, lesser};

use crate::scenario::ChargerSource;

impl Batch<'_> {
    #[inline(never)]
    pub(crate) fn run_alternator(&mut self) {
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
    pub(crate) fn settle_bank(&mut self, bank: usize) {
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
}
