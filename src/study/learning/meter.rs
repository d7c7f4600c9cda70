//! A bank's log on the steps of the engine.
//!
//! One job: which sign charges, current and voltage as means of steps, charge at their ends, gaps. The
//! rows stay there for what only they show: cycles and steps of current.

use super::answer::BankLog;
use super::question::LearnError;
use super::right_bank::{right_bank, right_voltage};
use crate::log::Log;
use crate::scenario::{Bank, Scenario};
use crate::study::assemble::rfc3339;
use crate::timeline::Timeline;
use crate::units::Whole;

/// No rows for so long, s, and three times the usual interval: a gap.
const GAP_S: i64 = 900;

/// A log of two rows an hour shows a day.
const LEAST_HOURS: f64 = 20.0;

/// A step counts as measured if so much of it is.
const COVERED: f64 = 0.5;

/// What a current is from where only the charge was logged.
const OF_CHARGE: &str = "from the steps of charge";

/// A bank with its log.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Meter {
    /// The bank.
    pub(super) bank: usize,
    /// Rows within the trip: seconds since its start.
    pub(super) row_s: Vec<f64>,
    /// Charge gained over each gap by the meter's own count, Ah, by the row after it.
    pub(super) gained_ah: Vec<(usize, f64)>,
    /// Current into the bank, A; NaN: none.
    pub(super) row_amps: Vec<f64>,
    /// Voltage; empty: none.
    pub(super) row_volts: Vec<f64>,
    /// Seconds between two rows, in the middle.
    pub(super) every_s: f64,
    /// No rows for longer is a gap, s.
    pub(super) gap_s: f64,
    /// Length of the engine's steps, s.
    pub(super) step_s: f64,
    /// Mean current into the bank by step, A; NaN: none.
    pub(super) amps: Vec<f64>,
    /// Mean voltage by step; NaN: none.
    pub(super) volts: Vec<f64>,
    /// State of charge at the end of each step; NaN: none.
    pub(super) soc: Vec<f64>,
    /// Whether the charge is the meter's own, not counted here.
    pub(super) has_soc: bool,
    /// Whether current was measured, not worked out from the charge.
    pub(super) has_current: bool,
    /// What is told of it.
    pub(super) read: BankLog,
}

impl Meter {
    /// State of charge at the end of the step of a row; NaN: none.
    pub(super) fn soc_at(&self, row: usize) -> f64 {
        let step = usize::cut(self.row_s[row] / self.step_s);
        self.soc.get(step).copied().unwrap_or(f64::NAN)
    }

    /// The first step with a figure, and the one after the last.
    pub(super) fn span(&self) -> (usize, usize) {
        let has = |step: &usize| self.amps[*step].is_finite() || self.soc[*step].is_finite();
        let first = (0..self.amps.len()).find(has).unwrap_or(0);
        let last = (0..self.amps.len()).rev().find(has).unwrap_or(first);
        (first, last + 1)
    }
}

pub(super) fn middle(values: &mut [f64]) -> f64 {
    values.sort_by(f64::total_cmp);
    values.get(values.len() / 2).copied().unwrap_or(f64::NAN)
}

/// Puts a log on the steps of a timeline. `dark` tells the steps without sun in which the plan does not
/// drive.
pub(super) fn meter(
    scenario: &Scenario,
    timeline: &Timeline,
    bank: usize,
    log: &Log,
    dark: &[bool],
) -> Result<Meter, LearnError> {
    let zone = &scenario.itinerary.zone;
    let parts = &scenario.banks[bank];
    let (start_s, end_s) = (timeline.calendar.start_s, timeline.calendar.latest_end_s);
    let rows: Vec<usize> = (0..log.time_s.len())
        .filter(|&row| (start_s..=end_s).contains(&log.time_s[row]))
        .collect();
    let (Some(&first), Some(&last)) = (rows.first(), rows.last()) else {
        let date = |utc_s: i64| zone.local(utc_s).date().to_string();
        let (from_s, to_s) = log.ends_s();
        return Err(LearnError::OtherTime {
            file: log.file.clone(),
            log: [date(from_s), date(to_s)],
            trip: [date(start_s), date(end_s)],
        });
    };
    let row_s: Vec<f64> = rows
        .iter()
        .map(|&row| seconds(log.time_s[row] - start_s))
        .collect();
    let mut between: Vec<f64> = row_s.windows(2).map(|pair| pair[1] - pair[0]).collect();
    let every_s = middle(&mut between);
    let gap_s = (3.0 * every_s).max(GAP_S.real());
    let gaps: Vec<usize> = (1..row_s.len())
        .filter(|&row| row_s[row] - row_s[row - 1] > gap_s)
        .collect();
    let covered_h: f64 = row_s
        .windows(2)
        .map(|pair| pair[1] - pair[0])
        .filter(|apart_s| *apart_s <= gap_s)
        .sum::<f64>()
        / 3600.0;
    if !covered_h.is_finite() || covered_h < LEAST_HOURS {
        return Err(LearnError::TooShort {
            file: log.file.clone(),
            hours: covered_h.max(0.0),
        });
    }
    let column = |figures: &[f32]| -> Vec<f64> {
        let of = |&row: &usize| {
            figures
                .get(row)
                .map_or(f64::NAN, |figure| f64::from(*figure))
        };
        rows.iter().map(of).collect()
    };
    let row_volts = if log.volts.is_empty() {
        Vec::new()
    } else {
        column(&log.volts)
    };
    right_voltage(scenario, parts, log, &row_volts)?;
    let raw = Raw {
        row_s: &row_s,
        gap_s,
        soc: column(&log.soc),
        volts: &row_volts,
    };
    let (row_amps, current) = currents(scenario, parts, log, &raw, &column)?;
    let has_current = current != OF_CHARGE;
    let (charging, sign) = if has_current {
        sign(&raw, &row_amps, timeline, dark)
    } else {
        (1.0, "charge that rises".to_owned())
    };
    let row_amps: Vec<f64> = row_amps.into_iter().map(|amps| charging * amps).collect();
    let mut meter = Meter {
        bank,
        step_s: seconds(timeline.step_s),
        amps: step_means(timeline, &row_s, &row_amps, gap_s),
        volts: step_means(timeline, &row_s, &row_volts, gap_s),
        soc: step_ends(timeline, &row_s, &raw.soc, gap_s),
        has_soc: raw.soc.iter().any(|soc| soc.is_finite()),
        has_current,
        read: BankLog {
            bank: parts.id.clone(),
            rows: rows.len(),
            gaps: gaps.len(),
            every_s: i64::cut(every_s),
            current,
            sign,
            charge: "by the meter",
        },
        gained_ah: gained_ah(parts, &gaps, &raw.soc, (&column(&log.ah), charging)),
        row_s,
        row_amps,
        row_volts,
        every_s,
        gap_s,
    };
    if meter.has_soc {
        right_bank(parts, log, &meter)?;
    } else {
        meter.soc = counted_soc(timeline, parts, &meter.amps);
        meter.read.charge = "counted here from the file's charge at the start";
    }
    debug_assert!(first <= last);
    Ok(meter)
}

/// Charge gained over gaps, by the rows after them: by the charge shown, else by the Ah counted, with the
/// meter's sign.
fn gained_ah(
    bank: &Bank,
    gaps: &[usize],
    soc: &[f64],
    (counted_ah, charging): (&[f64], f64),
) -> Vec<(usize, f64)> {
    let gained = |&row: &usize| {
        let by_count = charging * (counted_ah[row] - counted_ah[row - 1]);
        let by_charge = bank.capacity_ah * (soc[row] - soc[row - 1]);
        // At full a charge stands still, whatever came in.
        let is_shown = by_charge.is_finite() && soc[row] < 0.97;
        (row, if is_shown { by_charge } else { by_count })
    };
    gaps.iter().map(gained).collect()
}

fn seconds(seconds: i64) -> f64 {
    seconds.real()
}

struct Raw<'a> {
    row_s: &'a [f64],
    gap_s: f64,
    soc: Vec<f64>,
    volts: &'a [f64],
}

/// Current by row from what the log has, and what that is.
fn currents(
    scenario: &Scenario,
    bank: &Bank,
    log: &Log,
    raw: &Raw<'_>,
    column: &dyn Fn(&[f32]) -> Vec<f64>,
) -> Result<(Vec<f64>, &'static str), LearnError> {
    if !log.amps.is_empty() {
        return Ok((column(&log.amps), "as measured"));
    }
    if !log.watts.is_empty() {
        let usual_v = 13.0 * scenario.voltage_factor();
        let watts = column(&log.watts);
        let amps = watts.iter().enumerate().map(|(row, watts)| {
            let volts = raw.volts.get(row).copied().filter(|volts| *volts > 1.0);
            watts / volts.unwrap_or(usual_v)
        });
        return Ok((amps.collect(), "from the power"));
    }
    let rates = |figures: &[f64], per: f64| -> Vec<f64> {
        let mut rates = vec![f64::NAN; figures.len()];
        for row in 1..figures.len() {
            let apart_s = raw.row_s[row] - raw.row_s[row - 1];
            if apart_s > 0.0 && apart_s <= raw.gap_s {
                rates[row] = per * (figures[row] - figures[row - 1]) / (apart_s / 3600.0);
            }
        }
        rates
    };
    if !log.ah.is_empty() {
        return Ok((rates(&column(&log.ah), 1.0), "from the Ah counted"));
    }
    if !log.soc.is_empty() {
        return Ok((rates(&raw.soc, bank.capacity_ah), OF_CHARGE));
    }
    Err(LearnError::VoltageOnly {
        file: log.file.clone(),
    })
}

/// 1 where positive charges by the meter, else -1; and how that was found.
fn sign(raw: &Raw<'_>, amps: &[f64], timeline: &Timeline, dark: &[bool]) -> (f64, String) {
    // Charge against current, in spans of three hours.
    let mut together = 0.0;
    let mut moved = 0.0;
    let (mut from, mut counted) = (None::<(f64, f64)>, 0.0);
    for (row, amps) in amps.iter().enumerate().skip(1) {
        let apart_s = raw.row_s[row] - raw.row_s[row - 1];
        if apart_s > raw.gap_s || !amps.is_finite() || !raw.soc[row].is_finite() {
            from = None;
            continue;
        }
        let (since_s, soc) = *from.get_or_insert_with(|| {
            counted = 0.0;
            (raw.row_s[row], raw.soc[row])
        });
        counted += amps * apart_s;
        if raw.row_s[row] - since_s >= 10_800.0 {
            together += counted * (raw.soc[row] - soc);
            moved += (raw.soc[row] - soc).abs();
            from = None;
        }
    }
    let words = |sign: f64, how: &str| {
        let side = if sign > 0.0 { "into" } else { "out of" };
        (sign, format!("positive is {side} the bank: {how}"))
    };
    if moved > 0.05 && together != 0.0 {
        return words(together.signum(), "the charge rises and falls with it");
    }
    let mut with_volts = 0.0;
    for row in 1..raw.volts.len() {
        let (step_a, step_v) = (
            amps[row] - amps[row - 1],
            raw.volts[row] - raw.volts[row - 1],
        );
        if step_a.abs() > 1.0 && step_v.is_finite() && raw.row_s[row] - raw.row_s[row - 1] < 900.0 {
            with_volts += step_a * step_v;
        }
    }
    if with_volts.abs() > 1.0 {
        return words(with_volts.signum(), "the voltage rises and falls with it");
    }
    let at_night: f64 = raw
        .row_s
        .iter()
        .zip(amps)
        .filter(|(at_s, amps)| amps.is_finite() && dark[step_of(timeline, **at_s)])
        .map(|(_, amps)| amps)
        .sum();
    let sign = if at_night > 0.0 { -1.0 } else { 1.0 };
    words(sign, "at night the bank gives")
}

pub(super) fn step_of(timeline: &Timeline, at_s: f64) -> usize {
    // A row belongs to what went before it.
    usize::cut(((at_s - 0.5) / timeline.step_s.real()).max(0.0)).min(timeline.steps - 1)
}

/// Means of steps: a row holds for the time since the row before it.
fn step_means(timeline: &Timeline, row_s: &[f64], figures: &[f64], gap_s: f64) -> Vec<f64> {
    let step_s = timeline.step_s.real();
    let mut sums = vec![(0.0, 0.0); timeline.steps];
    for row in 1..figures.len() {
        let (from_s, to_s) = (row_s[row - 1], row_s[row]);
        if to_s - from_s > gap_s || !figures[row].is_finite() {
            continue;
        }
        let mut at_s = from_s;
        while at_s < to_s {
            let step = step_of(timeline, at_s + 1.0);
            let end_s = (timeline.begin_s(step) + step_s).min(to_s).max(at_s + 0.5);
            let (sum, covered_s) = &mut sums[step];
            *sum += figures[row] * (end_s - at_s);
            *covered_s += end_s - at_s;
            at_s = end_s;
        }
    }
    let mean = |(sum, covered_s): (f64, f64)| {
        if covered_s >= COVERED * step_s {
            sum / covered_s
        } else {
            f64::NAN
        }
    };
    sums.into_iter().map(mean).collect()
}

/// Figures at the ends of steps, between two rows in a straight line.
fn step_ends(timeline: &Timeline, row_s: &[f64], figures: &[f64], gap_s: f64) -> Vec<f64> {
    let known: Vec<usize> = (0..figures.len())
        .filter(|&row| figures[row].is_finite())
        .collect();
    let mut ends = vec![f64::NAN; timeline.steps];
    let mut next = 0;
    for (step, end) in ends.iter_mut().enumerate() {
        let at_s = timeline.begin_s(step + 1);
        while next < known.len() && row_s[known[next]] < at_s {
            next += 1;
        }
        let (Some(&after), Some(&before)) = (known.get(next), known.get(next.wrapping_sub(1)))
        else {
            // The last row may lie a little before the end of its step.
            let is_near = |last: &&usize| next > 0 && at_s - row_s[**last] < gap_s.min(900.0);
            if let Some(&last) = known.last().filter(is_near) {
                *end = figures[last];
            }
            continue;
        };
        let apart_s = row_s[after] - row_s[before];
        if apart_s <= gap_s {
            let share = (at_s - row_s[before]) / apart_s.max(1.0);
            *end = figures[before] + share * (figures[after] - figures[before]);
        }
    }
    ends
}

/// Charge counted from the file's charge at the start, at most full.
fn counted_soc(timeline: &Timeline, bank: &Bank, amps: &[f64]) -> Vec<f64> {
    let mut soc = bank.start_soc.mean();
    amps.iter()
        .map(|amps| {
            if !amps.is_finite() {
                return f64::NAN;
            }
            let kept = if *amps > 0.0 { 0.99 } else { 1.0 };
            soc += kept * amps * timeline.plant.step_h / bank.capacity_ah;
            soc = soc.clamp(0.0, 1.0);
            soc
        })
        .collect()
}

/// First and last time of logs, RFC 3339.
pub(super) fn ends_of(scenario: &Scenario, timeline: &Timeline, meters: &[Meter]) -> [String; 2] {
    let first = meters.iter().filter_map(|meter| meter.row_s.first());
    let last = meters.iter().filter_map(|meter| meter.row_s.last());
    let at = |since_s: f64| {
        let utc_s = timeline.calendar.start_s + i64::cut(since_s);
        rfc3339(&scenario.itinerary.zone, utc_s)
    };
    [
        at(first.copied().fold(f64::INFINITY, f64::min)),
        at(last.copied().fold(0.0, f64::max)),
    ]
}
