//! Whether a log is that of this bank.
//!
//! One job: to refuse a voltage that the bank never has, and the charge and current of quite another size.

use super::meter::{Meter, middle};
use super::question::LearnError;
use crate::log::Log;
use crate::scenario::{Bank, Chemistry, Scenario};

/// Refuses a voltage that this bank never has.
pub(super) fn right_voltage(
    scenario: &Scenario,
    bank: &Bank,
    log: &Log,
    row_volts: &[f64],
) -> Result<(), LearnError> {
    let mut known: Vec<f64> = row_volts
        .iter()
        .copied()
        .filter(|volts| volts.is_finite())
        .collect();
    if known.is_empty() {
        return Ok(());
    }
    let found_v = middle(&mut known);
    let least_v = if bank.chemistry == Chemistry::Lfp {
        11.0
    } else {
        10.5
    };
    let (least_v, most_v) = (
        least_v * scenario.voltage_factor(),
        bank.absorption_v + 0.6 * scenario.voltage_factor(),
    );
    if (least_v..=most_v).contains(&found_v) {
        return Ok(());
    }
    Err(LearnError::OtherVoltage {
        file: log.file.clone(),
        bank: bank.id.clone(),
        found_v,
        least_v,
        most_v,
    })
}

/// Refuses charge and current that are those of a bank of quite another size.
pub(super) fn right_bank(bank: &Bank, log: &Log, meter: &Meter) -> Result<(), LearnError> {
    if !meter.has_current {
        return Ok(());
    }
    let found = super::capacity::by_the_meter(bank, meter);
    if let Some(found_ah) = found.map(|(_, estimate)| estimate.value) {
        let over = found_ah / bank.capacity_ah;
        if !(1.0 / 3.0..=3.0).contains(&over) {
            return Err(LearnError::OtherBank {
                file: log.file.clone(),
                bank: bank.id.clone(),
                found_ah,
                file_ah: bank.capacity_ah,
            });
        }
    }
    Ok(())
}
