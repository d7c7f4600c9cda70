//! The climate of a date: between two mid-months.
//!
//! One job: twelve months and a date in, the distribution of that day's clearness and temperatures
//! out. Drawing days from it is the trials' matter.

use chrono::{Datelike, Months, NaiveDate};

use super::place::{PlaceClimate, PlaceMonth, sun_of};
use crate::sky::clearness::{KtError, KtQuantile};
use crate::sky::day_climate::DayClimate;

/// The climate of one day of the year at a place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PlaceDay {
    /// Mean clearness index.
    pub kt: f64,
    /// Standard deviation of the daily clearness index.
    pub kt_sd: f64,
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
            min_c: self.tmin_c,
            max_c: self.tmax_c,
            anomaly_sd_c: self.day_mean_sd_c,
        })
    }
}

/// The climate of a date, linear between the middles of the months.
///
/// It is the clearness index that is taken between them, not the sun itself: the sun follows
/// from it and the day's length, which is what bends most in spring and autumn. The month's spread
/// holds the lengthening or shortening of the days inside the month; that part is taken out first
/// (variances subtracted, percentiles drawn together about the mean in the same measure; ours).
/// A month of polar night has no clearness: its neighbour with sun stands in, all year night is 0.
#[must_use]
pub fn day(climate: &PlaceClimate, date: NaiveDate) -> PlaceDay {
    let (first, second, share) = neighbours(date);
    let (first, second) = (&climate.months[first], &climate.months[second]);
    let clear = match (Clearness::of(first), Clearness::of(second)) {
        (Some(a), Some(b)) => a.towards(&b, share),
        (Some(one), None) | (None, Some(one)) => one,
        (None, None) => nearest_lit(climate, date),
    };
    let extraterrestrial_kwh_m2 = sun_of(date).horizontal_day_wh_m2(climate.lat_deg) / 1000.0;
    let between = |of: fn(&PlaceMonth) -> f64| mix(of(first), of(second), share);
    PlaceDay {
        kt: clear.kt,
        kt_sd: clear.sd,
        kt_percentiles: clear.percentiles,
        extraterrestrial_kwh_m2,
        ghi_kwh_m2: clear.kt * extraterrestrial_kwh_m2,
        tmin_c: between(|month| month.tmin_c),
        tmax_c: between(|month| month.tmax_c),
        day_mean_sd_c: between(|month| month.day_mean_sd_c),
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
}

/// The month of sun nearest to a date in deep polar night.
fn nearest_lit(climate: &PlaceClimate, date: NaiveDate) -> Clearness {
    let month = date.month0() as usize;
    (1..=6)
        .flat_map(|step| [(month + 12 - step) % 12, (month + step) % 12])
        .find_map(|month| Clearness::of(&climate.months[month]))
        .unwrap_or_default()
}

/// The two months (0 to 11) whose middles a date lies between, and the share of the second.
fn neighbours(date: NaiveDate) -> (usize, usize, f64) {
    let middle = |first: NaiveDate| {
        let next = first.checked_add_months(Months::new(1)).unwrap_or(first);
        let length = (next - first).num_days();
        #[expect(clippy::cast_precision_loss, reason = "day numbers are small")]
        let middle = f64::from(first.num_days_from_ce()) + length as f64 / 2.0;
        middle
    };
    let own = date.with_day(1).unwrap_or(date);
    let noon = f64::from(date.num_days_from_ce()) + 0.5;
    let later = noon >= middle(own);
    let other = if later {
        own.checked_add_months(Months::new(1)).unwrap_or(own)
    } else {
        own.checked_sub_months(Months::new(1)).unwrap_or(own)
    };
    let (first, second) = if later { (own, other) } else { (other, own) };
    let (from, to) = (middle(first), middle(second));
    let share = if to > from {
        (noon - from) / (to - from)
    } else {
        0.0
    };
    (first.month0() as usize, second.month0() as usize, share)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sky::world_climate::place_climate;

    fn date(month: u32, day: u32) -> NaiveDate {
        NaiveDate::from_ymd_opt(2027, month, day).expect("a date of the test")
    }

    #[test]
    fn law_the_days_of_a_month_add_up_to_its_mean() {
        for (lat_deg, lon_deg) in [(-20.5, 25.2), (52.1, 5.2), (36.1, -80.0), (67.0, 22.0)] {
            let climate = place_climate(lat_deg, lon_deg, None).expect("on land");
            for month in 1..=12_u32 {
                let days: Vec<f64> = (1..=28)
                    .map(|k| day(&climate, date(month, k)).ghi_kwh_m2)
                    .collect();
                let mean = days.iter().sum::<f64>() / 28.0;
                let given = climate.months[month as usize - 1].ghi_kwh_m2;
                // Straight lines cut corners, and 28 days are not the month: 5 % or 0.12 kWh/m².
                assert!(
                    (mean - given).abs() < (0.05 * given).max(0.12),
                    "{lat_deg} {month} {mean} {given}"
                );
            }
        }
    }

    #[test]
    fn law_polar_night_is_dark_and_percentiles_ascend() {
        let climate = place_climate(70.0, 25.0, None).expect("on land");
        for date in date(1, 1).iter_days().take(365) {
            let day = day(&climate, date);
            assert!(day.kt > 0.1 && day.kt < 0.8, "{date} {}", day.kt);
            assert!(
                day.kt_percentiles
                    .windows(2)
                    .all(|pair| pair[0].1 <= pair[1].1),
                "{date}"
            );
        }
        assert!(day(&climate, date(12, 21)).ghi_kwh_m2 < 1e-9);
    }

    #[test]
    fn law_mid_month_is_the_month() {
        let climate = place_climate(-23.7, 133.9, None).expect("on land");
        let middle = day(&climate, date(6, 15));
        assert!((middle.tmin_c - climate.months[5].tmin_c).abs() < 0.1);
        assert!((middle.kt - climate.months[5].kt.expect("sun in Australia")).abs() < 0.005);
    }

    #[test]
    fn law_every_cell_gives_a_distribution_every_month() {
        for row in -19..=24 {
            for column in (-60..60_i32).step_by(2) {
                let (lat_deg, lon_deg) = (f64::from(row) * 3.0, f64::from(column) * 3.0);
                let Ok(climate) = place_climate(lat_deg, lon_deg, Some(0.0)) else {
                    continue;
                };
                for month in
                    (1 + u32::try_from(column.rem_euclid(3)).expect("0 to 2")..=12).step_by(3)
                {
                    let day = day(&climate, date(month, 20));
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
