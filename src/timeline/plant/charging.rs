//! The constants of what charges the banks: chargers, panels, the alternator.
//!
//! One job: those parts of the scenario as numbers, cables counted. The banks they feed are in
//! `banks`; the physics behind them in `system`.

use super::parts::{AlternatorPlant, ChargerPlant, PanelPlant};
use crate::scenario::{ChargerSource, Controller, Mount, RunEnd, Scenario};
use crate::system::charger_input::input_v;
use crate::system::panel::{MAX_POWER_V, MPPT_EFFICIENCY, pwm_a_per_w_m2};
use crate::wiring::design_current::{ChargerSide, charger_input_w, charger_side};
use crate::wiring::run_resistance_ohm;

pub(crate) fn charger_plant(scenario: &Scenario, index: usize) -> ChargerPlant {
    let charger = &scenario.chargers[index];
    ChargerPlant {
        from: charger.from,
        to: charger.to,
        output_a: charger.output_a,
        efficiency: charger.efficiency,
        min_input_v: charger.min_input_v,
        needs: charger.needs,
        input_ohm: feed_ohm(scenario, index),
        may_starve: may_starve(scenario, index),
        trailer: scenario.banks[charger.to].trailer,
        relay: charger.relay,
    }
}

/// Whether a charger's input may fall below the least that it works at: where another bank feeds it, and where the drop
/// of its cables is too large at full output, so that a larger charger on them brings less.
pub(crate) fn may_starve(scenario: &Scenario, index: usize) -> bool {
    let charger = &scenario.chargers[index];
    match charger.from {
        ChargerSource::Mains => false,
        ChargerSource::Bank(_) => true,
        ChargerSource::Alternator => {
            let alternator_v = scenario.alternator.as_ref().map_or(0.0, |of| of.volts);
            let full_w = charger_input_w(scenario, charger);
            let least_v = input_v(alternator_v, feed_ohm(scenario, index), full_w);
            least_v.is_none_or(|least_v| least_v < charger.min_input_v)
        }
    }
}

/// Resistance between a charger and what feeds it: every run that carries it, but the one into the
/// bank it charges; of a relay that one too. A run shared with others drops for them too: its resistance counts in
/// proportion to all the output it carries.
fn feed_ohm(scenario: &Scenario, index: usize) -> f64 {
    let own_a = scenario.chargers[index].output_a;
    let mut sum = 0.0;
    for (run_index, run) in scenario.runs.iter().enumerate() {
        let carries =
            run.carries.contains(&RunEnd::Charger(index)) || run.to == RunEnd::Charger(index);
        let is_charger = scenario.chargers[index].relay.is_none();
        let is_output =
            carries && is_charger && charger_side(scenario, run, index) == ChargerSide::Output;
        if carries && !is_output {
            let all_a: f64 = run
                .carries
                .iter()
                .map(|carried| match carried {
                    RunEnd::Charger(other) => scenario.chargers[*other].output_a,
                    _ => 0.0,
                })
                .sum();
            sum += run_resistance_ohm(scenario, run_index) * (all_a / own_a).max(1.0);
        }
    }
    sum
}

pub(crate) fn panel_plants(
    scenario: &Scenario,
    plane_of_panel: &[Option<usize>],
) -> Vec<PanelPlant> {
    scenario
        .solar
        .iter()
        .zip(plane_of_panel)
        .map(|(panel, plane)| {
            let left = 1.0 - panel.losses;
            let is_pwm = panel.controller == Controller::Pwm;
            let gross_v = MAX_POWER_V * scenario.voltage_factor();
            PanelPlant {
                to: panel.to,
                plane: *plane,
                portable: panel.mount == Mount::Portable,
                panel_w: panel.panel_w,
                is_pwm,
                keep: if is_pwm { left } else { left * MPPT_EFFICIENCY },
                amps_per_w_m2: pwm_a_per_w_m2(panel.panel_w, scenario.voltage_factor()) * left,
                gross_v,
                max_a: panel.controller_max_a,
                shares: panel.shares,
                trailer: scenario.banks[panel.to].trailer,
            }
        })
        .collect()
}

pub(crate) fn alternator(scenario: &Scenario) -> Option<AlternatorPlant> {
    let alternator = scenario.alternator.as_ref()?;
    let fed = scenario.fed_from(ChargerSource::Alternator).into_iter();
    let (relays, fed): (Vec<usize>, Vec<usize>) =
        fed.partition(|&c| scenario.chargers[c].relay.is_some());
    let least_v = fed.iter().map(|&c| (c, least_source_v(scenario, c)));
    Some(AlternatorPlant {
        volts: alternator.volts,
        vehicle_load_a: alternator.vehicle_load_a,
        states: [
            (alternator.spare_a(alternator.idle_a), alternator.idle_share),
            (
                alternator.spare_a(alternator.rated_a),
                1.0 - alternator.idle_share,
            ),
        ],
        local_idle_share: alternator.idle_share,
        least_v: least_v.collect(),
        groups: by_priority(scenario, fed),
        relays,
    })
}

/// Voltage of the alternator at which a charger's input is at its least, at full output, V.
fn least_source_v(scenario: &Scenario, index: usize) -> f64 {
    let charger = &scenario.chargers[index];
    let least_v = charger.min_input_v;
    let drop_v = feed_ohm(scenario, index) * charger_input_w(scenario, charger) / least_v.max(1.0);
    least_v + drop_v
}

/// Chargers in groups of one priority, the first served leading.
pub(crate) fn by_priority(scenario: &Scenario, mut chargers: Vec<usize>) -> Vec<Vec<usize>> {
    chargers.sort_by_key(|&charger| scenario.chargers[charger].priority);
    let mut groups: Vec<Vec<usize>> = Vec::new();
    for charger in chargers {
        let priority = scenario.chargers[charger].priority;
        match groups.last_mut() {
            Some(group) if scenario.chargers[group[0]].priority == priority => group.push(charger),
            _ => groups.push(vec![charger]),
        }
    }
    groups
}
