//! A sample of `budget`.
//!
//! One job: three banks with loads of every circuit.

use super::heading;
use crate::scenario::Role;
use crate::study::answer::{BudgetBank, BudgetLoad, BudgetResult, BudgetSource, Live};

/// A house bank, a trailer bank and the starter.
pub(crate) fn budget() -> BudgetResult {
    BudgetResult {
        heading: heading(),
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
                wh_per_day: wh,
                ah_per_day: wh / 12.94,
                share: wh / out_wh,
            })
            .collect(),
        sources: sources
            .iter()
            .map(|&(id, wh)| BudgetSource {
                id: id.to_owned(),
                wh_per_day: wh,
                ah_per_day: wh / 13.16,
            })
            .collect(),
        out_wh_per_day: out_wh,
        out_ah_per_day: out_wh / 12.94,
        in_wh_per_day: in_wh,
        in_ah_per_day: in_wh / 13.16,
        balance_wh_per_day: in_wh - out_wh - losses_wh_per_day,
        losses_wh_per_day,
        curtailed_wh_per_day,
        unserved_wh_per_day: 0.0,
        usable_wh,
        days_without_charge: Some(usable_wh / out_wh),
    }
}
