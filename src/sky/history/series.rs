//! A weather record: days in order, in unbroken stretches.
//!
//! One job: filling single days, splitting at longer gaps, and finding where a run of days may begin.
//! Drawing one is the trials' matter.

use std::ops::Range;

use chrono::{Datelike, NaiveDate};

use super::persistence::lag1;
use crate::sky::sky_light::SkyLight;
use crate::units::Whole;

/// A day with less extraterrestrial sun than this has no clearness, Wh/m²; ours.
pub(super) const SUNLESS_WH_M2: f64 = 50.0;

/// One day of a record.
#[derive(Debug, Clone, PartialEq)]
pub struct HistoryDay {
    /// Its date at the station, by local mean solar time where the file has hours. Of a typical
    /// year: 2001, or 2000 with a 29 February.
    pub date: NaiveDate,
    /// Clearness index of the day, 0 to 1. A day without sun has that of the nearest day with sun.
    pub kt: f64,
    /// Lowest temperature, °C.
    pub min_c: f64,
    /// Highest temperature, °C.
    pub max_c: f64,
    /// Light of each hour of local mean solar time, where the file has hours. Times the extraterrestrial sun of the
    /// same hours at the station they add up to `kt` times that of the day. An hour of night
    /// has the light of the nearest lit hour.
    pub hours: Option<Box<[SkyLight; 24]>>,
}

/// A day before sunless ones are settled.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct RawDay {
    pub(super) date: NaiveDate,
    pub(super) kt: Option<f64>,
    pub(super) min_c: f64,
    pub(super) max_c: f64,
    pub(super) hours: Option<Box<[SkyLight; 24]>>,
}

/// A weather record.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Series {
    /// The days, ascending.
    pub days: Vec<HistoryDay>,
    /// Runs of days without a gap, as indices into `days`.
    pub stretches: Vec<Range<usize>>,
    /// Latitude of the station.
    pub lat_deg: f64,
    /// Longitude of the station.
    pub lon_deg: f64,
    /// Height of the station above the sea, m, if the head of the file tells it.
    pub height_m: Option<f64>,
    /// Whether the head of the file itself says where the station stands and which zone its times have.
    pub is_placed: bool,
    /// Hours that were missing and filled from the rest of their day.
    pub filled_hours: usize,
    /// Days that were missing and filled with the mean of their neighbours.
    pub filled_days: usize,
    /// Autocorrelation of the clearness index from day to day, deviations from the calendar month's mean.
    pub lag1: f64,
    /// Whether it is a typical year, of months from different years, without a calendar year.
    pub is_typical: bool,
    /// Middle of the measured sun's day less that of the sun itself, hours; far from 0 the stated zone
    /// is doubtful (see [`Series::is_zone_doubtful`]). 0 for daily files.
    pub late_h: f64,
}

impl Series {
    pub(super) fn of(raw: Vec<RawDay>, lat_deg: f64, lon_deg: f64) -> Self {
        let (raw, filled_days) = fill_single_days(raw);
        let days = settle_sunless(raw);
        let stretches = stretches(&days);
        let lag1 = lag1(&days, &stretches);
        Self {
            days,
            stretches,
            lat_deg,
            lon_deg,
            filled_days,
            lag1,
            ..Self::default()
        }
    }

    /// Whether the sun of the file stands more than half an hour off: ours, beyond what clouds
    /// of the afternoon do.
    #[must_use]
    pub fn is_zone_doubtful(&self) -> bool {
        self.late_h.abs() > 0.5
    }

    /// What a reader of an answer should know of the record, a sentence each; none for a faultless one.
    #[must_use]
    pub fn notices(&self) -> Vec<String> {
        let mut found = Vec::new();
        if self.filled_hours > 0 {
            found.push(format!(
                "{} h of the record were missing and took the light of their day",
                self.filled_hours
            ));
        }
        if self.filled_days > 0 {
            found.push(format!(
                "{} of the {} days of the record were missing and took the mean of their neighbours",
                self.filled_days,
                self.days.len()
            ));
        }
        if self.stretches.len() > 1 {
            found.push(format!(
                "the record has gaps: it is in {} stretches, and no run of days crosses from one to the next",
                self.stretches.len()
            ));
        }
        if self.is_zone_doubtful() {
            found.push(format!(
                "the sun of the record stands {:.1} h too {}: check {} and whether its times are the beginning or the \
                 end of the hour",
                self.late_h.abs(),
                if self.late_h > 0.0 { "late" } else { "early" },
                if self.is_placed {
                    "the zone in its head"
                } else {
                    "`utc_offset_hours`"
                }
            ));
        }
        found
    }

    /// Whether the record is one whole year, whose end joins its beginning.
    #[must_use]
    pub fn is_circular(&self) -> bool {
        self.stretches.len() == 1 && (365..=366).contains(&self.days.len())
    }

    /// Indices of the days from which `block_days` days in a row can be taken, and that lie within
    /// `season_days` of a date's day of the year, in any year; ascending.
    ///
    /// A record of one year is a ring: blocks run over its end (see [`Series::block`]). 29 February
    /// counts as the 28th.
    #[must_use]
    pub fn block_starts(&self, date: NaiveDate, season_days: u32, block_days: u32) -> Vec<usize> {
        let wanted = day_of_year(date);
        let is_near = |day: &HistoryDay| {
            let apart = day_of_year(day.date).abs_diff(wanted);
            apart.min(365 - apart) <= season_days
        };
        let length = block_days as usize;
        let is_ring = self.is_circular() && length <= self.days.len();
        self.stretches
            .iter()
            .flat_map(|stretch| {
                let last = if is_ring {
                    stretch.end
                } else {
                    (stretch.end + 1).saturating_sub(length)
                };
                stretch.start..last.min(stretch.end).max(stretch.start)
            })
            .filter(|&index| is_near(&self.days[index]))
            .collect()
    }

    /// The days of a block, in order, from an index of [`Series::block_starts`].
    pub fn block(&self, start: usize, block_days: u32) -> impl Iterator<Item = &HistoryDay> {
        self.days
            .iter()
            .cycle()
            .skip(start)
            .take(block_days as usize)
    }

    /// Index of a date in a very year, to replay from. `None`: the record does not hold it, or is a
    /// typical year. 29 February of a year without one is the 28th.
    #[must_use]
    pub fn replay_start(&self, year: i32, date: NaiveDate) -> Option<usize> {
        let wanted = NaiveDate::from_ymd_opt(year, date.month(), date.day())
            .or_else(|| NaiveDate::from_ymd_opt(year, 2, 28))?;
        if self.is_typical {
            return None;
        }
        self.days.binary_search_by_key(&wanted, |day| day.date).ok()
    }

    /// Length of the blocks of days to draw, from the record's own persistence.
    ///
    /// `(√6 · ρ / (1 - ρ²))^(2/3) · n^(1/3)` with `ρ` of [`Series::lag1`] and `n` the days within ±20 of a date over
    /// all years; at least 8, since every joint breaks the persistence and so an eighth of it is lost at most,
    /// and at most 20, the season's half-width; never more than the longest unbroken stretch.
    ///
    /// # Source
    /// E. Carlstein, "The use of subseries values for estimating the variance of a general
    /// statistic from a stationary sequence", Ann. Statist. 14(3), 1171-1179, 1986 (the optimum for a
    /// first-order autoregression; from memory). The limits are ours.
    #[must_use]
    pub fn default_block_days(&self) -> u32 {
        let season = 41.0 * (self.days.len().real() / 365.25).max(1.0);
        let rho = self.lag1.clamp(0.0, 0.95);
        let length =
            libm::pow(libm::sqrt(6.0) * rho / (1.0 - rho * rho), 2.0 / 3.0) * libm::cbrt(season);
        let days = u32::cut(length.round().clamp(8.0, 20.0));
        let longest = self.stretches.iter().map(ExactSizeIterator::len).max();
        days.min(
            longest
                .and_then(|days| u32::try_from(days).ok())
                .unwrap_or(1),
        )
    }
}

/// Day of a year of 365 days, from 0; 29 February as the 28th.
fn day_of_year(date: NaiveDate) -> u32 {
    let after_leap_day = date.leap_year() && date.ordinal0() >= 59;
    date.ordinal0() - u32::from(after_leap_day)
}

fn mean(a: f64, b: f64) -> f64 {
    f64::midpoint(a, b)
}

fn fill_single_days(raw: Vec<RawDay>) -> (Vec<RawDay>, usize) {
    let mut days: Vec<RawDay> = Vec::with_capacity(raw.len());
    let mut filled = 0;
    for next in raw {
        if let Some(before) = days.last()
            && (next.date - before.date).num_days() == 2
            && let Some(date) = before.date.succ_opt()
        {
            let between = RawDay {
                date,
                kt: before
                    .kt
                    .zip(next.kt)
                    .map(|(a, b)| mean(a, b))
                    .or(before.kt)
                    .or(next.kt),
                min_c: mean(before.min_c, next.min_c),
                max_c: mean(before.max_c, next.max_c),
                hours: before
                    .hours
                    .as_ref()
                    .zip(next.hours.as_ref())
                    .map(|(a, b)| {
                        Box::new(std::array::from_fn(|hour| SkyLight {
                            kt: mean(a[hour].kt, b[hour].kt),
                            directional: mean(a[hour].directional, b[hour].directional),
                            isotropic: mean(a[hour].isotropic, b[hour].isotropic),
                        }))
                    }),
            };
            days.push(between);
            filled += 1;
        }
        days.push(next);
    }
    (days, filled)
}

fn settle_sunless(raw: Vec<RawDay>) -> Vec<HistoryDay> {
    // The clearness of the last day with sun before, and of the first after.
    let mut ahead = vec![None; raw.len()];
    let mut next = None;
    for (index, day) in raw.iter().enumerate().rev() {
        next = day.kt.map(|kt| (index, kt)).or(next);
        ahead[index] = next;
    }
    let mut behind: Option<(usize, f64)> = None;
    raw.into_iter()
        .enumerate()
        .map(|(index, day)| {
            behind = day.kt.map(|kt| (index, kt)).or(behind);
            let nearest = match (behind, ahead[index]) {
                (Some(back), Some(on)) if on.0 - index < index - back.0 => Some(on),
                (Some(back), _) => Some(back),
                (None, on) => on,
            };
            let kt = day.kt.or(nearest.map(|(_, kt)| kt)).unwrap_or(0.0);
            HistoryDay {
                date: day.date,
                kt,
                min_c: day.min_c,
                max_c: day.max_c,
                hours: day.hours,
            }
        })
        .collect()
}

fn stretches(days: &[HistoryDay]) -> Vec<Range<usize>> {
    let mut found = Vec::new();
    let mut start = 0;
    for index in 1..=days.len() {
        let goes_on = days
            .get(index)
            .is_some_and(|day| day.date.pred_opt() == Some(days[index - 1].date));
        if !goes_on {
            found.push(start..index);
            start = index;
        }
    }
    found
}
