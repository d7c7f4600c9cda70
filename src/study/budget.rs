//! `budget`: what each bank takes and gets on an average day of the trip.

use super::answer::{BudgetBank, BudgetLoad, BudgetResult, BudgetSource, Live};
use super::assemble::is_alternator_fed;
use super::settings::Settings;
use super::simulation::Simulation;
use crate::scenario::{ChargerSource, EventMoment, Load, LoadKind, Scenario, When, Where};
use crate::timeline::Timeline;
use crate::timeline::weather_days::WeatherError;
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

fn budget_bank(
    scenario: &Scenario,
    timeline: &Timeline,
    ensemble: &Ensemble,
    bank: usize,
) -> BudgetBank {
    let days = ensemble.hours / 24.0;
    let ledger = &ensemble.banks[bank].ledger;
    let out_wh = ledger.out_wh;
    let entry = |id: &str, live, hours: f64, wh: f64, ah: f64| BudgetLoad {
        id: id.to_owned(),
        live,
        live_hours_per_day: hours / days,
        wh_per_day: wh / days,
        ah_per_day: ah / days,
        share: if out_wh > 0.0 { wh / out_wh } else { 0.0 },
    };
    let mut loads: Vec<BudgetLoad> = Vec::new();
    for (index, load) in scenario
        .loads
        .iter()
        .enumerate()
        .filter(|(_, load)| load.bank == bank)
    {
        let (wh, ah) = (ensemble.load_wh[index], ensemble.load_ah[index]);
        loads.push(entry(
            &load.id,
            live(load),
            live_hours(timeline, ensemble, index),
            wh,
            ah,
        ));
    }
    for (index, charger) in scenario.chargers.iter().enumerate() {
        if charger.from == ChargerSource::Bank(bank) {
            let wh = ensemble.charger_in_wh[index];
            let ah = wh / timeline.plant.banks[bank].voltage.volts(0.5);
            loads.push(entry(
                &charger.id,
                Live::Hours,
                ensemble.charger_gate_h[index],
                wh,
                ah,
            ));
        }
    }
    let standby_ah = timeline.plant.banks[bank].standby_a * ensemble.hours;
    loads.push(entry(
        "standby",
        Live::Always,
        ensemble.hours,
        ledger.standby_wh,
        standby_ah,
    ));
    loads.sort_by(|a, b| b.wh_per_day.total_cmp(&a.wh_per_day));
    let sources = sources(scenario, ensemble, bank, days);
    let plant = &timeline.plant.banks[bank];
    let usable_ah = (1.0 - plant.reserve_soc) * plant.capacity_ah;
    let usable_wh = usable_ah * plant.voltage.mean_volts(plant.reserve_soc, 1.0);
    // What is drawn if nothing is dropped: a flat bank must not look like a modest one.
    let wanted_wh = (out_wh + ledger.unserved_wh) / days;
    BudgetBank {
        id: scenario.banks[bank].id.clone(),
        role: scenario.banks[bank].role,
        loads,
        sources,
        out_wh_per_day: out_wh / days,
        out_ah_per_day: ledger.out_ah / days,
        in_wh_per_day: ledger.in_wh / days,
        in_ah_per_day: ledger.in_ah / days,
        balance_wh_per_day: (ledger.in_wh - out_wh - ledger.loss_wh) / days,
        losses_wh_per_day: ledger.loss_wh / days,
        curtailed_wh_per_day: ledger.curtailed_wh / days,
        unserved_wh_per_day: ledger.unserved_wh / days,
        usable_wh,
        days_without_charge: (wanted_wh > 0.0).then(|| usable_wh / wanted_wh),
    }
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
        ensemble.load_wh[load] / watts
    } else if plant.amps > 0.0 {
        ensemble.load_ah[load] / plant.amps
    } else {
        // What takes nothing leaves no trace of how long it took it.
        0.0
    }
}

fn sources(scenario: &Scenario, ensemble: &Ensemble, bank: usize, days: f64) -> Vec<BudgetSource> {
    let mut sources = Vec::new();
    let mut push = |id: &str, wh: f64, ah: f64| {
        sources.push(BudgetSource {
            id: id.to_owned(),
            wh_per_day: wh / days,
            ah_per_day: ah / days,
        });
    };
    let ledger = &ensemble.banks[bank].ledger;
    if is_alternator_fed(scenario, bank) {
        push("alternator", ledger.alternator_wh, ledger.alternator_ah);
    }
    for (index, charger) in scenario.chargers.iter().enumerate() {
        if charger.to == bank {
            push(
                &charger.id,
                ensemble.charger_wh[index],
                ensemble.charger_ah[index],
            );
        }
    }
    for (index, panel) in scenario.solar.iter().enumerate() {
        if panel.to == bank {
            push(
                &panel.id,
                ensemble.panel_wh[index],
                ensemble.panel_ah[index],
            );
        }
    }
    sources
}
