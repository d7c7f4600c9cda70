//! From the bytes of a weather file to a record.
//!
//! One job: to tell the formats apart and hand over.

use std::collections::BTreeMap;

use super::columns::{Columns, Quantity};
use super::error::{HistoryError, HistoryFault};
use super::light_days::light_days;
use super::rows::{Quotes, Rows, is_utf16, without_mark};
use super::series::Series;
use super::{daily_csv, epw, hourly_csv, tmy3};
use crate::units::Whole;

/// What a scenario says about a weather file.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct ReadOptions {
    /// Latitude of the station, -90 to 90. EPW and TMY3 bring their own, which goes first.
    pub lat_deg: f64,
    /// Longitude of the station, -180 to 180, east positive. As above.
    pub lon_deg: f64,
    /// For a documented column name, what the file calls it.
    pub columns: BTreeMap<String, String>,
    /// Hours of the file's clock ahead of UTC, -14 to 14, where its times have no zone.
    pub utc_offset_h: Option<f64>,
}

impl ReadOptions {
    pub(super) fn utc_offset_s(&self) -> Result<Option<i64>, HistoryError> {
        match self.utc_offset_h {
            None => Ok(None),
            Some(hours) if (-14.0..=14.0).contains(&hours) => {
                Ok(Some(i64::cut((hours * 3600.0).round())))
            }
            Some(found_h) => Err(HistoryFault::BadOffset { found_h }.of_file()),
        }
    }
}

/// Reads a weather file of any of the formats described in [`super`].
///
/// | argument | meaning | accepted |
/// |---|---|---|
/// | `bytes` | the whole file | any bytes; a byte-order mark and CRLF too |
/// | `name` | its name: `.epw` means EPW; else the content decides | any |
/// | `options` | the station's place, columns, zone | see [`ReadOptions`] |
///
/// Rows are read one at a time. Beside the bytes it takes 32 bytes an hour read and 650 a day kept
/// (40 a day without hours): some 12 MB for 20 years of hours, 60 MB for the most that is taken.
///
/// # Errors
/// [`HistoryError`], the first fault met, with its line.
pub fn read(bytes: &[u8], name: &str, options: &ReadOptions) -> Result<Series, HistoryError> {
    let bytes = without_mark(bytes);
    if bytes.trim_ascii().is_empty() {
        return Err(HistoryFault::Empty.of_file());
    }
    if is_utf16(bytes) {
        return Err(HistoryFault::Utf16.of_file());
    }
    let (lat_deg, lon_deg) = (options.lat_deg, options.lon_deg);
    if !(-90.0..=90.0).contains(&lat_deg) || !(-180.0..=180.0).contains(&lon_deg) {
        return Err(HistoryFault::BadStation { lat_deg, lon_deg }.of_file());
    }
    let is_named_epw = name
        .rsplit_once('.')
        .is_some_and(|(_, extension)| extension.eq_ignore_ascii_case("epw"));
    let hours = if is_named_epw || epw::is_epw(bytes) {
        epw::read(bytes)?
    } else if tmy3::is_tmy3(bytes) {
        tmy3::read(bytes)?
    } else {
        let mut rows = Rows::new(bytes, Quotes::Enclose);
        if !rows.advance()? {
            return Err(HistoryFault::Empty.of_file());
        }
        rows.take_as_header();
        let columns = Columns::find(&rows.texts(), &options.columns)?;
        let is_hourly = [Quantity::HourStart, Quantity::HourEnd, Quantity::HourEnding]
            .iter()
            .any(|&clock| columns.get(clock).is_some());
        if !is_hourly {
            let days = daily_csv::read(&mut rows, &columns, options)?;
            return whole(Series::of(days, lat_deg, lon_deg));
        }
        hourly_csv::read(&mut rows, &columns, options)?
    };
    let (lat_deg, lon_deg, is_typical) = (hours.lat_deg, hours.lon_deg, hours.is_typical);
    let (height_m, is_placed) = (hours.height_m, hours.is_placed);
    let light = light_days(hours)?;
    whole(Series {
        filled_hours: light.filled_hours,
        late_h: light.late_h,
        is_typical,
        height_m,
        is_placed,
        ..Series::of(light.days, lat_deg, lon_deg)
    })
}

fn whole(series: Series) -> Result<Series, HistoryError> {
    if series.days.is_empty() {
        Err(HistoryFault::NoWholeDay.of_file())
    } else {
        Ok(series)
    }
}
