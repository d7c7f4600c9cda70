//! Spans of steady use in quiet hours, and the levels of the draw in them.
//!
//! One job: runs of steps in which no load of the schedule switches, and what a compressor makes of their
//! rows. What the levels say is in `nights`.

use std::collections::BTreeMap;

use super::compressors::Compressors;
use super::ground::Ground;
use super::meter::{Meter, step_of};
use crate::units::Whole;

/// A shorter span of steady use says nothing, h.
const LEAST_SPAN_H: f64 = 0.5;

/// Rows further apart do not show a compressor's cycles, s.
pub(super) const CYCLE_ROWS_S: f64 = 310.0;

/// Rows of one level lie within so much, A.
pub(super) const ONE_LEVEL_A: f64 = 0.3;

/// A span of one night in which the same things are on.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Span {
    pub(super) night: usize,
    pub(super) from: usize,
    pub(super) to: usize,
    pub(super) hours: f64,
    /// Mean draw, A.
    pub(super) mean_a: f64,
    /// What its rows show, if that is clear.
    pub(super) shows: Option<Shows>,
    /// Mean draw of each of several compressors, A.
    pub(super) each_a: Vec<f64>,
    /// Draw by the file of each load of the bank that is no fridge, A.
    pub(super) load_a: Vec<f64>,
}

/// Levels of a draw in a span.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Shows {
    /// With the compressor at rest, and how far above it lies with the compressor on.
    Two { low_a: f64, swing_a: f64 },
    /// One level all through: the compressor rested or ran.
    One { level_a: f64 },
    /// With all of several compressors at rest.
    Several { low_a: f64 },
}

/// The levels of a draw that may switch.
pub(super) fn levels_of(draws: &[f64]) -> Option<Shows> {
    let mut sorted = draws.to_vec();
    sorted.sort_by(f64::total_cmp);
    let n = sorted.len();
    if n < 20 {
        return None;
    }
    // A last cycle of a few rows in a long span still is one.
    let is_one = sorted[n - 1 - n / 20] - sorted[n / 20] < ONE_LEVEL_A
        && sorted[n - 1] - sorted[n / 2] < 2.0 * ONE_LEVEL_A;
    if is_one {
        let level_a = sorted[n / 2];
        return Some(Shows::One { level_a });
    }
    let (mut low, mut high) = (sorted[n / 20], sorted[n - 1]);
    let mut split = 0;
    for _ in 0..30 {
        let middle = 0.5 * (low + high);
        split = sorted.partition_point(|draw| *draw < middle);
        if split == 0 || split == n {
            return None;
        }
        (low, high) = (mean_of(&sorted[..split]), mean_of(&sorted[split..]));
    }
    let (below, above) = sorted.split_at(split);
    let (low_a, high_a) = (below[below.len() / 2], above[above.len() / 2]);
    let swing_a = high_a - low_a;
    let quartiles = below[below.len() * 3 / 4] - below[below.len() / 4];
    let between = |draw: &&f64| (low_a + 0.25 * swing_a..high_a - 0.25 * swing_a).contains(*draw);
    let is_clear = swing_a > 2.0 * ONE_LEVEL_A
        && swing_a > 5.0 * quartiles / 1.35
        && below.len().min(above.len()) >= 4
        && 3 * sorted.iter().filter(between).count() < n;
    is_clear.then_some(Shows::Two { low_a, swing_a })
}

impl Span {
    pub(super) fn swing_a(&self) -> Option<f64> {
        match self.shows {
            Some(Shows::Two { swing_a, .. }) => Some(swing_a),
            _ => None,
        }
    }

    /// Draw with the compressor at rest, as long as nothing else is known.
    pub(super) fn rest_a(&self) -> f64 {
        match self.shows {
            Some(
                Shows::Two { low_a: level_a, .. }
                | Shows::One { level_a }
                | Shows::Several { low_a: level_a },
            ) => level_a,
            None => self.mean_a,
        }
    }
}

pub(super) fn mean_of(values: &[f64]) -> f64 {
    values.iter().sum::<f64>() / values.len().max(1).real()
}

/// Quiet spans in which no load of the schedule switches, at their levels.
pub(super) fn steady_spans(
    ground: &Ground<'_>,
    meter: &Meter,
    quiet: &[bool],
    others: &[usize],
    several: Option<&Compressors>,
) -> Vec<Span> {
    let step_h = ground.timeline.plant.step_h;
    let load_a = |load: usize, step: usize| ground.traces.load_a[load][step];
    let switches = |step: usize| {
        others.iter().any(|&load| {
            let (before, now) = (load_a(load, step - 1), load_a(load, step));
            (now - before).abs() > 0.02 + 0.05 * before.max(now)
        })
    };
    let mut nights: BTreeMap<chrono::NaiveDate, usize> = BTreeMap::new();
    for (step, _) in quiet.iter().enumerate().filter(|(_, quiet)| **quiet) {
        let next = nights.len();
        nights.entry(ground.night[step]).or_insert(next);
    }
    let has_cycles = meter.has_current && meter.every_s <= CYCLE_ROWS_S;
    let mut spans = Vec::new();
    for (from, to) in ground.spans(quiet) {
        let cuts = (from + 1..to).filter(|&step| switches(step));
        let edges: Vec<usize> = std::iter::once(from)
            .chain(cuts)
            .chain(std::iter::once(to))
            .collect();
        for pair in edges.windows(2) {
            let (from, to) = (pair[0], pair[1]);
            let hours = (to - from).real() * step_h;
            if hours < LEAST_SPAN_H {
                continue;
            }
            let fed_a = mean_of(
                &(from..to)
                    .map(|step| ground.fed_a(meter.bank, step))
                    .collect::<Vec<_>>(),
            );
            let rows = rows_of(ground, meter, from, to);
            let draws = rows.map(|row| -meter.row_amps[row] - fed_a);
            let draws: Vec<f64> = draws.filter(|amps| amps.is_finite()).collect();
            let mut each_a = Vec::new();
            let shows = match several {
                Some(several) => several.levels(&draws).map(|(low_a, each)| {
                    each_a = each;
                    Shows::Several { low_a }
                }),
                None if has_cycles => levels_of(&draws),
                None => None,
            };
            spans.push(Span {
                night: nights[&ground.night[from]],
                from,
                to,
                hours,
                mean_a: -mean_of(&meter.amps[from..to]) - fed_a,
                shows,
                each_a,
                load_a: others
                    .iter()
                    .map(|&load| mean_of(&ground.traces.load_a[load][from..to]))
                    .collect(),
            });
        }
    }
    spans
}

/// Rows of a run of steps.
fn rows_of(ground: &Ground<'_>, meter: &Meter, from: usize, to: usize) -> std::ops::Range<usize> {
    let row = |step: usize| {
        meter
            .row_s
            .partition_point(|at_s| step_of(ground.timeline, *at_s) < step)
    };
    row(from)..row(to)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand: 0.8 A with a compressor of 4 A on top every third minute.
    #[test]
    fn by_hand_a_compressor_makes_two_levels() {
        let draws: Vec<f64> = (0..90)
            .map(|row| {
                let noise = 0.01 * f64::from(row % 7 - 3);
                if row % 15 < 5 {
                    4.8 + noise
                } else {
                    0.8 + noise
                }
            })
            .collect();
        let Some(Shows::Two { low_a, swing_a }) = levels_of(&draws) else {
            panic!("two levels")
        };
        assert!(
            (low_a - 0.8).abs() < 0.02 && (swing_a - 4.0).abs() < 0.03,
            "{low_a} {swing_a}"
        );
        let steady: Vec<f64> = (0..90).map(|row| 0.8 + 0.01 * f64::from(row % 7)).collect();
        assert!(matches!(levels_of(&steady), Some(Shows::One { .. })));
    }
}
