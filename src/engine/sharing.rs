//! Who gets how much: the chargers of a bank.
//!
//! One job: the shares. Limits of the bank itself come from `bank_offer`.

use super::bank_flow::Flow;
use super::lanes::{LANES, Lanes, ZERO, max, min, share_of, wide};
use crate::scenario::{ChargerSource, Needs};
use crate::timeline::plant::{ChargerPlant, Plant};

/// One charger in one step.
#[derive(Debug, Clone, Default)]
pub(crate) struct ChargerFlow {
    /// Share of the step in which it can work.
    pub(crate) availability: Lanes,
    /// Output current while it works, before the alternator's say, A.
    pub(crate) wanted_a: Lanes,
    /// Current at its input for that, A.
    pub(crate) input_a: Lanes,
    /// Mean output current over the step, A.
    pub(crate) mean_a: Lanes,
    /// What the bank that feeds it gives per A of mean output, W.
    pub(crate) draw_w_per_a: Lanes,
    /// What the run of a relay loses, mean over the step, W.
    pub(crate) lost_w: Lanes,
    /// Whether it can work in any trial.
    pub(crate) is_open: bool,
    /// Whether it could in the step before.
    pub(crate) was_open: bool,
}

/// The output of a charger that its box leaves, where it can work.
#[inline(always)]
pub(crate) fn ask_output(plant: &ChargerPlant, charger: &mut ChargerFlow, box_a: &Lanes) {
    for lane in 0..LANES {
        let free_a = max(plant.output_a - box_a[lane], 0.0);
        charger.wanted_a[lane] = if charger.availability[lane] > 0.0 {
            free_a
        } else {
            0.0
        };
    }
}

/// Which part of a step that is driven in part a charger works in.
#[derive(Clone, Copy, PartialEq)]
enum Works {
    Driving,
    Parked,
    Always,
}

fn works(charger: &ChargerPlant) -> Works {
    match (charger.from, charger.needs) {
        (ChargerSource::Mains, _) => Works::Parked,
        (ChargerSource::Bank(_), Needs::Always) => Works::Always,
        _ => Works::Driving,
    }
}

/// Gives the chargers of one priority what there is room for, pro rata. `away`: share of the step on the
/// road, if any trial drives a part of it: there mains and what the engine drives do not meet.
#[inline(never)]
pub(crate) fn want(
    plant: &Plant,
    group: &[usize],
    flow: &mut Flow,
    chargers: &mut [ChargerFlow],
    away: Option<&Lanes>,
) {
    match away {
        Some(away) => want_in::<true>(plant, group, flow, chargers, away),
        None => want_in::<false>(plant, group, flow, chargers, &ZERO),
    }
}

/// `PARTS`: whether any trial drives a part of the step; if not, the two rooms are one.
fn want_in<const PARTS: bool>(
    plant: &Plant,
    group: &[usize],
    flow: &mut Flow,
    chargers: &mut [ChargerFlow],
    away: &Lanes,
) {
    wide!(|plant, group, flow, chargers, away| {
        // Within a step that is driven in part, engine-fed chargers and mains work one after the other: they share no
        // room. One that always works takes of both.
        let mut apart = ZERO;
        if PARTS {
            for lane in 0..LANES {
                let is_apart = (away[lane] > 0.0) & (away[lane] < 1.0);
                apart[lane] = if is_apart { 1.0 } else { 0.0 };
            }
        }
        let (mut asked_a, mut parked_asked_a) = (ZERO, ZERO);
        for &index in group {
            if chargers[index].is_open {
                let wanted_a = &chargers[index].wanted_a;
                let works = works(&plant.chargers[index]);
                for lane in 0..LANES {
                    let (here, there) = meets(works, apart[lane]);
                    asked_a[lane] += here * wanted_a[lane];
                    if PARTS {
                        parked_asked_a[lane] += there * wanted_a[lane];
                    }
                }
            }
        }
        let (mut share, mut parked_share) = (ZERO, ZERO);
        for lane in 0..LANES {
            share[lane] = share_of(asked_a[lane], flow.room_a[lane]);
            if PARTS {
                parked_share[lane] = share_of(parked_asked_a[lane], flow.parked_room_a[lane]);
            }
        }
        let (mut taken_a, mut parked_taken_a) = (ZERO, ZERO);
        for &index in group {
            let charger = &mut chargers[index];
            if !charger.is_open {
                continue;
            }
            let works = works(&plant.chargers[index]);
            for lane in 0..LANES {
                let (here, there) = meets(works, apart[lane]);
                // The scarcer of its two rooms rules: its current is one for the whole step.
                let in_run = if here > 0.0 { share[lane] } else { 1.0 };
                let in_camp = if PARTS && there > 0.0 {
                    parked_share[lane]
                } else {
                    1.0
                };
                let wanted_a = charger.wanted_a[lane] * min(in_run, in_camp);
                charger.wanted_a[lane] = wanted_a;
                let mean_a = charger.availability[lane] * wanted_a;
                taken_a[lane] += here * mean_a;
                if PARTS {
                    parked_taken_a[lane] += there * mean_a;
                }
            }
        }
        for lane in 0..LANES {
            // What is taken is the mean over the step, what was asked is while it works: a charger that works a quarter of
            // the step leaves three quarters of its share to the next priority.
            flow.room_a[lane] = max(flow.room_a[lane] - taken_a[lane], 0.0);
            if PARTS {
                flow.parked_room_a[lane] =
                    max(flow.parked_room_a[lane] - parked_taken_a[lane], 0.0);
            } else {
                flow.parked_room_a[lane] = flow.room_a[lane];
            }
        }
    });
}

/// Whether a charger takes of the room while the engine runs, and of that while it does not. Where a step is
/// not driven in part the two rooms are one.
#[inline(always)]
fn meets(works: Works, apart: f64) -> (f64, f64) {
    match works {
        Works::Always => (1.0, 1.0),
        Works::Driving => (1.0, 1.0 - apart),
        Works::Parked => (1.0 - apart, 1.0),
    }
}
