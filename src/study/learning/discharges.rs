//! Lead-acid by its rate: Peukert's exponent from discharges from full to the end voltage.
//!
//! One job: discharges in the rows, and the exponent that joins their Ah by their currents. The model has
//! two tanks of charge instead; what it makes of the same currents is told beside it.

use super::estimate::{Estimate, student_90};
use super::meter::Meter;
use crate::scenario::{Bank, Scenario};
use crate::system::two_tank::{RATE_PER_H, SHARE_AT_HAND, full_over_rated};
use crate::units::{Whole, bisected};

/// End voltage of a rated capacity, 1.75 V a cell, for 12 V. Common practice, no source.
const END_V: f64 = 10.5;

/// A meter is at full from here on.
const FULL: f64 = 0.98;

/// Currents as far apart say something of the exponent.
const LEAST_RATIO: f64 = 1.5;

/// How well one discharge is known, as a share of its Ah: half the width of 8 in 10. Ours.
const AH_HALF: f64 = 0.03;

/// A discharge from full to the end voltage.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Discharge {
    /// Mean current weighted by charge, A.
    amps: f64,
    /// Charge given, Ah.
    ah: f64,
    hours: f64,
}

/// Peukert's exponent.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Peukert {
    /// By the log.
    pub(super) found: Estimate,
    /// By the two tanks of the model at the least and the greatest current.
    pub(super) by_model: f64,
    /// Hours of the discharges.
    pub(super) hours: f64,
}

/// The exponent `p` of `I^p · t = const`; the reason where the log does not tell it.
///
/// # Source
/// W. Peukert, "Über die Abhängigkeit der Kapazität von der Entladestromstärke bei Bleiakkumulatoren",
/// Elektrotechnische Zeitschrift 20, 1897.
pub(super) fn peukert(scenario: &Scenario, meter: &Meter) -> Result<Peukert, &'static str> {
    let bank = &scenario.banks[meter.bank];
    let mut all = discharges(bank, meter, END_V * scenario.voltage_factor());
    all.sort_by(|a, b| a.amps.total_cmp(&b.amps));
    let (Some(first), Some(last)) = (all.first(), all.last()) else {
        return Err("the log has no discharge from full to 1.75 V a cell, and it takes two");
    };
    if last.amps < LEAST_RATIO * first.amps {
        return Err(
            "it takes two discharges from full to 1.75 V a cell, one at half as much current again as the other",
        );
    }
    let logs: Vec<(f64, f64)> = all
        .iter()
        .map(|each| (libm::log(each.amps), libm::log(each.ah)))
        .collect();
    let n = logs.len().real();
    let (x, y) = logs
        .iter()
        .fold((0.0, 0.0), |sum, at| (sum.0 + at.0 / n, sum.1 + at.1 / n));
    let squares: f64 = logs.iter().map(|at| (at.0 - x).powi(2)).sum();
    let slope = logs.iter().map(|at| (at.0 - x) * (at.1 - y)).sum::<f64>() / squares;
    let off: f64 = logs
        .iter()
        .map(|at| (at.1 - y - slope * (at.0 - x)).powi(2))
        .sum();
    // Two discharges show no scatter: then what a discharge is known to counts alone.
    let scatter = if logs.len() > 2 {
        student_90(logs.len() - 2) * (off / (n - 2.0) / squares).sqrt()
    } else {
        0.0
    };
    let value = 1.0 - slope;
    let half = scatter.hypot(AH_HALF / squares.sqrt());
    let found = Estimate {
        value,
        low: value - half,
        high: value + half,
        daily: 0.0,
    };
    let ratio = libm::log(by_model_ah(bank, first.amps) / by_model_ah(bank, last.amps));
    Ok(Peukert {
        found,
        by_model: 1.0 + ratio / libm::log(last.amps / first.amps),
        hours: all.iter().map(|each| each.hours).sum(),
    })
}

/// What the model's battery gives from full at a steady current, Ah.
fn by_model_ah(bank: &Bank, amps: f64) -> f64 {
    let full = |hours: f64| full_over_rated(SHARE_AT_HAND, RATE_PER_H, hours);
    let full_ah = bank.capacity_ah * full(20.0);
    // The hours are those in which it is empty: the given charge falls with the current, so halving finds them.
    let is_left = |hours: f64| full_ah / full(hours) > amps * hours;
    amps * bisected(0.01, 2000.0, 60, is_left).0
}

fn discharges(bank: &Bank, meter: &Meter, end_v: f64) -> Vec<Discharge> {
    let mut all = Vec::new();
    let mut given: Option<(f64, f64, f64)> = None;
    let small_a = bank.capacity_ah / 200.0;
    for row in 1..meter.row_volts.len() {
        let (amps, volts) = (meter.row_amps[row], meter.row_volts[row]);
        let apart_s = meter.row_s[row] - meter.row_s[row - 1];
        if !(amps.is_finite() && volts.is_finite()) || apart_s > meter.gap_s || amps > small_a {
            // At full, however little still goes in, a discharge may begin.
            given = (meter.soc_at(row) >= FULL).then_some((0.0, 0.0, 0.0));
            continue;
        }
        let Some((ah, squares, hours)) = &mut given else {
            continue;
        };
        let out_a = (-amps).max(0.0);
        *ah += out_a * apart_s / 3600.0;
        *squares += out_a * out_a * apart_s / 3600.0;
        *hours += apart_s / 3600.0;
        if volts <= end_v {
            if *ah > 0.2 * bank.capacity_ah {
                all.push(Discharge {
                    amps: *squares / *ah,
                    ah: *ah,
                    hours: *hours,
                });
            }
            given = None;
        }
    }
    all
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand: the model's battery gives its capacity in 20 h, and less in 5.
    #[test]
    fn by_hand_the_model_gives_its_capacity_at_the_20_h_rate() {
        let text = std::fs::read_to_string("scenarios/northern-autumn-van.json").unwrap();
        let reading = crate::scenario::read(&text, "van.json", &|_| Err(String::new()));
        let mut bank = reading.unwrap().scenario.banks[0].clone();
        bank.capacity_ah = 100.0;
        assert!((by_model_ah(&bank, 5.0) - 100.0).abs() < 0.01);
        let fast = by_model_ah(&bank, 17.0);
        assert!(fast < 90.0 && fast > 75.0, "{fast}");
    }
}
