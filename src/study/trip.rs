//! `trip`: does this itinerary work?

use super::answer::{AlternatorUse, Delays, Late, TripAnswer, TripBank, TripResult};
use super::assemble::{self, bands, fridges, nights, per_day_wh, survival};
use super::cold_cutoff::add_cold_cutoffs;
use super::figures::{autonomy, never, percentile, soc_percentiles, tidy};
use super::mending::mend_hint;
use super::outages::outages;
use super::overloads::overloads;
use super::settings::Settings;
use super::simulation::Simulation;
use super::weak_point::{weak_point, weakest};
use crate::scenario::{ClockTime, Scenario};
use crate::timeline::calendar::clock_utc_s;
use crate::timeline::weather_days::WeatherError;
use crate::trials::{Ensemble, Progress};
use crate::units::Whole;

/// Largest current asked of the alternator: this percentile over trials.
const PEAK_PERCENTILE: f64 = 0.99;

/// Runs a trip.
///
/// # Errors
/// [`WeatherError`] where a day has no climate.
pub fn trip(
    scenario: &Scenario,
    settings: &Settings,
    progress: &dyn Progress,
) -> Result<TripAnswer, WeatherError> {
    Simulation::trip(scenario, settings, progress).map(|trip| trip_answer(&trip))
}

/// The answer of a trip from its trials.
#[must_use]
pub fn trip_answer(trip: &Simulation) -> TripAnswer {
    let Simulation {
        scenario,
        timeline,
        ensemble,
        ..
    } = trip;
    let banks: Vec<TripBank> = (0..scenario.banks.len())
        .map(|index| trip_bank(trip, index))
        .collect();
    let weak = (0..banks.len())
        .filter(|&bank| timeline.plant.banks[bank].is_house && banks[bank].weakest.is_some())
        .min_by(|&a, &b| {
            banks[a]
                .chance_no_shortfall
                .value
                .total_cmp(&banks[b].chance_no_shortfall.value)
        })
        .and_then(|bank| weak_point(trip, bank, &banks[bank].nights));
    let mut bands = bands(trip);
    add_cold_cutoffs(trip, &mut bands);
    let calendar = &timeline.calendar;
    let room_s = 86_400 * i64::from(calendar.room_days);
    let length_s = calendar.end_s + room_s - calendar.departure_s;
    let length_days = length_s.real() / 86_400.0;
    TripAnswer {
        mend: mend_hint(trip),
        weak_point: weak,
        result: TripResult {
            heading: trip.heading(),
            chance_no_shortfall: trip.chance_no_shortfall(),
            banks,
            outages: outages(trip),
            overloads: overloads(trip),
            alternator: scenario
                .alternator
                .as_ref()
                .map(|_| alternator_use(ensemble)),
            fridges: fridges(trip),
            delays: delays(ensemble),
            late: late(trip),
            warnings: trip.warnings(),
        },
        aim_chance: scenario.aim_chance,
        length_days,
        bands,
        survival: survival(trip, length_days),
        calendar: assemble::calendar(scenario, timeline),
    }
}

/// What came of the delays of the trials.
fn delays(ensemble: &Ensemble) -> Option<Delays> {
    let days = &ensemble.delay_days;
    if days.is_empty() {
        return None;
    }
    let part = |count: usize, of: usize| (of > 0).then(|| tidy(count.real() / of.real()));
    let is_short = ensemble
        .house_autonomy_days
        .iter()
        .map(|days| days.is_finite());
    let delayed = days.iter().filter(|days| **days > 0).count();
    let short = is_short.clone().filter(|is_short| *is_short).count();
    let both = days.iter().zip(is_short);
    let both = both
        .filter(|(days, is_short)| **days > 0 && *is_short)
        .count();
    let sum: u32 = days.iter().sum();
    Some(Delays {
        share: part(delayed, days.len())?,
        mean_days: part(usize::try_from(sum).unwrap_or(0), delayed).unwrap_or(0.0),
        share_of_shortfalls: part(both, short),
        short_with_delay: part(both, delayed),
    })
}

/// Trips that end after the date by which they should have.
fn late(trip: &Simulation) -> Option<Late> {
    let itinerary = &trip.scenario.itinerary;
    let last = itinerary.no_later_than?;
    let too_late = clock_utc_s(&itinerary.zone, last.succ_opt()?, ClockTime::new(0)?);
    let within_s = trip.timeline.calendar.since_s(too_late);
    let ends_s = trip.ensemble.end_s.iter();
    let late = ends_s.filter(|&&end_s| f64::from(end_s) >= within_s);
    Some(Late {
        no_later_than: last.to_string(),
        chance: trip.chance(late.count() as u64),
    })
}

fn trip_bank(trip: &Simulation, index: usize) -> TripBank {
    let bank = &trip.ensemble.banks[index];
    let nights = nights(trip, index);
    TripBank {
        id: trip.scenario.banks[index].id.clone(),
        chance_no_shortfall: trip.chance(never(&bank.autonomy_days)),
        chance_no_outage: trip.chance(trip.ensemble.trials - bank.outages),
        lowest_soc: soc_percentiles(&bank.lowest_soc),
        end_soc: soc_percentiles(&bank.end_soc),
        autonomy_days: autonomy(&bank.autonomy_days),
        weakest: weakest(&nights),
        nights,
        per_day_wh: per_day_wh(trip, index),
    }
}

fn alternator_use(ensemble: &Ensemble) -> AlternatorUse {
    let trials = ensemble.trials.real();
    AlternatorUse {
        oversubscribed_hours: tidy(ensemble.oversubscribed_h / trials),
        peak_a: tidy(percentile(&ensemble.peak_a, PEAK_PERCENTILE)),
    }
}
