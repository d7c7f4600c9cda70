//! The weather of trials side by side: clearness and temperatures of each day, light of each hour.
//!
//! One job: the sequence. Days of a climate are drawn in `trials::day_draws`; distributions and hour shapes
//! are in `sky`; the record's days are read there too.

#![expect(
    clippy::inline_always,
    clippy::needless_range_loop,
    reason = "loops over trials must stay within the widest instructions of the caller"
)]

use super::chance::Chances;
use super::day_draws::{ClimateKeys, DayDraws, first_place, follow};
use super::said_sky::said_days;
use crate::engine::{Light, widest};
use crate::sky::history::HistoryDay;
use crate::sky::hours::{HOUR_LAG1, hold_day_totals, hour_kts, trend_kts};
use crate::sky::normal::normal_quantiles;
use crate::sky::sky_light::SkyLight;
use crate::timeline::Timeline;
use crate::timeline::sun_steps::HourSlot;
use crate::timeline::weather_days::{RecordDays, SyntheticDays, WeatherSource};
use crate::units::Whole;

/// The most hours with sun that a day can have.
const HOURS: usize = 24;

/// Weather of some trials, in the order of the timeline's days and hour slots.
#[derive(Debug, Clone, Default)]
pub(crate) struct Weather<const N: usize> {
    pub(crate) min_c: Vec<[f64; N]>,
    pub(crate) max_c: Vec<[f64; N]>,
    pub(crate) kt: Vec<[f64; N]>,
    pub(crate) light: Vec<Light<N>>,
}

/// What the weather of a plan is drawn from.
pub(crate) struct WeatherDraws<'a> {
    timeline: &'a Timeline,
    keys: ClimateKeys,
    /// First slot of each day and the one after its last.
    pub(super) slots: Vec<(usize, usize)>,
    /// Of a record: for each day of which something is said, the days that fit; none: empty.
    said: Vec<Vec<usize>>,
}

impl<'a> WeatherDraws<'a> {
    pub(crate) fn new(timeline: &'a Timeline, keys: ClimateKeys) -> Self {
        let slots = &timeline.sun.slots;
        Self {
            timeline,
            said: match &timeline.weather {
                WeatherSource::Synthetic(_) => Vec::new(),
                WeatherSource::Record(record) => (timeline.forecast.iter().zip(&record.starts))
                    .map(|(said, season)| {
                        said.map_or_else(Vec::new, |said| said_days(said, &record.series, season))
                    })
                    .collect(),
            },
            keys,
            slots: (0..timeline.days.len())
                .map(|day| {
                    let first = slots.partition_point(|slot| slot.day < day);
                    (first, slots.partition_point(|slot| slot.day <= day))
                })
                .collect(),
        }
    }

    /// Draws the weather of some trials into `weather`, whose room is reused.
    pub(crate) fn draw<const N: usize>(&self, chances: &Chances<N>, weather: &mut Weather<N>) {
        weather.min_c.clear();
        weather.max_c.clear();
        weather.kt.clear();
        weather
            .light
            .resize(self.timeline.sun.slots.len(), Light::DARK);
        match &self.timeline.weather {
            WeatherSource::Synthetic(days) => self.synthetic(days, chances, weather),
            WeatherSource::Record(record) => self.record(record, chances, weather),
        }
    }

    fn synthetic<const N: usize>(
        &self,
        days: &SyntheticDays,
        chances: &Chances<N>,
        weather: &mut Weather<N>,
    ) {
        let mut draws = DayDraws::new(self.keys, &days.persistence);
        for (day, climate) in days.climates.iter().enumerate() {
            let said = self.timeline.forecast.get(day).copied().flatten();
            let date = self.timeline.days[day].date;
            let drawn = draws.next(date, climate, said, chances);
            weather.kt.push(drawn.kt);
            weather.min_c.push(drawn.min_c);
            weather.max_c.push(drawn.max_c);
            self.hours(day, &drawn.kt, chances, &mut weather.light);
        }
    }

    /// The hours of a day, by its clearness in each trial.
    fn hours<const N: usize>(
        &self,
        day: usize,
        kt_day: &[f64; N],
        chances: &Chances<N>,
        light: &mut [Light<N>],
    ) {
        let (first, end) = self.slots[day];
        let slots = &self.timeline.sun.slots[first..end];
        let mut kt = [[0.0; N]; HOURS];
        let kt = &mut kt[..slots.len()];
        widest(
            #[inline(always)]
            || {
                if matches!(chances, Chances::Mean) {
                    for (kt, slot) in kt.iter_mut().zip(slots) {
                        *kt = trend_kts(kt_day, slot.air_mass);
                    }
                } else {
                    self.drawn_hours(day, slots, kt_day, chances, kt);
                }
                hold(kt, slots, kt_day, &mut light[first..end]);
            },
        );
    }

    #[inline(always)]
    fn drawn_hours<const N: usize>(
        &self,
        day: usize,
        slots: &[HourSlot],
        kt_day: &[f64; N],
        chances: &Chances<N>,
        kt: &mut [[f64; N]],
    ) {
        let place = first_place(self.timeline.days[day].date) + 1;
        let mut deviate = [0.0; N];
        let mut spare = [0.0; N];
        for (index, slot) in slots.iter().enumerate() {
            // One call of the generator serves two hours.
            let is_even = slot.hour.is_multiple_of(2);
            let uniforms = if is_even || index == 0 {
                let (even, odd) =
                    chances.uniforms(self.keys.weather, place + (slot.hour as u64) / 2);
                spare = odd;
                if is_even { even } else { odd }
            } else {
                spare
            };
            let lag = if index == 0 { 0.0 } else { HOUR_LAG1 };
            let fresh = normal_quantiles(&uniforms);
            for lane in 0..N {
                deviate[lane] = follow(deviate[lane], lag, fresh[lane]);
            }
            let trend = trend_kts(kt_day, slot.air_mass);
            kt[index] = hour_kts(kt_day, &trend, &deviate);
        }
    }

    fn record<const N: usize>(
        &self,
        record: &RecordDays,
        chances: &Chances<N>,
        weather: &mut Weather<N>,
    ) {
        if matches!(chances, Chances::Mean) && record.replay.is_none() {
            self.record_mean(record, weather);
            return;
        }
        let days = &record.series.days;
        let block_days = record.block_days.max(1) as usize;
        let mut starts = [0; N];
        // The day on which the run of days began.
        let mut begun = 0;
        for day in 0..self.timeline.days.len() {
            let said = self.said.get(day).filter(|days| !days.is_empty());
            let is_new = day % block_days == 0;
            if let Some(replay) = &record.replay {
                starts = [replay[day]; N];
            } else if is_new || said.is_some() {
                begun = day;
                let from = said.unwrap_or(&record.starts[day]);
                let place = first_place(self.timeline.days[day].date);
                starts = chances
                    .uniforms(self.keys.weather, place)
                    .0
                    .map(|uniform| pick(from, uniform));
            }
            let along = if record.replay.is_some() {
                0
            } else {
                day - begun
            };
            let sources = starts.map(|start| &days[(start + along) % days.len()]);
            let kt = sources.map(|source| source.kt);
            weather.kt.push(kt);
            weather.min_c.push(sources.map(|source| source.min_c));
            weather.max_c.push(sources.map(|source| source.max_c));
            if sources.iter().any(|source| source.hours.is_none()) {
                // Days repeated as they were leave nothing to chance, their hours neither.
                let chances = if record.replay.is_some() {
                    &Chances::Mean
                } else {
                    chances
                };
                self.hours(day, &kt, chances, &mut weather.light);
            }
            let (first, end) = self.slots[day];
            for (lane, source) in sources.iter().enumerate() {
                let Some(hours) = &source.hours else { continue };
                for slot in first..end {
                    let hour = self.timeline.sun.slots[slot].hour;
                    weather.light[slot].set(lane, hours[hour]);
                }
            }
        }
    }

    /// Without chance: the mean of the days that a trial may draw.
    fn record_mean<const N: usize>(&self, record: &RecordDays, weather: &mut Weather<N>) {
        for day in 0..self.timeline.days.len() {
            let said = self.said.get(day).filter(|days| !days.is_empty());
            let starts = said.unwrap_or(&record.starts[day]);
            let mean = |of: fn(&HistoryDay) -> f64| {
                let count = starts.len().real();
                starts
                    .iter()
                    .map(|&index| of(&record.series.days[index]))
                    .sum::<f64>()
                    / count
            };
            let kt = [mean(|day| day.kt); N];
            weather.min_c.push([mean(|day| day.min_c); N]);
            weather.max_c.push([mean(|day| day.max_c); N]);
            weather.kt.push(kt);
            self.hours(day, &kt, &Chances::Mean, &mut weather.light);
        }
    }
}

/// One of some days, by a uniform number.
fn pick(starts: &[usize], uniform: f64) -> usize {
    let pick = usize::cut(uniform * starts.len().real());
    starts[pick.min(starts.len() - 1)]
}

#[inline(always)]
fn hold<const N: usize>(
    kt: &mut [[f64; N]],
    slots: &[HourSlot],
    kt_day: &[f64; N],
    light: &mut [Light<N>],
) {
    let (mut weight, mut cap) = ([0.0; HOURS], [1.0; HOURS]);
    for (index, slot) in slots.iter().enumerate() {
        weight[index] = slot.weight_wh_m2;
        cap[index] = slot.clear_kt;
    }
    hold_day_totals(kt, &weight[..slots.len()], &cap[..slots.len()], kt_day);
    for ((light, kt), slot) in light.iter_mut().zip(kt).zip(slots) {
        for lane in 0..N {
            light.set(lane, SkyLight::with_most_beam(kt[lane], slot.most_beam));
        }
    }
}
