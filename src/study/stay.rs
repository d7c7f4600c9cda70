//! `stay`: how many days can we stay parked here, from now on?

use std::sync::Arc;

use super::answer::{StayAnswer, StayBank, StayNight, StayResult, Warning};
use super::assemble::{bands, calendar, fridges, nights, per_day_wh, survival};
use super::figures::{autonomy, percentile};
use super::rest_of_trip::{OnwardRuns, rest_of_trip};
use super::settings::Settings;
use super::simulation::{Besides, Simulation};
use crate::scenario::{Role, Scenario};
use crate::timeline::calendar::Plan;
use crate::timeline::here::Here;
use crate::timeline::weather_days::WeatherError;
use crate::timeline::{Past, Timeline};
use crate::trials::{Behind, Progress, Seeds};
use crate::units::Whole;

/// How far `stay` looks without another word, days.
pub const DEFAULT_HORIZON_DAYS: u32 = 30;

/// What is asked of a stay.
#[derive(Debug, Clone, PartialEq)]
pub struct StayQuestion {
    /// Where and when, and what is known there; its stop is known.
    pub here: Arc<Here>,
    /// How far to look.
    pub horizon_days: u32,
    /// Step of the time parked, minutes; `None`: that of the settings.
    pub step_minutes: Option<u32>,
}

impl StayQuestion {
    /// With the horizon that goes without saying.
    #[must_use]
    pub fn of(here: Arc<Here>) -> Self {
        Self {
            here,
            horizon_days: DEFAULT_HORIZON_DAYS,
            step_minutes: None,
        }
    }
}

/// Works out a stay.
///
/// # Errors
/// [`WeatherError`] where a day has no climate.
pub fn stay(
    scenario: &Scenario,
    question: &StayQuestion,
    settings: &Settings,
    progress: &dyn Progress,
) -> Result<StayAnswer, WeatherError> {
    let horizon_days = question.horizon_days;
    let stop = question.here.stop.unwrap_or(0);
    // What led up to here is the same whatever comes after.
    let past = Past::new(scenario, &question.here, settings.step_minutes)?;
    let seeds = Seeds::all(settings.seed);
    let behind = Behind::new(&past, seeds, &[]);
    let trials = if settings.typical {
        0
    } else {
        settings.run.trials
    };
    let behind = behind.worked_out(trials, settings.run.threads);
    let plan = Plan::Rest {
        here: Arc::clone(&past.here),
        horizon_days,
    };
    let parked = Settings {
        step_minutes: question.step_minutes.unwrap_or(settings.step_minutes),
        ..settings.clone()
    };
    let ahead = Timeline::going_on(scenario, &plan, parked.step_minutes, &past)?;
    let besides = Besides {
        behind: Some(&behind),
        ..Besides::default()
    };
    let run = Simulation::run(scenario, &parked, ahead, &besides, progress)?;
    let Simulation {
        timeline, ensemble, ..
    } = &run;
    let mut warnings = run.warnings();
    warnings.extend(unknown_charge(scenario, question));
    let house_nights = house_nights(&run);
    let nights_at_aim = house_nights
        .iter()
        .take_while(|night| night.chance_so_far.value >= scenario.aim_chance)
        .count();
    let rest = rest_of_trip(&OnwardRuns {
        scenario,
        past: &past,
        behind: &behind,
        settings,
    })?;
    Ok(StayAnswer {
        result: StayResult {
            heading: run.heading(),
            stop: scenario.itinerary.stop_name(stop),
            horizon_days,
            banks: (0..scenario.banks.len())
                .map(|bank| StayBank {
                    id: scenario.banks[bank].id.clone(),
                    autonomy_days: autonomy(&ensemble.banks[bank].autonomy_days),
                    nights: nights(&run, bank),
                    per_day_wh: per_day_wh(&run, bank),
                })
                .collect(),
            stay_until: stay_until(timeline, nights_at_aim),
            lasts_until: lasts_until(&run),
            nights: house_nights,
            rest: rest.rows,
            next_drive: rest.next_drive,
            fridges: fridges(&run),
            warnings,
        },
        aim_chance: scenario.aim_chance,
        nights_at_aim: u32::try_from(nights_at_aim).unwrap_or(u32::MAX),
        nights_planned: rest.nights_planned,
        aim_beyond_horizon: nights_at_aim > 0 && nights_at_aim == timeline.nights.len(),
        binding_bank: binding_bank(&run),
        survival: survival(&run, f64::from(horizon_days)),
        bands: bands(&run),
        calendar: calendar(scenario, timeline),
    })
}

/// Until when the charge lasts at the aim's chance; `None`: beyond the horizon.
fn lasts_until(run: &Simulation) -> Option<String> {
    let first_days = &run.ensemble.house_autonomy_days;
    let days = percentile(first_days, 1.0 - run.scenario.aim_chance);
    let after_s = i64::cut(days * 86_400.0);
    days.is_finite()
        .then(|| run.local(run.timeline.calendar.start_s + after_s))
}

fn house_nights(run: &Simulation) -> Vec<StayNight> {
    let (trials, short) = (run.ensemble.trials, &run.ensemble.house_nights);
    let nights = run.timeline.calendar.nights.iter().zip(short);
    nights
        .map(|(times, (short, short_by_end))| StayNight {
            date: times.date.to_string(),
            chance_no_shortfall: run.chance(trials - short),
            chance_so_far: run.chance(trials - short_by_end),
        })
        .collect()
}

/// The morning after the last of the first nights that meet the aim.
fn stay_until(timeline: &Timeline, nights_at_aim: usize) -> Option<String> {
    let last = timeline
        .calendar
        .nights
        .get(nights_at_aim.checked_sub(1)?)?;
    last.date.succ_opt().map(|morning| morning.to_string())
}

/// The house bank that most often is the first to fall short.
fn binding_bank(run: &Simulation) -> Option<String> {
    let (scenario, ensemble) = (&run.scenario, &run.ensemble);
    let firsts = |bank: usize| {
        ensemble.banks[bank]
            .autonomy_days
            .iter()
            .zip(&ensemble.house_autonomy_days)
            .filter(|(own, first)| own.is_finite() && own <= first)
            .count()
    };
    let house = scenario.house_banks().into_iter();
    house
        .map(|bank| (firsts(bank), bank))
        .filter(|(count, _)| *count > 0)
        .max_by_key(|(count, bank)| (*count, usize::MAX - bank))
        .map(|(_, bank)| scenario.banks[bank].id.clone())
}

fn unknown_charge(scenario: &Scenario, question: &StayQuestion) -> Option<Warning> {
    let unknown: Vec<&str> = scenario
        .banks
        .iter()
        .enumerate()
        .filter(|(index, bank)| question.here.reading(*index).is_none() && bank.role == Role::House)
        .map(|(_, bank)| bank.id.as_str())
        .collect();
    (!unknown.is_empty()).then(|| {
        let text = format!(
            "the charge of {} now is what the trip as planned would have left: give what the meter shows with --soc \
             {}=62%",
            unknown.join(", "),
            unknown[0]
        );
        Warning::new("/banks", text)
    })
}
