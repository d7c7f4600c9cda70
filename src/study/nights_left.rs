//! When to turn for home: nights that can still be stayed at a stop, by the charge at dawn.
//!
//! One job: for each stop with a night, a stay without driving from its first dawn, at several
//! states of charge. One run per state of charge has every house bank at it; each bank is then
//! read on its own, which is right as long as no bank feeds another.

use serde::Serialize;

use super::assemble::rfc3339;
use super::settings::Settings;
use super::simulation::{Besides, Simulation};
use crate::scenario::Scenario;
use crate::timeline::Timeline;
use crate::timeline::calendar::Plan;
use crate::timeline::here::running_night_ends_s;
use crate::timeline::weather_days::WeatherError;
use crate::trials::Silent;
use crate::units::{Units, Whole};

/// States of charge at dawn, 0 to 1.
pub const DAWN_SOC: [f64; 5] = [1.0, 0.8, 0.6, 0.4, 0.3];

/// How many nights are looked at.
pub const MOST_NIGHTS: u32 = 10;

/// Trials a table is made from, at most: enough for whole nights.
const TRIALS: u64 = 256;

/// The tables of all stops.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct NightsLeft {
    /// The confidence aimed at.
    pub aim_chance: f64,
    /// Trials behind each number.
    pub trials: u64,
    /// Whether it is one trip without chance.
    #[serde(skip)]
    pub typical: bool,
    /// Units of what is shown.
    #[serde(skip)]
    pub units: Units,
    /// Nights looked at: a number that large means "or more".
    pub most_nights: u32,
    /// House banks, in the order of the columns.
    pub banks: Vec<String>,
    /// Whether a bank feeds another, so that a bank's column also depends on the others' charge.
    pub banks_share: bool,
    /// Stops with a night.
    pub stops: Vec<StopNightsLeft>,
}

/// The table of a stop.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct StopNightsLeft {
    /// Number of the leg, from 1.
    pub leg: usize,
    /// Name of the stop.
    pub stop: String,
    /// The dawn it begins at, RFC 3339 with the local offset.
    pub from: String,
    /// A row for each state of charge.
    pub rows: Vec<NightsLeftRow>,
}

/// Nights from one state of charge.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct NightsLeftRow {
    /// State of charge at dawn, 0 to 1.
    pub dawn_soc: f64,
    /// Nights of each house bank at the aim, by its own.
    pub nights: Vec<u32>,
    /// Nights with every house bank at this charge and none short.
    pub all: u32,
}

/// Works out every table. `trip` is the timeline of the whole trip.
///
/// # Errors
/// [`WeatherError`] where a day has no climate.
pub fn nights_left(
    scenario: &Scenario,
    settings: &Settings,
    trip: &Timeline,
) -> Result<NightsLeft, WeatherError> {
    let settings = Settings {
        here: None,
        ..settings.coarse(TRIALS)
    };
    let house = scenario.house_banks();
    let mut tables = NightsLeft {
        units: scenario.units,
        aim_chance: scenario.aim_chance,
        trials: if settings.typical {
            1
        } else {
            settings.run.trials
        },
        typical: settings.typical,
        most_nights: MOST_NIGHTS,
        banks: house
            .iter()
            .map(|&bank| scenario.banks[bank].id.clone())
            .collect(),
        banks_share: house.iter().any(|&b| !trip.plant.banks[b].feeds.is_empty()),
        stops: Vec::new(),
    };
    for (index, leg) in scenario.itinerary.legs.iter().enumerate() {
        let Some(dawn_s) = first_dawn_s(trip, index) else {
            continue;
        };
        let plan = Plan::Stay {
            stop: index,
            now_s: dawn_s,
            horizon_days: MOST_NIGHTS,
        };
        let timeline = Timeline::new(scenario, plan, settings.step_minutes)?;
        let rows = DAWN_SOC.map(|soc| {
            let mut start_soc = vec![None; scenario.banks.len()];
            for &bank in &house {
                start_soc[bank] = Some(soc);
            }
            let besides = Besides {
                start_soc: &start_soc,
                ..Besides::default()
            };
            let timeline = timeline.clone();
            let run = Simulation::run(scenario, &settings, timeline, &besides, &Silent)?;
            Ok(row(&run, &house, soc))
        });
        tables.stops.push(StopNightsLeft {
            leg: index + 1,
            stop: leg.stop.name.clone(),
            from: rfc3339(&scenario.itinerary.zone, dawn_s),
            rows: rows.into_iter().collect::<Result<_, WeatherError>>()?,
        });
    }
    Ok(tables)
}

/// The first dawn at a stop, UTC seconds.
fn first_dawn_s(trip: &Timeline, stop: usize) -> Option<i64> {
    let night = trip
        .calendar
        .nights
        .iter()
        .position(|night| night.stop == stop)?;
    let mark = trip.nights.get(night)?;
    let steps = mark.dawn_step.real() + mark.dawn_share;
    let since_s = i64::cut((steps * trip.step_s.real()).round());
    Some(trip.calendar.start_s + since_s)
}

fn row(run: &Simulation, house: &[usize], dawn_soc: f64) -> NightsLeftRow {
    let ensemble = &run.ensemble;
    let of_bank = |bank: &usize| {
        let nights = ensemble.banks[*bank].nights.iter();
        nights_at_aim(run, nights.map(|night| night.short_by_end))
    };
    let all = ensemble.house_nights.iter().map(|(_, by_end)| *by_end);
    NightsLeftRow {
        dawn_soc,
        nights: house.iter().map(of_bank).collect(),
        all: nights_at_aim(run, all),
    }
}

/// Nights in a row that meet the aim, from the coming one on: the rest of the night in which dawn breaks
/// does not count.
fn nights_at_aim(run: &Simulation, short_by_end: impl Iterator<Item = u64>) -> u32 {
    let (scenario, trials) = (&run.scenario, run.ensemble.trials);
    let chance = |short: u64| (trials - short).real() / trials.real();
    let held = short_by_end
        .take_while(|short| chance(*short) >= scenario.aim_chance)
        .count();
    let zone = &scenario.itinerary.zone;
    let running = running_night_ends_s(zone, run.timeline.calendar.start_s);
    u32::try_from(held.saturating_sub(usize::from(running.is_some())))
        .unwrap_or(MOST_NIGHTS)
        .min(MOST_NIGHTS)
}
