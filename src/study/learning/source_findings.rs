//! Findings of sources and of the battery itself: panels, chargers, resistance, capacity.
//!
//! One job: what `sources`, `battery` and `capacity` find, to values of keys in the list of `findings`.

use super::battery::resistance_mohm;
use super::capacity::{by_the_meter, by_voltage, charge_efficiency};
use super::discharges::peukert;
use super::estimate::Estimate;
use super::findings::{List, Value};
use super::idling::{Idling, idling};
use super::meter::Meter;
use super::model::Traces;
use super::sources::{GAIN_HALF, Yield, charging};
use super::spans::mean_of;
use crate::scenario::Changes;

/// Charge out over charge in, beyond which the meter is wrong and not the battery: common practice, no source
/// (lithium 0.98 to 1, lead-acid 0.7 to 0.95 by age and use), with room for a meter's gain.
const LEAST_GIVEN_BACK_LITHIUM: f64 = 0.9;
const LEAST_GIVEN_BACK_LEAD_ACID: f64 = 0.5;
const MOST_GIVEN_BACK: f64 = 1.05;

const IDLE_SHARE: &str = "alternator.idle_share";

/// What the engine has of a charger in the steps of its plateau.
struct Engine<'a> {
    /// In the mean, A.
    by_file_a: f64,
    /// Its sum in a run.
    given: &'a dyn Fn(&Traces) -> f64,
}

impl List<'_> {
    pub(super) fn of_panels(&mut self, meter: &Meter, sun: Option<&Yield>) {
        let scenario = self.ground.scenario;
        let panels = self.ground.panels(meter.bank);
        let beside = if panels.len() > 1 {
            ", all panels of the bank together"
        } else {
            ""
        };
        for panel in panels {
            let part = &scenario.solar[panel];
            let key = format!("solar.{}.losses", part.id);
            let Some(sun) = sun else {
                let why =
                    "the log has no day on which it charges a bank with room, away from drives";
                self.cannot(key, why);
                continue;
            };
            let kept = sun.factor.times(1.0 - part.losses);
            let losses = Estimate {
                value: 1.0 - kept.value,
                low: 1.0 - kept.high,
                high: 1.0 - kept.low,
                daily: kept.daily,
            };
            self.found(
                Value::of_key(key, (part.losses, ""), sun.hours, format!(
                        "what came in while it was parked, against clear sky and the file's own weather: shade, dirt, \
                         heat and tilt in one{beside}"
                    )),
                losses.clamped(0.0, 0.99),
            );
        }
    }

    pub(super) fn of_chargers(
        &mut self,
        meter: &Meter,
        draws: &[f64],
        half: f64,
        sun: Option<&Yield>,
    ) {
        for charger in self.ground.chargers(meter.bank) {
            let part = &self.ground.scenario.chargers[charger];
            if part.relay.is_some() {
                let why =
                    "a relay has no output of its own: voltages and resistances say what flows";
                self.cannot(format!("chargers.{}", part.id), why);
                continue;
            }
            let key = format!("chargers.{}.output_a", part.id);
            let found = match charging(self.ground, meter, charger, draws, half, sun) {
                Ok(found) => found,
                Err(why) => {
                    self.cannot(key, why);
                    continue;
                }
            };
            let by_file = &self.ground.traces.charger_a[charger];
            let by_file: Vec<f64> = found.steps.iter().map(|&step| by_file[step]).collect();
            let engine = Engine {
                by_file_a: mean_of(&by_file),
                given: &|traces| {
                    let steps = found.steps.iter();
                    steps.map(|&step| traces.charger_a[charger][step]).sum()
                },
            };
            // With idling told apart the plateau is that of cruise.
            let cruise = match idling(self.ground, meter, &found) {
                Ok(levels) => self
                    .of_idling(&part.id, found.hours, &levels, &engine)
                    .then_some(levels.cruise_a),
                Err(why) => {
                    self.cannot(format!("chargers.{}.idle_output_a", part.id), why);
                    None
                }
            };
            let base = match cruise {
                Some(_) => Changes::one(IDLE_SHARE, 0.0),
                None => Changes::default(),
            };
            let (plateau, how) = match cruise {
                Some(cruise_a) => (
                    cruise_a.times(1.0 / engine.by_file_a),
                    "its plateau at the bank at cruise, after the cable",
                ),
                None => (
                    found.factor,
                    "its plateau at the bank on the road, after the cable; idling counted as the file has it",
                ),
            };
            let change = |amps: f64| base.clone().and(key.clone(), amps.clamp(0.1, 2000.0));
            let reached = if cruise.is_some() {
                self.drawn(&base, engine.given)
            } else {
                Some(1.0)
            };
            let output_a = reached.and_then(|reached| {
                self.through_the_engine((part.output_a, reached), plateau, &change, engine.given)
            });
            match output_a {
                Some(estimate) => self.found(
                    Value::of_key(key.clone(), (part.output_a, "A"), found.hours, how),
                    estimate.clamped(0.1, 2000.0),
                ),
                None => self.cannot(
                    key,
                    "on these drives the alternator or the bank's own limit rules, not the charger",
                ),
            }
        }
    }

    /// A charger at idle, and what the alternator has then; whether the latter follows from it.
    fn of_idling(&mut self, id: &str, hours: f64, levels: &Idling, engine: &Engine<'_>) -> bool {
        const IDLE_A: &str = "alternator.idle_a";
        let Some(alternator) = &self.ground.scenario.alternator else {
            return false;
        };
        let at_idle = Changes::one(IDLE_SHARE, 1.0);
        let Some(reached) = self.drawn(&at_idle, engine.given) else {
            return false;
        };
        let idle_output_a = Value::without_key(
            format!("chargers.{id}.idle_output_a"),
            (reached * engine.by_file_a, "A"),
            hours,
            "its lower level at the bank on the road, after the cable: the engine at idle",
        );
        self.found(idle_output_a, levels.idle_a.clamped(0.0, 2000.0));
        if self.has_found(IDLE_A) {
            return true;
        }
        let change = |amps: f64| {
            at_idle
                .clone()
                .and(IDLE_A, amps.clamp(0.0, alternator.rated_a))
        };
        let factor = levels.idle_a.times(1.0 / engine.by_file_a);
        let was = (alternator.idle_a, reached);
        let Some(idle_a) = self.through_the_engine(was, factor, &change, engine.given) else {
            let why = "by the file what it has at idle does not decide what this charger gets then";
            self.cannot(IDLE_A.to_owned(), why);
            return false;
        };
        self.found(
            Value::of_key(
                IDLE_A.to_owned(),
                (alternator.idle_a, "A"),
                hours,
                "by what its charger gives at idle; the vehicle's own load, heat and other chargers as the file has them",
            ),
            idle_a.clamped(0.0, alternator.rated_a),
        );
        self.found(
            Value::of_key(
                IDLE_SHARE.to_owned(),
                (alternator.idle_share, ""),
                hours,
                "how much of its time on the road the charger is at its lower level",
            ),
            levels.share.clamped(0.0, 1.0),
        );
        true
    }

    pub(super) fn of_battery(&mut self, meter: &Meter) {
        let scenario = self.ground.scenario;
        let bank = &scenario.banks[meter.bank];
        let resistance = resistance_mohm(meter);
        let key = format!("banks.{}.resistance_mohm", bank.id);
        match resistance {
            Ok((hours, estimate)) => self.found(
                Value::of_key(
                    key,
                    (bank.resistance_mohm, "mΩ"),
                    hours,
                    "the step of voltage with each step of current",
                ),
                estimate.clamped(0.0, 10_000.0),
            ),
            Err(why) => self.cannot(key, why),
        }
        let ohm = resistance.map_or(bank.resistance_mohm, |(_, found)| found.value) / 1000.0;
        let key = format!("banks.{}.capacity_ah", bank.id);
        let own = meter
            .has_current
            .then(|| by_voltage(scenario, meter, ohm))
            .flatten();
        let by_meter = (meter.has_current && meter.has_soc)
            .then(|| by_the_meter(bank, meter))
            .flatten();
        let how = if own.is_some() {
            "Ah counted between full or rested moments, by voltage"
        } else {
            "Ah counted over points of charge: what the meter is set to, not what the battery holds"
        };
        match own.or(by_meter) {
            Some((hours, estimate)) => self.found(
                Value::of_key(key, (bank.capacity_ah, "Ah"), hours, how),
                estimate.widened(GAIN_HALF * estimate.value).clamped(0.1, 100_000.0),
            ),
            None => self.cannot(
                key,
                "the log has no two moments, full or at rest with a voltage that tells, a quarter of the charge apart",
            ),
        }
        let key = format!("banks.{}.charge_efficiency", bank.id);
        let least_share = if bank.chemistry.is_lead_acid() {
            LEAST_GIVEN_BACK_LEAD_ACID
        } else {
            LEAST_GIVEN_BACK_LITHIUM
        };
        match charge_efficiency(bank, meter) {
            Some(given) if !(least_share..=MOST_GIVEN_BACK).contains(&given.share.value) => {
                let why = format!(
                    "by the meter {:.0} % of what went in came out again, which no battery of this kind does: a \
                     current goes past its shunt, or it puts itself at full where the bank is not",
                    given.share.value * 100.0
                );
                self.cannot(key, why);
            }
            Some(given) => self.found(
                Value::without_key(key, (given.by_model, ""), given.hours, "charge out over charge in from full to full, and the model's at the same currents; the file has \
                          no key for it"),
                given.share.clamped(0.0, 1.2),
            ),
            None => self.cannot(
                key,
                "the log has no two loops from full, a quarter down and to full again",
            ),
        }
        if !bank.chemistry.is_lead_acid() {
            return;
        }
        let key = format!("banks.{}.peukert", bank.id);
        match peukert(scenario, meter) {
            Ok(found) => self.found(
                Value::without_key(key, (found.by_model, "1"), found.hours, "the Ah of discharges from full to 1.75 V a cell by their currents, and the model's two tanks at \
                          those currents; the file has no key for it"),
                found.found.clamped(0.9, 3.0),
            ),
            Err(why) => self.cannot(key, why),
        }
    }
}
