//! What the sunny and the driven hours say: the panels' yield and the chargers' current.
//!
//! One job: what came in at the bank, with the draws of the loads put back, against what the engine has
//! there. The sky of each day is not in the log, so the yield stands under the file's own weather.

use std::collections::BTreeMap;

use super::estimate::{Estimate, Weather, of_days};
use super::ground::Ground;
use super::meter::Meter;
use super::model::DaySums;
use super::nights::Nights;
use crate::scenario::{ChargerSource, When, Where};
use crate::units::Whole;

/// A day with less sun than this share of the best one, or fewer hours of it, says little.
const LEAST_SHARE: f64 = 0.2;
const LEAST_SUN_H: f64 = 1.5;

/// A charger's current is taken where the engine has so much of its plateau.
const PLATEAU: f64 = 0.9;

/// Blocks of a charger's current, s.
pub(super) const BLOCK_S: f64 = 1800.0;

/// How well a meter's current is read, as a share: half the width of 8 in 10. Common practice, no source.
pub(super) const GAIN_HALF: f64 = 0.005;

/// The draw of a bank's loads by what was learned at night.
pub(super) fn draw_a(ground: &Ground<'_>, meter: &Meter, nights: &Nights) -> Vec<f64> {
    let loads = ground.loads(meter.bank);
    let factor = |load: usize| {
        let alone = nights.factors.iter().find(|(known, _)| *known == load);
        let group = nights
            .together
            .iter()
            .find(|(known, _)| known.contains(&load));
        let swing = nights
            .fridges
            .iter()
            .find(|swing| swing.loads.contains(&load));
        alone
            .map(|(_, value)| value.value)
            .or(group.map(|(_, value)| value.value))
            .or(swing
                .and_then(|swing| swing.factor)
                .map(|factor| factor.value))
            .unwrap_or(1.0)
    };
    let factors: Vec<f64> = loads.iter().map(|&load| factor(load)).collect();
    let standby_a = ground.timeline.plant.banks[meter.bank].standby.amps;
    let standing_a = nights.standing_a.map_or(standby_a, |value| value.value);
    (0..ground.timeline.steps)
        .map(|step| {
            let draws = loads.iter().zip(&factors);
            standing_a
                + ground.fed_a(meter.bank, step)
                + draws
                    .map(|(&load, f)| f * ground.traces.load_a[load][step])
                    .sum::<f64>()
        })
        .collect()
}

/// The yield of a bank's panels.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Yield {
    /// Factor on what the engine has of them.
    pub(super) factor: Estimate,
    /// Hours of sun that it rests on.
    pub(super) hours: f64,
    /// Measured over the engine's mean day, by date.
    pub(super) by_date: BTreeMap<chrono::NaiveDate, f64>,
}

/// The sun of a day.
#[derive(Default)]
struct Day {
    measured_ah: f64,
    by_file_ah: f64,
    by_file_wh: f64,
    hours: f64,
}

/// What the panels of a bank bring; `weather` as in [`super::nights::nights`], for panels.
pub(super) fn panel_yield(
    ground: &Ground<'_>,
    meter: &Meter,
    draw_a: &[f64],
    draw_half_a: f64,
    weather: &DaySums<'_>,
) -> Option<Yield> {
    let panels = ground.panels(meter.bank);
    if panels.is_empty() {
        return None;
    }
    let sunny = ground.sunny(meter);
    let step_h = ground.timeline.plant.step_h;
    let of = |panels: &[usize], traces: &[Vec<f64>], step: usize| -> f64 {
        panels.iter().map(|&panel| traces[panel][step]).sum()
    };
    let mut days: BTreeMap<chrono::NaiveDate, Day> = BTreeMap::new();
    for step in (0..sunny.len()).filter(|&step| sunny[step]) {
        let day = days.entry(ground.date[step]).or_default();
        day.measured_ah += (meter.amps[step] + draw_a[step]) * step_h;
        day.by_file_ah += of(&panels, &ground.traces.offer_a, step) * step_h;
        day.by_file_wh += of(&panels, &ground.traces.offer_w, step) * step_h;
        day.hours += step_h;
    }
    let most = days.values().map(|day| day.by_file_ah).fold(0.0, f64::max);
    days.retain(|_, day| day.by_file_ah >= LEAST_SHARE * most && day.hours >= LEAST_SUN_H);
    let place: BTreeMap<chrono::NaiveDate, usize> = days
        .keys()
        .enumerate()
        .map(|(at, date)| (*date, at))
        .collect();
    let marks: Vec<Option<usize>> = (0..sunny.len())
        .map(|step| {
            sunny[step]
                .then(|| place.get(&ground.date[step]).copied())
                .flatten()
        })
        .collect();
    if days.is_empty() {
        return None;
    }
    let trials: Vec<Vec<f64>> = weather(panels, &marks, days.len())
        .into_iter()
        .map(|sums| {
            sums.iter()
                .zip(days.values())
                .map(|(wh, day)| wh / day.by_file_wh)
                .collect()
        })
        .collect();
    let ratio = |day: &Day| (day.measured_ah / day.by_file_ah).max(0.0);
    let factor = Weather::new(days.values().map(ratio).collect(), &trials).factor()?;
    let hours: f64 = days.values().map(|day| day.hours).sum();
    let mean_a = days.values().map(|day| day.by_file_ah).sum::<f64>() / hours;
    Some(Yield {
        factor: factor
            .widened(draw_half_a / mean_a.max(0.1))
            .widened(GAIN_HALF * factor.value),
        hours,
        by_date: days.iter().map(|(date, day)| (*date, ratio(day))).collect(),
    })
}

/// A charger's current against the engine's.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Charging {
    /// Factor on what the engine has while the charger gives all it can.
    pub(super) factor: Estimate,
    /// Hours that it rests on.
    pub(super) hours: f64,
    /// Those steps.
    pub(super) steps: Vec<usize>,
    /// What the loads take of it in each, less the sun's part, A.
    pub(super) added_a: Vec<f64>,
    /// Half the width of 8 in 10 of that, A.
    pub(super) added_half_a: f64,
}

/// What the alternator-fed charger of a bank gives; the reason where that does not show.
pub(super) fn charging(
    ground: &Ground<'_>,
    meter: &Meter,
    charger: usize,
    draw_a: &[f64],
    draw_half_a: f64,
    sun: Option<&Yield>,
) -> Result<Charging, &'static str> {
    let scenario = ground.scenario;
    let part = &scenario.chargers[charger];
    if part.from != ChargerSource::Alternator {
        return Err("only chargers that the alternator feeds are read from a log");
    }
    let others = ground
        .chargers(meter.bank)
        .into_iter()
        .filter(|&other| other != charger && scenario.chargers[other].from != ChargerSource::Mains);
    if others.count() > 0 {
        return Err("another charger works in the same hours: only their sum shows");
    }
    let by_file = &ground.traces.charger_a[charger];
    let full_h = |step: usize| ground.traces.driving[step] > 0.999;
    let mut given: Vec<f64> = (0..by_file.len())
        .filter(|&step| full_h(step) && by_file[step] > 0.0)
        .map(|step| by_file[step])
        .collect();
    given.sort_by(f64::total_cmp);
    let Some(plateau) = given.get(given.len() * 4 / 5) else {
        return Err("the log has no drive in which it works");
    };
    let bursts = ground.events(meter.bank);
    let steps: Vec<usize> = (0..by_file.len())
        .filter(|&step| {
            full_h(step)
                && by_file[step] >= PLATEAU * plateau
                && meter.amps[step].is_finite()
                && ground.has_room(meter, step)
                && bursts.iter().all(|&load| ground.traces.load_a[load][step] <= 0.0)
                // Its first and last step may hold the start or the end of the drive.
                && step > 0
                && full_h(step - 1)
                && by_file.get(step + 1).is_some()
                && full_h(step + 1)
        })
        .collect();
    if steps.is_empty() {
        return Err(
            "the bank is near full, or the charger below what it can give, in every drive of the log",
        );
    }
    let sun_a = |step: usize| -> f64 {
        let offer_a: f64 = ground
            .panels(meter.bank)
            .iter()
            .map(|&panel| ground.traces.offer_a[panel][step])
            .sum();
        let ratio = sun.map_or(1.0, |sun| {
            let mean = sun.factor.value;
            sun.by_date.get(&ground.date[step]).copied().unwrap_or(mean)
        });
        offer_a * ratio
    };
    let mut blocks: BTreeMap<i64, (f64, f64)> = BTreeMap::new();
    let (mut sun_sum, mut file_sum, mut draw_sum) = (0.0, 0.0, 0.0);
    let added_a: Vec<f64> = steps
        .iter()
        .map(|&step| draw_a[step] - sun_a(step))
        .collect();
    for (&step, added_a) in steps.iter().zip(&added_a) {
        let block = i64::cut(ground.timeline.begin_s(step) / BLOCK_S);
        let came = meter.amps[step] + added_a;
        let (sum, weight) = blocks.entry(block).or_default();
        *sum += came;
        *weight += by_file[step];
        sun_sum += sun_a(step);
        file_sum += by_file[step];
        draw_sum += driven_loads_a(ground, meter, step);
    }
    let blocks: Vec<(f64, f64)> = blocks
        .values()
        .map(|(sum, weight)| (sum / weight, *weight))
        .collect();
    let Some(factor) = of_days(&blocks) else {
        return Err("the log has less than an hour of driving with room in the bank");
    };
    let count = steps.len().real();
    // The sun on the way is that of the day's parked hours, give or take a quarter.
    let systematic =
        0.25 * sun_sum / file_sum + 0.1 * draw_sum / file_sum + draw_half_a * count / file_sum;
    Ok(Charging {
        factor: factor.widened(systematic).widened(GAIN_HALF * factor.value),
        added_a,
        added_half_a: systematic * file_sum / count,
        hours: count * ground.timeline.plant.step_h,
        steps,
    })
}

/// Draw of the loads that live with the engine: they are taken as the file has them.
fn driven_loads_a(ground: &Ground<'_>, meter: &Meter, step: usize) -> f64 {
    let loads = ground.loads(meter.bank).into_iter().filter(|&load| {
        let load = &ground.scenario.loads[load];
        load.when == When::Ignition || load.place == Where::Driving
    });
    loads.map(|load| ground.traces.load_a[load][step]).sum()
}
