//! The sky of a place through the year: the first sanity check of a built-in climate.
//!
//! One job: a place to the table that `sky` shows, its picture and its JSON. The climate itself is in
//! `sky::world_climate`.

use serde::Serialize;

use chrono::{Days, NaiveDate};

use super::answer::FORMAT;
use crate::sky::day_persistence::DayPersistence;
use crate::sky::world_climate::{
    HeightSource, NOT_A_FORECAST, OutsideWorldClimate, PlaceClimate, PlaceMonth, PlaceYear,
    Support, SupportWarning, WORLD_CLIMATE_NOTICES, place_climate,
};
use crate::trials::{PlaceDate, low_sun_of_runs};
use crate::units::Sentence;

/// Days in a row that the table tells of.
pub const RUN_DAYS: [usize; 4] = [1, 3, 7, 14];

/// Years drawn for them, in batches of 64: the tenth percentile is known to half a per cent.
const BATCHES: u64 = 16;

/// Names of the months.
pub const MONTH_NAMES: [&str; 12] = [
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
];

/// Days of a month, February as in the mean year.
const MONTH_DAYS: [f64; 12] = [
    31.0, 28.25, 31.0, 30.0, 31.0, 30.0, 31.0, 31.0, 30.0, 31.0, 30.0, 31.0,
];

/// One month of the table.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SkyMonth {
    /// 1 to 12.
    pub month: u32,
    /// English name.
    pub name: &'static str,
    /// Mean sun hours a day: kWh/m² on the flat.
    pub sun_hours: f64,
    /// Standard deviation of the true mean about `sun_hours`: what is not known of the climate itself.
    pub sun_hours_uncertainty: f64,
    /// Of stays of [`RUN_DAYS`] days in a row about the month's days, one in ten has no more sun hours a day.
    pub run_sun_hours_p10: [f64; RUN_DAYS.len()],
    /// Standard deviation of the daily sun hours.
    pub sun_hours_sd: f64,
    /// One day in ten has no more.
    pub sun_hours_p10: f64,
    /// One day in four has no more.
    pub sun_hours_p25: f64,
    /// Every other day has no more.
    pub sun_hours_p50: f64,
    /// Three days in four have no more.
    pub sun_hours_p75: f64,
    /// Nine days in ten have no more.
    pub sun_hours_p90: f64,
    /// Clearness index of the month, 0 to 1; `null` in polar night.
    pub kt: Option<f64>,
    /// Mean daily minimum temperature, °C.
    pub day_min_c: f64,
    /// Mean daily maximum temperature, °C.
    pub day_max_c: f64,
    /// Standard deviation of the daily mean temperature, K.
    pub day_mean_sd_c: f64,
}

/// The table.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SkyTable {
    /// Version of the JSON results.
    pub format: u32,
    /// `tideover` and its version.
    pub tool: String,
    /// Latitude, north positive.
    pub lat_deg: f64,
    /// Longitude, east positive.
    pub lon_deg: f64,
    /// Height that the temperatures belong to, m.
    pub height_m: f64,
    /// Where the height comes from.
    pub height_source: HeightSource,
    /// Mean sun hours a day over the year.
    pub year_sun_hours: f64,
    /// The months asked for, ascending.
    pub months: Vec<SkyMonth>,
    /// What it rests on.
    pub support: Support,
    /// From where and when the figures are, one sentence each.
    pub source: Vec<Sentence>,
    /// What the reader should know.
    pub warnings: Vec<Sentence>,
    /// Credits that the sources require.
    pub notices: Vec<&'static str>,
}

/// The built-in climate of a place as a table.
///
/// `month`, 1 to 12, asks for one month alone; another number gives no row. Places and heights are those of
/// [`place_climate`].
///
/// # Errors
/// As [`place_climate`].
pub fn sky_table(
    lat_deg: f64,
    lon_deg: f64,
    height_m: Option<f64>,
    month: Option<u32>,
) -> Result<SkyTable, OutsideWorldClimate> {
    let climate = place_climate(lat_deg, lon_deg, height_m)?;
    let sun: f64 = climate
        .months
        .iter()
        .zip(MONTH_DAYS)
        .map(|(month, days)| month.ghi_kwh_m2 * days)
        .sum();
    let months = (1..=12)
        .zip(MONTH_NAMES)
        .zip(climate.months.iter().zip(runs(&climate)))
        .map(|((number, name), (of, runs))| sky_month(number, name, of, runs))
        .filter(|row| month.is_none_or(|wanted| wanted == row.month))
        .collect();
    let support = climate.support;
    Ok(SkyTable {
        format: FORMAT,
        tool: format!("tideover {}", env!("CARGO_PKG_VERSION")),
        lat_deg,
        lon_deg,
        height_m: support.height_m,
        height_source: support.height_source,
        year_sun_hours: sun / MONTH_DAYS.iter().sum::<f64>(),
        months,
        source: source(&support),
        warnings: support
            .warnings
            .iter()
            .map(SupportWarning::sentence)
            .collect(),
        notices: WORLD_CLIMATE_NOTICES.to_vec(),
        support,
    })
}

/// The sun of days in a row by month, drawn as trips draw it under the default seed and persistence.
fn runs(climate: &PlaceClimate) -> [[f64; RUN_DAYS.len()]; 12] {
    const YEAR: i32 = 2027;
    let year = PlaceYear::new(climate, YEAR);
    // A stay about the first of January begins in December, one about its last day ends after it.
    let first = NaiveDate::from_ymd_opt(YEAR - 1, 12, 25).unwrap_or_default();
    let days: Vec<PlaceDate> = (0..365 + 2 * 7)
        .filter_map(|day| {
            let date = first.checked_add_days(Days::new(day))?;
            let of = year.day(date);
            Some(PlaceDate {
                date,
                climate: of.day_climate().ok()?,
                outside_kwh_m2: of.extraterrestrial_kwh_m2,
            })
        })
        .collect();
    low_sun_of_runs(
        &days,
        &DayPersistence::default(),
        (1, BATCHES),
        (RUN_DAYS, 0.1),
    )
}

fn sky_month(
    month: u32,
    name: &'static str,
    of: &PlaceMonth,
    run_sun_hours_p10: [f64; RUN_DAYS.len()],
) -> SkyMonth {
    let [p10, p25, p50, p75, p90] = of.ghi_percentiles.map(|(_, sun_hours)| sun_hours);
    SkyMonth {
        month,
        name,
        sun_hours: of.ghi_kwh_m2,
        sun_hours_uncertainty: of.mean_rel_sd * of.ghi_kwh_m2,
        run_sun_hours_p10,
        sun_hours_sd: of.ghi_sd_kwh_m2,
        sun_hours_p10: p10,
        sun_hours_p25: p25,
        sun_hours_p50: p50,
        sun_hours_p75: p75,
        sun_hours_p90: p90,
        kt: of.kt,
        day_min_c: of.tmin_c,
        day_max_c: of.tmax_c,
        day_mean_sd_c: of.day_mean_sd_c,
    }
}

/// From where and when the figures of a place are, one sentence each.
#[must_use]
pub fn source(support: &Support) -> Vec<Sentence> {
    let cells: Vec<String> = support
        .cells
        .iter()
        .map(|cell| {
            format!(
                "{} ({:.0} %)",
                place_text(cell.lat_deg, cell.lon_deg, 0),
                cell.share * 100.0
            )
        })
        .collect();
    let height = match support.height_source {
        HeightSource::Given => "as given",
        HeightSource::LandBox => "the mean of the land around, within 1°",
        HeightSource::SeaLevel => "sea level, since there is hardly any land within 1°",
    };
    let told = [
        format!(
            "sun: reanalysis of 2011-2015, corrected with sunshine records (weight {:.1}; well supported from 1)",
            support.sunshine_weight
        ),
        format!(
            "temperature: station records of 2003-2021, some ‹{} km:0› away with height counted as distance, \
             carried to ‹{} m:0› ({height}) at ‹5.5 K/km›",
            support.nearest_station_km, support.height_m
        ),
        format!(
            "cells of 3°: {}; the nearest is ‹{} km:0› away",
            cells.join(", "),
            support.nearest_cell_km
        ),
        format!("this is {NOT_A_FORECAST}"),
    ];
    told.map(Sentence::from).to_vec()
}

/// A place in degrees with its hemispheres.
#[must_use]
pub fn place_text(lat_deg: f64, lon_deg: f64, digits: usize) -> String {
    format!(
        "{:.digits$}° {}, {:.digits$}° {}",
        lat_deg.abs(),
        if lat_deg < 0.0 { "S" } else { "N" },
        lon_deg.abs(),
        if lon_deg < 0.0 { "W" } else { "E" }
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_month_or_all_with_the_same_year() {
        let year = sky_table(-20.49, 25.18, Some(900.0), None).expect("Africa");
        let july = sky_table(-20.49, 25.18, Some(900.0), Some(7)).expect("Africa");
        assert_eq!(year.months.len(), 12);
        assert_eq!(july.months, vec![year.months[6].clone()]);
        assert!((year.year_sun_hours - july.year_sun_hours).abs() < 1e-12);
        let json = serde_json::to_value(&july).expect("plain numbers");
        assert_eq!(json["months"][0]["name"], "July");
        assert_eq!(json["height_source"], "given");
        assert_eq!(json["format"], FORMAT);
    }

    /// More days in a row even out: their dark ones are less dark, and darker than the mean. A single
    /// day's is that of the month's own distribution, to 7 %: what is not known of the mean widens it, and the trend
    /// within the month is out of the one and in the other.
    #[test]
    fn law_longer_runs_even_out() {
        for (lat_deg, lon_deg) in [(52.1, 5.18), (-26.42, 135.5), (1.35, 103.8)] {
            for month in sky_table(lat_deg, lon_deg, None, None)
                .expect("on land")
                .months
            {
                let runs = month.run_sun_hours_p10;
                assert!(runs.is_sorted() && runs[3] < month.sun_hours, "{month:?}");
                let single = runs[0] / month.sun_hours_p10 - 1.0;
                assert!(
                    single.abs() < 0.07 + 0.02 / month.sun_hours_p10,
                    "{single} {month:?}"
                );
                assert!(month.sun_hours_uncertainty > 0.03 * month.sun_hours);
            }
        }
    }

    #[test]
    fn pinned_source_of_a_place() {
        let table = sky_table(-20.49, 25.18, None, None).expect("Africa");
        assert_eq!(
            table.source,
            [
                "sun: reanalysis of 2011-2015, corrected with sunshine records (weight 0.4; well supported from 1)",
                "temperature: station records of 2003-2021, some 402 km away with height counted as \
                 distance, carried to 900 m (the mean of the land around, within 1°) at 5.5 K/km",
                "cells of 3°: 21° S, 24° E (50 %), 21° S, 27° E (33 %), 18° S, 24° E (10 %), 18° S, 27° E (7 %); \
                 the nearest is 135 km away",
                "this is a plausible climate of the place, not a forecast",
            ]
        );
    }
}
