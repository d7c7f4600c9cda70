//! The climate of a date: between two months.
//!
//! One job: twelve months and a date in, the distribution of that day's clearness and temperatures
//! out. Drawing days from it is the trials' matter.

use chrono::{Datelike, NaiveDate};

use super::place::{PlaceClimate, PlaceMonth};
use crate::sky::clearness::{KtError, KtQuantile, MAX_MEAN_KT};
use crate::sky::day_climate::DayClimate;
use crate::sky::month_course::{YearDays, nearest};

/// The climate of one day of the year at a place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PlaceDay {
    /// Mean clearness index.
    pub kt: f64,
    /// Standard deviation of the daily clearness index.
    pub kt_sd: f64,
    /// Standard deviation of the true mean about `kt`, as a share of it.
    pub mean_rel_sd: f64,
    /// Share of days and the clearness index that they do not exceed, ascending.
    pub kt_percentiles: [(f64, f64); 5],
    /// Sun on the flat outside the air that day, kWh/m².
    pub extraterrestrial_kwh_m2: f64,
    /// Mean sun on the flat: `kt` times that.
    pub ghi_kwh_m2: f64,
    /// Mean daily minimum temperature, °C.
    pub tmin_c: f64,
    /// Mean daily maximum temperature, °C.
    pub tmax_c: f64,
    /// Standard deviation of the daily mean temperature, K.
    pub day_mean_sd_c: f64,
}

impl PlaceDay {
    /// The form that a trial draws from: through the percentiles, with mean and standard deviation.
    ///
    /// # Errors
    /// [`KtError`], which no cell of the grid gives (a test goes through them all).
    pub fn day_climate(&self) -> Result<DayClimate, KtError> {
        Ok(DayClimate {
            kt: KtQuantile::from_percentiles(self.kt, self.kt_sd, &self.kt_percentiles)?,
            mean_rel_sd: self.mean_rel_sd,
            min_c: self.tmin_c,
            max_c: self.tmax_c,
            anomaly_sd_c: self.day_mean_sd_c,
        })
    }
}

/// The days of a year at a place.
///
/// It is the clearness index that runs between the months, not the sun itself: the sun follows
/// from it and the day's length, which is what bends most in spring and autumn. Sun and temperatures of the
/// days have the months' own means (`sky::month_course`). The month's spread
/// holds the lengthening or shortening of the days inside the month; that part is taken out first
/// (variances subtracted, percentiles drawn together about the mean in the same measure; ours).
/// A month of polar night has no clearness: its neighbour with sun stands in, all year night is 0.
#[derive(Debug, Clone)]
pub struct PlaceYear {
    months: [PlaceMonth; 12],
    days: YearDays,
    outside_kwh_m2: Vec<f64>,
    kt: Vec<f64>,
    tmin_c: Vec<f64>,
    tmax_c: Vec<f64>,
}

impl PlaceYear {
    /// The year `year` of a climate.
    #[must_use]
    pub fn new(climate: &PlaceClimate, year: i32) -> Self {
        let days = YearDays::new(year);
        let outside_kwh_m2 = days.outside_kwh_m2(year, climate.lat_deg, climate.lon_deg);
        let outside = days.month_means(&outside_kwh_m2);
        let kt = std::array::from_fn(|month| {
            let of = &climate.months[month];
            of.kt
                .map(|_| (of.ghi_kwh_m2 / outside[month]).min(MAX_MEAN_KT))
        });
        let alike = vec![1.0; outside_kwh_m2.len()];
        let temperature = |of: fn(&PlaceMonth) -> f64| {
            let means = climate.months.map(|month| Some(of(&month)));
            days.course(&means, &alike, (f64::NEG_INFINITY, f64::INFINITY))
        };
        Self {
            months: climate.months,
            kt: days.course(&kt, &outside_kwh_m2, (0.0, MAX_MEAN_KT)),
            tmin_c: temperature(|month| month.tmin_c),
            tmax_c: temperature(|month| month.tmax_c),
            outside_kwh_m2,
            days,
        }
    }

    /// The climate of a date of the year; one of another year is taken as its day of the year.
    #[must_use]
    pub fn day(&self, date: NaiveDate) -> PlaceDay {
        let day = (date.ordinal0() as usize).min(self.kt.len() - 1);
        let (first, second, share) = self.days.place(day);
        let [a, b] = [first, second].map(|month| Clearness::of(&self.months[month]));
        let clear = match (a, b) {
            (Some(a), Some(b)) => a.towards(&b, share),
            (Some(one), None) | (None, Some(one)) => one,
            (None, None) => self.nearest_lit(date.month0() as usize),
        }
        .with_mean(self.kt[day]);
        let day_mean_sd_c = |month: usize| self.months[month].day_mean_sd_c;
        PlaceDay {
            kt: clear.kt,
            kt_sd: clear.sd,
            mean_rel_sd: self.months[date.month0() as usize].mean_rel_sd,
            kt_percentiles: clear.percentiles,
            extraterrestrial_kwh_m2: self.outside_kwh_m2[day],
            ghi_kwh_m2: clear.kt * self.outside_kwh_m2[day],
            tmin_c: self.tmin_c[day],
            tmax_c: self.tmax_c[day],
            day_mean_sd_c: mix(day_mean_sd_c(first), day_mean_sd_c(second), share),
        }
    }

    /// The month of sun nearest to one in deep polar night.
    fn nearest_lit(&self, month: usize) -> Clearness {
        nearest(month, |other| self.months[other].kt.is_some())
            .and_then(|month| Clearness::of(&self.months[month]))
            .unwrap_or_default()
    }
}

fn mix(first: f64, second: f64, share: f64) -> f64 {
    first + (second - first) * share
}

/// Clearness of the middle of a month.
#[derive(Debug, Clone, Copy, Default)]
struct Clearness {
    kt: f64,
    sd: f64,
    percentiles: [(f64, f64); 5],
}

impl Clearness {
    fn of(month: &PlaceMonth) -> Option<Self> {
        let kt = month.kt?;
        let outside = month.extraterrestrial_kwh_m2;
        let trend_sd = kt * month.extraterrestrial_sd_kwh_m2;
        let variance = month.ghi_sd_kwh_m2.powi(2);
        // Half the spread stays at least: near polar night the trend swallows all of it.
        let drawn = if variance > 0.0 {
            libm::sqrt((1.0 - trend_sd * trend_sd / variance).max(0.25))
        } else {
            1.0
        };
        Some(Self {
            kt,
            sd: drawn * month.ghi_sd_kwh_m2 / outside,
            percentiles: month
                .ghi_percentiles
                .map(|(share, ghi)| (share, (kt + drawn * (ghi / outside - kt)).clamp(0.0, 1.0))),
        })
    }

    fn towards(&self, other: &Self, share: f64) -> Self {
        Self {
            kt: mix(self.kt, other.kt, share),
            sd: mix(self.sd, other.sd, share),
            percentiles: std::array::from_fn(|k| {
                let (p, kt) = self.percentiles[k];
                (p, mix(kt, other.percentiles[k].1, share))
            }),
        }
    }

    /// The same days with another mean: all in proportion, as far as a sky goes.
    fn with_mean(self, kt: f64) -> Self {
        let factor = if self.kt > 0.0 { kt / self.kt } else { 1.0 };
        Self {
            kt,
            sd: self.sd * factor,
            percentiles: self.percentiles.map(|(p, kt)| (p, (kt * factor).min(1.0))),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sky::world_climate::place_climate;
    use crate::units::Whole;

    fn date(month: u32, day: u32) -> NaiveDate {
        NaiveDate::from_ymd_opt(2027, month, day).expect("a date of the test")
    }

    /// The mean over the days of each month, to a part in a million; with the sun outside the air that the
    /// trips use, to 0.1 % (a test of `timeline::weather_days`).
    #[test]
    fn law_the_days_of_a_month_have_its_means() {
        for (lat_deg, lon_deg) in [(-20.5, 25.2), (52.1, 5.2), (36.1, -80.0), (67.0, 22.0)] {
            let climate = place_climate(lat_deg, lon_deg, None).expect("on land");
            for year in [2027, 2028] {
                let of_year = PlaceYear::new(&climate, year);
                for (month, given) in (1..=12).zip(&climate.months) {
                    let first = NaiveDate::from_ymd_opt(year, month, 1).expect("a first");
                    let days: Vec<PlaceDay> = first
                        .iter_days()
                        .take_while(|date| date.month() == month)
                        .map(|date| of_year.day(date))
                        .collect();
                    let mean = |of: fn(&PlaceDay) -> f64| {
                        days.iter().map(of).sum::<f64>() / days.len().real()
                    };
                    let sun = mean(|day| day.ghi_kwh_m2);
                    if given.kt.is_some() {
                        let error = sun / given.ghi_kwh_m2 - 1.0;
                        assert!(error.abs() < 1e-6, "{lat_deg} {month} {error}");
                    }
                    assert!((mean(|day| day.tmin_c) - given.tmin_c).abs() < 1e-6);
                    assert!((mean(|day| day.tmax_c) - given.tmax_c).abs() < 1e-6);
                }
            }
        }
    }

    #[test]
    fn law_polar_night_is_dark_and_percentiles_ascend() {
        let climate = place_climate(70.0, 25.0, None).expect("on land");
        let year = PlaceYear::new(&climate, 2027);
        for date in date(1, 1).iter_days().take(365) {
            let day = year.day(date);
            assert!(day.kt > 0.1 && day.kt < 0.8, "{date} {}", day.kt);
            assert!(
                day.kt_percentiles
                    .windows(2)
                    .all(|pair| pair[0].1 <= pair[1].1),
                "{date}"
            );
        }
        assert!(year.day(date(12, 21)).ghi_kwh_m2 < 1e-9);
    }

    #[test]
    fn law_every_cell_gives_a_distribution_every_month() {
        for row in -19..=24 {
            for column in (-60..60_i32).step_by(2) {
                let (lat_deg, lon_deg) = (f64::from(row) * 3.0, f64::from(column) * 3.0);
                let Ok(climate) = place_climate(lat_deg, lon_deg, Some(0.0)) else {
                    continue;
                };
                let year = PlaceYear::new(&climate, 2027);
                for month in
                    (1 + u32::try_from(column.rem_euclid(3)).expect("0 to 2")..=12).step_by(3)
                {
                    let day = year.day(date(month, 20));
                    let drawn = day.day_climate().expect("the cells are sound");
                    assert!(
                        (drawn.kt.mean() - day.kt).abs() < 0.002,
                        "{lat_deg} {lon_deg} {month}"
                    );
                }
            }
        }
    }
}
