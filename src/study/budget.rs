//! `budget`: what each bank takes and gets on an average day of the trip.

use super::answer::{
    BudgetBank, BudgetDay, BudgetLoad, BudgetResult, BudgetSource, DayFlow, Live, PerDay,
};
use super::charged_by::charged_by;
use super::settings::Settings;
use super::simulation::Simulation;
use crate::engine::Totals;
use crate::scenario::{ChargerSource, EventMoment, Load, LoadKind, Scenario, When, Where};
use crate::timeline::weather_days::WeatherError;
use crate::timeline::whole_days::DayKind;
use crate::trials::Progress;

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
        banks: banks.map(|bank| budget_bank(trip, bank)).collect(),
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

/// Sums turned into figures of a day; `None` without a whole one.
fn of_a_day(totals: &Totals, sum: impl Fn(&Totals) -> DayFlow) -> Option<DayFlow> {
    let days = totals.hours / 24.0;
    (days > 0.0).then(|| {
        let DayFlow { wh, ah } = sum(totals);
        DayFlow {
            wh: wh / days,
            ah: ah / days,
        }
    })
}

/// The same of the whole plan, and of its days of either kind.
fn flow(trip: &Simulation, sum: impl Fn(&Totals) -> DayFlow) -> PerDay {
    let mean = of_a_day(&trip.ensemble.totals, &sum).unwrap_or_default();
    let of_kind = |kind: DayKind| of_a_day(&trip.ensemble.by_kind[kind.index()], &sum);
    PerDay {
        wh_per_day: mean.wh,
        ah_per_day: mean.ah,
        camp_day: of_kind(DayKind::Camp),
        driving_day: of_kind(DayKind::Driving),
    }
}

fn budget_bank(trip: &Simulation, bank: usize) -> BudgetBank {
    let (scenario, ensemble) = (&trip.scenario, &trip.ensemble);
    let mean = |sum: f64| sum / trip.days();
    let ledger = &ensemble.totals.banks[bank];
    let plant = &trip.timeline.plant.banks[bank];
    let loads = loads(trip, bank);
    let sources = charged_by(scenario, |to| to == bank).map(|(id, source)| BudgetSource {
        id: id.to_owned(),
        given: flow(trip, |totals| source.brought(totals)),
    });
    let sources: Vec<BudgetSource> = sources.collect();
    let asked_wh: f64 = loads.iter().map(|load| load.asked.wh_per_day).sum();
    let usable_wh = (1.0 - plant.reserve_soc) * plant.capacity_ah * plant.usable_v;
    let lasts = |asked_wh: f64| (asked_wh > 0.0).then(|| usable_wh / asked_wh);
    let day = |kind: DayKind, of: fn(&PerDay) -> Option<DayFlow>| {
        let sum = |flows: &mut dyn Iterator<Item = &PerDay>| {
            let none = DayFlow::default();
            flows.filter_map(of).fold(none, |sum, flow| DayFlow {
                wh: sum.wh + flow.wh,
                ah: sum.ah + flow.ah,
            })
        };
        let asked = sum(&mut loads.iter().map(|load| &load.asked));
        let given = sum(&mut sources.iter().map(|source| &source.given));
        let lost = of_a_day(&ensemble.by_kind[kind.index()], |totals| DayFlow {
            wh: totals.banks[bank].loss_wh,
            ah: 0.0,
        })?;
        Some(BudgetDay {
            asked,
            given,
            balance_wh: given.wh - asked.wh - lost.wh,
            days_without_charge: lasts(asked.wh),
        })
    };
    BudgetBank {
        id: scenario.banks[bank].id.clone(),
        role: scenario.banks[bank].role,
        asked_wh_per_day: asked_wh,
        asked_ah_per_day: loads.iter().map(|load| load.asked.ah_per_day).sum(),
        out_wh_per_day: mean(ledger.out_wh),
        out_ah_per_day: mean(ledger.out_ah),
        in_wh_per_day: mean(ledger.in_wh),
        in_ah_per_day: mean(ledger.in_ah),
        balance_wh_per_day: mean(ledger.in_wh - ledger.loss_wh) - asked_wh,
        losses_wh_per_day: mean(ledger.loss_wh),
        curtailed_wh_per_day: mean(ledger.curtailed_wh),
        unserved_wh_per_day: mean(ledger.unserved_wh),
        camp_day: day(DayKind::Camp, |flow| flow.camp_day),
        driving_day: day(DayKind::Driving, |flow| flow.driving_day),
        usable_wh,
        days_without_charge: lasts(asked_wh),
        loads,
        sources,
    }
}

/// What is asked of a bank, largest first.
fn loads(trip: &Simulation, bank: usize) -> Vec<BudgetLoad> {
    let (scenario, totals) = (&trip.scenario, &trip.ensemble.totals);
    let entry = |id: &str, live, hours: f64, asked: PerDay, missed_wh: f64| BudgetLoad {
        id: id.to_owned(),
        live,
        live_hours_per_day: hours / trip.days(),
        asked,
        not_supplied_wh_per_day: missed_wh / trip.days(),
        share: 0.0,
    };
    let own = scenario.loads.iter().zip(&totals.loads).enumerate();
    let own = own.filter(|(_, (load, _))| load.bank == bank);
    let own = own.map(|(index, (load, of))| {
        let hours = live_hours(trip, index);
        let asked = flow(trip, |totals| DayFlow {
            wh: totals.loads[index].asked_wh,
            ah: totals.loads[index].asked_ah,
        });
        entry(&load.id, live(load), hours, asked, of.asked_wh - of.wh)
    });
    let plant = &trip.timeline.plant.banks[bank];
    let fed = scenario.chargers.iter().zip(&totals.chargers).enumerate();
    let fed = fed.filter(|(_, (charger, _))| charger.from == ChargerSource::Bank(bank));
    let fed = fed.map(|(index, (charger, of))| {
        let volts = plant.voltage.volts(0.5);
        let asked = flow(trip, |totals| DayFlow {
            wh: totals.chargers[index].in_wh,
            ah: totals.chargers[index].in_wh / volts,
        });
        entry(&charger.id, Live::Hours, of.open_h, asked, 0.0)
    });
    let standby = flow(trip, |totals| DayFlow {
        wh: totals.banks[bank].standby_wh,
        ah: plant.standby.amps * totals.hours,
    });
    let standby = entry("standby", Live::Always, totals.hours, standby, 0.0);
    let mut loads: Vec<BudgetLoad> = own.chain(fed).chain([standby]).collect();
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
fn live_hours(trip: &Simulation, load: usize) -> f64 {
    let all = &trip.timeline.plant;
    let (plant, of) = (&all.loads[load], &trip.ensemble.totals.loads[load]);
    let is_event = all.events.iter().any(|event| event.load == load);
    if !is_event {
        return of.live_h;
    }
    let watts = plant.watts + plant.idle_w;
    if watts > 0.0 {
        of.asked_wh / watts
    } else if plant.amps > 0.0 {
        of.asked_ah / plant.amps
    } else {
        // What takes nothing leaves no trace of how long it took it.
        0.0
    }
}
