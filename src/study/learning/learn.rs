//! `learn`: a log against the model.
//!
//! One job: logs to meters, drives, findings, bands and the scenario put right, in that order.

use super::answer::{Driven, DrivenOnce, Fit, FitDay, LearnAnswer, LogRead, WasIs};
use super::drives::{Drives, drives};
use super::findings::findings;
use super::ground::{Ground, dark};
use super::held::{Held, held};
use super::meter::{Meter, ends_of, meter};
use super::model::traces;
use super::put_right::put_right;
use super::question::{LearnError, LearnQuestion};
use crate::scenario::Scenario;
use crate::study::answer::{Calendar, Span};
use crate::study::assemble::{calendar, rfc3339};
use crate::study::figures::{chance, tidy};
use crate::study::settings::Settings;
use crate::study::simulation::Simulation;
use crate::timeline::Timeline;
use crate::timeline::calendar::Plan;
use crate::trials::Progress;
use crate::units::Whole;

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
    let offer_a = offers(scenario, &timeline);
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
    let run = (settings.seed, usize::try_from(trials).unwrap_or(1));
    let mut before = held(scenario, &timeline, &drives, &meters, run);
    let after = if changes.0.is_empty() {
        None
    } else {
        let timeline = timeline.of_changed(scenario, &right)?;
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
    let answer = LearnAnswer {
        heading: trip.heading(),
        log: LogRead {
            rows: meters.iter().map(|meter| meter.read.rows).sum(),
            from: span[0].clone(),
            to: span[1].clone(),
            gaps: meters.iter().map(|meter| meter.read.gaps).sum(),
            banks: meters.iter().map(|meter| meter.read.clone()).collect(),
        },
        drives: driven(scenario, &timeline, &meters, &drives),
        fit: fit(&before, after.as_ref()),
        nights: found.nights,
        found: found.found,
        cannot_tell: found.cannot_tell,
        changes,
        chance,
        warnings: trip.warnings(),
        lines: before.lines,
        calendar: calendar_of(scenario, &timeline, &drives),
    };
    Ok((answer, right))
}

/// What the panels of each bank could give without chance, by the plan, A by step.
fn offers(scenario: &Scenario, timeline: &Timeline) -> Vec<Vec<f64>> {
    let plan = traces(scenario, timeline, None, &[]);
    let mut offers = vec![vec![0.0; timeline.steps]; scenario.banks.len()];
    for (panel, offer_a) in scenario.solar.iter().zip(&plan.offer_a) {
        for (sum, amps) in offers[panel.to].iter_mut().zip(offer_a) {
            *sum += amps;
        }
    }
    offers
}

/// UTC seconds of seconds since the start.
fn utc_s(timeline: &Timeline, since_s: f64) -> i64 {
    let since_s = i64::cut(since_s);
    timeline.calendar.start_s + since_s
}

/// The drives that began within a log.
fn driven(scenario: &Scenario, timeline: &Timeline, meters: &[Meter], drives: &Drives) -> Driven {
    let zone = &scenario.itinerary.zone;
    let is_logged = |at_s: f64| {
        meters.iter().any(|meter| {
            let ends = (meter.row_s.first(), meter.row_s.last());
            ends.0.is_some_and(|from_s| *from_s <= at_s + 3600.0)
                && ends.1.is_some_and(|to_s| *to_s >= at_s)
        })
    };
    let logged = drives.all.iter().filter(|drive| is_logged(drive.from_s));
    Driven {
        from: drives.from,
        each: logged
            .map(|drive| DrivenOnce {
                from: rfc3339(zone, utc_s(timeline, drive.from_s)),
                to: rfc3339(zone, utc_s(timeline, drive.to_s)),
                unsure: (drives.unsure.iter())
                    .find(|(at_s, _)| (drive.from_s..=drive.to_s).contains(at_s))
                    .map(|(_, how)| *how),
            })
            .collect(),
    }
}

/// The calendar of the picture, with the drives as they were.
fn calendar_of(scenario: &Scenario, timeline: &Timeline, drives: &Drives) -> Calendar {
    let drives = drives.all.iter();
    Calendar {
        drives: drives
            .map(|drive| Span {
                from_s: utc_s(timeline, drive.from_s),
                to_s: utc_s(timeline, drive.to_s),
            })
            .collect(),
        ..calendar(scenario, timeline)
    }
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
            .map(|day| FitDay {
                measured_soc: tidy(day.measured_soc),
                p10: tidy(day.p10),
                p50: tidy(day.p50),
                p90: tidy(day.p90),
                ..day.clone()
            })
            .collect(),
    }
}
