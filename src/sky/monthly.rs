//! A user's own table of the months.
//!
//! One job: rows of months in, the climate of a date out. Where and how the rows were written is in
//! `scenario`; the world climate is another source of the same days.
//! Left out: places; the table holds for the whole trip.

use chrono::{Datelike, NaiveDate};

use super::clearness::{KtError, KtQuantile, MAX_MEAN_KT};
use super::day_climate::DayClimate;
use super::day_temperature::DEFAULT_ANOMALY_SD_C;
use super::hollands_huget::upper_limit;
use super::month_course::{MONTHS, YearDays, nearest};
use super::world_climate::{PlaceDay, PlaceYear, place_climate};

/// One month of a user's own table.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MonthRow {
    /// 1 to 12.
    pub month: u32,
    /// Peak sun hours: kWh/m² a day on the flat. Given, or else `kt`.
    pub sun_hours: Option<f64>,
    /// Mean daily clearness index, 0 to 1. Given, or else `sun_hours`.
    pub kt: Option<f64>,
    /// Mean daily minimum temperature.
    pub day_min_c: f64,
    /// Mean daily maximum temperature.
    pub day_max_c: f64,
    /// Standard deviation of the daily clearness index, if known; else that of the built-in climate there.
    pub kt_sd: Option<f64>,
}

/// The days of a year by the user's months, at one place.
#[derive(Debug, Clone)]
pub struct MonthlyYear {
    days: YearDays,
    kt: Vec<f64>,
    min_c: Vec<f64>,
    max_c: Vec<f64>,
    kt_sd: [Option<f64>; MONTHS],
    /// The built-in climate, where it reaches.
    built_in: Option<PlaceYear>,
}

impl MonthlyYear {
    /// The year `year` of a table at a place.
    ///
    /// | argument | meaning | unit | accepted |
    /// |---|---|---|---|
    /// | `rows` | the months given | | at least one, any order |
    /// | `lat_deg`, `lon_deg` | place | ° | -90 to 90, -180 to 180 |
    ///
    /// Clearness runs from month to month so that the sun of the days has the months' own means, and the
    /// temperatures too (`sky::month_course`); sun hours become a clearness index by the mean sun outside the air
    /// over the month. A month that is not given, or has no sun at all, takes the nearest given one's clearness.
    /// A mean above [`MAX_MEAN_KT`] is held to it. Whether the months themselves can be true is asked when the table
    /// is read.
    ///
    /// The spread of the days is `kt_sd`, straight between mid-months, where one of the two months has it. Else it
    /// is that of the built-in climate of the place and date, all its days in proportion to the given mean; out
    /// of its reach that of Hollands and Huget, which has too many black days in cloudy climates.
    ///
    /// # Errors
    /// [`KtError::NoMonth`]: no row, or a row without sun.
    pub fn new(
        rows: &[MonthRow],
        (lat_deg, lon_deg): (f64, f64),
        year: i32,
    ) -> Result<Self, KtError> {
        let days = YearDays::new(year);
        let outside_kwh_m2 = days.outside_kwh_m2(year, lat_deg, lon_deg);
        let outside = days.month_means(&outside_kwh_m2);
        let mut given: [Option<&MonthRow>; MONTHS] = [None; MONTHS];
        for row in rows {
            given[(row.month.clamp(1, 12) - 1) as usize] = Some(row);
        }
        let mut kt = [None; MONTHS];
        for (month, row) in given.iter().enumerate() {
            kt[month] = match row {
                None => None,
                Some(row) => mean_kt(row, outside[month])?,
            };
        }
        let near: [&MonthRow; MONTHS] = {
            let first = rows.first().ok_or(KtError::NoMonth)?;
            std::array::from_fn(|month| {
                let near = nearest(month, |other| given[other].is_some());
                near.and_then(|near| given[near]).unwrap_or(first)
            })
        };
        let alike = vec![1.0; outside_kwh_m2.len()];
        let temperature = |of: fn(&MonthRow) -> f64| {
            let means = given.map(|row| row.map(of));
            days.course(&means, &alike, (f64::NEG_INFINITY, f64::INFINITY))
        };
        let built_in = rows
            .iter()
            .any(|row| row.kt_sd.is_none())
            .then(|| place_climate(lat_deg, lon_deg, None).ok())
            .flatten();
        Ok(Self {
            kt: days.course(&kt, &outside_kwh_m2, (0.0, MAX_MEAN_KT)),
            min_c: temperature(|row| row.day_min_c),
            max_c: temperature(|row| row.day_max_c),
            kt_sd: near.map(|row| row.kt_sd),
            built_in: built_in.map(|climate| PlaceYear::new(&climate, year)),
            days,
        })
    }

    /// The climate of a date of the year; one of another year is taken as its day of the year.
    ///
    /// # Errors
    /// [`KtError`], where a given `kt_sd` is no spread.
    pub fn day(&self, date: NaiveDate) -> Result<DayClimate, KtError> {
        let day = (date.ordinal0() as usize).min(self.kt.len() - 1);
        let (first, second, share) = self.days.place(day);
        let mean = self.kt[day];
        let usual = || -> Result<KtQuantile, KtError> {
            match &self.built_in {
                Some(year) => scaled(&year.day(date), mean),
                None => KtQuantile::from_mean(mean, None),
            }
        };
        let kt = match (self.kt_sd[first], self.kt_sd[second]) {
            (None, None) => usual()?,
            (Some(a), Some(b)) => KtQuantile::from_mean(mean, Some(a + (b - a) * share))?,
            (Some(a), None) => KtQuantile::from_mean(mean, Some(a + (usual()?.sd() - a) * share))?,
            (None, Some(b)) => {
                let usual_sd = usual()?.sd();
                KtQuantile::from_mean(mean, Some(usual_sd + (b - usual_sd) * share))?
            }
        };
        Ok(DayClimate {
            kt,
            mean_rel_sd: 0.0,
            min_c: self.min_c[day],
            max_c: self.max_c[day],
            anomaly_sd_c: DEFAULT_ANOMALY_SD_C,
        })
    }
}

/// The days of a built-in climate brought to another mean, none beyond the upper limit of that mean.
fn scaled(day: &PlaceDay, mean: f64) -> Result<KtQuantile, KtError> {
    if day.kt <= 0.0 {
        return KtQuantile::from_mean(mean, None);
    }
    let (factor, most) = (mean / day.kt, upper_limit(mean));
    let percentiles = day
        .kt_percentiles
        .map(|(share, kt)| (share, (kt * factor).min(most)));
    KtQuantile::from_percentiles(mean, day.kt_sd * factor, &percentiles)
}

/// Mean clearness index of a month's row; `None` where there is no sun outside the air.
fn mean_kt(row: &MonthRow, outside_kwh_m2: f64) -> Result<Option<f64>, KtError> {
    match (row.kt, row.sun_hours) {
        (Some(kt), _) => Ok(Some(kt.min(MAX_MEAN_KT))),
        (None, Some(_)) if outside_kwh_m2 <= 0.0 => Ok(None),
        (None, Some(hours)) => Ok(Some((hours / outside_kwh_m2).min(MAX_MEAN_KT))),
        (None, None) => Err(KtError::NoMonth),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::Whole;

    const PLACE: (f64, f64) = (52.1, 5.18);

    fn row(month: u32, sun_hours: f64) -> MonthRow {
        MonthRow {
            month,
            sun_hours: Some(sun_hours),
            kt: None,
            day_min_c: f64::from(month),
            day_max_c: f64::from(month) + 10.0,
            kt_sd: None,
        }
    }

    fn date(month: u32, day: u32) -> NaiveDate {
        NaiveDate::from_ymd_opt(2027, month, day).unwrap()
    }

    fn month_mean(of: impl Fn(NaiveDate) -> f64, month: u32) -> f64 {
        let days = date(month, 1).iter_days();
        let days: Vec<f64> = days
            .take_while(|date| date.month() == month)
            .map(of)
            .collect();
        days.iter().sum::<f64>() / days.len().real()
    }

    /// De Bilt's months (Source: KNMI; rounded). Straight lines between them gave December 12 % more.
    #[test]
    fn law_the_days_of_a_month_have_its_means() {
        let hours = [
            0.65, 1.31, 2.63, 4.18, 5.06, 5.48, 5.08, 4.33, 3.15, 1.78, 0.82, 0.49,
        ];
        let rows: Vec<MonthRow> = (1..=12)
            .zip(hours)
            .map(|(m, hours)| row(m, hours))
            .collect();
        let year = MonthlyYear::new(&rows, PLACE, 2027).unwrap();
        let outside = year.days.outside_kwh_m2(2027, PLACE.0, PLACE.1);
        for row in &rows {
            let sun = |date: NaiveDate| {
                year.day(date).unwrap().kt.mean() * outside[date.ordinal0() as usize]
            };
            let error = month_mean(sun, row.month) / row.sun_hours.unwrap() - 1.0;
            assert!(error.abs() < 0.001, "{}: {error}", row.month);
            let min_c = month_mean(|date| year.day(date).unwrap().min_c, row.month);
            assert!((min_c - row.day_min_c).abs() < 1e-6, "{min_c}");
        }
    }

    #[test]
    fn law_one_month_stands_for_all() {
        let year = MonthlyYear::new(&[row(3, 2.6)], PLACE, 2027).unwrap();
        let [march, may] = [date(3, 20), date(5, 20)].map(|date| year.day(date).unwrap());
        assert!((march.kt.mean() - may.kt.mean()).abs() < 1e-4);
        assert!((may.min_c - 3.0).abs() < 1e-9 && (may.max_c - 13.0).abs() < 1e-9);
    }

    /// At 72° N: October's sun hours, and November, which has none.
    #[test]
    fn law_polar_night_takes_its_neighbour_and_its_edge_is_held() {
        let rows = [row(10, 0.5), row(11, 0.0), row(12, 0.0)];
        let year = MonthlyYear::new(&rows, (72.0, 25.0), 2027).unwrap();
        for day in [date(10, 2), date(10, 31), date(11, 2), date(12, 20)] {
            let kt = year.day(day).unwrap().kt.mean();
            assert!((0.0..=MAX_MEAN_KT + 1e-4).contains(&kt), "{day} {kt}");
        }
        let edge = MonthlyYear::new(&[row(10, 9.0)], (72.0, 25.0), 2027).unwrap();
        let kt = edge.day(date(10, 28)).unwrap().kt.mean();
        assert!((kt - MAX_MEAN_KT).abs() < 1e-4, "{kt}");
    }

    /// What is given is taken; what is not is the built-in climate's, in proportion; where that does not reach,
    /// Hollands and Huget's.
    #[test]
    fn law_the_spread_is_the_given_one_or_the_places_own() {
        let mut rows = [row(6, 4.0), row(7, 4.0)];
        let own = MonthlyYear::new(&rows, PLACE, 2027).unwrap();
        let climate = place_climate(PLACE.0, PLACE.1, None).unwrap();
        let built_in = PlaceYear::new(&climate, 2027).day(date(7, 16));
        let kt = own.day(date(7, 16)).unwrap().kt;
        let wanted = built_in.kt_sd * kt.mean() / built_in.kt;
        assert!((kt.sd() - wanted).abs() < 0.002, "{} {wanted}", kt.sd());
        let at_sea = MonthlyYear::new(&rows, (-52.1, -120.0), 2027).unwrap();
        let kt = at_sea.day(date(7, 16)).unwrap().kt;
        let usual = KtQuantile::from_mean(kt.mean(), None).unwrap();
        assert!((kt.sd() - usual.sd()).abs() < 1e-4);
        rows[0].kt_sd = Some(0.05);
        rows[1].kt_sd = Some(0.05);
        let given = MonthlyYear::new(&rows, PLACE, 2027).unwrap();
        assert!((given.day(date(7, 1)).unwrap().kt.sd() - 0.05).abs() < 1e-3);
        rows[0].kt_sd = None;
        let half = MonthlyYear::new(&rows, PLACE, 2027).unwrap();
        let sd = half.day(date(7, 1)).unwrap().kt.sd();
        assert!(sd > 0.06 && sd < wanted - 0.01, "{sd} {wanted}");
    }

    #[test]
    fn refuses_an_empty_table() {
        assert_eq!(
            MonthlyYear::new(&[], PLACE, 2027).unwrap_err(),
            KtError::NoMonth
        );
    }
}
