//! One second of the twin's flows: who gets how much of what there is.
//!
//! One job: sun, chargers and alternator shared out, the banks settled, all of it booked. What a
//! bank does with it is in `bank`.

use tideover::scenario::{ChargerSource, Controller, Needs, Role, RunEnd, Scenario};
use tideover::system::charger_input::input_v;
use tideover::wiring::run_resistance_ohm;

use super::SECOND_H;
use super::bank::Second;
use super::life::Life;
use super::sky::Look;

/// The alternator idles for its share of every so many seconds of engine time.
const IDLE_PERIOD_S: f64 = 100.0;

/// A charger in one second.
#[derive(Clone, Copy, Default)]
struct Ask {
    open: bool,
    output_a: f64,
    input_a: f64,
    given: f64,
}

impl Life<'_> {
    /// Shares out sources, settles every bank and books what each part did.
    pub fn flow(
        &mut self,
        look: &Look,
        driving: bool,
        towing: bool,
        camped: bool,
        mut flows: Vec<Second>,
        panel_amount: &[f64],
    ) {
        let scenario = self.world.scenario;
        let mut asks = vec![Ask::default(); scenario.chargers.len()];
        let mut sun_a = vec![0.0; scenario.solar.len()];
        for position in 0..self.order.len() {
            let bank = self.order[position];
            let mut room_a =
                self.cells[bank].charge_limit_a() + self.cells[bank].asked_a(&flows[bank]);
            let mut box_a = vec![0.0; scenario.chargers.len()];
            room_a -= self.take_sun(bank, room_a, panel_amount, &mut sun_a, &mut box_a);
            self.ask_chargers(
                bank,
                room_a,
                &box_a,
                (look, driving, towing, camped),
                &flows,
                &mut asks,
            );
            self.feed_from_banks(bank, driving, &mut asks, &mut flows);
        }
        let start_a = if driving {
            self.share_alternator(&flows, &mut asks)
        } else {
            0.0
        };
        for (panel, part) in scenario.solar.iter().enumerate() {
            let flow = &mut flows[part.to];
            if part.controller == Controller::Pwm {
                flow.source_a += sun_a[panel];
            } else {
                flow.source_w += sun_a[panel] * self.cells[part.to].volts;
            }
        }
        for (charger, ask) in scenario.chargers.iter().zip(&asks) {
            flows[charger.to].source_a += ask.given * ask.output_a;
        }
        let before_v: Vec<f64> = self.cells.iter().map(|cell| cell.volts).collect();
        for (bank, cell) in self.cells.iter_mut().enumerate() {
            if cell.bank.role == Role::Start {
                flows[bank].source_a += start_a;
            }
            cell.settle(&flows[bank]);
            if cell.bank.role == Role::Start {
                cell.account.alternator_wh += start_a * cell.volts * SECOND_H;
            }
        }
        self.book(&asks, &sun_a, panel_amount, &before_v);
    }

    /// Sun first: controllers, shared boxes, the bank's room. Returns what it takes, A.
    fn take_sun(
        &self,
        bank: usize,
        room_a: f64,
        panel_amount: &[f64],
        sun_a: &mut [f64],
        box_a: &mut [f64],
    ) -> f64 {
        let scenario = self.world.scenario;
        let volts = self.cells[bank].volts;
        let panels = scenario.solar.iter().enumerate();
        let mine: Vec<usize> = panels
            .filter(|(_, panel)| panel.to == bank)
            .map(|(index, _)| index)
            .collect();
        let mut sum_a = 0.0;
        for &index in &mine {
            let panel = &scenario.solar[index];
            let amps = if panel.controller == Controller::Pwm {
                panel_amount[index]
            } else {
                panel_amount[index] / volts
            };
            let mut amps = amps.min(panel.controller_max_a);
            if let Some(charger) = panel.shares {
                amps = amps.min(scenario.chargers[charger].output_a - box_a[charger]);
                box_a[charger] += amps;
            }
            sun_a[index] = amps;
            sum_a += amps;
        }
        let share = if sum_a > room_a {
            room_a.max(0.0) / sum_a
        } else {
            1.0
        };
        for &index in &mine {
            sun_a[index] *= share;
        }
        sum_a * share
    }

    fn ask_chargers(
        &self,
        bank: usize,
        room_a: f64,
        box_a: &[f64],
        now: (&Look, bool, bool, bool),
        flows: &[Second],
        asks: &mut [Ask],
    ) {
        let scenario = self.world.scenario;
        let (look, driving, towing, camped) = now;
        let trailer = scenario.banks[bank].trailer;
        let mut mine: Vec<usize> = (0..asks.len())
            .filter(|&charger| scenario.chargers[charger].to == bank)
            .collect();
        mine.sort_by_key(|&charger| scenario.chargers[charger].priority);
        let mut left_a = room_a.max(0.0);
        while let Some(&first) = mine.first() {
            let priority = scenario.chargers[first].priority;
            let (group, rest): (Vec<usize>, Vec<usize>) = mine
                .iter()
                .partition(|&&charger| scenario.chargers[charger].priority == priority);
            mine = rest;
            let mut sum_a = 0.0;
            for &index in &group {
                let charger = &scenario.chargers[index];
                asks[index].open = match (charger.from, charger.needs) {
                    (ChargerSource::Mains, _) => {
                        let away = if trailer { towing } else { driving };
                        look.has_mains && camped && !away
                    }
                    (ChargerSource::Bank(_), Needs::Always) => true,
                    (_, Needs::Towing) => towing,
                    _ => driving,
                };
                if asks[index].open {
                    let free_a = (charger.output_a - box_a[index]).max(0.0);
                    let alone_a = free_a.min(left_a);
                    // What gives nothing takes no place, what gives little no more than that.
                    asks[index].output_a = match self.most_output_a(index, alone_a, driving, flows)
                    {
                        Some(most_a) if most_a < alone_a => most_a,
                        _ => free_a,
                    };
                    sum_a += asks[index].output_a;
                }
            }
            let share = if sum_a > left_a { left_a / sum_a } else { 1.0 };
            for &index in &group {
                asks[index].output_a *= share;
                let power_w = asks[index].output_a * self.cells[bank].volts
                    / scenario.chargers[index].efficiency;
                let Some(source_v) = self.source_v(index, driving) else {
                    asks[index].given = if asks[index].open { 1.0 } else { 0.0 };
                    continue;
                };
                let least_v = scenario.chargers[index].min_input_v;
                match input_v(source_v, self.feed_ohm[index], power_w) {
                    Some(volts) if volts >= least_v => asks[index].input_a = power_w / volts,
                    _ => asks[index].output_a = 0.0,
                }
            }
            left_a = (left_a - sum_a * share).max(0.0);
        }
    }

    /// Voltage of what feeds a charger; none for mains. The alternator lifts the start bank to its own.
    fn source_v(&self, charger: usize, driving: bool) -> Option<f64> {
        let scenario = self.world.scenario;
        let alternator_v = scenario.alternator.as_ref().map(|a| a.volts);
        match scenario.chargers[charger].from {
            ChargerSource::Mains => None,
            ChargerSource::Alternator => Some(alternator_v.unwrap_or(0.0)),
            ChargerSource::Bank(giver) => {
                let cell = &self.cells[giver];
                let lifted_v = alternator_v.filter(|_| driving && cell.bank.role == Role::Start);
                Some(lifted_v.unwrap_or(cell.volts))
            }
        }
    }

    /// What a charger could put out if it were alone to `alone_a`; none: mains, which give all.
    fn most_output_a(
        &self,
        charger: usize,
        alone_a: f64,
        driving: bool,
        flows: &[Second],
    ) -> Option<f64> {
        let part = &self.world.scenario.chargers[charger];
        let power_w = alone_a * self.cells[part.to].volts / part.efficiency;
        let source_v = self.source_v(charger, driving)?;
        let input_a = match input_v(source_v, self.feed_ohm[charger], power_w) {
            Some(volts) if volts >= part.min_input_v => power_w / volts,
            _ => return Some(0.0),
        };
        let ChargerSource::Bank(giver) = part.from else {
            return Some(alone_a);
        };
        let cell = &self.cells[giver];
        let spare_a = cell.bank.max_discharge_a - cell.asked_a(&flows[giver]);
        let gives = cell.on && cell.soc > cell.bank.reserve_soc && input_a > 0.0;
        Some(if gives {
            alone_a * (spare_a / input_a).clamp(0.0, 1.0)
        } else {
            0.0
        })
    }

    /// Bank-fed chargers draw on their givers, down to the giver's reserve.
    fn feed_from_banks(&self, bank: usize, driving: bool, asks: &mut [Ask], flows: &mut [Second]) {
        for (index, charger) in self.world.scenario.chargers.iter().enumerate() {
            let ChargerSource::Bank(giver) = charger.from else {
                continue;
            };
            if charger.to != bank || !asks[index].open {
                continue;
            }
            let cell = &self.cells[giver];
            let spare_a = cell.bank.max_discharge_a - cell.asked_a(&flows[giver]);
            if cell.on && cell.soc > cell.bank.reserve_soc && asks[index].input_a > 0.0 {
                asks[index].given = (spare_a / asks[index].input_a).clamp(0.0, 1.0);
                let source_v = self.source_v(index, driving).unwrap_or(cell.volts);
                flows[giver].draw_w += asks[index].given * asks[index].input_a * source_v;
            }
        }
    }

    /// Start bank first, then chargers by priority. Returns what the start bank gets, A.
    fn share_alternator(&mut self, flows: &[Second], asks: &mut [Ask]) -> f64 {
        let scenario = self.world.scenario;
        self.lived.driven_h += SECOND_H;
        let Some(alternator) = &scenario.alternator else {
            return 0.0;
        };
        let is_idle = self.engine_s % IDLE_PERIOD_S < alternator.idle_share * IDLE_PERIOD_S;
        self.engine_s += 1.0;
        let output_a = if is_idle {
            alternator.idle_a
        } else {
            alternator.rated_a
        };
        let spare_a = (output_a * alternator.hot_derate - alternator.vehicle_load_a).max(0.0);
        let starter = self
            .cells
            .iter()
            .position(|cell| cell.bank.role == Role::Start);
        let wanted_a = starter.map_or(0.0, |bank| {
            let cell = &self.cells[bank];
            let by_volts =
                (alternator.volts - cell.open_v()).max(0.0) / (cell.bank.resistance_mohm / 1000.0);
            cell.charge_limit_a().min(by_volts) + cell.asked_a(&flows[bank])
        });
        let mut fed: Vec<usize> = (0..asks.len())
            .filter(|&charger| scenario.chargers[charger].from == ChargerSource::Alternator)
            .filter(|&charger| asks[charger].open)
            .collect();
        let asked_a: f64 = wanted_a + fed.iter().map(|&c| asks[c].input_a).sum::<f64>();
        if asked_a > spare_a {
            self.lived.oversubscribed_h += SECOND_H;
        }
        let start_a = wanted_a.min(spare_a);
        let mut left_a = spare_a - start_a;
        fed.sort_by_key(|&charger| scenario.chargers[charger].priority);
        while let Some(&first) = fed.first() {
            let priority = scenario.chargers[first].priority;
            let (group, rest): (Vec<usize>, Vec<usize>) = fed
                .iter()
                .partition(|&&charger| scenario.chargers[charger].priority == priority);
            fed = rest;
            let sum_a: f64 = group.iter().map(|&charger| asks[charger].input_a).sum();
            let share = if sum_a > left_a { left_a / sum_a } else { 1.0 };
            for &charger in &group {
                asks[charger].given = share;
            }
            left_a = (left_a - sum_a * share).max(0.0);
        }
        start_a
    }

    fn book(&mut self, asks: &[Ask], sun_a: &[f64], panel_amount: &[f64], before_v: &[f64]) {
        let scenario = self.world.scenario;
        for (index, panel) in scenario.solar.iter().enumerate() {
            let cell = &mut self.cells[panel.to];
            let is_pwm = panel.controller == Controller::Pwm;
            let (delivered_w, offered_w) = if is_pwm {
                (sun_a[index] * cell.volts, panel_amount[index] * cell.volts)
            } else {
                (sun_a[index] * before_v[panel.to], panel_amount[index])
            };
            self.lived.panel_wh[index] += delivered_w * SECOND_H;
            cell.account.curtailed_wh += (offered_w - delivered_w) * SECOND_H;
            let kept = 1.0 - panel.losses;
            let gross_w = if is_pwm {
                sun_a[index] / kept * 18.0 * scenario.voltage_factor()
            } else {
                delivered_w / kept / 0.97
            };
            cell.account.conversion_wh += (gross_w - delivered_w) * SECOND_H;
        }
        for (index, charger) in scenario.chargers.iter().enumerate() {
            let ask = asks[index];
            let cell = &mut self.cells[charger.to];
            let output_w = ask.given * ask.output_a * cell.volts;
            self.lived.charger_wh[index] += output_w * SECOND_H;
            // The alternator's cable; a giving bank's is in what it gives, booked at its terminals.
            let cable_w = if charger.from == ChargerSource::Alternator {
                ask.given * ask.input_a * ask.input_a * self.feed_ohm[index]
            } else {
                0.0
            };
            let lost_w = output_w * (1.0 / charger.efficiency - 1.0) + cable_w;
            cell.account.conversion_wh += lost_w * SECOND_H;
        }
        let mut fridge = 0;
        for (index, appliance) in self.appliances.iter_mut().enumerate() {
            let cell = &self.cells[appliance.load.bank];
            let watts = appliance.watts + appliance.amps * cell.volts;
            self.lived.load_wh[index] += cell.served * watts * SECOND_H;
            if appliance.is_fridge() {
                self.lived.fridge_run_h[fridge] += cell.served * appliance.running * SECOND_H;
                let places = if cell.bank.trailer {
                    &self.trailer_places
                } else {
                    &self.places
                };
                appliance.cool(cell.served, places);
                fridge += 1;
            }
        }
    }
}

/// Banks with those that others feed before their givers.
pub fn takers_first(scenario: &Scenario) -> Vec<usize> {
    fn depth(scenario: &Scenario, bank: usize) -> usize {
        let fed = scenario.chargers.iter();
        fed.filter(|charger| charger.from == ChargerSource::Bank(bank))
            .map(|charger| 1 + depth(scenario, charger.to))
            .max()
            .unwrap_or(0)
    }
    let mut order: Vec<usize> = (0..scenario.banks.len()).collect();
    order.sort_by_key(|&bank| depth(scenario, bank));
    order
}

/// Resistance of the cables that feed a charger; one that feeds several drops for all of them.
pub fn feed_ohm(scenario: &Scenario, charger: usize) -> f64 {
    let own_a = scenario.chargers[charger].output_a;
    let mut ohm = 0.0;
    for (index, run) in scenario.runs.iter().enumerate() {
        let feeds = run.to == RunEnd::Charger(charger)
            || (run.carries.contains(&RunEnd::Charger(charger))
                && run.from != RunEnd::Charger(charger)
                && run.to != RunEnd::Bank(scenario.chargers[charger].to));
        if !feeds {
            continue;
        }
        let carried_a = run.carries.iter().map(|end| match end {
            RunEnd::Charger(other) => scenario.chargers[*other].output_a,
            _ => 0.0,
        });
        let share = carried_a.sum::<f64>() / own_a;
        ohm += run_resistance_ohm(scenario, index) * share.max(1.0);
    }
    ohm
}
