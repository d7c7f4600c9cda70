//! TMY3 files: typical years as published by the US national laboratories.
//!
//! One job: its head, and where its columns are. Layout after S. Wilcox, W. Marion, *Users Manual for TMY3 Data
//! Sets*, NREL/TP-581-43156, 2008, tables 2-1 to 2-3: a line with station, zone, latitude, longitude and
//! height; a line of column names; then `MM/DD/YYYY`, `HH:MM` (01:00 to 24:00, the end of the hour,
//! local standard time) and the values; -9900 is "missing". Columns are found by name. Files that others
//! write in this layout may have `00:00` of the next day for 24:00.

use super::error::{HistoryError, HistoryFault};
use super::field::{Field, NoValue};
use super::hour_clock::Clock;
use super::hour_layout::{Layout, Station};
use super::hour_record::Hours;
use super::rows::{Quotes, Rows};

const DATE: &str = "Date (MM/DD/YYYY)";
const NONE: NoValue = NoValue::UpTo(-9900.0);
/// Fields of latitude, longitude, time zone and height in the first line.
const HEAD: [usize; 4] = [4, 5, 3, 6];

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

/// Reads a whole file.
///
/// # Errors
/// The first fault, with its line.
pub(super) fn read(bytes: &[u8]) -> Result<Hours, HistoryError> {
    let mut rows = Rows::new(bytes, Quotes::Enclose);
    let head = |line, wanted| {
        let format = "TMY3";
        HistoryFault::BadHead { format, wanted }.at(line)
    };
    let wanted =
        "station, name, state, time zone, latitude, longitude and height in its first line";
    if !rows.advance()? {
        return Err(head(1, wanted));
    }
    let station = Station::of_head(&rows, HEAD).ok_or_else(|| head(1, wanted))?;
    if !rows.advance()? {
        return Err(head(2, "column names in its second line"));
    }
    rows.take_as_header();
    let titles = rows.texts();
    let find = |name: &'static str| {
        let index = titles.iter().position(|title| is_same(title, name));
        Ok((index.ok_or_else(|| head(2, name))?, name))
    };
    let text = |name| find(name).map(|(index, name)| Field::text(index, name));
    let sun = |name| find(name).map(|(index, name)| Field::sun(index, name, NONE, 1.0));
    let layout = Layout {
        clock: Clock::SlashedDateTime {
            date: text(DATE)?,
            time: text("Time (HH:MM)")?,
        },
        offset_s: station.head_offset_s,
        global: sun("GHI (W/m^2)")?,
        direct: Some(sun("DNI (W/m^2)")?),
        diffuse: Some(sun("DHI (W/m^2)")?),
        air: find("Dry-bulb (C)").map(|(index, name)| Field::air(index, name, NONE))?,
    };
    layout.read(&mut rows, station)
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
