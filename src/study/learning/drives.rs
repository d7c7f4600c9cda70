//! When it was driven: from a table, from what the meters show, else by the plan.
//!
//! One job: drives of the whole plan, those within the logs as they were. A drive shows by a charger's
//! current, or by the alternator's voltage at the starting battery.

use super::meter::{Meter, step_of};
use crate::engine::Drive;
use crate::scenario::{ChargerSource, Needs, Role, Scenario};
use crate::timeline::Timeline;

/// Stretches so near each other are one drive, s.
const BREAK_S: f64 = 600.0;

/// A shorter stretch is no drive, s.
const LEAST_S: f64 = 360.0;

/// A leg may be driven so much before or after its plan, s.
const SHIFT_S: f64 = 8.0 * 3600.0;

/// The drives of a plan.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Drives {
    /// In order and apart.
    pub(super) all: Vec<Drive>,
    /// Departure and arrival of each leg.
    pub(super) legs: Vec<(f64, f64)>,
    /// Where they are from.
    pub(super) from: &'static str,
    /// Seconds at which a meter lost sight of a drive, and how its end or beginning is taken.
    pub(super) unsure: Vec<(f64, &'static str)>,
}

/// What was driven. `offer_a` is what the panels of a bank give without chance, A by step.
pub(super) fn drives(
    scenario: &Scenario,
    timeline: &Timeline,
    meters: &[Meter],
    known: Option<&[(i64, i64)]>,
    offer_a: &[Vec<f64>],
) -> Drives {
    let since = |utc_s: i64| timeline.calendar.since_s(utc_s);
    let mut unsure = Vec::new();
    let (stretches, from) = if let Some(known) = known {
        let known = known
            .iter()
            .map(|(from_s, to_s)| (since(*from_s), since(*to_s)));
        (known.collect(), "the table of drives")
    } else {
        let found = found(scenario, timeline, meters, offer_a, &mut unsure);
        let from = if found.is_empty() {
            "the plan: no meter shows a drive"
        } else {
            "the meters: stretches with the alternator's charge"
        };
        (found, from)
    };
    let covered = |at_s: f64| {
        known.is_some()
            || meters.iter().any(|meter| {
                let step = step_of(timeline, at_s.max(0.0));
                meter.amps[step].is_finite()
            })
    };
    Drives {
        unsure,
        ..assigned(timeline, &stretches, &covered, from)
    }
}

/// Stretches of drives to the legs of the plan and drives about; the plan's where nothing is known.
fn assigned(
    timeline: &Timeline,
    stretches: &[(f64, f64)],
    covered: &dyn Fn(f64) -> bool,
    from: &'static str,
) -> Drives {
    let calendar = &timeline.calendar;
    let since = |utc_s: i64| calendar.since_s(utc_s);
    let planned: Vec<(f64, f64)> = calendar
        .legs
        .iter()
        .map(|leg| (since(leg.depart_s), since(leg.arrive_s)))
        .collect();
    // The leg of each stretch: the nearest that it overlaps within the shift.
    let leg_of = |stretch: &(f64, f64)| {
        let middle = 0.5 * (stretch.0 + stretch.1);
        let near = planned
            .iter()
            .enumerate()
            .filter(|(_, leg)| stretch.0 < leg.1 + SHIFT_S && stretch.1 > leg.0 - SHIFT_S);
        let distance = |leg: &(f64, f64)| (middle - 0.5 * (leg.0 + leg.1)).abs();
        near.min_by(|a, b| distance(a.1).total_cmp(&distance(b.1)))
            .map(|(leg, _)| leg)
    };
    let of: Vec<Option<usize>> = stretches.iter().map(leg_of).collect();
    let drive = |(from_s, to_s), is_leg| Drive {
        from_s,
        to_s,
        is_leg,
    };
    let mut all = Vec::new();
    let mut legs = Vec::new();
    for (leg, plan) in planned.iter().enumerate() {
        let mine = || {
            let pairs = stretches.iter().zip(&of);
            pairs
                .filter(|(_, of)| **of == Some(leg))
                .map(|(stretch, _)| *stretch)
        };
        let total_s: f64 = mine().map(|(from_s, to_s)| to_s - from_s).sum();
        // A short errand near a long leg is none: the leg was driven while no meter showed it.
        if total_s >= 0.25 * (plan.1 - plan.0) {
            let first = mine()
                .map(|stretch| stretch.0)
                .fold(f64::INFINITY, f64::min);
            let last = mine().map(|stretch| stretch.1).fold(0.0, f64::max);
            legs.push((first, last));
            all.extend(mine().map(|stretch| drive(stretch, true)));
        } else {
            legs.push(*plan);
            all.extend(mine().map(|stretch| drive(stretch, false)));
            if plan.1 > plan.0 {
                all.push(drive(*plan, true));
            }
        }
    }
    let errands = stretches.iter().zip(&of).filter(|(_, of)| of.is_none());
    all.extend(errands.map(|(stretch, _)| drive(*stretch, false)));
    for local in &calendar.local_drives {
        let from_s = since(local.depart_s);
        let to_s = from_s + 3600.0 * local.hours.mean();
        let is_known = !stretches.is_empty() && covered(from_s) && covered(to_s);
        if !is_known && to_s > from_s {
            all.push(drive((from_s, to_s), false));
        }
    }
    Drives {
        all: apart(all),
        legs,
        from,
        unsure: Vec::new(),
    }
}

/// In order; where two overlap, a leg keeps its time.
fn apart(mut drives: Vec<Drive>) -> Vec<Drive> {
    drives.sort_by(|a, b| a.from_s.total_cmp(&b.from_s));
    let mut out: Vec<Drive> = Vec::new();
    for drive in drives {
        match out.last_mut() {
            Some(before) if drive.from_s < before.to_s => {
                before.is_leg |= drive.is_leg;
                before.to_s = before.to_s.max(drive.to_s);
            }
            _ => out.push(drive),
        }
    }
    out
}

/// Stretches in which any meter shows the engine; `unsure` hears of those that run into a gap.
fn found(
    scenario: &Scenario,
    timeline: &Timeline,
    meters: &[Meter],
    offer_a: &[Vec<f64>],
    unsure: &mut Vec<(f64, &'static str)>,
) -> Vec<(f64, f64)> {
    let mut stretches: Vec<(f64, f64)> = Vec::new();
    for meter in meters {
        let bank = &scenario.banks[meter.bank];
        let chargers = scenario.chargers.iter().filter(|charger| {
            charger.to == meter.bank
                && charger.from == ChargerSource::Alternator
                && charger.needs == Needs::Driving
        });
        let output_a: f64 = chargers
            .map(|charger| charger.output_a)
            .sum::<f64>()
            .min(bank.max_charge_a);
        let is_start = bank.role == Role::Start;
        let alternator_v = scenario
            .alternator
            .as_ref()
            .map(|alternator| alternator.volts);
        let is_driven = |row: usize| -> Option<bool> {
            if is_start {
                let least_v = alternator_v? - 0.6 * scenario.voltage_factor();
                let volts = *meter.row_volts.get(row)?;
                return volts.is_finite().then_some(volts >= least_v);
            }
            let amps = meter.row_amps[row];
            if output_a <= 0.0 || !amps.is_finite() || !meter.has_current {
                return None;
            }
            // Sun may bring more than on a mean day, but hardly twice as much.
            let sun_a = offer_a[meter.bank][step_of(timeline, meter.row_s[row])];
            Some(amps > (0.5 * output_a).max(1.6 * sun_a + 0.3 * output_a))
        };
        let driven: Vec<bool> = (0..meter.row_s.len())
            .map(|row| is_driven(row) == Some(true))
            .collect();
        let mut own: Vec<(f64, f64)> = Vec::new();
        for row in 1..meter.row_s.len() {
            let (before_s, at_s) = (meter.row_s[row - 1], meter.row_s[row]);
            let is_gap = at_s - before_s > meter.gap_s;
            if !is_gap && driven[row] {
                join(&mut own, (before_s, at_s));
            } else if is_gap {
                let sides = (driven[row - 1], driven[row]);
                let (pieces, how) = within_gap(timeline, meter, &driven, row);
                if sides.0 || sides.1 {
                    unsure.push((if sides.0 { before_s } else { at_s }, how));
                }
                for piece in pieces {
                    join(&mut own, piece);
                }
            }
        }
        stretches.extend(own);
    }
    stretches.retain(|(from_s, to_s)| to_s - from_s >= LEAST_S);
    stretches.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut merged = Vec::new();
    for stretch in stretches {
        join(&mut merged, stretch);
    }
    merged
}

/// Adds a stretch that begins no earlier than the last: one with it where they are near each other.
fn join(stretches: &mut Vec<(f64, f64)>, next: (f64, f64)) {
    match stretches.last_mut() {
        Some(before) if next.0 - before.1 <= BREAK_S => before.1 = before.1.max(next.1),
        _ => stretches.push(next),
    }
}

/// What was driven in the gap that ends at `row`, where a drive runs into it or out of it, and how that is
/// known: by the charge gained over the gap, else by the plan's legs.
fn within_gap(
    timeline: &Timeline,
    meter: &Meter,
    driven: &[bool],
    row: usize,
) -> (Vec<(f64, f64)>, &'static str) {
    let (from_s, to_s) = (meter.row_s[row - 1], meter.row_s[row]);
    let mean = |is_driven: bool| -> Option<f64> {
        let amps = (0..driven.len()).filter(|&row| driven[row] == is_driven);
        let amps: Vec<f64> = amps
            .map(|row| meter.row_amps[row])
            .filter(|amps| amps.is_finite())
            .collect();
        (!amps.is_empty()).then(|| super::spans::mean_of(&amps))
    };
    let gained_ah = meter.gained_ah.iter().find(|gained| gained.0 == row);
    let gained_ah = gained_ah.map_or(f64::NAN, |gained| gained.1);
    let long_s = to_s - from_s;
    // So long at the current of drives, the rest at that of the other hours.
    let by_charge = mean(true).zip(mean(false)).and_then(|(drives_a, else_a)| {
        let hours = (gained_ah - else_a * long_s / 3600.0) / (drives_a - else_a);
        let is_clear = hours.is_finite() && drives_a > 2.0 * else_a.abs();
        is_clear.then_some((3600.0 * hours).clamp(0.0, long_s))
    });
    let how = if by_charge.is_some() {
        "the log has a gap there: so long by the charge that came in meanwhile"
    } else {
        "the log has a gap there: so long by the plan"
    };
    let planned = || {
        let since = |utc_s: i64| timeline.calendar.since_s(utc_s);
        let legs = timeline.calendar.legs.iter();
        legs.map(move |leg| (since(leg.depart_s), since(leg.arrive_s)))
    };
    match (driven[row - 1], driven[row]) {
        (true, true) if by_charge.is_none_or(|driven_s| driven_s > 0.8 * long_s) => {
            (vec![(from_s, to_s)], how)
        }
        (true, _) => {
            let by_plan = planned().filter(|leg| leg.0 - SHIFT_S < from_s && leg.1 > from_s);
            let by_plan = by_plan
                .map(|leg| leg.1.min(to_s) - from_s)
                .fold(0.0, f64::max);
            (vec![(from_s, from_s + by_charge.unwrap_or(by_plan))], how)
        }
        (false, true) => {
            let by_plan = planned().filter(|leg| leg.0 < to_s && leg.1 + SHIFT_S > to_s);
            let by_plan = by_plan
                .map(|leg| to_s - leg.0.max(from_s))
                .fold(0.0, f64::max);
            (vec![(to_s - by_charge.unwrap_or(by_plan), to_s)], how)
        }
        (false, false) => (Vec::new(), how),
    }
}
