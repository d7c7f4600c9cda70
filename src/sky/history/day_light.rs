//! One day's light while its hours come in.
//!
//! One job: sums of 24 solar hours to a [`RawDay`].

use chrono::NaiveDate;

use super::dates::midnight_s;
use super::error::{HistoryError, HistoryFault};
use super::series::{RawDay, SUNLESS_WH_M2};
use crate::sky::day_sun::DaySun;
use crate::sky::sky_light::SkyLight;
use crate::units::Whole;

/// An hour with less sun outside the air than this has no clearness of its own, Wh/m²; ours.
const FAINT_WH_M2: f64 = 5.0;

/// Above the extraterrestrial sun by this factor is a fault.
const MOST_CLEARNESS: f64 = 1.1;

/// The most sun that a file may tell, by the extraterrestrial sun of the times that may be meant, and twilight.
pub(super) fn most_wh_m2(near_wh_m2: impl Iterator<Item = f64>, twilight_wh_m2: f64) -> f64 {
    MOST_CLEARNESS * near_wh_m2.fold(0.0, f64::max) + twilight_wh_m2
}

/// Refuses sun above that.
pub(super) fn check_sun(
    (found_wh_m2, limit_wh_m2): (f64, f64),
    column: &str,
    span: &'static str,
    line: u64,
) -> Result<(), HistoryError> {
    if found_wh_m2 <= limit_wh_m2 {
        return Ok(());
    }
    let fault = HistoryFault::TooMuchSun {
        column: column.to_owned(),
        found_wh_m2,
        limit_wh_m2,
        span,
    };
    Err(fault.at(line))
}

/// A day that hours are put into.
pub(super) struct DayLight {
    pub(super) date: NaiveDate,
    pub(super) sun: DaySun,
    /// Time without hours, filled or not.
    pub(super) missing_s: i64,
    /// Whether a gap is too long to fill.
    pub(super) is_torn: bool,
    seen_s: i64,
    min_c: f64,
    max_c: f64,
    hours: [SolarHour; 24],
    /// Measured light that no solar hour can hold.
    glimmer_wh_m2: f64,
}

/// Sums over one solar hour; the shares of light weighed with the extraterrestrial sun.
#[derive(Clone, Copy, Default)]
#[expect(clippy::struct_field_names, reason = "the unit ends each name")]
struct SolarHour {
    wh_m2: f64,
    outside_wh_m2: f64,
    directional_wh_m2: f64,
    isotropic_wh_m2: f64,
}

impl DayLight {
    pub(super) fn new(date: NaiveDate) -> Self {
        Self {
            date,
            sun: Self::sun_of(date),
            missing_s: 0,
            is_torn: false,
            seen_s: 0,
            min_c: f64::INFINITY,
            max_c: f64::NEG_INFINITY,
            hours: [SolarHour::default(); 24],
            glimmer_wh_m2: 0.0,
        }
    }

    /// The sun at noon of a date.
    pub(super) fn sun_of(date: NaiveDate) -> DaySun {
        DaySun::at(midnight_s(date).real() + 43_200.0)
    }

    /// Temperature over a part of the day.
    pub(super) fn feel(&mut self, air_c: f64, length_s: i64) {
        self.seen_s += length_s;
        self.min_c = self.min_c.min(air_c);
        self.max_c = self.max_c.max(air_c);
    }

    /// Light that begins at an instant of local mean solar time and ends within its solar hour.
    pub(super) fn shine(&mut self, start_s: i64, wh_m2: f64, outside_wh_m2: f64, light: SkyLight) {
        let hour = usize::try_from(start_s.rem_euclid(86_400) / 3600)
            .unwrap_or(0)
            .min(23);
        let hour = &mut self.hours[hour];
        hour.wh_m2 += wh_m2;
        hour.outside_wh_m2 += outside_wh_m2;
        hour.directional_wh_m2 += light.directional * outside_wh_m2;
        hour.isotropic_wh_m2 += light.isotropic * outside_wh_m2;
    }

    /// Light of twilight.
    pub(super) fn glimmer(&mut self, wh_m2: f64) {
        self.glimmer_wh_m2 += wh_m2;
    }

    /// The day, or `None` if a gap is too long or half of its light was not measured.
    pub(super) fn finish(self, lat_deg: f64) -> Option<RawDay> {
        let outside_wh_m2: f64 = self.hours.iter().map(|hour| hour.outside_wh_m2).sum();
        let whole_wh_m2 = self.sun.horizontal_day_wh_m2(lat_deg);
        let is_whole = !self.is_torn
            && self.seen_s >= 12 * 3600
            && (outside_wh_m2 >= 0.5 * whole_wh_m2 || whole_wh_m2 < SUNLESS_WH_M2);
        if !is_whole {
            return None;
        }
        let wh_m2 = self.hours.iter().map(|hour| hour.wh_m2).sum::<f64>() + self.glimmer_wh_m2;
        let kt = (outside_wh_m2 >= SUNLESS_WH_M2).then(|| (wh_m2 / outside_wh_m2).min(1.0));
        Some(RawDay {
            date: self.date,
            kt,
            min_c: self.min_c,
            max_c: self.max_c,
            hours: kt.map(|kt| Box::new(self.lights(kt, wh_m2))),
        })
    }

    /// The light of each solar hour. An hour of night takes that of the nearest lit one, so that
    /// a longer day elsewhere is not cut short; clearness above 1 and twilight go to all hours alike, so that
    /// the day's sum holds.
    fn lights(&self, kt: f64, wh_m2: f64) -> [SkyLight; 24] {
        let own: Vec<Option<SkyLight>> = self.hours.iter().map(SolarHour::light).collect();
        let held_wh_m2: f64 = own
            .iter()
            .zip(&self.hours)
            .filter_map(|(light, hour)| light.map(|light| light.kt * hour.outside_wh_m2))
            .sum();
        let stretch = if held_wh_m2 > 0.0 {
            (wh_m2 / held_wh_m2).min(2.0)
        } else {
            1.0
        };
        std::array::from_fn(|hour| {
            (0..24)
                .flat_map(|step| [hour.checked_sub(step), Some(hour + step)])
                .flatten()
                .find_map(|near| own.get(near).copied().flatten())
                .map_or_else(|| SkyLight::from_kt(kt), |light| scaled(light, stretch))
        })
    }
}

impl SolarHour {
    fn light(&self) -> Option<SkyLight> {
        if self.outside_wh_m2 < FAINT_WH_M2 {
            return None;
        }
        let light = SkyLight {
            kt: self.wh_m2 / self.outside_wh_m2,
            directional: self.directional_wh_m2 / self.outside_wh_m2,
            isotropic: self.isotropic_wh_m2 / self.outside_wh_m2,
        };
        let cut = if light.kt > 1.0 { 1.0 / light.kt } else { 1.0 };
        Some(SkyLight {
            kt: light.kt * cut,
            ..light
        })
    }
}

fn scaled(light: SkyLight, by: f64) -> SkyLight {
    SkyLight {
        kt: light.kt * by,
        directional: light.directional * by,
        isotropic: light.isotropic * by,
    }
}
