//! `stay`: how many days can we stay parked here, from now on?

use super::answer::{StayAnswer, StayBank, StayNight, StayResult, Warning};
use super::assemble::{bands, calendar, fridges, nights, per_day_wh, rfc3339, survival};
use super::figures::{autonomy, chance, lasting};
use super::settings::Settings;
use super::simulation::Simulation;
use crate::scenario::Scenario;
use crate::timeline::Timeline;
use crate::timeline::calendar::{NominalCalendar, Plan};
use crate::timeline::weather_days::WeatherError;
use crate::trials::{Ensemble, Progress};

/// How far `stay` looks without another word, days.
pub const DEFAULT_HORIZON_DAYS: u32 = 30;

/// What is asked of a stay.
#[derive(Debug, Clone, PartialEq)]
pub struct StayQuestion {
    /// Index of the leg whose stop it is.
    pub stop: usize,
    /// From when, UTC seconds.
    pub now_s: i64,
    /// How far to look.
    pub horizon_days: u32,
    /// State of charge of each bank, where given.
    pub start_soc: Vec<Option<f64>>,
}

impl StayQuestion {
    /// Where and when a stay is asked about: a stop without a time means from the nominal arrival
    /// there; a time without a stop means where the itinerary has the vehicle; neither means the
    /// first stop with a night, from the arrival.
    #[must_use]
    pub fn new(scenario: &Scenario, stop: Option<usize>, now_s: Option<i64>) -> Self {
        let calendar = NominalCalendar::new(scenario, Plan::Trip);
        let stop = stop.unwrap_or_else(|| match now_s {
            Some(now_s) => calendar.stop_at(now_s).unwrap_or(0),
            None => scenario
                .itinerary
                .legs
                .iter()
                .position(|leg| leg.nights > 0)
                .unwrap_or(0),
        });
        let now_s = now_s.unwrap_or(calendar.legs[stop].arrive_s);
        Self {
            stop,
            now_s,
            horizon_days: DEFAULT_HORIZON_DAYS,
            start_soc: vec![None; scenario.banks.len()],
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
    let StayQuestion {
        stop,
        now_s,
        horizon_days,
        ..
    } = *question;
    let plan = Plan::Stay {
        stop,
        now_s,
        horizon_days,
    };
    let run = Simulation::of_plan(scenario, plan, &question.start_soc, settings, progress)?;
    let Simulation {
        timeline, ensemble, ..
    } = &run;
    let mut warnings = run.warnings();
    warnings.extend(unknown_charge(scenario, question));
    let house_nights = house_nights(timeline, ensemble);
    let nights_at_aim = house_nights
        .iter()
        .take_while(|night| night.chance_so_far.value >= scenario.aim_chance)
        .count();
    Ok(StayAnswer {
        result: StayResult {
            heading: run.heading(),
            stop: scenario.itinerary.legs[stop].stop.name.clone(),
            horizon_days,
            banks: (0..scenario.banks.len())
                .map(|bank| StayBank {
                    id: scenario.banks[bank].id.clone(),
                    autonomy_days: autonomy(&ensemble.banks[bank].autonomy_days),
                    nights: nights(scenario, timeline, ensemble, bank),
                    per_day_wh: per_day_wh(scenario, ensemble, bank),
                })
                .collect(),
            stay_until: stay_until(timeline, nights_at_aim),
            nights: house_nights,
            fridges: fridges(scenario, timeline, ensemble),
            warnings,
        },
        aim_chance: scenario.aim_chance,
        nights_at_aim: u32::try_from(nights_at_aim).unwrap_or(u32::MAX),
        aim_beyond_horizon: nights_at_aim == timeline.nights.len(),
        binding_bank: binding_bank(scenario, timeline, ensemble),
        next_departure: next_departure(scenario, question, ensemble),
        survival: survival(scenario, timeline, ensemble, f64::from(horizon_days)),
        bands: bands(scenario, timeline, ensemble),
        calendar: calendar(scenario, timeline),
    })
}

fn house_nights(timeline: &Timeline, ensemble: &Ensemble) -> Vec<StayNight> {
    let trials = ensemble.trials;
    timeline
        .calendar
        .nights
        .iter()
        .zip(&ensemble.house_nights)
        .map(|(times, (short, short_by_end))| StayNight {
            date: times.date.to_string(),
            chance_no_shortfall: chance(trials - short, trials),
            chance_so_far: chance(trials - short_by_end, trials),
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
fn binding_bank(scenario: &Scenario, timeline: &Timeline, ensemble: &Ensemble) -> Option<String> {
    let firsts = |bank: usize| {
        ensemble.banks[bank]
            .autonomy_days
            .iter()
            .zip(&ensemble.house_autonomy_days)
            .filter(|(own, first)| own.is_finite() && own <= first)
            .count()
    };
    (0..scenario.banks.len())
        .filter(|&bank| timeline.plant.banks[bank].is_house)
        .map(|bank| (firsts(bank), bank))
        .filter(|(count, _)| *count > 0)
        .max_by_key(|(count, bank)| (*count, usize::MAX - bank))
        .map(|(_, bank)| scenario.banks[bank].id.clone())
}

/// The next departure of the itinerary, or its end, and the chance of no shortfall up to it.
fn next_departure(
    scenario: &Scenario,
    question: &StayQuestion,
    ensemble: &Ensemble,
) -> Option<(String, super::answer::Chance)> {
    let trip = NominalCalendar::new(scenario, Plan::Trip);
    let departures = trip
        .legs
        .iter()
        .skip(question.stop + 1)
        .map(|leg| leg.depart_s);
    let next_s = departures
        .chain([trip.end_s])
        .find(|depart_s| *depart_s > question.now_s)?;
    #[expect(clippy::cast_precision_loss, reason = "seconds of a trip")]
    let days = (next_s - question.now_s) as f64 / 86_400.0;
    if days > f64::from(question.horizon_days) {
        return None;
    }
    let chance = chance(
        lasting(&ensemble.house_autonomy_days, days),
        ensemble.trials,
    );
    Some((rfc3339(&scenario.itinerary.zone, next_s), chance))
}

fn unknown_charge(scenario: &Scenario, question: &StayQuestion) -> Option<Warning> {
    let unknown: Vec<&str> = scenario
        .banks
        .iter()
        .zip(&question.start_soc)
        .filter(|(bank, soc)| soc.is_none() && bank.role == crate::scenario::Role::House)
        .map(|(bank, _)| bank.id.as_str())
        .collect();
    (!unknown.is_empty()).then(|| Warning {
        path: "/banks".to_owned(),
        text: format!(
            "the charge of {} now is taken from `start_soc`: give what you read with --soc {}=0.62",
            unknown.join(", "),
            unknown[0]
        ),
    })
}
