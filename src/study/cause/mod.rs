//! Why a bank falls short where it is weakest: the trials that do are run again and looked at.
//!
//! A trial is a pure function of seed and number, so those that fall short in the weakest night can be
//! run once more with an observer that reads the meters since the bank was last full. The first run
//! keeps nothing for it.

mod account;
mod decide;
mod reference;

use std::collections::BTreeMap;

use self::account::Account;
use self::decide::{Found, Judge, Source};
use self::reference::Reference;
use super::answer::{Cause, CauseKind, Why};
use super::simulation::Simulation;
use crate::engine::{LANES, Meters, run_batch};
use crate::scenario::Scenario;
use crate::timeline::Timeline;
use crate::trials::Ensemble;
use crate::units::Whole;

/// Trials that are looked at, at most: a share of them is known to some nine points.
const MOST_TRIALS: usize = 2 * LANES;

/// Days by which a trial's departure may differ from the plan's where candidates are picked.
const SLACK_DAYS: f64 = 1.0;

/// The cause of the shortfalls of bank `bank` in night number `night`; `None`: in no trial.
#[must_use]
pub fn cause_of(trip: &Simulation, bank: usize, night: usize) -> Option<Cause> {
    let Simulation {
        scenario,
        settings,
        timeline,
        ensemble,
        ..
    } = trip;
    let chosen = if settings.typical {
        Vec::new()
    } else {
        candidates(timeline, ensemble, bank, night)
    };
    let date = timeline.calendar.nights[night].date;
    let meters = Meters::new(&timeline.plant, bank);
    let mut found = Vec::new();
    trip.look_again(&chosen, |timeline, drawing, batches| {
        let mut nights = timeline.calendar.nights.iter();
        let Some(night) = nights.position(|night| night.date == date) else {
            return;
        };
        let mut reference = Reference::new(timeline, bank);
        run_batch(timeline, &drawing.typical(), &mut reference);
        let chances = reference.chances();
        let judge = Judge {
            timeline,
            reference: &reference,
            bank,
            volts: timeline.plant.banks[bank].voltage.volts(0.5),
            brings_ah: reference.brings_ah(),
        };
        for draws in batches {
            let mut account = Account::new(timeline, &chances, bank, night);
            run_batch(timeline, draws, &mut account);
            let windows = account.windows(draws.count);
            found.extend(windows.map(|window| judge.judge(&meters, &window)));
        }
    });
    most_frequent(scenario, timeline, bank, &found)
}

/// Trials that fall short of this bank by the end of the night, evenly spread where they are many.
fn candidates(timeline: &Timeline, ensemble: &Ensemble, bank: usize, night: usize) -> Vec<u64> {
    let calendar = &timeline.calendar;
    let departure_s = calendar.since_s(calendar.departure_s);
    let within = (timeline.nights[night].to_s - departure_s) / 86_400.0 + SLACK_DAYS;
    let days = ensemble.banks[bank].autonomy_days.iter().zip(0_u64..);
    let short: Vec<u64> = days
        .filter(|(days, _)| f64::from(**days) <= within)
        .map(|(_, trial)| trial)
        .collect();
    let count = short.len().min(MOST_TRIALS);
    (0..count)
        .map(|at| short[at * short.len() / count])
        .collect()
}

/// The kind that most trials have, the first of equals, with the means of its figures.
fn most_frequent(
    scenario: &Scenario,
    timeline: &Timeline,
    bank: usize,
    found: &[Found],
) -> Option<Cause> {
    let kind = largest(found.iter().map(|found| found.kind))?;
    let of: Vec<&Found> = found.iter().filter(|found| found.kind == kind).collect();
    let source = largest(of.iter().filter_map(|found| found.source));
    let told: Vec<&Found> = of
        .iter()
        .copied()
        .filter(|found| found.source == source)
        .collect();
    let mean = |value: &dyn Fn(&Found) -> f64| {
        let count = told.len().real();
        told.iter().map(|found| value(found)).sum::<f64>() / count
    };
    let figures: [f64; 3] = std::array::from_fn(|at| mean(&|found| found.figures[at]));
    let id = || match source {
        Some((Source::Charger(index), _)) => scenario.chargers[index].id.clone(),
        Some((Source::Panel(index), _)) => scenario.solar[index].id.clone(),
        None => String::new(),
    };
    let plant = &timeline.plant.banks[bank];
    let why = match (kind, source) {
        (CauseKind::Limit, _) => Why::Limit {
            limit: plant.limit(),
            resistance_mohm: 1000.0 * plant.ohm,
            asked_wh: figures[0],
            unserved_wh: figures[1],
        },
        (CauseKind::SourceAbsent, Some((_, Some(away)))) => Why::SourceAbsent {
            source: id(),
            away,
            would_ah: figures[0],
        },
        (CauseKind::TooCold, _) if plant.two_tank.is_some() => Why::ColdOutOfReach {
            share: figures[1],
            battery_c: figures[2],
        },
        (CauseKind::TooCold, _) => Why::ColdRefused {
            refused_ah: figures[0],
        },
        (CauseKind::TooSmall, _) => Why::TooSmall {
            nights: figures[0].round(),
            asked_ah: figures[1],
            has_ah: figures[2],
        },
        (CauseKind::Alternator, _) => Why::Alternator {
            withheld_ah: figures[0],
        },
        (CauseKind::Charger, _) => Why::Charger {
            charger: id(),
            full_h: figures[0],
            open_h: figures[1],
        },
        (CauseKind::Driving, _) => Why::Driving {
            driven_h: figures[0],
            planned_h: figures[1],
        },
        (CauseKind::Sky, _) => Why::Sky {
            sun_wh: figures[0],
            mean_wh: figures[1],
        },
        (CauseKind::Shade, _) => Why::Shade {
            lost_wh: figures[0],
        },
        (CauseKind::Use, _) => Why::Use {
            asked_wh: figures[0],
            mean_wh: figures[1],
        },
        (CauseKind::Balance | CauseKind::SourceAbsent, _) => {
            let has_source = !plant.charger_groups.is_empty() || !plant.panels.is_empty();
            Why::Balance {
                out_ah: figures[0],
                in_ah: has_source.then_some(figures[1]),
            }
        }
    };
    let share = of.len().real() / found.len().real();
    Some(Cause {
        kind,
        share,
        needed_wh: mean(&|found| found.needed_wh),
        had_wh: mean(&|found| found.had_wh),
        missing_ah: mean(&|found| found.missing_ah),
        why,
    })
}

/// The most frequent of some things, the first in their order where several are.
fn largest<T: Ord + Copy>(things: impl Iterator<Item = T>) -> Option<T> {
    let mut counts: BTreeMap<T, usize> = BTreeMap::new();
    for thing in things {
        *counts.entry(thing).or_default() += 1;
    }
    let most = counts.values().copied().max()?;
    counts
        .into_iter()
        .find(|&(_, count)| count == most)
        .map(|(thing, _)| thing)
}
