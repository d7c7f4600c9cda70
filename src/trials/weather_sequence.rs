//! The weather of a trial, laid open.
//!
//! One job: the days that a trial meets, for whoever wants to look at them or test them. They are
//! drawn by the same code as in a run.

use chrono::NaiveDate;

use super::chance::{Chance, Chances};
use super::day_draws::ClimateKeys;
use super::weather_draws::{Weather, WeatherDraws};
use crate::sky::sky_light::SkyLight;
use crate::timeline::Timeline;

/// One day of a trial's weather.
#[derive(Debug, Clone, PartialEq)]
pub struct WeatherDay {
    /// Local date.
    pub date: NaiveDate,
    /// Clearness index of the day, 0 to 1.
    pub kt: f64,
    /// Lowest temperature, °C.
    pub min_c: f64,
    /// Highest temperature, °C.
    pub max_c: f64,
    /// Hour of local mean solar time, 0 to 23, and its light: the hours with sun.
    pub hours: Vec<(usize, SkyLight)>,
}

/// The weather of a plan's days in each trial of `trials`, from the day before the beginning to the
/// day after the latest end. A run under the same seed meets the same.
pub fn weather_days(
    timeline: &Timeline,
    seed: u64,
    trials: impl IntoIterator<Item = Chance>,
) -> impl Iterator<Item = Vec<WeatherDay>> {
    let draws = WeatherDraws::new(timeline, ClimateKeys::new(seed, seed));
    let mut weather = Weather::default();
    trials.into_iter().map(move |chance| {
        draws.draw(&Chances::one(chance), &mut weather);
        let slots = &timeline.sun.slots;
        (0..timeline.days.len())
            .map(|day| {
                let (first, end) = draws.slots[day];
                WeatherDay {
                    date: timeline.days[day].date,
                    kt: weather.kt[day][0],
                    min_c: weather.min_c[day][0],
                    max_c: weather.max_c[day][0],
                    hours: (first..end)
                        .map(|slot| (slots[slot].hour, weather.light[slot].of(0)))
                        .collect(),
                }
            })
            .collect()
    })
}
