//! Days drawn from a climate, for trials side by side.
//!
//! One job: the next day's clearness and temperatures. The hours within it are drawn in
//! `trials::weather_draws`; days of a record are there too.

use chrono::{Datelike, NaiveDate};

use super::chance::Chances;
use super::climate_truth::ClimateTruth;
use super::random::StreamKey;
use super::said_sky::{said_deviate, said_kt};
use crate::sky::clearness::MAX_MEAN_KT;
use crate::sky::day_climate::DayClimate;
use crate::sky::day_persistence::{DayPersistence, DayRuns};
use crate::sky::day_temperature::{ANOMALY_LAG1, MAX_KT_CORRELATION, MIN_KT_CORRELATION};
use crate::sky::normal::normal_quantiles;
use crate::timeline::here::SkyWord;

/// Places of a stream that belong to one day.
pub(super) const PLACES_A_DAY: u64 = 64;

/// Keys of what is drawn of a climate.
#[derive(Debug, Clone, Copy)]
pub(crate) struct ClimateKeys {
    /// Days and hours.
    pub(crate) weather: StreamKey,
    /// The truth of the climate.
    pub(crate) truth: StreamKey,
}

impl ClimateKeys {
    pub(crate) fn new(weather_seed: u64, truth_seed: u64) -> Self {
        Self {
            weather: StreamKey::new(weather_seed, "weather"),
            truth: StreamKey::new(truth_seed, "climate"),
        }
    }
}

/// One day of each trial.
pub(crate) struct DrawnDay<const N: usize> {
    pub(crate) kt: [f64; N],
    pub(crate) min_c: [f64; N],
    pub(crate) max_c: [f64; N],
}

/// Successive days of trials side by side.
pub(crate) struct DayDraws<'a, const N: usize> {
    keys: ClimateKeys,
    runs: DayRuns<'a, N>,
    truth: ClimateTruth<N>,
    anomaly: Option<[f64; N]>,
}

impl<'a, const N: usize> DayDraws<'a, N> {
    /// Begins with a day that knows none before it.
    pub(crate) fn new(keys: ClimateKeys, persistence: &'a DayPersistence) -> Self {
        Self {
            keys,
            runs: persistence.runs(),
            truth: ClimateTruth::new(keys.truth),
            anomaly: None,
        }
    }

    /// The next day, of that date and climate; what a forecast says of it goes before both the draw and the truth.
    pub(crate) fn next(
        &mut self,
        date: NaiveDate,
        climate: &DayClimate,
        said: Option<SkyWord>,
        chances: &Chances<N>,
    ) -> DrawnDay<N> {
        if matches!(chances, Chances::Mean) {
            let middle = |said| said_kt(said, &climate.kt, said_deviate(said, &climate.kt, 0.5));
            return DrawnDay {
                kt: [said.map_or(climate.kt.mean(), middle); N],
                min_c: [climate.min_c; N],
                max_c: [climate.max_c; N],
            };
        }
        let (first, second) = chances.uniforms(self.keys.weather, first_place(date));
        let second = normal_quantiles(&second);
        let clearness = if let Some(said) = said {
            let deviates = first.map(|uniform| said_deviate(said, &climate.kt, uniform));
            self.runs.set(deviates);
            deviates
        } else {
            self.runs.next(&normal_quantiles(&first))
        };
        let anomaly = match self.anomaly {
            Some(before) => {
                std::array::from_fn(|lane| follow(before[lane], ANOMALY_LAG1, second[lane]))
            }
            None => second,
        };
        self.anomaly = Some(anomaly);
        let truth = self.truth.factor(date, climate.mean_rel_sd, chances);
        let mut day = DrawnDay {
            kt: [0.0; N],
            min_c: [0.0; N],
            max_c: [0.0; N],
        };
        for lane in 0..N {
            day.kt[lane] = if let Some(said) = said {
                said_kt(said, &climate.kt, clearness[lane])
            } else {
                let kt = climate.kt.kt(clearness[lane]);
                // A brighter truth makes no day clearer than a sky can be.
                (kt * truth[lane]).min(kt.max(MAX_MEAN_KT))
            };
            (day.min_c[lane], day.max_c[lane]) =
                temperatures(climate, clearness[lane], anomaly[lane]);
        }
        day
    }
}

/// Where the draws of a date begin in its stream.
pub(super) fn first_place(date: NaiveDate) -> u64 {
    u64::try_from(date.num_days_from_ce()).unwrap_or(0) * PLACES_A_DAY
}

/// One step of a first-order autoregression with unit variance.
#[inline]
pub(super) fn follow(before: f64, lag: f64, deviate: f64) -> f64 {
    lag * before + (1.0 - lag * lag).sqrt() * deviate
}

/// Lowest and highest temperature of a day. Both follow one anomaly; clear days swing more.
fn temperatures(climate: &DayClimate, clearness: f64, anomaly: f64) -> (f64, f64) {
    let part = |correlation: f64| {
        correlation * clearness + (1.0 - correlation * correlation).sqrt() * anomaly
    };
    let min_c = climate.min_c + climate.anomaly_sd_c * part(MIN_KT_CORRELATION);
    let max_c = climate.max_c + climate.anomaly_sd_c * part(MAX_KT_CORRELATION);
    if max_c >= min_c {
        (min_c, max_c)
    } else {
        (0.5 * (min_c + max_c), 0.5 * (min_c + max_c))
    }
}
