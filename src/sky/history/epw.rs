//! EPW files: the open format of weather for building simulation.
//!
//! One job: its head, and where its fields are. Field numbers, ranges and marks for "missing" are those of the
//! format's published data dictionary (US Department of Energy, *Auxiliary Programs* manual, "EPW Data
//! Dictionary"; from memory): eight head lines, then year, month, day, hour 1 to 24, minute, flags, dry bulb …; irradiation in Wh/m² of the hour that ends there, local
//! standard time.

use super::error::{HistoryError, HistoryFault};
use super::field::{Field, NoValue};
use super::hour_clock::Clock;
use super::hour_layout::{Layout, Station};
use super::hour_record::Hours;
use super::rows::{Quotes, Rows};

/// Fields of latitude, longitude, time zone and height in the first line.
const HEAD: [usize; 4] = [6, 7, 8, 9];
const NO_AIR: NoValue = NoValue::From(99.9);
const NO_SUN: NoValue = NoValue::From(9999.0);
const AIR_RANGE_C: (f64, f64) = (-90.0, 70.0);

/// Whether a file looks like one.
pub(super) fn is_epw(bytes: &[u8]) -> bool {
    bytes
        .get(..9)
        .is_some_and(|begin| begin.eq_ignore_ascii_case(b"LOCATION,"))
}

/// Reads a whole file.
///
/// # Errors
/// The first fault, with its line.
pub(super) fn read(bytes: &[u8]) -> Result<Hours, HistoryError> {
    let mut rows = Rows::new(bytes, Quotes::Plain);
    let head = |line, wanted| {
        let format = "EPW";
        HistoryFault::BadHead { format, wanted }.at(line)
    };
    if !is_epw(bytes) || !rows.advance()? {
        return Err(head(1, "a first line that begins with `LOCATION`"));
    }
    let wanted = "latitude, longitude and time zone as fields 7, 8 and 9";
    let station = Station::of_head(&rows, HEAD).ok_or_else(|| head(1, wanted))?;
    loop {
        if !rows.advance()? {
            return Err(head(8, "a line that begins with `DATA PERIODS`"));
        }
        if rows.field(0).eq_ignore_ascii_case(b"DATA PERIODS") {
            break;
        }
    }
    if rows.field(2) != b"1" {
        return Err(head(rows.line(), "1 record an hour"));
    }
    let layout = Layout {
        clock: Clock::Numbers {
            year: Some(Field::new(0, "year", (1900.0, 2200.0))),
            month: Field::new(1, "month", (1.0, 12.0)),
            day: Field::new(2, "day", (1.0, 31.0)),
            hour: Field::new(3, "hour", (1.0, 24.0)),
        },
        offset_s: station.head_offset_s,
        global: Field::sun(13, "global horizontal radiation", NO_SUN, 1.0),
        direct: Some(Field::sun(14, "direct normal radiation", NO_SUN, 1.0)),
        diffuse: Some(Field::sun(15, "diffuse horizontal radiation", NO_SUN, 1.0)),
        air: Field::air(6, "dry bulb temperature", NO_AIR).within(AIR_RANGE_C),
    };
    layout.read(&mut rows, station)
}
