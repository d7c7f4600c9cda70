//! The one reader of hourly rows.
//!
//! One job: by the table that a format gives of its fields, rows to hours. What stands above the rows, the head or
//! the header, is the format's.

use super::error::HistoryError;
use super::field::Field;
use super::hour_clock::{Clock, NominalYear};
use super::hour_record::{
    HEIGHT_RANGE_M, HourRecord, Hours, check_order, settle_typical, short_line,
};
use super::rows::Rows;
use crate::units::Whole;

/// Where the values of an hourly format are.
pub(super) struct Layout<'a> {
    pub(super) clock: Clock<'a>,
    /// How far its clock is ahead of UTC where the rows do not say.
    pub(super) offset_s: Option<i64>,
    pub(super) global: Field<'a>,
    pub(super) direct: Option<Field<'a>>,
    pub(super) diffuse: Option<Field<'a>>,
    pub(super) air: Field<'a>,
}

/// Where the values were measured.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Station {
    pub(super) lat_deg: f64,
    pub(super) lon_deg: f64,
    /// Height above the sea, m, if known.
    pub(super) height_m: Option<f64>,
    /// How far its local standard time is ahead of UTC; `None`: the file's head does not tell the place.
    pub(super) head_offset_s: Option<i64>,
}

impl Station {
    /// The station that a head tells, by the fields of latitude, longitude, hours ahead of UTC and height. `None`
    /// where one of the first three is missing or impossible.
    pub(super) fn of_head(rows: &Rows<'_>, [lat, lon, zone, height]: [usize; 4]) -> Option<Self> {
        let number = |index| rows.number(index, "head").ok().flatten();
        let within = |index, most: f64| number(index).filter(|number: &f64| number.abs() <= most);
        let (lowest_m, highest_m) = HEIGHT_RANGE_M;
        let head_offset_s = i64::cut((within(zone, 14.0)? * 3600.0).round());
        Some(Self {
            lat_deg: within(lat, 90.0)?,
            lon_deg: within(lon, 180.0)?,
            height_m: number(height).filter(|height_m| (lowest_m..=highest_m).contains(height_m)),
            head_offset_s: Some(head_offset_s),
        })
    }
}

impl Layout<'_> {
    /// Reads the rows that are left.
    ///
    /// A file with a head may hold a typical year whose months bear the years that they were taken from.
    ///
    /// # Errors
    /// The first fault, with its line.
    pub(super) fn read(
        &self,
        rows: &mut Rows<'_>,
        station: Station,
    ) -> Result<Hours, HistoryError> {
        let measured = |rows: &Rows<'_>, field: Option<&Field<'_>>| {
            field.map_or(Ok(f32::NAN), |field| field.measured(rows))
        };
        let mut records: Vec<HourRecord> = Vec::new();
        let mut nominal = NominalYear::new();
        while rows.advance()? {
            let end_utc_s =
                self.clock
                    .end_utc_s(rows, self.offset_s, &mut nominal, &mut records)?;
            records.push(HourRecord {
                end_utc_s,
                line: short_line(rows.line()),
                global_wh_m2: self.global.measured(rows)?,
                direct_wh_m2: measured(rows, self.direct.as_ref())?,
                diffuse_wh_m2: measured(rows, self.diffuse.as_ref())?,
                air_c: self.air.measured(rows)?,
            });
        }
        let is_placed = station.head_offset_s.is_some();
        let offset_s = self.offset_s.unwrap_or(0);
        let is_settled = is_placed && settle_typical(&mut records, offset_s);
        check_order(&records, offset_s)?;
        Ok(Hours {
            records,
            lat_deg: station.lat_deg,
            lon_deg: station.lon_deg,
            height_m: station.height_m,
            is_placed,
            is_typical: is_settled || self.clock.is_yearless(),
            global_name: self.global.name.to_owned(),
        })
    }
}
