//! Capacity and charge efficiency: charge counted against charge shown.
//!
//! One job: the two ways to a capacity (what the meter divides by; two rested voltages or full and
//! rested), and loops from full to full.

use std::collections::BTreeMap;

use super::estimate::{Estimate, of_days};
use super::meter::Meter;
use crate::scenario::{Bank, Scenario};
use crate::system::charge_acceptance::{LITHIUM_EFFICIENCY, lead_acid_efficiency};
use crate::units::{Whole, bisected};

/// Charge and current are compared over so long, s.
const SPAN_S: f64 = 3.0 * 3600.0;

/// Above it a meter may put itself at full.
const NEAR_FULL: f64 = 0.97;

/// Charge that stays of what goes in, by the model.
fn kept(bank: &Bank, amps: f64, soc: f64) -> f64 {
    if amps <= 0.0 {
        1.0
    } else if bank.chemistry.is_lead_acid() {
        lead_acid_efficiency(soc, amps / (bank.capacity_ah / 10.0))
    } else {
        LITHIUM_EFFICIENCY
    }
}

/// The capacity by which the meter turns Ah into charge, Ah, and the hours it rests on: current counted in
/// spans of three hours over the charge's change. Of lead-acid only what it gives counts: what it keeps of
/// a charge is known too little.
pub(super) fn by_the_meter(bank: &Bank, meter: &Meter) -> Option<(f64, Estimate)> {
    let step_s = meter.step_s;
    let span = usize::cut((SPAN_S / step_s).round().max(1.0));
    let per_day = (86_400.0 / SPAN_S).round();
    let per_day = usize::cut(per_day);
    let (first, last) = meter.span();
    let mut days: Vec<(f64, f64)> = Vec::new();
    let mut hours = 0.0;
    let spans: Vec<usize> = (first + 1..last).step_by(span).collect();
    for day in spans.chunks(per_day) {
        let (mut both, mut squares) = (0.0, 0.0);
        for &from in day {
            let to = from + span;
            let charges = || meter.amps[from..to].iter().any(|amps| *amps > 0.0);
            if to > last
                || !is_below_full(meter, from, to)
                || (bank.chemistry.is_lead_acid() && charges())
            {
                continue;
            }
            let amps = &meter.amps[from..to];
            let counted_ah: f64 = amps
                .iter()
                .map(|amps| amps * kept(bank, *amps, 0.0))
                .sum::<f64>()
                * step_s
                / 3600.0;
            let rise = meter.soc[to - 1] - meter.soc[from - 1];
            both += counted_ah * rise;
            squares += counted_ah * counted_ah;
            hours += SPAN_S / 3600.0;
        }
        if squares > 4.0 && both > 0.0 {
            days.push((both / squares, squares));
        }
    }
    let per_ah = of_days(&days)?;
    // The meter's figure is the noisy one, so it is what is explained; the capacity is its inverse.
    let low = per_ah.high.max(1e-9);
    (per_ah.value > 1e-6 && per_ah.low > 0.0).then(|| {
        let value = 1.0 / per_ah.value;
        let estimate = Estimate {
            value,
            low: 1.0 / low,
            high: 1.0 / per_ah.low,
            daily: per_ah.daily * value * value,
        };
        (hours, estimate)
    })
}

fn is_below_full(meter: &Meter, from: usize, to: usize) -> bool {
    let soc = &meter.soc[from - 1..to];
    soc.iter().all(|soc| *soc < NEAR_FULL) && meter.amps[from..to].iter().all(|a| a.is_finite())
}

/// A moment at which the voltage or a full battery says what the charge is.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Anchor {
    row: usize,
    soc: f64,
    /// Half the width of its interval of 8 in 10.
    half: f64,
}

/// How well a rested voltage is read and the published curve is this battery's, V for 12 V. Ours.
const VOLTAGE_HALF_V: f64 = 0.03;

/// A voltage counts as rested after so long without more than a twentieth of the capacity an hour, s.
const REST_S: f64 = 3.0 * 3600.0;

/// The least change of charge between two anchors that says anything.
const LEAST_APART: f64 = 0.25;

/// The capacity by the battery's own voltage, and the hours it rests on: charge counted between a full or
/// rested moment and another.
pub(super) fn by_voltage(scenario: &Scenario, meter: &Meter, ohm: f64) -> Option<(f64, Estimate)> {
    let bank = &scenario.banks[meter.bank];
    let anchors = anchors(scenario, meter, ohm);
    let mut pairs: Vec<(f64, f64)> = Vec::new();
    let mut hours = 0.0;
    let mut halves = Vec::new();
    let mut from: Option<Anchor> = None;
    for anchor in anchors {
        let Some(before) = from else {
            from = Some(anchor);
            continue;
        };
        let apart = anchor.soc - before.soc;
        let half = anchor.half.hypot(before.half);
        if apart.abs() < LEAST_APART.max(2.5 * half) {
            // The surer of two anchors at about one charge is kept.
            if anchor.half <= before.half {
                from = Some(anchor);
            }
            continue;
        }
        if let Some(counted_ah) = counted_ah(bank, meter, before.row, anchor.row) {
            let capacity = counted_ah / apart;
            if capacity > 0.0 {
                let share = half / apart.abs();
                pairs.push((capacity, 1.0 / (share * share)));
                halves.push(capacity * share);
                hours += (meter.row_s[anchor.row] - meter.row_s[before.row]) / 3600.0;
            }
        }
        from = Some(anchor);
    }
    let sum: f64 = pairs.iter().map(|pair| pair.1).sum();
    let value = pairs.iter().map(|pair| pair.0 * pair.1).sum::<f64>() / sum;
    // The error of the curve is the same in all pairs: more of them do not make it smaller.
    let least = halves.iter().copied().fold(f64::INFINITY, f64::min);
    let scatter = of_days(&pairs).map_or(0.0, |found| found.high - found.value);
    (!pairs.is_empty() && least < 0.25 * value).then(|| {
        let half = least.hypot(scatter);
        let estimate = Estimate {
            value,
            low: value - half,
            high: value + half,
            daily: scatter,
        };
        (hours, estimate)
    })
}

fn anchors(scenario: &Scenario, meter: &Meter, ohm: f64) -> Vec<Anchor> {
    let bank = &scenario.banks[meter.bank];
    let factor = scenario.voltage_factor();
    let curve = bank.chemistry.voltage(factor);
    let small_a = bank.capacity_ah / 20.0;
    let full_v = bank.absorption_v - 0.15 * factor;
    let full_a = 0.04 * bank.capacity_ah;
    let mut anchors: Vec<Anchor> = Vec::new();
    let mut resting_since_s = f64::INFINITY;
    let mut last_s = f64::NEG_INFINITY;
    for row in 1..meter.row_volts.len() {
        let (amps, volts, at_s) = (meter.row_amps[row], meter.row_volts[row], meter.row_s[row]);
        if !(amps.is_finite() && volts.is_finite()) || at_s - meter.row_s[row - 1] > meter.gap_s {
            resting_since_s = f64::INFINITY;
            continue;
        }
        if amps.abs() > small_a {
            resting_since_s = f64::INFINITY;
        } else if resting_since_s.is_infinite() {
            resting_since_s = at_s;
        }
        if at_s - last_s < 1800.0 {
            continue;
        }
        if volts >= full_v && amps >= 0.0 && amps < full_a {
            anchors.push(Anchor {
                row,
                soc: 1.0,
                half: 0.015,
            });
            last_s = at_s;
        } else if at_s - resting_since_s >= REST_S && amps <= 0.0 {
            let open_v = volts - ohm * amps;
            let (low, high) = bisected(0.0, 1.0, 40, |soc| curve.volts(soc) < open_v);
            let soc = f64::midpoint(low, high);
            let slope = (curve.volts((soc + 0.02).min(1.0)) - curve.volts((soc - 0.02).max(0.0)))
                / ((soc + 0.02).min(1.0) - (soc - 0.02).max(0.0));
            let half = VOLTAGE_HALF_V * factor / slope.max(1e-3);
            if half < 0.12 && soc > 0.01 && soc < 0.99 {
                anchors.push(Anchor { row, soc, half });
                last_s = at_s;
            }
        }
    }
    anchors
}

/// Charge counted between two rows, Ah; `None` over a gap.
fn counted_ah(bank: &Bank, meter: &Meter, from: usize, to: usize) -> Option<f64> {
    let mut sum = 0.0;
    for row in from + 1..=to {
        let apart_s = meter.row_s[row] - meter.row_s[row - 1];
        let amps = meter.row_amps[row];
        if apart_s > meter.gap_s || !amps.is_finite() {
            return None;
        }
        sum += kept(bank, amps, meter.soc_at(row)) * amps * apart_s / 3600.0;
    }
    Some(sum)
}

/// What a battery gives back of its charge.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct GivenBack {
    /// Charge out over charge in.
    pub(super) share: Estimate,
    /// The same by the model, at the very currents and charges.
    pub(super) by_model: f64,
    /// Hours of the loops.
    pub(super) hours: f64,
}

/// Lead-acid seldom gets to full within a day: its daily peak counts from here on.
const LEAD_PEAK: f64 = 0.85;

/// How well a meter shows the charge of such a peak: half the width of 8 in 10. Ours.
const PEAK_HALF: f64 = 0.02;

/// Charge out over charge in, from full (of lead-acid: a day's peak), well down and there again; what the
/// charge shown differs by at the ends counts too.
pub(super) fn charge_efficiency(bank: &Bank, meter: &Meter) -> Option<GivenBack> {
    if !meter.has_soc || !meter.has_current {
        return None;
    }
    let (full, ends_half) = if bank.chemistry.is_lead_acid() {
        (LEAD_PEAK, PEAK_HALF)
    } else {
        (0.995, 0.0)
    };
    let (first, last) = meter.span();
    let mut peaks: BTreeMap<i64, usize> = BTreeMap::new();
    for step in (first..last).filter(|&step| meter.soc[step] >= full) {
        let day = i64::cut(step.real() * meter.step_s / 86_400.0);
        let peak = peaks.entry(day).or_insert(step);
        if meter.soc[step] >= meter.soc[*peak] {
            *peak = step;
        }
    }
    let step_h = meter.step_s / 3600.0;
    let mut loops: Vec<(f64, f64)> = Vec::new();
    let (mut all_in, mut all_kept, mut all_out, mut hours) = (0.0, 0.0, 0.0, 0.0);
    for (from, to) in peaks.values().zip(peaks.values().skip(1)) {
        let (mut into, mut stays, mut out) = (0.0, 0.0, 0.0);
        for step in from + 1..=*to {
            let amps = meter.amps[step];
            into += amps.max(0.0) * step_h;
            stays += kept(bank, amps, meter.soc[step]) * amps.max(0.0) * step_h;
            out += (-amps).max(0.0) * step_h;
        }
        let known = (from + 1..=*to).all(|step| meter.amps[step].is_finite());
        let given_ah = out + (meter.soc[*to] - meter.soc[*from]) * bank.capacity_ah;
        if known && out > 0.25 * bank.capacity_ah && into > 0.0 {
            loops.push((given_ah / into, out));
            all_in += into;
            all_kept += stays;
            all_out += out;
            let long_h = (to - from).real() * step_h;
            hours += long_h;
        }
    }
    let share = of_days(&loops)?;
    Some(GivenBack {
        share: share.widened(ends_half * bank.capacity_ah / all_out * share.value),
        by_model: all_kept / all_in,
        hours,
    })
}
