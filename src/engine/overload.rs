//! Inverters that are asked for more than they give.
//!
//! One job: what is switched on when an inverter has no more to give is supplied in part, and it is
//! noted when and how much. Only inverters that can be asked for too much are looked at, and only in
//! steps in which an event runs on one.
//!
//! Ours: loads of a schedule count with what they draw in the mean of the step and are served first;
//! what happens now and then comes on top, in the order in which it begins. That an inverter could not
//! carry its scheduled loads together is a fault of the plan, which `wiring` tells.

use super::batch::Batch;
use super::lanes::{LANES, ZERO, min};

impl Batch<'_> {
    /// Cuts what the events of this step ask of an inverter back to what it has left.
    #[inline(never)]
    pub(crate) fn hold_inverters(&mut self, begin_s: f64) {
        let plant = &self.timeline.plant;
        for (number, inverter) in plant.inverters.iter().enumerate() {
            let on_it = |event: usize| {
                let load = plant.events[event].load;
                let mut loads = inverter.loads.iter();
                loads.find(|(other, _)| *other == load).copied()
            };
            if !self
                .active_events
                .iter()
                .any(|(event, ..)| on_it(*event).is_some())
            {
                continue;
            }
            let mut output_w = ZERO;
            for &(load, running_w) in &inverter.loads {
                let constants = &plant.loads[load];
                let Some(availability) = constants.availability else {
                    continue;
                };
                let share = self.availabilities(constants.bank).share(availability);
                let fridge = plant.fridges.iter().position(|fridge| fridge.load == load);
                let used = self.demand.live_of(load).used * constants.daily_use.mean();
                for lane in 0..LANES {
                    let runs = fridge.map_or(used, |fridge| self.state.fridges[fridge].duty[lane]);
                    output_w[lane] += running_w * runs * share[lane];
                }
            }
            let account = &mut self.state.overloads[number];
            let bank = &mut self.state.banks[inverter.bank];
            for (event, watts, amps) in &mut self.active_events {
                let Some((load, running_w)) = on_it(*event) else {
                    continue;
                };
                let constants = &plant.loads[load];
                let whole = constants.watts + constants.idle_w + constants.amps;
                for lane in 0..LANES {
                    let share = min((watts[lane] + amps[lane]) / whole, 1.0);
                    let is_on = share > 0.0 && self.draws.end_s[lane] > begin_s;
                    if !is_on {
                        continue;
                    }
                    let left_w = (inverter.rated_w - output_w[lane]).max(0.0);
                    output_w[lane] += running_w;
                    if running_w <= left_w * (1.0 + 1e-9) {
                        continue;
                    }
                    let given = left_w / running_w;
                    let missed_w = (1.0 - given)
                        * (watts[lane] + amps[lane] * plant.banks[inverter.bank].usable_v);
                    watts[lane] *= given;
                    amps[lane] *= given;
                    account.first_s[lane] = min(account.first_s[lane], begin_s);
                    account.steps[lane] += share;
                    account.missed_w[lane] += missed_w;
                    bank.sums.unserved_wh[lane] += missed_w;
                    self.state.event_missed_w[*event][lane] += missed_w;
                }
            }
        }
    }
}
