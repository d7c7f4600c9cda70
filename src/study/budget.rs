//! `budget`: what each bank takes and gets on an average day of the trip.

use super::answer::{
    BudgetBank, BudgetDay, BudgetLoad, BudgetResult, BudgetSource, DayFlow, Live, PerDay,
};
use super::assemble::is_alternator_fed;
use super::settings::Settings;
use super::simulation::Simulation;
use crate::engine::DayAccount;
use crate::scenario::{ChargerSource, EventMoment, Load, LoadKind, Scenario, When, Where};
use crate::timeline::Timeline;
use crate::timeline::weather_days::WeatherError;
use crate::timeline::whole_days::DayKind;
use crate::trials::{Ensemble, Progress};

/// Works out the energy budget: means over the trials, per 24 h.
///
/// # Errors
/// [`WeatherError`] where a day has no climate.
pub fn budget(
    scenario: &Scenario,
    settings: &Settings,
    progress: &dyn Progress,
) -> Result<BudgetResult, WeatherError> {
    Simulation::trip(scenario, settings, progress).map(|trip| budget_answer(&trip))
}

/// The energy budget from the trials of a trip.
#[must_use]
pub fn budget_answer(trip: &Simulation) -> BudgetResult {
    let banks = 0..trip.scenario.banks.len();
    BudgetResult {
        heading: trip.heading(),
        banks: banks
            .map(|bank| budget_bank(&trip.scenario, &trip.timeline, &trip.ensemble, bank))
            .collect(),
        camp_days: trip.timeline.days_of(DayKind::Camp),
        driving_days: trip.timeline.days_of(DayKind::Driving),
        warnings: trip.warnings(),
    }
}

fn live(load: &Load) -> Live {
    if let LoadKind::Event { on, .. } = load.kind {
        return match on {
            EventMoment::Arrive => Live::Camp,
            EventMoment::Depart => Live::Ignition,
            EventMoment::Daily(_) => Live::Hours,
        };
    }
    match (load.when, load.place) {
        (_, Where::Camp) => Live::Camp,
        (When::Ignition, _) | (_, Where::Driving) => Live::Ignition,
        (When::Parked, _) => Live::Parked,
        (When::Window(_), Where::Anywhere) => Live::Hours,
        (When::Always, Where::Anywhere) => Live::Always,
    }
}

/// Sums over the trials turned into figures of a day.
struct Days<'a> {
    ensemble: &'a Ensemble,
}

impl Days<'_> {
    fn mean(&self, sum: f64) -> f64 {
        sum / (self.ensemble.hours / 24.0)
    }

    /// On a day of a kind; `None` without a whole one.
    fn of_kind(&self, kind: DayKind, sum: impl Fn(&DayAccount) -> (f64, f64)) -> Option<DayFlow> {
        let account = &self.ensemble.by_kind[kind.index()];
        let days = account.hours / 24.0;
        (days > 0.0).then(|| {
            let (wh, ah) = sum(account);
            DayFlow {
                wh: wh / days,
                ah: ah / days,
            }
        })
    }

    fn flow(&self, wh: f64, ah: f64, sum: impl Fn(&DayAccount) -> (f64, f64)) -> PerDay {
        PerDay {
            wh_per_day: self.mean(wh),
            ah_per_day: self.mean(ah),
            camp_day: self.of_kind(DayKind::Camp, &sum),
            driving_day: self.of_kind(DayKind::Driving, &sum),
        }
    }
}

fn budget_bank(
    scenario: &Scenario,
    timeline: &Timeline,
    ensemble: &Ensemble,
    bank: usize,
) -> BudgetBank {
    let days = Days { ensemble };
    let ledger = &ensemble.banks[bank].ledger;
    let plant = &timeline.plant.banks[bank];
    let loads = loads(scenario, timeline, &days, bank);
    let sources = sources(scenario, &days, bank);
    let asked_wh: f64 = loads.iter().map(|load| load.asked.wh_per_day).sum();
    let usable_wh = (1.0 - plant.reserve_soc) * plant.capacity_ah * plant.usable_v;
    let lasts = |asked_wh: f64| (asked_wh > 0.0).then(|| usable_wh / asked_wh);
    let day = |kind: DayKind, of: fn(&PerDay) -> Option<DayFlow>| {
        let sum = |flows: &mut dyn Iterator<Item = &PerDay>| {
            flows
                .filter_map(of)
                .fold((0.0, 0.0), |sum, flow| (sum.0 + flow.wh, sum.1 + flow.ah))
        };
        let (asked_wh, asked_ah) = sum(&mut loads.iter().map(|load| &load.asked));
        let (given_wh, given_ah) = sum(&mut sources.iter().map(|source| &source.given));
        let lost = days.of_kind(kind, |account| (account.loss_wh[bank], 0.0))?;
        Some(BudgetDay {
            asked: DayFlow {
                wh: asked_wh,
                ah: asked_ah,
            },
            given: DayFlow {
                wh: given_wh,
                ah: given_ah,
            },
            balance_wh: given_wh - asked_wh - lost.wh,
            days_without_charge: lasts(asked_wh),
        })
    };
    BudgetBank {
        id: scenario.banks[bank].id.clone(),
        role: scenario.banks[bank].role,
        asked_wh_per_day: asked_wh,
        asked_ah_per_day: loads.iter().map(|load| load.asked.ah_per_day).sum(),
        out_wh_per_day: days.mean(ledger.out_wh),
        out_ah_per_day: days.mean(ledger.out_ah),
        in_wh_per_day: days.mean(ledger.in_wh),
        in_ah_per_day: days.mean(ledger.in_ah),
        balance_wh_per_day: days.mean(ledger.in_wh - ledger.loss_wh) - asked_wh,
        losses_wh_per_day: days.mean(ledger.loss_wh),
        curtailed_wh_per_day: days.mean(ledger.curtailed_wh),
        unserved_wh_per_day: days.mean(ledger.unserved_wh),
        camp_day: day(DayKind::Camp, |flow| flow.camp_day),
        driving_day: day(DayKind::Driving, |flow| flow.driving_day),
        usable_wh,
        days_without_charge: lasts(asked_wh),
        loads,
        sources,
    }
}

/// What is asked of a bank, largest first.
fn loads(
    scenario: &Scenario,
    timeline: &Timeline,
    days: &Days<'_>,
    bank: usize,
) -> Vec<BudgetLoad> {
    let ensemble = days.ensemble;
    let entry = |id: &str, live, hours: f64, asked: PerDay, missed_wh: f64| BudgetLoad {
        id: id.to_owned(),
        live,
        live_hours_per_day: days.mean(hours),
        asked,
        not_supplied_wh_per_day: days.mean(missed_wh),
        share: 0.0,
    };
    let mut loads: Vec<BudgetLoad> = Vec::new();
    let own = scenario.loads.iter().enumerate();
    for (index, load) in own.filter(|(_, load)| load.bank == bank) {
        let (wh, ah) = (ensemble.asked_wh[index], ensemble.asked_ah[index]);
        loads.push(entry(
            &load.id,
            live(load),
            live_hours(timeline, ensemble, index),
            days.flow(wh, ah, |account| {
                (account.asked_wh[index], account.asked_ah[index])
            }),
            wh - ensemble.load_wh[index],
        ));
    }
    let plant = &timeline.plant.banks[bank];
    let fed = scenario.chargers.iter().enumerate();
    for (index, charger) in fed.filter(|(_, charger)| charger.from == ChargerSource::Bank(bank)) {
        let volts = plant.voltage.volts(0.5);
        let wh = ensemble.charger_in_wh[index];
        loads.push(entry(
            &charger.id,
            Live::Hours,
            ensemble.charger_gate_h[index],
            days.flow(wh, wh / volts, |account| {
                let wh = account.charger_in_wh[index];
                (wh, wh / volts)
            }),
            0.0,
        ));
    }
    loads.push(entry(
        "standby",
        Live::Always,
        ensemble.hours,
        days.flow(
            ensemble.banks[bank].ledger.standby_wh,
            plant.standby.amps * ensemble.hours,
            |account| (account.standby_wh[bank], plant.standby.amps * account.hours),
        ),
        0.0,
    ));
    let asked_wh: f64 = loads.iter().map(|load| load.asked.wh_per_day).sum();
    for load in &mut loads {
        if asked_wh > 0.0 {
            load.share = load.asked.wh_per_day / asked_wh;
        }
    }
    loads.sort_by(|a, b| b.asked.wh_per_day.total_cmp(&a.asked.wh_per_day));
    loads
}

/// Hours a load was live, summed over trials.
fn live_hours(timeline: &Timeline, ensemble: &Ensemble, load: usize) -> f64 {
    let plant = &timeline.plant.loads[load];
    let is_event = timeline.plant.events.iter().any(|event| event.load == load);
    if !is_event {
        return ensemble.load_live_h[load];
    }
    let watts = plant.watts + plant.idle_w;
    if watts > 0.0 {
        ensemble.asked_wh[load] / watts
    } else if plant.amps > 0.0 {
        ensemble.asked_ah[load] / plant.amps
    } else {
        // What takes nothing leaves no trace of how long it took it.
        0.0
    }
}

fn sources(scenario: &Scenario, days: &Days<'_>, bank: usize) -> Vec<BudgetSource> {
    let ensemble = days.ensemble;
    let mut sources = Vec::new();
    let mut push = |id: &str, given: PerDay| {
        sources.push(BudgetSource {
            id: id.to_owned(),
            given,
        });
    };
    let ledger = &ensemble.banks[bank].ledger;
    if is_alternator_fed(scenario, bank) {
        let (wh, ah) = (ledger.alternator_wh, ledger.alternator_ah);
        let given = days.flow(wh, ah, |account| {
            (account.alternator_wh[bank], account.alternator_ah[bank])
        });
        push("alternator", given);
    }
    for (index, charger) in scenario.chargers.iter().enumerate() {
        if charger.to == bank {
            let (wh, ah) = (ensemble.charger_wh[index], ensemble.charger_ah[index]);
            let given = days.flow(wh, ah, |account| {
                (account.charger_wh[index], account.charger_ah[index])
            });
            push(&charger.id, given);
        }
    }
    for (index, panel) in scenario.solar.iter().enumerate() {
        if panel.to == bank {
            let (wh, ah) = (ensemble.panel_wh[index], ensemble.panel_ah[index]);
            let given = days.flow(wh, ah, |account| {
                (account.panel_wh[index], account.panel_ah[index])
            });
            push(&panel.id, given);
        }
    }
    sources
}
