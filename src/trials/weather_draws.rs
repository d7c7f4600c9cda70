//! The weather of one trial: clearness and temperatures of each day, light of each hour.
//!
//! One job: the sequence. Distributions and hour shapes are in `sky`; the record's days are read
//! there too.

use chrono::Datelike;

use super::chance::Chance;
use super::random::StreamKey;
use crate::sky::day_climate::DayClimate;
use crate::sky::day_temperature::{ANOMALY_LAG1, MAX_KT_CORRELATION, MIN_KT_CORRELATION};
use crate::sky::history::HistoryDay;
use crate::sky::hours::{HOUR_LAG1, hold_day_total, hour_kt, trend_kt};
use crate::sky::normal::normal_quantile;
use crate::sky::sky_light::SkyLight;
use crate::timeline::Timeline;
use crate::timeline::sun_steps::HourSlot;
use crate::timeline::weather_days::{RecordDays, SyntheticDays, WeatherSource};

/// Places of a stream that belong to one day.
const PLACES_A_DAY: u64 = 64;

/// Weather of one trial, in the order of the timeline's days and hour slots.
#[derive(Debug, Clone, Default)]
pub(crate) struct TrialWeather {
    pub(crate) min_c: Vec<f64>,
    pub(crate) max_c: Vec<f64>,
    pub(crate) light: Vec<SkyLight>,
    pub(crate) kt: Vec<f64>,
    record_day: Vec<usize>,
}

/// What the weather of a plan is drawn from.
pub(crate) struct WeatherDraws<'a> {
    timeline: &'a Timeline,
    key: StreamKey,
    /// First slot of each day and the one after its last.
    slots: Vec<(usize, usize)>,
    day_numbers: Vec<u64>,
}

impl<'a> WeatherDraws<'a> {
    pub(crate) fn new(timeline: &'a Timeline, seed: u64) -> Self {
        let slots = &timeline.sun.slots;
        Self {
            timeline,
            key: StreamKey::new(seed, "weather"),
            slots: (0..timeline.days.len())
                .map(|day| {
                    let first = slots.partition_point(|slot| slot.day < day);
                    (first, slots.partition_point(|slot| slot.day <= day))
                })
                .collect(),
            day_numbers: timeline
                .days
                .iter()
                .map(|day| u64::try_from(day.date.num_days_from_ce()).unwrap_or(0))
                .collect(),
        }
    }

    /// Draws a trial's weather into `weather`, whose room is reused.
    pub(crate) fn draw(&self, chance: Chance, weather: &mut TrialWeather) {
        weather.min_c.clear();
        weather.max_c.clear();
        weather.kt.clear();
        weather.light.clear();
        match &self.timeline.weather {
            WeatherSource::Synthetic(days) => self.synthetic(days, chance, weather),
            WeatherSource::Record(record) => self.record(record, chance, weather),
        }
    }

    fn synthetic(&self, days: &SyntheticDays, chance: Chance, weather: &mut TrialWeather) {
        let mut run = days.persistence.run();
        let mut anomaly = 0.0;
        for (day, climate) in days.climates.iter().enumerate() {
            if chance == Chance::Mean {
                weather.kt.push(climate.kt.mean());
                weather.min_c.push(climate.min_c);
                weather.max_c.push(climate.max_c);
                self.mean_hours(day, climate.kt.mean(), weather);
                continue;
            }
            let (first, second) = chance.uniforms(self.key, self.day_numbers[day] * PLACES_A_DAY);
            let lag_c = if day == 0 { 0.0 } else { ANOMALY_LAG1 };
            let clearness = run.next(normal_quantile(first));
            anomaly = follow(anomaly, lag_c, normal_quantile(second));
            let kt = climate.kt.kt(clearness);
            let (min_c, max_c) = temperatures(climate, clearness, anomaly);
            weather.kt.push(kt);
            weather.min_c.push(min_c);
            weather.max_c.push(max_c);
            self.drawn_hours(day, kt, chance, weather);
        }
    }

    fn slots_of(&self, day: usize) -> &[HourSlot] {
        let (first, end) = self.slots[day];
        &self.timeline.sun.slots[first..end]
    }

    fn mean_hours(&self, day: usize, kt_day: f64, weather: &mut TrialWeather) {
        let mut kt = [0.0; 24];
        let slots = self.slots_of(day);
        for (kt, slot) in kt.iter_mut().zip(slots) {
            *kt = trend_kt(kt_day, slot.air_mass);
        }
        hold(&mut kt, slots, kt_day, &mut weather.light);
    }

    fn drawn_hours(&self, day: usize, kt_day: f64, chance: Chance, weather: &mut TrialWeather) {
        let mut kt = [0.0; 24];
        let slots = self.slots_of(day);
        let mut deviate = 0.0;
        let place = self.day_numbers[day] * PLACES_A_DAY + 1;
        let mut spare = 0.0;
        for (index, slot) in slots.iter().enumerate() {
            // One call of the generator serves two hours.
            let uniform = if slot.hour % 2 == 0 || index == 0 {
                let pair = chance.uniforms(self.key, place + (slot.hour as u64) / 2);
                spare = pair.1;
                if slot.hour % 2 == 0 { pair.0 } else { pair.1 }
            } else {
                spare
            };
            let lag = if index == 0 { 0.0 } else { HOUR_LAG1 };
            deviate = follow(deviate, lag, normal_quantile(uniform));
            kt[index] = hour_kt(kt_day, trend_kt(kt_day, slot.air_mass), deviate);
        }
        hold(&mut kt, slots, kt_day, &mut weather.light);
    }

    fn record(&self, record: &RecordDays, chance: Chance, weather: &mut TrialWeather) {
        if chance == Chance::Mean && record.replay.is_none() {
            self.record_mean(record, weather);
            return;
        }
        weather.record_day.clear();
        let count = record.series.days.len();
        let block_days = record.block_days.max(1) as usize;
        let mut start = 0;
        for day in 0..self.timeline.days.len() {
            let index = if let Some(replay) = &record.replay {
                replay[day]
            } else {
                if day % block_days == 0 {
                    let starts = &record.starts[day];
                    let place = self.day_numbers[day] * PLACES_A_DAY;
                    let (uniform, _) = chance.uniforms(self.key, place);
                    #[expect(
                        clippy::cast_possible_truncation,
                        clippy::cast_sign_loss,
                        clippy::cast_precision_loss,
                        reason = "an index from a uniform number"
                    )]
                    let pick = (uniform * starts.len() as f64) as usize;
                    start = starts[pick.min(starts.len() - 1)];
                }
                start + day % block_days
            };
            weather.record_day.push(index % count);
        }
        for day in 0..self.timeline.days.len() {
            let source: &HistoryDay = &record.series.days[weather.record_day[day]];
            weather.kt.push(source.kt);
            weather.min_c.push(source.min_c);
            weather.max_c.push(source.max_c);
            match &source.hours {
                Some(hours) => {
                    let slots = self.slots_of(day);
                    weather
                        .light
                        .extend(slots.iter().map(|slot| hours[slot.hour]));
                }
                None if chance == Chance::Mean => self.mean_hours(day, source.kt, weather),
                None => self.drawn_hours(day, source.kt, chance, weather),
            }
        }
    }

    /// Without chance: the mean of the days that a trial may draw.
    fn record_mean(&self, record: &RecordDays, weather: &mut TrialWeather) {
        for day in 0..self.timeline.days.len() {
            let starts = &record.starts[day];
            let mean = |of: fn(&HistoryDay) -> f64| {
                #[expect(clippy::cast_precision_loss, reason = "days of a record")]
                let count = starts.len() as f64;
                starts
                    .iter()
                    .map(|&index| of(&record.series.days[index]))
                    .sum::<f64>()
                    / count
            };
            weather.min_c.push(mean(|day| day.min_c));
            weather.max_c.push(mean(|day| day.max_c));
            let kt = mean(|day| day.kt);
            weather.kt.push(kt);
            self.mean_hours(day, kt, weather);
        }
    }
}

/// One step of a first-order autoregression with unit variance.
fn follow(before: f64, lag: f64, deviate: f64) -> f64 {
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

fn hold(kt: &mut [f64; 24], slots: &[HourSlot], kt_day: f64, light: &mut Vec<SkyLight>) {
    let mut weight = [0.0; 24];
    let mut cap = [1.0; 24];
    for (index, slot) in slots.iter().enumerate() {
        weight[index] = slot.weight_wh_m2;
        cap[index] = slot.clear_kt;
    }
    let count = slots.len();
    hold_day_total(&mut kt[..count], &weight[..count], &cap[..count], kt_day);
    light.extend(kt[..count].iter().map(|&kt| SkyLight::from_kt(kt)));
}
