//! The end of a step: the alternator is shared out, the banks are settled, the sources booked.
//!
//! One job: to bring together what was asked and what was offered. What a bank does with it is in
//! `bank_step`; the offers come from `sources_step`.

use super::alternator_share::{book_charger, share_alternator};
use super::bank_step::BankStep;
use super::batch::Batch;
use super::lanes::{LANES, Lanes, ZERO, max, min, wide};
use super::relays::{Joined, Starter};
use super::state::BankState;
use crate::scenario::ChargerSource;
use crate::timeline::plant::PanelPlant;

impl Batch<'_> {
    #[inline(never)]
    pub(crate) fn run_alternator(&mut self) {
        let plant = &self.timeline.plant;
        let Some(alternator) = &plant.alternator else {
            return;
        };
        let starter = plant.banks.iter().position(|bank| !bank.is_house);
        let mut start_a = ZERO;
        let has_relays = !self.relays.is_empty();
        let mut on_it = has_relays.then(Starter::default);
        if let Some(bank) = starter {
            let flow = &self.flows[bank];
            let constants = &plant.banks[bank];
            for lane in 0..LANES {
                // The terminals cannot be lifted above the alternator's own voltage.
                let headroom_v = max(alternator.volts - flow.open_v[lane], 0.0);
                // Its loads are fed by the alternator too, besides what the battery takes.
                let loads_a = flow.room_a[lane] - flow.limit_a[lane];
                let by_volts = headroom_v / constants.ohm + max(loads_a, 0.0);
                start_a[lane] = min(flow.room_a[lane], by_volts);
            }
            if let Some(on_it) = &mut on_it {
                on_it.open_v = flow.open_v;
                on_it.per_ohm = constants.over.ohm;
                for lane in 0..LANES {
                    on_it.loads_a[lane] = max(flow.room_a[lane] - flow.limit_a[lane], 0.0);
                }
            }
        }
        let joined = on_it.as_ref().map(|starter| Joined {
            relays: &mut self.relays,
            starter,
            alternator,
        });
        share_alternator(
            alternator,
            joined,
            &self.drives,
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
        let flow = &mut self.flows[bank];
        // Sums begin with the start bank's own feed, which for any other bank is nothing.
        if flow.feed.has_charger {
            flow.charger_a = flow.alternator_a;
            for &index in constants.charger_groups.iter().flatten() {
                if self.chargers[index].is_open {
                    let (sum_a, mean_a) = (&mut flow.charger_a, &self.chargers[index].mean_a);
                    wide!(|sum_a, mean_a| *sum_a += mean_a);
                }
            }
        }
        let feed = flow.feed;
        BankStep {
            plant: constants,
            bank: &mut self.state.banks[bank],
            flow,
            lows: &mut self.tracks[bank].lows,
            tables: &self.tables,
            warmth: self.air.warmth(constants.kept, constants.trailer),
            step_h: plant.step_h,
            is_booked: self.demand.is_booked,
        }
        .settle();
        if feed.is_any() && self.demand.is_booked {
            self.book_sources(bank, feed.has_sun);
        }
        let availabilities = &self.availabilities[usize::from(constants.trailer)];
        self.demand
            .book(&mut self.state.banks[bank], bank, availabilities);
    }

    fn book_sources(&mut self, bank: usize, has_sun: bool) {
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
                    account.in_wh[lane] += charger.draw_w_per_a[lane] * charger.mean_a[lane];
                }
            }
        }
        if !has_sun {
            return;
        }
        let panels = constants.panels.iter();
        for &panel in panels.filter(|&&panel| plant.panels[panel].is_pwm) {
            book_pwm(
                &plant.panels[panel],
                &self.sun.kept[panel],
                &mut self.state.panel_w[panel],
                &mut self.state.banks[bank],
            );
        }
    }
}

/// Books what a panel on a PWM controller brought and lost on the way. What a tracking one brings
/// `sun_share` books; its loss is a fixed share, which `closing` does.
#[inline(never)]
fn book_pwm(panel: &PanelPlant, kept: &Lanes, account: &mut Lanes, bank: &mut BankState) {
    let gross_v = panel.gross_v / panel.keep;
    wide!(|kept, account, bank, gross_v| for lane in 0..LANES {
        let watts = kept[lane] * bank.volts[lane];
        account[lane] += watts;
        bank.sums.conversion_wh[lane] += kept[lane] * gross_v - watts;
    });
}
