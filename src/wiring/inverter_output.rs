//! What its loads can ask of an inverter together.
//!
//! One job: an inverter's rating and surge against everything that can be on at once. Its feed is in
//! [`super::run_parts`].

use super::run_parts::{State, load_on};
use super::schedule::Problem;
use crate::scenario::Parts;

/// Where an inverter is asked for more than it gives: by everything that can be on together.
#[must_use]
pub fn inverter_problems(scenario: &Parts, index: usize) -> Vec<Problem> {
    let unit = &scenario.inverters[index];
    let loads: Vec<usize> = (0..scenario.loads.len())
        .filter(|load| {
            scenario.loads[*load]
                .inverter
                .is_some_and(|it| it.unit == index)
        })
        .collect();
    let together = output_together(scenario, &loads);
    let mut problems = Vec::new();
    for (asked_w, given_w, what) in [
        (together.running_w, unit.rated_w, "rated"),
        (together.start_w, unit.surge_w, "good for a moment"),
    ] {
        if asked_w > given_w * (1.0 + 1e-9) {
            problems.push(Problem {
                fails: format!(
                    "{} can be asked for {asked_w:.0} W at once, it is {what} for {given_w:.0} W: it switches off ({})",
                    unit.id,
                    together.names.join(", ")
                ),
                would_do: format!("an inverter of at least {asked_w:.0} W, or one of these at a time"),
            });
        }
    }
    problems
}

/// What loads can ask of an inverter together.
struct Together {
    running_w: f64,
    start_w: f64,
    names: Vec<String>,
}

fn output_together(scenario: &Parts, loads: &[usize]) -> Together {
    let volts = scenario.system_voltage_v;
    let mut worst = Together {
        running_w: 0.0,
        start_w: 0.0,
        names: Vec::new(),
    };
    for state in 0..State::ALL.len() {
        let (mut running_w, mut extra_w, mut names) = (0.0, 0.0_f64, Vec::new());
        for index in loads {
            let load = &scenario.loads[*index];
            if load_on(load, &scenario.banks[load.bank])[state] {
                let own_w = load.kind.running().current_a(volts) * volts;
                let peak_w = load
                    .peak
                    .map_or(own_w, |peak| peak.power.current_a(volts) * volts);
                running_w += own_w;
                extra_w = extra_w.max(peak_w - own_w);
                names.push(load.id.clone());
            }
        }
        if running_w > worst.running_w {
            worst.running_w = running_w;
            worst.names = names;
        }
        worst.start_w = worst.start_w.max(running_w + extra_w);
    }
    worst
}
