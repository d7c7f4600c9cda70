//! What its loads can ask of an inverter together.
//!
//! One job: an inverter's rating and surge against everything that can be on at once. Its feed is in
//! [`super::run_parts`].

use super::run_parts::{State, load_on};
use super::schedule::Problem;
use crate::scenario::{Load, Parts};

/// Where an inverter is asked for more than it gives: by everything that can be on together.
#[must_use]
pub fn inverter_problems(scenario: &Parts, index: usize) -> Vec<Problem> {
    let unit = &scenario.inverters[index];
    let on_it = |load: &&Load| load.inverter.is_some_and(|it| it.unit == index);
    let loads: Vec<&Load> = scenario.loads.iter().filter(on_it).collect();
    let volts = scenario.system_voltage_v;
    let (mut most_running_w, mut most_start_w) = (0.0, 0.0_f64);
    let mut most_names = Vec::new();
    for state in 0..State::ALL.len() {
        let (mut running_w, mut extra_w, mut names) = (0.0, 0.0_f64, Vec::new());
        for load in &loads {
            if load_on(load, &scenario.banks[load.bank])[state] {
                let own_w = load.kind.running().current_a(volts) * volts;
                let peak_w = load
                    .peak
                    .map_or(own_w, |peak| peak.power.current_a(volts) * volts);
                running_w += own_w;
                extra_w = extra_w.max(peak_w - own_w);
                names.push(load.id.as_str());
            }
        }
        if running_w > most_running_w {
            (most_running_w, most_names) = (running_w, names);
        }
        most_start_w = most_start_w.max(running_w + extra_w);
    }
    let mut problems = Vec::new();
    for (asked_w, given_w, what) in [
        (most_running_w, unit.rated_w, "rated"),
        (most_start_w, unit.surge_w, "good for a moment"),
    ] {
        if asked_w > given_w * (1.0 + 1e-9) {
            problems.push(Problem {
                fails: format!(
                    "{} can be asked for {asked_w:.0} W at once, it is {what} for {given_w:.0} W: it switches off ({})",
                    unit.id,
                    most_names.join(", ")
                ),
                would_do: format!("an inverter of at least {asked_w:.0} W, or one of these at a time"),
            });
        }
    }
    problems
}
