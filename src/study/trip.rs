//! `trip`: does this itinerary work?

use super::answer::{AlternatorUse, TripAnswer, TripBank, TripResult, Warning};
use super::assemble::{bands, calendar, fridges, heading, nights, per_day_wh, survival};
use super::climate_notes::climate_notes;
use super::figures::{autonomy, chance, percentile, soc_percentiles, tidy};
use super::run_warnings::run_warnings;
use super::settings::Settings;
use super::weak_point::{weak_point, weakest};
use crate::scenario::Scenario;
use crate::timeline::Timeline;
use crate::timeline::calendar::Plan;
use crate::timeline::weather_days::WeatherError;
use crate::trials::{Drawing, Ensemble, Progress, run_trials, run_typical};

/// Largest current asked of the alternator: this percentile over trials.
const PEAK_PERCENTILE: f64 = 0.99;

/// Runs a trip. `warnings` are those of the file; what the run finds is added.
///
/// # Errors
/// [`WeatherError`] where a day has no climate.
pub fn trip(
    scenario: &Scenario,
    settings: &Settings,
    warnings: &[Warning],
    progress: &dyn Progress,
) -> Result<TripAnswer, WeatherError> {
    let timeline = Timeline::new(scenario, Plan::Trip, settings.step_minutes)?;
    let drawing = Drawing::new(scenario, &timeline, settings.seed, &[]);
    let ensemble = if settings.typical {
        run_typical(&timeline, &drawing, &mut crate::engine::Unobserved)
    } else {
        run_trials(&timeline, &drawing, &settings.run, progress)
    };
    Ok(trip_answer(
        scenario, settings, &timeline, &ensemble, warnings,
    ))
}

/// The answer of a trip from its trials.
#[must_use]
pub fn trip_answer(
    scenario: &Scenario,
    settings: &Settings,
    timeline: &Timeline,
    ensemble: &Ensemble,
    warnings: &[Warning],
) -> TripAnswer {
    let trials = ensemble.trials;
    let banks: Vec<TripBank> = (0..scenario.banks.len())
        .map(|index| trip_bank(scenario, timeline, ensemble, index))
        .collect();
    let house_never = never(&ensemble.house_autonomy_days);
    let weak = (0..banks.len())
        .filter(|&bank| timeline.plant.banks[bank].is_house && banks[bank].weakest.is_some())
        .min_by(|&a, &b| {
            banks[a]
                .chance_no_shortfall
                .value
                .total_cmp(&banks[b].chance_no_shortfall.value)
        })
        .and_then(|bank| Some((bank, banks[bank].weakest.clone()?)));
    let mut all_warnings = warnings.to_vec();
    all_warnings.extend(climate_notes(scenario, timeline, None));
    for warning in run_warnings(scenario, timeline, ensemble) {
        let is_known = all_warnings.iter().any(|known| known.path == warning.path);
        if !is_known || warning.path.matches('/').count() < 3 {
            all_warnings.push(warning);
        }
    }
    let length_s = timeline.calendar.end_s - timeline.calendar.departure_s;
    #[expect(clippy::cast_precision_loss, reason = "seconds of a trip")]
    let length_days = length_s as f64 / 86_400.0;
    TripAnswer {
        weak_point: weak.map(|(bank, night)| weak_point(scenario, timeline, ensemble, bank, night)),
        result: TripResult {
            heading: heading(scenario, timeline, settings, trials),
            chance_no_shortfall: chance(house_never, trials),
            banks,
            alternator: scenario
                .alternator
                .as_ref()
                .map(|_| alternator_use(ensemble)),
            fridges: fridges(scenario, timeline, ensemble),
            warnings: all_warnings,
        },
        aim_chance: scenario.aim_chance,
        length_days,
        bands: bands(scenario, timeline, ensemble),
        survival: survival(scenario, timeline, ensemble, length_days),
        calendar: calendar(scenario, timeline),
    }
}

/// Trials that never fall short.
fn never(autonomy_days: &[f32]) -> u64 {
    autonomy_days
        .iter()
        .filter(|days| days.is_infinite())
        .count() as u64
}

fn trip_bank(
    scenario: &Scenario,
    timeline: &Timeline,
    ensemble: &Ensemble,
    index: usize,
) -> TripBank {
    let trials = ensemble.trials;
    let bank = &ensemble.banks[index];
    let nights = nights(scenario, timeline, ensemble, index);
    TripBank {
        id: scenario.banks[index].id.clone(),
        chance_no_shortfall: chance(never(&bank.autonomy_days), trials),
        chance_no_outage: chance(trials - bank.outages, trials),
        lowest_soc: soc_percentiles(&bank.lowest_soc),
        end_soc: soc_percentiles(&bank.end_soc),
        autonomy_days: autonomy(&bank.autonomy_days),
        weakest: weakest(&nights),
        nights,
        per_day_wh: per_day_wh(scenario, ensemble, index),
    }
}

fn alternator_use(ensemble: &Ensemble) -> AlternatorUse {
    #[expect(clippy::cast_precision_loss, reason = "counts of trials")]
    let trials = ensemble.trials as f64;
    AlternatorUse {
        oversubscribed_hours: tidy(ensemble.oversubscribed_h / trials),
        peak_a: tidy(percentile(&ensemble.peak_a, PEAK_PERCENTILE)),
    }
}
