//! A sample of `budget`.
//!
//! One job: three banks with loads of every circuit.

use super::heading;
use crate::scenario::Role;
use crate::study::answer::{
    BudgetBank, BudgetDay, BudgetLoad, BudgetResult, BudgetSource, DayFlow, Live, PerDay,
};

/// A house bank, a trailer bank and the starter.
pub(crate) fn budget() -> BudgetResult {
    BudgetResult {
        heading: heading(),
        camp_days: 8,
        driving_days: 3,
        banks: vec![
            bank(
                "main",
                &[
                    ("fridge", Live::Always, 24.0, 540.0),
                    ("water-heater", Live::Camp, 1.5, 200.0),
                    ("lights", Live::Camp, 4.2, 90.0),
                    ("laptop", Live::Hours, 1.0, 77.0),
                    ("radio", Live::Ignition, 2.1, 41.0),
                    ("fan", Live::Parked, 8.0, 25.4),
                    ("standby", Live::Always, 24.0, 4.6),
                ],
                &[("roof", 620.0), ("main-dcdc", 380.0)],
                (7.0, 210.0, 1360.0),
            ),
            bank(
                "trailer",
                &[
                    ("freezer", Live::Always, 24.0, 400.0),
                    ("pump", Live::Hours, 0.4, 255.0),
                ],
                &[("tow-dcdc", 530.0)],
                (14.0, 0.0, 1190.0),
            ),
            bank(
                "starter",
                &[("standby", Live::Always, 24.0, 6.0)],
                &[("alternator", 11.0)],
                (5.0, 0.0, 540.0),
            ),
        ],
        warnings: Vec::new(),
    }
}

fn bank(
    id: &str,
    loads: &[(&str, Live, f64, f64)],
    sources: &[(&str, f64)],
    (losses_wh_per_day, curtailed_wh_per_day, usable_wh): (f64, f64, f64),
) -> BudgetBank {
    let out_wh: f64 = loads.iter().map(|load| load.3).sum();
    let in_wh: f64 = sources.iter().map(|source| source.1).sum();
    let balance_wh = in_wh - out_wh - losses_wh_per_day;
    BudgetBank {
        id: id.to_owned(),
        role: if id == "starter" {
            Role::Start
        } else {
            Role::House
        },
        loads: loads
            .iter()
            .map(|&(id, live, hours, wh)| BudgetLoad {
                id: id.to_owned(),
                live,
                live_hours_per_day: hours,
                asked: per_day(wh, 12.94, of_kinds(live)),
                not_supplied_wh_per_day: 0.0,
                share: wh / out_wh,
            })
            .collect(),
        sources: sources
            .iter()
            .map(|&(id, wh)| BudgetSource {
                id: id.to_owned(),
                given: per_day(
                    wh,
                    13.16,
                    if id == "roof" { (1.1, 0.8) } else { (0.0, 3.0) },
                ),
            })
            .collect(),
        asked_wh_per_day: out_wh,
        asked_ah_per_day: out_wh / 12.94,
        out_wh_per_day: out_wh,
        out_ah_per_day: out_wh / 12.94,
        in_wh_per_day: in_wh,
        in_ah_per_day: in_wh / 13.16,
        balance_wh_per_day: balance_wh,
        losses_wh_per_day,
        curtailed_wh_per_day,
        unserved_wh_per_day: 0.0,
        camp_day: Some(day((1.1 * out_wh, 0.7 * in_wh), usable_wh)),
        driving_day: Some(day((0.9 * out_wh, 1.6 * in_wh), usable_wh)),
        usable_wh,
        days_without_charge: Some(usable_wh / out_wh),
    }
}

/// Of the mean: a camp day, a driving day.
fn of_kinds(live: Live) -> (f64, f64) {
    match live {
        Live::Camp => (1.2, 0.5),
        Live::Ignition => (0.2, 3.0),
        _ => (1.0, 1.0),
    }
}

fn flow(wh: f64, volts: f64) -> DayFlow {
    DayFlow { wh, ah: wh / volts }
}

fn per_day(wh: f64, volts: f64, (camp, driving): (f64, f64)) -> PerDay {
    PerDay {
        wh_per_day: wh,
        ah_per_day: wh / volts,
        camp_day: Some(flow(camp * wh, volts)),
        driving_day: Some(flow(driving * wh, volts)),
    }
}

fn day((asked_wh, given_wh): (f64, f64), usable_wh: f64) -> BudgetDay {
    BudgetDay {
        asked: flow(asked_wh, 12.94),
        given: flow(given_wh, 13.16),
        balance_wh: given_wh - asked_wh,
        days_without_charge: Some(usable_wh / asked_wh),
    }
}
