//! Findings of sources and of the battery itself: panels, chargers, resistance, capacity.
//!
//! One job: what `sources`, `battery` and `capacity` find, to values of keys in the list of `findings`.

use super::battery::resistance_mohm;
use super::capacity::{by_the_meter, by_voltage, charge_efficiency};
use super::estimate::Estimate;
use super::findings::{List, Value};
use super::meter::Meter;
use super::model::Traces;
use super::sources::{Yield, charging};
use crate::scenario::{Changes, Chemistry};
use crate::system::charge_acceptance::LITHIUM_EFFICIENCY;

/// How well a meter's current is read, as a share.
const GAIN_SHARE: f64 = 0.005;

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
                self.cannot(key, why.to_owned());
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
                Value {
                    key,
                    was: part.losses,
                    unit: "",
                    hours: sun.hours,
                    how: format!(
                        "what came in while it was parked, against clear sky and the file's own weather: shade, dirt, \
                         heat and tilt in one{beside}"
                    ),
                    is_key: true,
                },
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
                self.cannot(format!("chargers.{}", part.id), why.to_owned());
                continue;
            }
            let key = format!("chargers.{}.output_a", part.id);
            let found = match charging(self.ground, meter, charger, draws, half, sun) {
                Ok(found) => found,
                Err(why) => {
                    self.cannot(key, why.to_owned());
                    continue;
                }
            };
            let given = |traces: &Traces| -> f64 {
                found
                    .steps
                    .iter()
                    .map(|&step| traces.charger_a[charger][step])
                    .sum()
            };
            let change = |amps: f64| Changes::one(key.clone(), amps.clamp(0.1, 2000.0));
            match self.through_the_engine(part.output_a, found.factor, &change, &given) {
                Some(estimate) => self.found(
                    Value {
                        key: key.clone(),
                        was: part.output_a,
                        unit: "A",
                        hours: found.hours,
                        how: "its plateau at the bank on the road, cable and idling counted as the file has them"
                            .to_owned(),
                        is_key: true,
                    },
                    estimate.clamped(0.1, 2000.0),
                ),
                None => self.cannot(
                    key,
                    "on these drives the alternator or the bank's own limit rules, not the charger".to_owned(),
                ),
            }
        }
    }

    pub(super) fn of_battery(&mut self, meter: &Meter) {
        let scenario = self.ground.scenario;
        let bank = &scenario.banks[meter.bank];
        let resistance = resistance_mohm(meter);
        let key = format!("banks.{}.resistance_mohm", bank.id);
        match resistance {
            Ok((hours, estimate)) => self.found(
                Value {
                    key,
                    was: bank.resistance_mohm,
                    unit: "mΩ",
                    hours,
                    how: "the step of voltage with each step of current".to_owned(),
                    is_key: true,
                },
                estimate.clamped(0.0, 10_000.0),
            ),
            Err(why) => self.cannot(key, why.to_owned()),
        }
        let ohm = resistance.map_or(bank.resistance_mohm, |(_, found)| found.value) / 1000.0;
        let key = format!("banks.{}.capacity_ah", bank.id);
        let losses = if bank.chemistry == Chemistry::Lfp {
            1.0 - LITHIUM_EFFICIENCY
        } else {
            0.0
        };
        let own = meter
            .has_current
            .then(|| by_voltage(scenario, meter, ohm))
            .flatten();
        let by_meter = (meter.has_current && meter.has_soc)
            .then(|| by_the_meter(meter, losses))
            .flatten();
        let how = if own.is_some() {
            "Ah counted between full or rested moments, by voltage"
        } else {
            "Ah counted over points of charge: what the meter is set to, not what the battery holds"
        };
        match own.or(by_meter) {
            Some((hours, estimate)) => self.found(
                Value {
                    key,
                    was: bank.capacity_ah,
                    unit: "Ah",
                    hours,
                    how: how.to_owned(),
                    is_key: true,
                },
                estimate.widened(GAIN_SHARE * estimate.value).clamped(0.1, 100_000.0),
            ),
            None => self.cannot(
                key,
                "the log has no two moments, full or at rest with a voltage that tells, a quarter of the charge apart"
                    .to_owned(),
            ),
        }
        let key = format!("banks.{}.charge_efficiency", bank.id);
        match charge_efficiency(bank, meter).filter(|_| bank.chemistry == Chemistry::Lfp) {
            Some((hours, estimate)) => self.found(
                Value {
                    key,
                    was: LITHIUM_EFFICIENCY,
                    unit: "",
                    hours,
                    how: "charge out over charge in from full to full; the file has no key for it"
                        .to_owned(),
                    is_key: false,
                },
                estimate.clamped(0.0, 1.2),
            ),
            None => self.cannot(
                key,
                "the log has no two loops from full, well down and to full again".to_owned(),
            ),
        }
    }
}
