//! How much the length of the step matters.
//!
//! One job: the same trial at several steps against 10-second steps, on every shipped scenario, and
//! the order in which the difference shrinks.
#![allow(
    clippy::cast_possible_truncation,
    clippy::cast_precision_loss,
    clippy::cast_sign_loss,
    clippy::print_stderr,
    reason = "counts of steps; what was measured is told"
)]

use tideover::engine::{Observer, StepView, run_batch};
use tideover::scenario::{Scenario, read};
use tideover::timeline::Timeline;
use tideover::timeline::calendar::Plan;
use tideover::trials::Drawing;

/// What 5-minute steps may differ by at any time, as state of charge.
const LIMIT: f64 = 0.003;

const FINE_S: i64 = 10;

struct Record {
    every: usize,
    soc: Vec<Vec<f64>>,
}

impl Observer for Record {
    fn after_step(&mut self, view: &StepView<'_>) {
        if (view.step() + 1).is_multiple_of(self.every) {
            for (bank, samples) in self.soc.iter_mut().enumerate() {
                samples.push(view.bank(bank).0);
            }
        }
    }
}

fn scenarios() -> Vec<(String, Scenario)> {
    let mut all = Vec::new();
    for entry in std::fs::read_dir("scenarios").expect("a folder") {
        let path = entry.expect("an entry").path();
        if path.extension().is_none_or(|extension| extension != "json") {
            continue;
        }
        let name = path
            .file_stem()
            .expect("a name")
            .to_string_lossy()
            .into_owned();
        let text = std::fs::read_to_string(&path).expect("readable");
        let none = |_: &str| Err("no file".to_owned());
        match read(&text, &name, &none) {
            Ok(reading) => all.push((name, reading.scenario)),
            Err(refusal) => panic!("{refusal}"),
        }
    }
    all.sort_by(|a, b| a.0.cmp(&b.0));
    all
}

/// State of charge of each bank of the typical trip every `sample_s`.
fn samples(scenario: &Scenario, step_s: i64, sample_s: i64) -> Vec<Vec<f64>> {
    let timeline = Timeline::with_step_s(scenario, Plan::Trip, step_s).expect("weather");
    let drawing = Drawing::new(scenario, &timeline, 1, &[]);
    let mut record = Record {
        every: (sample_s / step_s) as usize,
        soc: vec![Vec::new(); scenario.banks.len()],
    };
    run_batch(&timeline, &drawing.typical(), &mut record);
    record.soc
}

#[test]
fn law_five_minute_steps_are_short_enough_and_shorter_ones_converge() {
    const STEPS_S: [i64; 4] = [300, 600, 1200, 3600];
    // Root of the mean square over all banks of all scenarios, by step.
    let mut squares = [0.0; STEPS_S.len()];
    let mut counts = [0.0; STEPS_S.len()];
    for (name, scenario) in scenarios() {
        let fine = samples(&scenario, FINE_S, STEPS_S[0]);
        for (index, step_s) in STEPS_S.into_iter().enumerate() {
            let coarse = samples(&scenario, step_s, step_s);
            let every = (step_s / STEPS_S[0]) as usize;
            for (bank, soc) in coarse.iter().enumerate() {
                let mut worst: f64 = 0.0;
                for (sample, soc) in soc.iter().enumerate() {
                    // The last, partial step of a coarse grid has no fine counterpart.
                    let Some(exact) = fine[bank].get((sample + 1) * every - 1) else {
                        continue;
                    };
                    worst = worst.max((soc - exact).abs());
                    squares[index] += (soc - exact).powi(2);
                    counts[index] += 1.0;
                }
                let id = &scenario.banks[bank].id;
                eprintln!(
                    "{name} {id}: {step_s} s steps {:.2} points off",
                    100.0 * worst
                );
                if step_s == STEPS_S[0] {
                    assert!(worst <= LIMIT, "{name} {id}: {worst}");
                }
            }
        }
    }
    let mean: Vec<f64> = squares
        .iter()
        .zip(counts)
        .map(|(square, count)| (square / count).sqrt())
        .collect();
    for (pair, steps) in mean.windows(2).zip(STEPS_S.windows(2)) {
        let order = (pair[1] / pair[0]).ln() / (steps[1] as f64 / steps[0] as f64).ln();
        eprintln!("{} to {} s: order {order:.2}", steps[1], steps[0]);
    }
    let order = (mean[3] / mean[0]).ln() / 12.0_f64.ln();
    eprintln!("observed order over all {order:.2}");
    assert!(order >= 0.8, "order {order}");
}
