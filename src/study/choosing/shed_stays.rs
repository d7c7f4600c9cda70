//! Stays with some loads switched off, for `shed`.
//!
//! One job: the days of each trial at the stop of the longest stay, run no further than the days that 9 in
//! 10 last need: a month of a bank that has long been empty tells nothing of them.

use std::sync::Arc;

use super::ChoosingError;
use super::shed::HORIZON_DAYS;
use crate::engine::LoadTotals;
use crate::scenario::{Changes, ChargerSource, Scenario};
use crate::study::settings::Settings;
use crate::study::simulation::{Besides, Simulation};
use crate::timeline::Timeline;
use crate::timeline::calendar::{NominalCalendar, Plan};
use crate::timeline::here::Here;
use crate::timeline::weather_days::WeatherError;
use crate::trials::Silent;
use crate::units::Whole;

/// Trials of a stay at most: the days are told to a tenth.
const TRIALS: u64 = 512;

/// How far is looked, days: on to the next where too few trials have fallen short.
const HORIZONS: [u32; 4] = [5, 10, 18, HORIZON_DAYS];

/// What a stay came to.
pub(super) struct Stay {
    /// Days to the first shortfall of each trial; infinite: beyond what was looked at.
    pub(super) days: Vec<f32>,
    /// What each load asked for.
    pub(super) loads: Vec<LoadTotals>,
    /// Number of the horizon that was enough.
    pub(super) horizon: usize,
}

/// The stay of a scenario as it is, to each horizon.
pub(super) struct Stays {
    scenario: Scenario,
    settings: Settings,
    timelines: Vec<Timeline>,
    /// The stop.
    pub(super) stop: usize,
    /// Banks that their meters show below the reserve: how long they last is told by their cut-off.
    to_cutoff: Vec<usize>,
}

impl Stays {
    /// At the stop with the most nights, or from here on at the stop where one stands.
    pub(super) fn new(trip: &Simulation) -> Result<Self, ChoosingError> {
        let to_cutoff = short_now(&trip.scenario, trip.settings.here.as_deref());
        let scenario = held_to_cutoff(&trip.scenario, &to_cutoff)?;
        let legs = &scenario.itinerary.legs;
        let longest = (0..legs.len()).max_by_key(|&leg| (legs[leg].nights, usize::MAX - leg));
        let turn = trip.timeline.calendar.turn;
        let stop = turn.map_or(longest, |turn| turn.leg).unwrap_or(0);
        let planned = NominalCalendar::new(&scenario, &Plan::Trip);
        let settings = trip.settings.coarse(TRIALS);
        let timeline = |horizon_days: u32| {
            let plan = match &settings.here {
                Some(here) => Plan::Rest {
                    here: Arc::clone(here),
                    horizon_days,
                },
                None => Plan::Stay {
                    stop,
                    now_s: planned.legs[stop].arrive_s,
                    horizon_days,
                },
            };
            Timeline::new(&scenario, plan, settings.step_minutes)
        };
        let timelines: Result<_, WeatherError> = HORIZONS.map(timeline).into_iter().collect();
        Ok(Self {
            timelines: timelines?,
            scenario,
            settings,
            stop,
            to_cutoff,
        })
    }

    /// Ids of the banks whose days are told by their cut-off.
    pub(super) fn named_to_cutoff(&self) -> Vec<String> {
        let banks = self.to_cutoff.iter();
        banks
            .map(|&bank| self.scenario.banks[bank].id.clone())
            .collect()
    }

    /// The stay without some loads, looked at as far as horizon number `from` or farther.
    pub(super) fn run(&self, off: &[usize], from: usize) -> Result<Stay, ChoosingError> {
        let scenario = without(&self.scenario, off)?;
        let mut found = None;
        for (horizon, timeline) in self.timelines.iter().enumerate().skip(from) {
            let timeline = timeline.of_switched_off(&self.scenario, &scenario)?;
            let besides = Besides::default();
            let run = Simulation::run(&scenario, &self.settings, timeline, &besides, &Silent)?;
            let ensemble = run.ensemble;
            let days = ensemble.house_autonomy_days;
            let is_told = tells_p10(&days);
            found = Some(Stay {
                days,
                loads: ensemble.totals.loads,
                horizon,
            });
            if is_told {
                break;
            }
        }
        found.ok_or(ChoosingError::Nothing("there is no horizon"))
    }
}

/// House banks that their meters show below the reserve and that feed no charger, which would stop at the reserve.
fn short_now(scenario: &Scenario, here: Option<&Here>) -> Vec<usize> {
    let Some(here) = here else {
        return Vec::new();
    };
    let is_short = |bank: &usize| {
        let reading = here.reading(*bank);
        let mut chargers = scenario.chargers.iter();
        reading.is_some_and(|reading| reading.is_below(scenario.banks[*bank].reserve_soc))
            && !chargers.any(|charger| charger.from == ChargerSource::Bank(*bank))
    };
    scenario
        .house_banks()
        .into_iter()
        .filter(is_short)
        .collect()
}

/// The scenario with some banks short only once they drop their loads.
fn held_to_cutoff(scenario: &Scenario, banks: &[usize]) -> Result<Scenario, ChoosingError> {
    let changes = banks.iter().fold(Changes::default(), |changes, &bank| {
        let bank = &scenario.banks[bank];
        changes.and(format!("banks.{}.reserve_soc", bank.id), bank.cutoff_soc)
    });
    let broken = |error| ChoosingError::of_change("reserve", "reserve", error);
    scenario.with(&changes).map_err(broken)
}

/// Whether so many trials have fallen short that no resample of them has its first decile beyond: five
/// standard errors more than a tenth.
fn tells_p10(days: &[f32]) -> bool {
    let (short, count) = (
        days.iter().filter(|days| days.is_finite()).count().real(),
        days.len().real(),
    );
    short > 0.1 * count + 5.0 * (0.09 * count).sqrt() + 1.0
}

/// The scenario with some loads switched off; they keep their places.
pub(super) fn without(scenario: &Scenario, off: &[usize]) -> Result<Scenario, ChoosingError> {
    let ids = off.iter().map(|&load| &scenario.loads[load].id);
    let changes = ids.fold(Changes::default(), |changes, id| {
        changes.and(format!("loads.{id}.off"), true)
    });
    let broken = |error| ChoosingError::of_change("switched off", "switched off", error);
    scenario.with(&changes).map_err(broken)
}
