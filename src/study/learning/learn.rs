//! `learn`: a log against the model.
//!
//! One job: logs to meters, drives, findings, bands and the scenario put right, in that order.

use super::answer::{Driven, DrivenOnce, Fit, LearnAnswer, LogRead, WasIs};
use super::drives::drives;
use super::findings::findings;
use super::ground::{Ground, dark};
use super::held::{Held, held};
use super::meter::{Meter, ends_of, meter};
use super::model::traces;
use super::put_right::put_right;
use super::question::{LearnError, LearnQuestion};
use crate::scenario::Scenario;
use crate::study::assemble::{calendar, heading, rfc3339};
use crate::study::figures::{chance, tidy};
use crate::study::settings::Settings;
use crate::study::simulation::Simulation;
use crate::timeline::Timeline;
use crate::timeline::calendar::Plan;
use crate::trials::Progress;

/// Trials that the band of a day takes, at most.
const BAND_TRIALS: u64 = 512;

/// Holds logs against a scenario and puts right what they tell. The second value is the scenario put right.
///
/// # Errors
/// [`LearnError`]: a log of another time, of another bank or without a day of rows; a day without a climate.
pub fn learn(
    scenario: &Scenario,
    settings: &Settings,
    question: &LearnQuestion,
    progress: &dyn Progress,
) -> Result<(LearnAnswer, Scenario), LearnError> {
    let timeline = Timeline::new(scenario, Plan::Trip, settings.step_minutes)?;
    let dark = dark(&timeline);
    let meters: Vec<Meter> = question
        .logs
        .iter()
        .map(|(bank, log)| meter(scenario, &timeline, *bank, log, &dark))
        .collect::<Result<_, _>>()?;
    let plan = traces(scenario, &timeline, None, &[]);
    let offer_a: Vec<Vec<f64>> = (0..scenario.banks.len())
        .map(|bank| {
            let panels = (0..scenario.solar.len()).filter(|&p| scenario.solar[p].to == bank);
            let panels: Vec<usize> = panels.collect();
            (0..timeline.steps)
                .map(|step| panels.iter().map(|&p| plan.offer_a[p][step]).sum())
                .collect()
        })
        .collect();
    let drives = drives(
        scenario,
        &timeline,
        &meters,
        question.drives.as_deref(),
        &offer_a,
    );
    let ground = Ground::new(scenario, &timeline, &meters, &drives);
    let found = findings(&ground, settings.seed);
    let span = ends_of(scenario, &timeline, &meters);
    let days: Vec<&str> = span.iter().map(|end| end.get(..10).unwrap_or("")).collect();
    let (right, changes) = put_right(
        scenario,
        &found.found,
        &format!("{} to {}", days[0], days[1]),
    )?;
    let trials = settings.run.trials.min(BAND_TRIALS);
    #[expect(clippy::cast_possible_truncation, reason = "at most 512")]
    let run = (settings.seed, trials as usize);
    let mut before = held(scenario, &timeline, &drives, &meters, run);
    let after = if changes.0.is_empty() {
        None
    } else {
        let timeline = timeline.of_changed(scenario, &right, Plan::Trip)?;
        Some(held(&right, &timeline, &drives, &meters, run))
    };
    if let Some(after) = &after {
        for (line, right) in before.lines.iter_mut().zip(&after.lines) {
            line.put_right.clone_from(&right.p50);
        }
    }
    let trip = Simulation::trip(scenario, settings, progress)?;
    let chance = match &after {
        Some(_) => Some(WasIs {
            was: trip.chance_no_shortfall(),
            is: trip.changed(&right, progress)?.chance_no_shortfall(),
        }),
        None => None,
    };
    let zone = &scenario.itinerary.zone;
    let at = |since_s: f64| {
        #[expect(clippy::cast_possible_truncation, reason = "seconds of a trip")]
        let utc_s = timeline.calendar.start_s + since_s as i64;
        utc_s
    };
    let logged_s = |since_s: f64| {
        meters.iter().any(|meter| {
            let ends = (meter.row_s.first(), meter.row_s.last());
            ends.0.is_some_and(|from_s| *from_s <= since_s + 3600.0)
                && ends.1.is_some_and(|to_s| *to_s >= since_s)
        })
    };
    let driven: Vec<(i64, i64)> = drives
        .all
        .iter()
        .filter(|drive| logged_s(drive.from_s))
        .map(|drive| (at(drive.from_s), at(drive.to_s)))
        .collect();
    let mut calendar = calendar(scenario, &timeline);
    calendar.drives = drives
        .all
        .iter()
        .map(|drive| crate::study::answer::Span {
            from_s: at(drive.from_s),
            to_s: at(drive.to_s),
        })
        .collect();
    let answer = LearnAnswer {
        heading: heading(scenario, &timeline, settings, trip.ensemble.trials),
        log: LogRead {
            rows: meters.iter().map(|meter| meter.read.rows).sum(),
            from: span[0].clone(),
            to: span[1].clone(),
            gaps: meters.iter().map(|meter| meter.read.gaps).sum(),
            banks: meters.iter().map(|meter| meter.read.clone()).collect(),
        },
        drives: Driven {
            from: drives.from,
            each: driven
                .into_iter()
                .map(|(from_s, to_s)| DrivenOnce {
                    from: rfc3339(zone, from_s),
                    to: rfc3339(zone, to_s),
                })
                .collect(),
        },
        fit: fit(&before, after.as_ref()),
        nights: found.nights,
        found: found.found,
        cannot_tell: found.cannot_tell,
        changes,
        chance,
        warnings: trip.warnings(),
        lines: before.lines,
        calendar,
    };
    Ok((answer, right))
}

fn fit(before: &Held, after: Option<&Held>) -> Fit {
    let inside = before.days.iter().filter(|day| day.inside).count();
    Fit {
        rms_points: tidy(before.rms_points()),
        rms_points_put_right: after.map(|after| tidy(after.rms_points())),
        inside: chance(inside as u64, before.days.len().max(1) as u64),
        days: before
            .days
            .iter()
            .map(|day| super::answer::FitDay {
                measured_soc: tidy(day.measured_soc),
                p10: tidy(day.p10),
                p50: tidy(day.p50),
                p90: tidy(day.p90),
                ..day.clone()
            })
            .collect(),
    }
}
