//! Relays that join two batteries: the current for which their run is sized.
//!
//! One job: the largest of what alternator and starting battery drive through it, what it is rated for and
//! what the alternator gives. The engine's current, with sun and loads, is in `system::relay_circuit`.

use super::conductors::Series;
use super::design_current::carried;
use super::run_demand::{
    contact_ohm, demand_of, picked_resistance_ohm, run_resistance_of, start_bank,
};
use super::schedule::Problem;
use crate::scenario::{Parts, Relay, Run, RunEnd};
use crate::system::relay_circuit::RelayCircuit;

/// Rounds in which a conductor is picked for the current that the conductor lets through: sizes are few,
/// and a larger one lets more through, so it settles.
const ROUNDS: usize = 8;

/// The least resistance of a battery that is reckoned with, Ω.
const LEAST_OHM: f64 = 1e-4;

/// The currents of a relay.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RelayCurrent {
    /// What it is rated for, A.
    pub rated_a: f64,
    /// What the alternator is rated for, A.
    pub alternator_a: f64,
    /// What voltages and resistances let through with the bank at its reserve and the alternator at its
    /// voltage, A.
    pub circuit_a: f64,
    /// What of that alternator and starting battery together can drive, A.
    pub driven_a: f64,
    /// What of that can last: no more than the alternator has to spare, A.
    pub lasting_a: f64,
}

impl RelayCurrent {
    /// The current for which its run is sized: the largest of them.
    #[must_use]
    pub fn design_a(&self) -> f64 {
        self.rated_a.max(self.alternator_a).max(self.driven_a)
    }
}

/// The currents of the relay that charger `index` is; `None` where it is a charger.
#[must_use]
pub fn relay_current(scenario: &Parts, index: usize) -> Option<RelayCurrent> {
    let charger = &scenario.chargers[index];
    let relay: Relay = charger.relay?;
    let alternator = scenario.alternator.as_ref()?;
    let bank = &scenario.banks[charger.to];
    let this = RunEnd::Charger(index);
    let runs: Vec<&Run> = scenario
        .runs
        .iter()
        .filter(|run| carried(run).contains(&this))
        .collect();
    let table = bank.chemistry.voltage(scenario.voltage_factor());
    let open_v = table.volts(bank.reserve_soc);
    let bank_ohm = (bank.resistance_mohm / 1000.0).max(LEAST_OHM);
    let run_ohm = |current_a: f64| -> f64 {
        runs.iter()
            .map(|run| ohm_at(scenario, run, current_a))
            .sum()
    };
    let mut found = RelayCurrent {
        rated_a: relay.rated_a,
        alternator_a: alternator.rated_a,
        circuit_a: 0.0,
        driven_a: 0.0,
        lasting_a: 0.0,
    };
    for _ in 0..ROUNDS {
        let run_ohm = run_ohm(found.design_a());
        let circuit = RelayCircuit {
            open_v,
            bank_ohm,
            run_ohm,
            beside_a: 0.0,
            beside_w: 0.0,
        };
        let by_sources_v = sources_v(scenario, alternator.rated_a, open_v, bank_ohm + run_ohm);
        let source_v = alternator.volts.min(by_sources_v);
        found.circuit_a = circuit.current_a(alternator.volts).max(0.0);
        found.driven_a = circuit.current_a(source_v).max(0.0);
    }
    let spare_a = (alternator.rated_a - alternator.vehicle_load_a).max(0.0);
    found.lasting_a = found.circuit_a.min(spare_a);
    Some(found)
}

/// Voltage to which an alternator at its rated output and the full starting battery lift the relay's side,
/// V: Kirchhoff's law of currents, `I + (E − V) / R = (V − Eb) / Rb`; without a starting battery
/// `V = Eb + I Rb`.
fn sources_v(scenario: &Parts, rated_a: f64, open_v: f64, ohm: f64) -> f64 {
    let (start_v, per_ohm) = start_bank(scenario).map_or((0.0, 0.0), |bank| {
        let bank = &scenario.banks[bank];
        let full_v = bank.chemistry.voltage(scenario.voltage_factor()).volts(1.0);
        (
            full_v,
            1000.0 / bank.resistance_mohm.max(1000.0 * LEAST_OHM),
        )
    });
    (rated_a + start_v * per_ohm + open_v / ohm) / (per_ohm + 1.0 / ohm)
}

/// Resistance of a run of the relay with the conductor that the file gives, else one picked for a current.
fn ohm_at(scenario: &Parts, run: &Run, current_a: f64) -> f64 {
    let copper_ohm = if run.mm2.is_some() {
        run_resistance_of(scenario, run)
    } else {
        picked_resistance_ohm(&demand_of(scenario, run, Series::Metric, current_a))
    };
    copper_ohm + contact_ohm(scenario, run)
}

/// Whether more can flow for long than the relay is built for.
#[must_use]
pub fn relay_problem(id: &str, of: &RelayCurrent) -> Option<Problem> {
    (of.lasting_a > of.rated_a * (1.0 + 1e-9)).then(|| Problem {
        fails: format!(
            "{:.0} A can flow through {id} for as long as the bank is low, it is rated {} A",
            of.lasting_a, of.rated_a
        ),
        would_do: format!(
            "a relay rated at least {:.0} A, or a DC-DC charger in its place, which limits the current",
            of.lasting_a.ceil()
        ),
    })
}
