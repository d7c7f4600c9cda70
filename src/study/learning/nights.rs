//! What the quiet hours say: the standing load, the loads of the evening, the fridge.
//!
//! One job: spans of steady use, each at its level; the levels as sums of what the file has on then; the
//! compressor's swing on top. Direct: a level is a level, whatever the battery or the sun is like.

use std::collections::BTreeMap;

use super::compressors::{Compressors, compressors};
use super::estimate::{Estimate, Weather, of_days};
use super::ground::Ground;
use super::least_squares::{Level, unknowns_of};
use super::meter::{Meter, middle};
use super::model::{DaySums, fridge_number};
use super::spans::{Shows, Span, mean_of, steady_spans};
use super::told_apart::{Told, told_apart};
use crate::units::Whole;

/// What a meter's zero may be off, A, half the width of an interval of 8 in 10. Common practice, no source.
pub(super) const ZERO_HALF_A: f64 = 0.02;

/// How far a load that stands as the file has it may be off: half the width of 8 in 10 of PERT(1−s, 1, 1+s)
/// over s.
pub(super) const SPREAD_HALF: f64 = 0.49;

/// Where the weather of the file's trials moves a fridge's draw by more than this share (one standard
/// deviation, over all the nights), it says nothing of the fridge.
const MOST_WEATHER: f64 = 0.2;

/// Compressors by the file are told apart from this ratio of their powers on.
const LEAST_APART: f64 = 1.15;

/// What the quiet hours say of a bank.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct Nights {
    /// Hours that it rests on.
    pub(super) hours: f64,
    /// What draws all the time besides the loads, A.
    pub(super) standing_a: Option<Estimate>,
    /// Factor on what the file has of a load.
    pub(super) factors: Vec<(usize, Estimate)>,
    /// Loads that draw in the same hours: only their sum shows, as a factor on it.
    pub(super) together: Vec<(Vec<usize>, Estimate)>,
    /// Loads that are on in all the quiet hours, taken as the file has them.
    pub(super) taken: Vec<usize>,
    /// The fridges of the bank, each alone or all together.
    pub(super) fridges: Vec<FridgeSwing>,
    /// Measured and by the file, Ah of a mean night.
    pub(super) night_ah: Option<(f64, f64)>,
}

/// A compressor as its cycles show it.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct FridgeSwing {
    /// The loads.
    pub(super) loads: Vec<usize>,
    /// Why there are several.
    pub(super) why_together: String,
    /// Factor on what the engine has of its mean draw; `None`: by the file's own weather that may be anything.
    pub(super) factor: Option<Estimate>,
    /// Current while it runs, A; only with one fridge.
    pub(super) running_a: Option<Estimate>,
    /// Steps that it rests on, and the night of each.
    pub(super) night: Vec<Option<usize>>,
}

/// What the quiet hours of a meter say. `weather` gives the trials' sums over the steps of each night, for
/// the fridges with these numbers.
pub(super) fn nights(ground: &Ground<'_>, meter: &Meter, weather: &DaySums<'_>) -> Nights {
    let loads = ground.loads(meter.bank);
    let number = |load: usize| fridge_number(ground.scenario, ground.timeline, load);
    let (fridges, others): (Vec<usize>, Vec<usize>) =
        loads.iter().partition(|&&load| number(load).is_some());
    let quiet = ground.quiet(meter);
    let several = (fridges.len() > 1)
        .then(|| compressors(ground, meter, &quiet, fridges.len()))
        .flatten();
    let spans = steady_spans(ground, meter, &quiet, &others, several.as_ref());
    if spans.len() < 3 {
        return Nights::default();
    }
    let swing_of = |span: &Span| match (span.shows, &several) {
        (Some(Shows::Several { .. }), Some(several)) => Some(several.each_a[0]),
        _ => span.swing_a(),
    };
    let mut swings: Vec<f64> = spans.iter().filter_map(swing_of).collect();
    let has_cycles = swings.len() >= 3;
    let used: Vec<&Span> = spans
        .iter()
        .filter(|span| !has_cycles || span.shows.is_some())
        .collect();
    // Without cycles a fridge is one more load whose hours are those of the standing load.
    let mut known = others.clone();
    let mut columns: Vec<Vec<f64>> = (0..others.len())
        .map(|load| used.iter().map(|span| span.load_a[load]).collect())
        .collect();
    if !has_cycles && !fridges.is_empty() {
        for &fridge in &fridges {
            known.push(fridge);
            let mean = |span: &&Span| mean_of(&ground.traces.load_a[fridge][span.from..span.to]);
            columns.push(used.iter().map(mean).collect());
        }
    }
    let hours: Vec<f64> = used.iter().map(|span| span.hours).collect();
    let told = told_apart(&columns, &hours);
    let mut levels = levels(&used, &columns, &told, has_cycles);
    let mut found = Nights {
        hours: hours.iter().sum(),
        taken: told.taken.iter().map(|&column| known[column]).collect(),
        night_ah: night_ah(ground, meter, &spans),
        ..Nights::default()
    };
    let swing_a = [middle(&mut swings)];
    let swings_a = several
        .as_ref()
        .map_or(&swing_a[..], |several| &several.each_a);
    let swings_a = has_cycles.then_some(swings_a);
    let Some(values) = settled(&mut levels, &used, 1 + told.groups.len(), swings_a) else {
        return found;
    };
    // What is taken as the file has it is uncertain as the file says.
    let taken_half = told.taken.iter().fold(0.0_f64, |half, &column| {
        let spread = ground.scenario.loads[known[column]].use_spread.max(0.1);
        half.hypot(SPREAD_HALF * spread * mean_of(&columns[column]))
    });
    found.standing_a = values[0].map(|value| value.widened(ZERO_HALF_A).widened(taken_half));
    for (group, value) in told.groups.iter().zip(&values[1..]) {
        let Some(value) = value else { continue };
        match group.as_slice() {
            [only] => found.factors.push((known[*only], *value)),
            several => {
                let loads = several.iter().map(|&column| known[column]).collect();
                found.together.push((loads, *value));
            }
        }
    }
    if has_cycles && !fridges.is_empty() {
        let level = |span: &Span| {
            let loads = span.load_a.iter().enumerate();
            let draws = loads.map(|(column, amps)| {
                let group = told.groups.iter().position(|group| group.contains(&column));
                let value = group.and_then(|group| values[1 + group]);
                amps * value.map_or(1.0, |value| value.value)
            });
            values[0].map_or(0.0, |value| value.value) + draws.sum::<f64>()
        };
        let base_half = found
            .standing_a
            .map_or(0.0, |value| value.high - value.value);
        let above = |span: &Span| span.mean_a - level(span);
        let halves = (base_half, weather);
        found.fridges = if let Some(several) = several {
            apart(ground, &spans, (&fridges, &several), &above, halves)
        } else {
            let running = spans
                .iter()
                .filter_map(|span| Some((span.night, span.swing_a()?)));
            let swing = swing(ground, &spans, &fridges, &above, &by_night(running), halves);
            swing.into_iter().collect()
        };
    }
    found
}

/// Spans as levels to be told apart.
fn levels(used: &[&Span], columns: &[Vec<f64>], told: &Told, has_cycles: bool) -> Vec<Level> {
    let of = |row: usize, some: &[usize]| -> f64 { some.iter().map(|&c| columns[c][row]).sum() };
    let spans = used.iter().enumerate();
    spans
        .map(|(row, span)| {
            let shown_a = if has_cycles {
                span.rest_a()
            } else {
                span.mean_a
            };
            let groups = told.groups.iter().map(|group| of(row, group));
            Level {
                night: span.night,
                amps: shown_a - of(row, &told.taken),
                hours: span.hours,
                terms: std::iter::once(1.0).chain(groups).collect(),
            }
        })
        .collect()
}

/// The unknowns of levels. A span of one level that lies a compressor's swing above what the others make it
/// has the compressor on all through: it is put right.
fn settled(
    levels: &mut [Level],
    used: &[&Span],
    unknowns: usize,
    swings_a: Option<&[f64]>,
) -> Option<Vec<Option<Estimate>>> {
    let mut values = unknowns_of(levels, unknowns)?;
    let Some(swings_a) = swings_a else {
        return Some(values);
    };
    for _ in 0..3 {
        let mut has_moved = false;
        for (level, span) in levels.iter_mut().zip(used) {
            let each = level.terms.iter().zip(&values);
            let expected: f64 = each
                .map(|(term, value)| term * value.map_or(0.0, |value| value.value))
                .sum();
            let is_one = matches!(span.shows, Some(Shows::One { .. } | Shows::Several { .. }));
            let above_a = level.amps - expected;
            let off = |swing_a: &&f64| (above_a - **swing_a).abs();
            let swing_a = swings_a.iter().min_by(|a, b| off(a).total_cmp(&off(b)));
            let Some(&swing_a) = swing_a.filter(|swing_a| is_one && above_a > 0.5 * **swing_a)
            else {
                continue;
            };
            level.amps -= swing_a;
            has_moved = true;
        }
        if !has_moved {
            break;
        }
        values = unknowns_of(levels, unknowns)?;
    }
    Some(values)
}

/// The mean of each night, one weight each.
fn by_night<N: Ord>(values: impl Iterator<Item = (N, f64)>) -> Vec<(f64, f64)> {
    let mut nights: BTreeMap<N, Vec<f64>> = BTreeMap::new();
    for (night, value) in values {
        nights.entry(night).or_default().push(value);
    }
    let means = nights.values().map(|values| (mean_of(values), 1.0));
    means.collect()
}

/// Fridges told apart by the steps of their compressors, else together and why.
fn apart(
    ground: &Ground<'_>,
    spans: &[Span],
    (fridges, several): (&[usize], &Compressors),
    above: &dyn Fn(&Span) -> f64,
    (base_half, weather): (f64, &DaySums<'_>),
) -> Vec<FridgeSwing> {
    let all = |why_together: String| {
        let halves = (base_half, weather);
        let all = swing(ground, spans, fridges, above, &[], halves);
        let all = all.map(|all| FridgeSwing {
            why_together,
            ..all
        });
        all.into_iter().collect()
    };
    let amps = |amps: &f64| format!("{amps:.1} A");
    if let [only] = &several.each_a[..] {
        return all(format!(
            "their compressors start and stop with the same step of {}, so only their sum shows",
            amps(only)
        ));
    }
    // The least step is that of the fridge with the least compressor by the file.
    let running_w = |load: usize| {
        ground.scenario.loads[load]
            .kind
            .fridge()
            .map_or(0.0, |fridge| fridge.running_w)
    };
    let mut order = fridges.to_vec();
    order.sort_by(|&a, &b| running_w(a).total_cmp(&running_w(b)));
    if order
        .windows(2)
        .any(|pair| running_w(pair[1]) < LEAST_APART * running_w(pair[0]))
    {
        return all(format!(
            "compressors of {} show, but by the file they are too alike to say which is whose, so only their sum is told",
            (several.each_a.iter().map(amps))
                .collect::<Vec<_>>()
                .join(" and ")
        ));
    }
    let half = base_half / order.len().real();
    let each = order.iter().enumerate().filter_map(|(place, &load)| {
        let own = |span: &Span| match span.shows {
            Some(Shows::Several { .. }) => several.shared(&span.each_a, above(span))[place],
            _ => 0.0,
        };
        let running = by_night(several.steps[place].iter().copied());
        let shown: Vec<Span> = (spans.iter())
            .filter(|span| !span.each_a.is_empty())
            .cloned()
            .collect();
        swing(ground, &shown, &[load], &own, &running, (half, weather))
    });
    each.collect()
}

/// The draw of compressors above all else, night by night, against the engine's under the file's weather.
/// `running` are the steps of a compressor by night.
fn swing(
    ground: &Ground<'_>,
    spans: &[Span],
    fridges: &[usize],
    above: &dyn Fn(&Span) -> f64,
    running: &[(f64, f64)],
    (base_half, weather): (f64, &DaySums<'_>),
) -> Option<FridgeSwing> {
    let step_h = ground.timeline.plant.step_h;
    let count = 1 + spans.iter().map(|span| span.night).max()?;
    let numbers: Vec<usize> = fridges
        .iter()
        .filter_map(|&load| fridge_number(ground.scenario, ground.timeline, load))
        .collect();
    let mut measured_ah = vec![0.0; count];
    let mut by_file_ah = vec![0.0; count];
    let mut by_file_wh = vec![0.0; count];
    let mut hours = vec![0.0; count];
    let mut night = vec![None; ground.timeline.steps];
    for span in spans {
        measured_ah[span.night] += above(span) * span.hours;
        hours[span.night] += span.hours;
        night[span.from..span.to].fill(Some(span.night));
        for (&load, &number) in fridges.iter().zip(&numbers) {
            let sum = |trace: &[f64]| step_h * trace[span.from..span.to].iter().sum::<f64>();
            by_file_ah[span.night] += sum(&ground.traces.load_a[load]);
            by_file_wh[span.night] += sum(&ground.traces.fridge_w[number]);
        }
    }
    let long: Vec<usize> = (0..count)
        .filter(|&n| hours[n] >= 3.0 && by_file_ah[n] > 0.2 && by_file_wh[n] > 2.0)
        .collect();
    let place: BTreeMap<usize, usize> = long.iter().enumerate().map(|(at, &n)| (n, at)).collect();
    let night: Vec<Option<usize>> = night
        .into_iter()
        .map(|night| night.and_then(|night: usize| place.get(&night).copied()))
        .collect();
    let trials = weather(numbers, &night, long.len());
    let ratios = long
        .iter()
        .map(|&n| measured_ah[n] / by_file_ah[n])
        .collect();
    let trials: Vec<Vec<f64>> = trials
        .into_iter()
        .map(|days| {
            days.iter()
                .zip(&long)
                .map(|(wh, &n)| wh / by_file_wh[n])
                .collect()
        })
        .collect();
    let totals: Vec<f64> = trials.iter().map(|days| mean_of(days)).collect();
    let mean = mean_of(&totals);
    let squares: Vec<f64> = totals.iter().map(|total| (total - mean).powi(2)).collect();
    let is_tied = mean_of(&squares).sqrt() < MOST_WEATHER * mean;
    let factor = is_tied.then(|| Weather::new(ratios, &trials).factor());
    let mean_a = long.iter().map(|&n| by_file_ah[n]).sum::<f64>()
        / long.iter().map(|&n| hours[n]).sum::<f64>();
    Some(FridgeSwing {
        loads: fridges.to_vec(),
        why_together: "they run in the same hours, and only their sum shows".to_owned(),
        factor: factor
            .flatten()
            .map(|factor| factor.widened(base_half / mean_a.max(0.05))),
        running_a: of_days(running)
            .filter(|_| fridges.len() == 1)
            .map(|value| value.widened(0.01 * value.value)),
        night,
    })
}

/// Ah of a mean night, measured and by the file.
fn night_ah(ground: &Ground<'_>, meter: &Meter, spans: &[Span]) -> Option<(f64, f64)> {
    let nights = 1 + spans.iter().map(|span| span.night).max()?;
    let nights = nights.real();
    let measured: f64 = spans.iter().map(|span| span.mean_a * span.hours).sum();
    let standby_a = ground.timeline.plant.banks[meter.bank].standby.amps;
    let loads = ground.loads(meter.bank);
    let by_file: f64 = spans
        .iter()
        .map(|span| {
            let draws = loads.iter().map(|&load| {
                ground.traces.load_a[load][span.from..span.to]
                    .iter()
                    .sum::<f64>()
            });
            draws.sum::<f64>() * ground.timeline.plant.step_h + standby_a * span.hours
        })
        .sum();
    Some((measured / nights, by_file / nights))
}
