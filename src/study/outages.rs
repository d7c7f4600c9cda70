//! Outages of a trip: from when, how long, which loads, how much was not supplied.
//!
//! One job: trials that had one are run again and looked at, as in `cause`; the first run keeps their
//! numbers alone.

use super::answer::{BankOutages, ColdReach, LoadOutage, LoadWithout, Outage};
use super::cold_cutoff::WORTH_SOC;
use super::figures::{p50_p90, percentile, tidy};
use super::simulation::Simulation;
use crate::engine::{LANES, Lanes, Observer, StepView, run_batch};
use crate::timeline::Timeline;
use crate::units::{Whole, narrow};

/// Less than this is nothing, Wh: digits of the accounts.
const NOTHING_WH: f64 = 1e-6;

/// The outages of every bank that has any.
#[must_use]
pub fn outages(trip: &Simulation) -> Vec<BankOutages> {
    (0..trip.scenario.banks.len())
        .filter_map(|bank| of_bank(trip, bank))
        .collect()
}

/// One outage of one trial.
#[derive(Debug, Clone)]
struct Spell {
    from_s: f64,
    to_s: f64,
    soc: f64,
    cutoff_soc: f64,
    battery_c: f64,
    /// By load of the bank: Wh, and hours in which it asked.
    without: Vec<(f64, f64)>,
}

impl Spell {
    fn hours(&self) -> f64 {
        (self.to_s - self.from_s) / 3600.0
    }

    fn wh(&self) -> f64 {
        self.without.iter().map(|(wh, _)| wh).sum()
    }
}

/// Watches one bank.
struct Watch<'a> {
    timeline: &'a Timeline,
    bank: usize,
    /// Its loads, by index in the scenario, and what their compressors had missed before the step.
    loads: Vec<(usize, Lanes)>,
    running: Vec<Option<Spell>>,
    found: Vec<Vec<Spell>>,
}

impl<'a> Watch<'a> {
    fn new(timeline: &'a Timeline, bank: usize) -> Self {
        let loads = timeline.plant.loads.iter().enumerate();
        let loads = loads.filter(|(_, load)| load.bank == bank);
        Self {
            timeline,
            bank,
            loads: loads.map(|(load, _)| (load, Lanes::default())).collect(),
            running: vec![None; LANES],
            found: vec![Vec::new(); LANES],
        }
    }

    /// What the loads were missing in the step just done, Wh.
    fn missed_wh(&mut self, view: &StepView<'_>) -> Vec<Lanes> {
        let missed = self.loads.iter_mut().map(|(load, before)| {
            let so_far = view.compressor_missed_wh(*load);
            let mut missed_wh = view.missed_wh(*load);
            let sums = missed_wh.iter_mut().zip(so_far.iter().zip(before.iter()));
            for (missed_wh, (so_far, before)) in sums {
                *missed_wh += so_far - before;
            }
            *before = so_far;
            missed_wh
        });
        missed.collect()
    }

    fn close(&mut self, lane: usize, to_s: f64) {
        if let Some(mut spell) = self.running[lane].take() {
            spell.to_s = to_s;
            self.found[lane].push(spell);
        }
    }

    /// The outages of each trial, those that its end cuts short too.
    fn finish(mut self, end_s: &Lanes, count: usize) -> Vec<Vec<Spell>> {
        for (lane, end_s) in end_s.iter().enumerate().take(count) {
            self.close(lane, *end_s);
        }
        self.found.truncate(count);
        self.found
    }
}

impl Observer for Watch<'_> {
    fn after_step(&mut self, view: &StepView<'_>) {
        let missed_wh = self.missed_wh(view);
        let begin_s = self.timeline.begin_s(view.step());
        let end_s = self.timeline.begin_s(view.step() + 1);
        for lane in 0..view.count() {
            let trial_end_s = view.end_s()[lane];
            if trial_end_s <= begin_s {
                continue;
            }
            let is_off = view.loads_on(self.bank)[lane] <= 0.0;
            let served = view.served(self.bank)[lane];
            if is_off && self.running[lane].is_none() {
                self.running[lane] = Some(Spell {
                    from_s: trial_end_s.min(begin_s + served * (end_s - begin_s)),
                    to_s: end_s,
                    soc: view.soc(self.bank)[lane],
                    cutoff_soc: view.cutoff_soc(self.bank, lane),
                    battery_c: view.battery_c(self.bank)[lane],
                    without: vec![(0.0, 0.0); self.loads.len()],
                });
            }
            let Some(spell) = &mut self.running[lane] else {
                continue;
            };
            let hours = (trial_end_s.min(end_s) - begin_s) / 3600.0 * (1.0 - served);
            for (without, missed_wh) in spell.without.iter_mut().zip(&missed_wh) {
                if missed_wh[lane] > NOTHING_WH {
                    without.0 += missed_wh[lane];
                    without.1 += hours;
                }
            }
            if !is_off {
                self.close(lane, end_s);
            }
        }
    }
}

fn of_bank(trip: &Simulation, bank: usize) -> Option<BankOutages> {
    let Simulation {
        scenario, ensemble, ..
    } = trip;
    let of_trials = &ensemble.banks[bank];
    if of_trials.outages == 0 {
        return None;
    }
    let mut trips: Vec<Vec<Spell>> = Vec::new();
    trip.look_again(&of_trials.outage_trials, |timeline, _, batches| {
        for draws in batches {
            let mut watch = Watch::new(timeline, bank);
            run_batch(timeline, draws, &mut watch);
            let spells = watch.finish(&draws.end_s, draws.count);
            trips.extend(spells.into_iter().filter(|spells| !spells.is_empty()));
        }
    });
    if trips.is_empty() {
        return None;
    }
    let totals = |figure: &dyn Fn(&Spell) -> f64| -> Vec<f32> {
        let sums = trips.iter().map(|spells| spells.iter().map(figure).sum());
        sums.map(narrow).collect()
    };
    let chance = trip.chance(of_trials.outages);
    let loads: Vec<usize> = Watch::new(&trip.timeline, bank)
        .loads
        .iter()
        .map(|(load, _)| *load)
        .collect();
    let mut of_loads: Vec<LoadOutage> = (loads.iter().enumerate())
        .filter_map(|(at, &load)| {
            let hit = |figure: fn(&(f64, f64)) -> f64| -> Vec<f32> {
                let all = totals(&|spell: &Spell| figure(&spell.without[at]));
                all.into_iter().filter(|sum| *sum > 0.0).collect()
            };
            let energies = hit(|(wh, _)| *wh);
            (!energies.is_empty()).then(|| LoadOutage {
                load: scenario.loads[load].id.clone(),
                keep: scenario.loads[load].keep,
                share: tidy(chance.value * share(energies.len(), trips.len())),
                hours: tidy(percentile(&hit(|(_, hours)| *hours), 0.5)),
                unserved_wh: tidy(percentile(&energies, 0.5)),
            })
        })
        .collect();
    of_loads.sort_by(|a, b| (b.keep.cmp(&a.keep)).then(b.unserved_wh.total_cmp(&a.unserved_wh)));
    let (hours, unserved_wh) = (totals(&Spell::hours), totals(&Spell::wh));
    trips.sort_by(|a, b| {
        let wh = |spells: &[Spell]| spells.iter().map(Spell::wh).sum::<f64>();
        wh(a).total_cmp(&wh(b))
    });
    let median = trips.get(trips.len().div_ceil(2).saturating_sub(1))?;
    Some(BankOutages {
        bank: scenario.banks[bank].id.clone(),
        chance,
        hours: p50_p90(&hours),
        unserved_wh: p50_p90(&unserved_wh),
        loads: of_loads,
        median_trip: median
            .iter()
            .map(|spell| outage(trip, bank, &loads, spell))
            .collect(),
    })
}

fn outage(trip: &Simulation, bank: usize, loads: &[usize], spell: &Spell) -> Outage {
    let scenario = &trip.scenario;
    let start_s = trip.timeline.calendar.start_s;
    let instant = |since_s: f64| trip.local(start_s + i64::cut(since_s.round()));
    let without = loads.iter().zip(&spell.without);
    let mut of_loads: Vec<LoadWithout> = without
        .filter(|(_, (wh, _))| *wh > 0.0)
        .map(|(&load, &(wh, hours))| LoadWithout {
            load: scenario.loads[load].id.clone(),
            keep: scenario.loads[load].keep,
            hours: tidy(hours),
            unserved_wh: tidy(wh),
        })
        .collect();
    of_loads.sort_by(|a, b| (b.keep.cmp(&a.keep)).then(b.unserved_wh.total_cmp(&a.unserved_wh)));
    let plant = &trip.timeline.plant.banks[bank];
    let is_cold = spell.cutoff_soc >= plant.cutoff_soc + WORTH_SOC;
    Outage {
        from: instant(spell.from_s),
        to: instant(spell.to_s),
        hours: tidy(spell.hours()),
        soc: tidy(spell.soc),
        unserved_wh: tidy(spell.wh()),
        loads: of_loads,
        cold: is_cold.then(|| ColdReach {
            battery_c: tidy(spell.battery_c),
            out_of_reach: tidy((spell.cutoff_soc - plant.cutoff_soc) / (1.0 - plant.cutoff_soc)),
            cutoff_soc: tidy(spell.cutoff_soc),
        }),
    }
}

fn share(part: usize, of: usize) -> f64 {
    part.real() / of.real()
}
