//! The cut-off that applies in the cold, for pictures of a trip.
//!
//! One job: one more run of the trip without chance, in which the temperature of lead-acid banks is seen.

use super::answer::SocBand;
use super::simulation::Simulation;
use crate::engine::{Observer, StepView, run_batch};
use crate::timeline::Timeline;
use crate::trials::Drawing;

/// A cut-off that cold lifts by less is told and drawn as it stands. Ours.
pub(super) const WORTH_SOC: f64 = 0.05;

struct Watch<'a> {
    timeline: &'a Timeline,
    banks: Vec<(usize, Vec<f64>)>,
}

impl Observer for Watch<'_> {
    fn after_step(&mut self, view: &StepView<'_>) {
        let step = view.step();
        let timeline = self.timeline;
        let is_sample =
            (step + 1).is_multiple_of(timeline.sample_every) || step + 1 == timeline.steps;
        for (bank, samples) in &mut self.banks {
            if step == 0 {
                samples.push(view.cutoff_soc(*bank, 0));
            }
            if is_sample {
                samples.push(view.cutoff_soc(*bank, 0));
            }
        }
    }
}

/// Adds to the bands of lead-acid house banks the cut-off that applies, where cold moves it.
pub(super) fn add_cold_cutoffs(trip: &Simulation, bands: &mut [SocBand]) {
    let Simulation {
        scenario,
        settings,
        timeline,
        ..
    } = trip;
    let banks = timeline.plant.banks.iter().enumerate();
    let lead_acid = banks.filter(|(_, bank)| bank.is_house && bank.two_tank.is_some());
    let mut watch = Watch {
        timeline,
        banks: lead_acid.map(|(bank, _)| (bank, Vec::new())).collect(),
    };
    if watch.banks.is_empty() {
        return;
    }
    let drawing = Drawing::new(scenario, timeline, settings.seed, &[]);
    run_batch(timeline, &drawing.typical(), &mut watch);
    for (bank, samples) in watch.banks {
        let highest = samples.iter().copied().fold(0.0, f64::max);
        if highest < timeline.plant.banks[bank].cutoff_soc + WORTH_SOC {
            continue;
        }
        let id = &scenario.banks[bank].id;
        for band in bands.iter_mut().filter(|band| band.bank == *id) {
            band.cold_cutoff.clone_from(&samples);
        }
    }
}
