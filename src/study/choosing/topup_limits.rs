//! Why no number of hours tops a bank up.
//!
//! One job: the bank's day and the limits of its chargers and of the alternator, in a sentence.

use super::topup::TopupBank;
use crate::scenario::Scenario;
use crate::system::alternator::spare_a;

/// The charger's and the alternator's limits in plain figures.
pub(super) fn why_not(scenario: &Scenario, hours_per_day: f64, bank: Option<&TopupBank>) -> String {
    let Some(bank) = bank else {
        return "the chance stays below the aim".to_owned();
    };
    let charger = if bank.charger_limit_w > 0.0 {
        let volts = 13.2 * scenario.voltage_factor();
        format!(
            "its chargers give at most {:.0} A, about {:.0} W, while the engine runs",
            bank.charger_limit_w / volts,
            bank.charger_limit_w
        )
    } else {
        "no charger feeds it while the engine runs".to_owned()
    };
    let alternator = scenario
        .alternator
        .as_ref()
        .map_or_else(String::new, |alternator| {
            let spare =
                |output: f64| spare_a(output, alternator.hot_derate, alternator.vehicle_load_a);
            format!(
                "; the alternator has {:.0} A to spare at cruise and {:.0} A at idle",
                spare(alternator.rated_a),
                spare(alternator.idle_a)
            )
        });
    format!(
        "even at {:.1} h of driving a day bank {} gives {:.0} Wh a day and gets {:.0} Wh from sun and {:.0} Wh \
         from chargers: {charger}{alternator}",
        hours_per_day, bank.id, bank.out_wh_per_day, bank.sun_wh_per_day, bank.charger_wh_per_day
    )
}
