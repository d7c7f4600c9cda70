//! Measured charge against what the file predicted from each morning.
//!
//! One job: the bands of days, and how many of them hold what was measured.

use super::answer::{BankLine, FitDay};
use super::drives::Drives;
use super::meter::Meter;
use super::model::{mornings, trials};
use crate::scenario::Scenario;
use crate::timeline::Timeline;
use crate::trials::rank;
use crate::units::Whole;

/// Points of a line in the picture, at most.
const POINTS: usize = 400;

/// Days and lines of all meters.
pub(super) struct Held {
    pub(super) days: Vec<FitDay>,
    pub(super) lines: Vec<BankLine>,
}

impl Held {
    /// Root mean square of measured less predicted median, points of charge.
    pub(super) fn rms_points(&self) -> f64 {
        let squares = self
            .days
            .iter()
            .map(|day| (day.measured_soc - day.p50).powi(2));
        let mean = squares.sum::<f64>() / self.days.len().max(1).real();
        100.0 * mean.sqrt()
    }
}

/// Runs the trials of the days of the meters.
pub(super) fn held(
    scenario: &Scenario,
    timeline: &Timeline,
    drives: &Drives,
    meters: &[Meter],
    (seed, count): (u64, usize),
) -> Held {
    let of_meter: Vec<Vec<usize>> = meters
        .iter()
        .map(|meter| mornings(scenario, timeline, meter))
        .collect();
    let mut begins: Vec<usize> = of_meter
        .iter()
        .flat_map(|steps| steps.iter().take(steps.len().saturating_sub(1)).copied())
        .collect();
    begins.sort_unstable();
    begins.dedup();
    let asked: Vec<Vec<usize>> = meters
        .iter()
        .zip(&of_meter)
        .map(|(meter, mornings)| {
            let (first, last) = meter.span();
            let every = (last - first).div_ceil(POINTS).max(1);
            let mut asked: Vec<usize> = (first..last).step_by(every).collect();
            asked.extend(mornings.iter().map(|step| step - 1));
            asked.sort_unstable();
            asked.dedup();
            asked
        })
        .collect();
    let trials = trials(
        scenario,
        timeline,
        drives,
        meters,
        (&begins, &asked),
        &[],
        (seed, count),
    );
    let mut out = Held {
        days: Vec::new(),
        lines: Vec::new(),
    };
    let at = |sorted: &[f64], p: f64| sorted[rank(p, sorted.len()) - 1];
    for (place, meter) in meters.iter().enumerate() {
        let bank = &scenario.banks[meter.bank];
        let soc = &trials.soc[place];
        let utc_s = |step: usize| timeline.utc_s(step + 1);
        for pair in of_meter[place].windows(2) {
            let end = pair[1] - 1;
            let Ok(column) = asked[place].binary_search(&end) else {
                continue;
            };
            let sorted = &soc[column];
            let (p10, p90) = (at(sorted, 0.1), at(sorted, 0.9));
            let measured_soc = meter.soc[end];
            // Within what a meter shows, half a point, it is not outside.
            let inside = measured_soc >= p10 - 0.005 && measured_soc <= p90 + 0.005;
            out.days.push(FitDay {
                bank: bank.id.clone(),
                date: scenario
                    .itinerary
                    .zone
                    .local(utc_s(pair[0]))
                    .date()
                    .to_string(),
                measured_soc,
                p10,
                p50: at(sorted, 0.5),
                p90,
                inside,
            });
        }
        let line = |p: f64| soc.iter().map(|sorted| at(sorted, p)).collect();
        out.lines.push(BankLine {
            bank: bank.id.clone(),
            utc_s: asked[place].iter().map(|&step| utc_s(step)).collect(),
            measured: asked[place].iter().map(|&step| meter.soc[step]).collect(),
            p10: line(0.1),
            p50: line(0.5),
            p90: line(0.9),
            put_right: Vec::new(),
            reserve_soc: bank.reserve_soc,
        });
    }
    out
}
