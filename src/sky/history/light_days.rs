//! Measured hours to days of local mean solar time.
//!
//! One job: hours of the clock in, days of 24 solar hours out, each with its light as shares of what comes
//! from outside the air, so that a day measured here can be used at a stop elsewhere, under its own sun.
//! Filling whole days and splitting is in `series`.
//!
//! A measured hour that lies over two solar hours is shared out by the extraterrestrial sun of each
//! part, so that its energy holds and none falls into the night. Global irradiation gives the amount,
//! direct and diffuse only the split; without them it is modelled from the clearness index.

use chrono::{Datelike, NaiveDate};

use super::dates::{date_at, midnight_s};
use super::day_light::{DayLight, check_sun, most_wh_m2};
use super::error::HistoryError;
use super::hour_record::{HOUR_S, HourRecord, Hours};
use super::series::RawDay;
use crate::sky::day_sun::{DaySun, Lit};
use crate::sky::sky_light::SkyLight;
use crate::units::Whole;

/// Longest gap in a row that is filled.
pub(super) const LONGEST_GAP_S: i64 = 3 * HOUR_S;
/// Light of twilight, rounding and a reading's own lag, Wh/m² an hour; ours.
const TWILIGHT_WH_M2: f64 = 25.0;
/// Below this an hour has no clearness: all is twilight.
const DARK_WH_M2: f64 = 1.0;

/// Days of light and what was noticed.
pub(super) struct LightDays {
    pub(super) days: Vec<RawDay>,
    pub(super) filled_hours: usize,
    /// Centre of the measured sun less that of the extraterrestrial sun, hours.
    pub(super) late_h: f64,
}

/// Makes days of hours, which must ascend.
///
/// # Errors
/// An hour with more sun than there is.
pub(super) fn light_days(mut hours: Hours) -> Result<LightDays, HistoryError> {
    let shift_s = i64::cut((hours.lon_deg * 240.0).round());
    if hours.is_typical {
        close_the_year(&mut hours.records, shift_s);
    }
    let mut maker = Maker {
        lat_deg: hours.lat_deg,
        open: None,
        days: Vec::new(),
        filled_s: 0,
        moment: Moment::default(),
    };
    let mut before_s = None;
    for record in &hours.records {
        let from_s = record.end_utc_s - HOUR_S + shift_s;
        let sun = maker.sun(from_s);
        let whole = span(&sun, hours.lat_deg, from_s, HOUR_S);
        check(record, &sun, from_s, &hours)?;
        let Some(measured) = Measured::of(record, whole) else {
            continue;
        };
        maker.gap(before_s, from_s);
        maker.add(&measured, &sun, from_s);
        before_s = Some(from_s + HOUR_S);
    }
    maker.gap(before_s, i64::MAX);
    maker.close();
    Ok(LightDays {
        days: maker.days,
        filled_hours: usize::try_from(maker.filled_s / HOUR_S).unwrap_or(0),
        late_h: maker.moment.late_h(),
    })
}

/// A typical year's first or last solar hours belong to the other end of the year.
fn close_the_year(records: &mut [HourRecord], shift_s: i64) {
    let Some(year) = records
        .get(records.len() / 2)
        .map(|record| date_at(record.end_utc_s).year())
    else {
        return;
    };
    let begin_s = NaiveDate::from_ymd_opt(year, 1, 1).map_or(0, midnight_s);
    let end_s = NaiveDate::from_ymd_opt(year + 1, 1, 1).map_or(0, midnight_s);
    for record in records.iter_mut() {
        // The half of the hour decides; the other half is a gap of under an hour.
        let middle_s = record.end_utc_s - HOUR_S / 2 + shift_s;
        if middle_s < begin_s {
            record.end_utc_s += end_s - begin_s;
        } else if middle_s >= end_s {
            record.end_utc_s -= end_s - begin_s;
        }
    }
    records.sort_by_key(|record| record.end_utc_s);
}

/// The extraterrestrial sun from an instant of local mean solar time.
fn span(sun: &DaySun, lat_deg: f64, from_s: i64, length_s: i64) -> Lit {
    let from_h = from_s.rem_euclid(86_400).real() / 3600.0;
    let length_h = length_s.real() / 3600.0;
    sun.horizontal(lat_deg, from_h, from_h + length_h)
}

fn check(
    record: &HourRecord,
    sun: &DaySun,
    from_s: i64,
    hours: &Hours,
) -> Result<(), HistoryError> {
    let found_wh_m2 = f64::from(record.global_wh_m2);
    if found_wh_m2 <= TWILIGHT_WH_M2 || found_wh_m2.is_nan() {
        return Ok(());
    }
    // Labels of the hour's begin and end get mixed up: an hour either way is allowed, and told by
    // `Series::is_zone_doubtful`.
    let near_wh_m2 = [0, -HOUR_S, HOUR_S]
        .into_iter()
        .map(|late_s| span(sun, hours.lat_deg, from_s + late_s, HOUR_S).wh_m2);
    let sun_wh_m2 = (found_wh_m2, most_wh_m2(near_wh_m2, TWILIGHT_WH_M2));
    let line = u64::from(record.line);
    check_sun(sun_wh_m2, &hours.global_name, "in that hour", line)
}

/// A measured hour and its light.
struct Measured {
    wh_m2: f64,
    outside_wh_m2: f64,
    light: Option<SkyLight>,
    air_c: f64,
}

impl Measured {
    /// `None` where the temperature, or the sun by day, was not measured.
    fn of(record: &HourRecord, outside: Lit) -> Option<Self> {
        let air_c = f64::from(record.air_c);
        let is_dark = outside.wh_m2 < DARK_WH_M2;
        let wh_m2 = f64::from(record.global_wh_m2);
        let wh_m2 = if is_dark && wh_m2.is_nan() {
            0.0
        } else {
            wh_m2
        };
        if air_c.is_nan() || wh_m2.is_nan() {
            return None;
        }
        let light = (!is_dark).then(|| split(record, wh_m2, outside));
        Some(Self {
            wh_m2,
            outside_wh_m2: outside.wh_m2,
            light,
            air_c,
        })
    }
}

/// The light of an hour, direct and even part as measured where both or either are.
fn split(record: &HourRecord, wh_m2: f64, outside: Lit) -> SkyLight {
    let kt = (wh_m2 / outside.wh_m2).min(1.0);
    let hours = outside.hours.max(1e-6);
    let (direct, diffuse) = (
        f64::from(record.direct_wh_m2),
        f64::from(record.diffuse_wh_m2),
    );
    if direct.is_nan() && diffuse.is_nan() {
        return SkyLight::from_kt(kt);
    }
    // Means over the lit part of the hour.
    let normal_w_m2 = outside.normal_w_m2;
    let cos_zenith = (outside.wh_m2 / hours / normal_w_m2).clamp(1e-6, 1.0);
    let direct_w_m2 = if direct.is_nan() {
        (wh_m2 - diffuse).max(0.0) / hours / cos_zenith
    } else {
        direct / hours
    };
    let diffuse_w_m2 = if diffuse.is_nan() {
        (wh_m2 / hours - direct_w_m2 * cos_zenith).max(0.0)
    } else {
        diffuse / hours
    };
    let light = SkyLight::from_measured(
        wh_m2 / hours,
        direct_w_m2,
        diffuse_w_m2,
        normal_w_m2,
        cos_zenith,
    );
    let whole = light.directional + light.isotropic;
    if whole > 1e-6 {
        SkyLight {
            kt,
            directional: light.directional * kt / whole,
            isotropic: light.isotropic * kt / whole,
        }
    } else {
        SkyLight::from_kt(kt)
    }
}

/// Weighs the measured sun's middle of the day against the extraterrestrial one's.
#[derive(Default)]
struct Moment {
    wh: f64,
    wh_hours: f64,
    outside_wh: f64,
    outside_wh_hours: f64,
}

impl Moment {
    fn late_h(&self) -> f64 {
        if self.wh > 0.0 && self.outside_wh > 0.0 {
            self.wh_hours / self.wh - self.outside_wh_hours / self.outside_wh
        } else {
            0.0
        }
    }
}

/// Puts hours into days.
struct Maker {
    lat_deg: f64,
    open: Option<DayLight>,
    days: Vec<RawDay>,
    filled_s: i64,
    moment: Moment,
}

impl Maker {
    /// The sun of the day that an instant of local mean solar time falls in.
    fn sun(&self, from_s: i64) -> DaySun {
        let date = date_at(from_s);
        match &self.open {
            Some(open) if open.date == date => open.sun,
            _ => DayLight::sun_of(date),
        }
    }

    fn day(&mut self, at_s: i64) -> &mut DayLight {
        let date = date_at(at_s);
        if self.open.as_ref().is_some_and(|open| open.date != date) {
            self.close();
        }
        self.open.get_or_insert_with(|| DayLight::new(date))
    }

    fn add(&mut self, measured: &Measured, sun: &DaySun, from_s: i64) {
        let middle_h = (from_s + HOUR_S / 2).rem_euclid(86_400).real() / 3600.0;
        self.moment.wh += measured.wh_m2;
        self.moment.wh_hours += measured.wh_m2 * middle_h;
        self.moment.outside_wh += measured.outside_wh_m2;
        self.moment.outside_wh_hours += measured.outside_wh_m2 * middle_h;
        let lat_deg = self.lat_deg;
        let cut_s = HOUR_S - from_s.rem_euclid(HOUR_S);
        for (start_s, length_s) in [(from_s, cut_s), (from_s + cut_s, HOUR_S - cut_s)] {
            if length_s == 0 {
                continue;
            }
            let outside_wh_m2 = span(sun, lat_deg, start_s, length_s).wh_m2;
            let day = self.day(start_s);
            day.feel(measured.air_c, length_s);
            match measured.light {
                Some(light) => {
                    let wh_m2 = measured.wh_m2 * outside_wh_m2 / measured.outside_wh_m2;
                    day.shine(start_s, wh_m2, outside_wh_m2, light);
                }
                None => day.glimmer(measured.wh_m2 * length_s.real() / HOUR_S.real()),
            }
        }
    }

    /// Counts a gap before an hour; the days that it tears are marked.
    fn gap(&mut self, before_s: Option<i64>, from_s: i64) {
        let day_s = |at_s: i64| at_s.div_euclid(86_400) * 86_400;
        let Some(before_s) = before_s else {
            // The first day's hours before the record.
            self.tear(day_s(from_s), from_s);
            return;
        };
        if before_s >= from_s {
            return;
        }
        let first_end_s = (day_s(before_s) + 86_400).min(from_s);
        if before_s > day_s(before_s) {
            self.tear(before_s, first_end_s);
        }
        if from_s != i64::MAX && day_s(from_s) > day_s(before_s) {
            self.tear(day_s(from_s), from_s);
        }
    }

    /// A part of one day without hours.
    fn tear(&mut self, from_s: i64, to_s: i64) {
        let length_s = to_s - from_s;
        if length_s <= 0 {
            return;
        }
        let day = self.day(from_s);
        if length_s > LONGEST_GAP_S {
            day.is_torn = true;
        }
        day.missing_s += length_s;
    }

    fn close(&mut self) {
        if let Some(open) = self.open.take() {
            let missing_s = open.missing_s;
            if let Some(day) = open.finish(self.lat_deg) {
                self.filled_s += missing_s;
                self.days.push(day);
            }
        }
    }
}
