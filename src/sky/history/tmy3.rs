//! TMY3 files: typical years as published by the US national laboratories.
//!
//! One job: head and rows to hours. Layout after S. Wilcox, W. Marion, *Users Manual for TMY3 Data
//! Sets*, NREL/TP-581-43156, 2008, tables 2-1 to 2-3: a line with station, zone, latitude, longitude and
//! height; a line of column names; then `MM/DD/YYYY`, `HH:MM` (01:00 to 24:00, the end of the hour,
//! local standard time) and the values; -9900 is "missing". Columns are found by name. Files that others
//! write in this layout may have `00:00` of the next day for 24:00.

use super::dates::{day_of, midnight_s};
use super::error::HistoryError;
use super::hour_record::{
    HEIGHT_RANGE_M, HOUR_S, HourRecord, Hours, check_order, settle_typical, short, short_line,
};
use super::rows::{AIR_RANGE_C, Quotes, Rows, SUN_RANGE};

const FORMAT: &str = "TMY3";
const DATE: &str = "Date (MM/DD/YYYY)";
const TIME: &str = "Time (HH:MM)";
const GLOBAL: &str = "GHI (W/m^2)";
const DIRECT: &str = "DNI (W/m^2)";
const DIFFUSE: &str = "DHI (W/m^2)";
const AIR: &str = "Dry-bulb (C)";
/// "Missing".
const NONE: f64 = -9900.0;

/// Whether a file looks like one: its second line begins with the manual's first column.
pub(super) fn is_tmy3(bytes: &[u8]) -> bool {
    bytes
        .split(|&byte| byte == b'\n')
        .nth(1)
        .is_some_and(|line| {
            line.strip_prefix(b"\"")
                .unwrap_or(line)
                .get(..DATE.len())
                .is_some_and(|begin| begin.eq_ignore_ascii_case(DATE.as_bytes()))
        })
}

/// Where the columns are.
struct Places {
    date: usize,
    time: usize,
    global: usize,
    direct: usize,
    diffuse: usize,
    air: usize,
}

/// Reads a whole file.
///
/// # Errors
/// The first fault, with its line.
pub(super) fn read(bytes: &[u8]) -> Result<Hours, HistoryError> {
    let mut rows = Rows::new(bytes, Quotes::Enclose);
    let head = |line, wanted| HistoryError::BadHead {
        line,
        format: FORMAT,
        wanted,
    };
    let station =
        "station, name, state, time zone, latitude, longitude and height in its first line";
    if !rows.advance()? {
        return Err(head(1, station));
    }
    let number = |index, most: f64| {
        rows.number(index, "station")
            .ok()
            .flatten()
            .filter(|number: &f64| number.abs() <= most)
    };
    let (Some(zone_h), Some(lat_deg), Some(lon_deg)) =
        (number(3, 14.0), number(4, 90.0), number(5, 180.0))
    else {
        return Err(head(1, station));
    };
    let (lowest_m, highest_m) = HEIGHT_RANGE_M;
    let height_m = number(6, 1e9).filter(|height_m| (lowest_m..=highest_m).contains(height_m));
    #[expect(clippy::cast_possible_truncation, reason = "at most 14 hours")]
    let offset_s = (zone_h * 3600.0).round() as i64;
    if !rows.advance()? {
        return Err(head(2, "column names in its second line"));
    }
    rows.take_as_header();
    let titles = rows.texts();
    let find = |name: &'static str| {
        titles
            .iter()
            .position(|title| is_same(title, name))
            .ok_or_else(|| head(2, name))
    };
    let places = Places {
        date: find(DATE)?,
        time: find(TIME)?,
        global: find(GLOBAL)?,
        direct: find(DIRECT)?,
        diffuse: find(DIFFUSE)?,
        air: find(AIR)?,
    };
    let mut records = Vec::new();
    while rows.advance()? {
        records.push(record(&rows, &places, offset_s)?);
    }
    let is_typical = settle_typical(&mut records, offset_s);
    check_order(&records, offset_s)?;
    Ok(Hours {
        records,
        lat_deg,
        lon_deg,
        height_m,
        is_placed: true,
        is_typical,
        global_name: GLOBAL.to_owned(),
    })
}

/// Whether two column names have the same letters and digits in order. Files of other makers write the
/// brackets and the `^` as they please.
fn is_same(title: &str, name: &str) -> bool {
    let bare = |text: &'_ str| -> String {
        text.chars()
            .filter(char::is_ascii_alphanumeric)
            .map(|letter| letter.to_ascii_lowercase())
            .collect()
    };
    bare(title) == bare(name)
}

fn record(rows: &Rows<'_>, places: &Places, offset_s: i64) -> Result<HourRecord, HistoryError> {
    let bad = |index: usize, column: &str, allowed| HistoryError::BadDate {
        line: rows.line(),
        column: column.to_owned(),
        found: rows.shown(index),
        allowed,
    };
    let date = numbers(rows.field(places.date), b'/')
        .and_then(|[month, day, year]| day_of(i32::try_from(year).ok()?, month, day))
        .ok_or_else(|| {
            bad(
                places.date,
                DATE,
                "a date as month/day/year, such as `07/05/1998`",
            )
        })?;
    let hour = [rows.field(places.time), b":0"].concat();
    let hour = numbers(&hour, b':')
        .filter(|&[hour, minute, _]| hour <= 24 && minute == 0)
        .ok_or_else(|| bad(places.time, TIME, "a whole hour from `00:00` to `24:00`"))?[0];
    let is_none = |number: f64| number <= NONE;
    let sun = |index, name| rows.ranged(index, name, SUN_RANGE, is_none).map(short);
    Ok(HourRecord {
        end_utc_s: midnight_s(date) + i64::from(hour) * HOUR_S - offset_s,
        line: short_line(rows.line()),
        global_wh_m2: sun(places.global, GLOBAL)?,
        direct_wh_m2: sun(places.direct, DIRECT)?,
        diffuse_wh_m2: sun(places.diffuse, DIFFUSE)?,
        air_c: short(rows.ranged(places.air, AIR, AIR_RANGE_C, is_none)?),
    })
}

/// Three numbers with a sign between them.
fn numbers(field: &[u8], between: u8) -> Option<[u32; 3]> {
    let mut parts = field.split(|&byte| byte == between).map(|part| {
        std::str::from_utf8(part)
            .ok()
            .filter(|text| text.bytes().all(|b| b.is_ascii_digit()))?
            .parse()
            .ok()
    });
    let found = [parts.next()??, parts.next()??, parts.next()??];
    parts.next().is_none().then_some(found)
}
