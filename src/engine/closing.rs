//! The end of a batch.
//!
//! One job: the accounts of all steps summed up into an `Outcome`. They are kept in `state`, `demand`
//! and `track`.

use super::batch::Batch;
use super::lanes::{LANES, Lanes, sum_of_first};
use super::outcome::{BankOutcome, Ledger, Outcome, Overload};
use super::state::{BankState, ChargerState, State};
use super::track::Track;
use crate::timeline::plant::{BankPlant, Plant};

impl Batch<'_> {
    pub(crate) fn finish(mut self) -> Outcome {
        self.close_day(self.timeline.steps);
        let mut whole = self.reading(self.timeline.steps);
        let plant = &self.timeline.plant;
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
        let (out_v, in_v) = mean_volts(state, plant, count);
        whole.close(plant, &out_v, &in_v);
        let mut by_kind = self.days.by_kind;
        for account in &mut by_kind {
            account.close(plant, &out_v, &in_v);
        }
        let loads = || plant.loads.iter().enumerate();
        let load_wh = loads().map(|(load, _)| power_wh[load] + self.demand.current_wh[load]);
        let load_ah = loads()
            .map(|(load, of)| power_wh[load] / out_v[of.bank] + self.demand.current_ah[load]);
        let (load_wh, load_ah) = (load_wh.collect(), load_ah.collect());
        let of_chargers = |of: fn(&ChargerState) -> &Lanes| -> Vec<f64> {
            let chargers = state.chargers.iter();
            chargers.map(|charger| sum_h(of(charger))).collect()
        };
        let overloads = || state.overloads.iter().zip(&plant.inverters);
        let banks =
            state
                .banks
                .iter()
                .zip(self.tracks)
                .enumerate()
                .map(|(index, (bank, track))| {
                    let mut by_inverters_w = [0.0; LANES];
                    for (over, _) in overloads().filter(|(_, of)| of.bank == index) {
                        (0..LANES).for_each(|lane| by_inverters_w[lane] += over.missed_w[lane]);
                    }
                    bank_outcome((bank, &by_inverters_w), track, count, step_h)
                });
        let mut banks: Vec<BankOutcome> = banks.collect();
        book_conversion(&mut banks, state, plant, count);
        Outcome {
            count,
            banks,
            load_wh,
            load_ah,
            asked_wh: whole.asked_wh,
            asked_ah: whole.asked_ah,
            by_kind,
            like_soc: self.days.like_soc,
            load_live_h: self.demand.live_h.clone(),
            charger_wh: of_chargers(|of| &of.out_w),
            charger_ah: of_chargers(|of| &of.out_a),
            charger_in_wh: of_chargers(|of| &of.in_w),
            charger_gate_h: of_chargers(|of| &of.availability),
            charger_full_h: of_chargers(|of| &of.full),
            charger_starved_h: of_chargers(|of| &of.starved),
            charger_denied_ah: of_chargers(|of| &of.denied_a),
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
            overloads: overloads()
                .map(|(of, _)| Overload {
                    first_s: of.first_s,
                    hours: hours(&of.steps),
                    missed_wh: hours(&of.missed_w),
                })
                .collect(),
            oversubscribed_h: hours(&state.oversubscribed),
            peak_a: state.peak_a,
            driven_h: sum_h(&state.driven),
            hours: sum(&self.draws.end_s) / 3600.0,
        }
    }
}

/// Mean voltage at which each bank gave and took. What never flowed counts at that of what was asked for
/// and not supplied.
fn mean_volts(state: &State, plant: &Plant, count: usize) -> (Vec<f64>, Vec<f64>) {
    let sum = |lanes: &Lanes| sum_of_first(lanes, count);
    let banks = || state.banks.iter().zip(&plant.banks);
    let volts_of = |of: &BankPlant, wh: f64, ah: f64| if ah > 0.0 { wh / ah } else { of.usable_v };
    let out_v = banks().map(|(bank, of)| {
        let out_ah = sum(&bank.in_a) - sum(&bank.net_a);
        volts_of(of, sum(&bank.out_w), out_ah)
    });
    let in_v = banks().map(|(bank, of)| volts_of(of, sum(&bank.in_w), sum(&bank.in_a)));
    (out_v.collect(), in_v.collect())
}

/// Books what tracking controllers and chargers lose: a fixed share of what they bring.
fn book_conversion(banks: &mut [BankOutcome], state: &State, plant: &Plant, count: usize) {
    let mut book = |bank: usize, out_w: &Lanes, kept: f64| {
        let out_wh = plant.step_h * sum_of_first(out_w, count);
        banks[bank].ledger.conversion_wh += out_wh * (1.0 / kept - 1.0);
    };
    for (panel, of) in state.panels.iter().zip(&plant.panels) {
        if !of.is_pwm {
            book(of.to, &panel.out_w, of.keep);
        }
    }
    for (charger, of) in state.chargers.iter().zip(&plant.chargers) {
        book(of.to, &charger.out_w, of.efficiency);
    }
}

/// What became of one bank; `count` trials are in use, steps are `step_h` hours long. What inverters did
/// not give is no shortfall of the bank.
fn bank_outcome(
    (bank, by_inverters_w): (&BankState, &Lanes),
    mut track: Track,
    count: usize,
    step_h: f64,
) -> BankOutcome {
    let sum_h = |lanes: &Lanes| step_h * sum_of_first(lanes, count);
    track.finish(|lane| {
        let open_w = bank.unserved_w[lane] - by_inverters_w[lane];
        open_w / (bank.out_w[lane] + open_w).max(f64::MIN_POSITIVE)
    });
    let mut worst_gap: f64 = 0.0;
    for lane in 0..count {
        let gap = bank.in_w[lane] - bank.out_w[lane] - bank.loss_w[lane] - bank.stored_w[lane];
        let through_wh = step_h * (bank.in_w[lane] + bank.out_w[lane]);
        worst_gap = worst_gap.max(step_h * gap.abs() / through_wh.max(1.0));
    }
    BankOutcome {
        reserve_soc: track.lows.reserve_soc,
        lowest_soc: track.lowest,
        end_soc: bank.soc,
        shortfall_s: track.shortfall_s,
        last_short_s: track.last_short_s,
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
            cold_ah: sum_h(&bank.cold_a),
        },
        nights: track.nights,
        samples: track.samples,
    }
}
