//! What an hour of driving brings, against what a day takes.
//!
//! One job: hours at the wheel that win back one day of use of each house bank. The charge per
//! hour is the steady one at half charge with every charger asking at once, so it is neither that
//! of a nearly full bank nor that of a charger alone. How much driving a whole trip needs is
//! asked of the trials elsewhere.

use serde::Serialize;

use super::figures::tidy;
use super::simulation::Simulation;
use crate::scenario::{ChargerSource, Needs};
use crate::system::alternator::share_taken;
use crate::system::charger_input::input_v;
use crate::system::relay_circuit::RelayCircuit;
use crate::timeline::plant::Plant;

/// State of charge at which the charge per hour is worked out.
const HALF: f64 = 0.5;

/// A house bank: a day's use, and the driving that wins it back.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct DrivingGain {
    /// The bank's id.
    pub bank: String,
    /// Energy that an average day of the trip takes, losses inside the bank included.
    pub use_wh_per_day: f64,
    /// Energy that the panels could bring on an average day of the trip.
    pub sun_wh_per_day: f64,
    /// Energy that an hour of driving brings at half charge; 0 without an alternator's charger.
    pub gain_wh_per_hour: f64,
    /// Whether a charger of it works on legs only.
    pub legs_only: bool,
    /// Hours that win back a day without any sun; `None` where driving brings nothing.
    pub hours_without_sun: Option<f64>,
    /// Hours that win back a day with the sun of an average day; 0 where the sun is enough.
    pub hours_with_sun: Option<f64>,
}

/// Every house bank in file order.
#[must_use]
pub fn driving_gains(trip: &Simulation) -> Vec<DrivingGain> {
    let (scenario, totals) = (&trip.scenario, &trip.ensemble.totals);
    let days = trip.days();
    let plant = &trip.timeline.plant;
    let output_a = steady_outputs_a(plant);
    let house = scenario.house_banks().into_iter();
    house
        .map(|bank| {
            let ledger = &totals.banks[bank];
            let use_wh = (ledger.out_wh + ledger.unserved_wh + ledger.loss_wh) / days;
            let panels_wh: f64 = plant.banks[bank]
                .panels
                .iter()
                .map(|&panel| totals.panels[panel].wh)
                .sum();
            let sun_wh = (panels_wh + ledger.curtailed_wh) / days;
            let own = || (0..plant.chargers.len()).filter(|&c| plant.chargers[c].to == bank);
            let gain_a: f64 = own().map(|charger| output_a[charger]).sum();
            let gain_wh =
                gain_a.min(plant.banks[bank].max_charge_a) * plant.banks[bank].voltage.volts(HALF);
            let hours = |wanted_wh: f64| (gain_wh > 0.0).then(|| tidy(wanted_wh / gain_wh));
            DrivingGain {
                bank: scenario.banks[bank].id.clone(),
                use_wh_per_day: tidy(use_wh),
                sun_wh_per_day: tidy(sun_wh),
                gain_wh_per_hour: tidy(gain_wh),
                legs_only: own().any(|charger| plant.chargers[charger].needs == Needs::Towing),
                hours_without_sun: hours(use_wh),
                hours_with_sun: hours((use_wh - sun_wh).max(0.0)),
            }
        })
        .collect()
}

/// Output of each alternator-fed charger while driving, A, with all of them asking at half charge:
/// by priority, pro rata within one, idle and cruise each by its share of the time.
fn steady_outputs_a(plant: &Plant) -> Vec<f64> {
    let mut output_a = vec![0.0; plant.chargers.len()];
    let Some(alternator) = &plant.alternator else {
        return output_a;
    };
    for &(spare_a, time_share) in &alternator.states {
        let mut left_a = spare_a;
        for group in &alternator.groups {
            let asked_a: f64 = group.iter().map(|&c| input_a(plant, c)).sum();
            let share = share_taken(asked_a, &mut left_a);
            for &charger in group {
                if input_a(plant, charger) > 0.0 {
                    output_a[charger] += time_share * share * plant.chargers[charger].output_a;
                }
            }
        }
        let relay_a = |charger: usize| relay_a(plant, alternator.volts, charger);
        let asked_a: f64 = alternator.relays.iter().map(|&c| relay_a(c)).sum();
        let share = share_taken(asked_a, &mut left_a);
        for &charger in &alternator.relays {
            output_a[charger] += time_share * share * relay_a(charger);
        }
    }
    output_a
}

/// What a relay lets through at half charge, A; what is left where it falls short is shared pro rata.
fn relay_a(plant: &Plant, source_v: f64, charger: usize) -> f64 {
    let of = &plant.chargers[charger];
    let bank = &plant.banks[of.to];
    let circuit = RelayCircuit {
        open_v: bank.voltage.volts(HALF),
        bank_ohm: bank.ohm,
        run_ohm: of.input_ohm,
        beside_a: 0.0,
        beside_w: 0.0,
    };
    circuit.current_a(source_v).clamp(0.0, bank.max_charge_a)
}

/// Input current of a charger at its full output, behind its cable; 0 where it would stand still.
fn input_a(plant: &Plant, charger: usize) -> f64 {
    let of = &plant.chargers[charger];
    let (Some(alternator), ChargerSource::Alternator) = (&plant.alternator, of.from) else {
        return 0.0;
    };
    let power_w = of.output_a * plant.banks[of.to].voltage.volts(HALF) / of.efficiency;
    match input_v(alternator.volts, of.input_ohm, power_w) {
        Some(input_v) if input_v >= of.min_input_v => power_w / input_v,
        _ => 0.0,
    }
}
