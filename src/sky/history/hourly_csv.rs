//! Hourly values in a comma-separated file.
//!
//! One job: from its header to where its fields are. The time is a timestamp with its zone (or the file's stated
//! offset), a `date` with `hour_ending` from 1 to 24, or `month`, `day`, `hour_ending` of a typical year.

use super::columns::{Column, Columns, Quantity, Unit};
use super::error::HistoryError;
use super::field::{Field, NoValue};
use super::hour_clock::Clock;
use super::hour_layout::{Layout, Station};
use super::hour_record::Hours;
use super::read::ReadOptions;
use super::rows::Rows;

/// Reads the rows after the header.
///
/// # Errors
/// The first fault, with its line.
pub(super) fn read(
    rows: &mut Rows<'_>,
    columns: &Columns,
    options: &ReadOptions,
) -> Result<Hours, HistoryError> {
    let (clock, is_utc) = clock(columns)?;
    let layout = Layout {
        clock,
        offset_s: if is_utc {
            Some(0)
        } else {
            options.utc_offset_s()?
        },
        global: sun(columns.need(Quantity::Global)?),
        direct: columns.get(Quantity::Direct).map(sun),
        diffuse: columns.get(Quantity::Diffuse).map(sun),
        air: columns
            .need(Quantity::Air)
            .map(|air| Field::air(air.index, &air.header, NoValue::Never))?,
    };
    let station = Station {
        lat_deg: options.lat_deg,
        lon_deg: options.lon_deg,
        height_m: None,
        head_offset_s: None,
    };
    layout.read(rows, station)
}

fn sun(column: &Column) -> Field<'_> {
    let factor = match column.unit {
        Unit::Plain | Unit::Mean => 1.0,
        Unit::Sum(factor) => factor,
    };
    Field::sun(column.index, &column.header, NoValue::Never, factor)
}

fn whole(column: &Column, most: f64) -> Field<'_> {
    Field::new(column.index, &column.header, (1.0, most))
}

/// How the rows tell their hour, and whether that is in UTC.
fn clock(columns: &Columns) -> Result<(Clock<'_>, bool), HistoryError> {
    for (quantity, is_end) in [(Quantity::HourStart, false), (Quantity::HourEnd, true)] {
        if let Some(column) = columns.get(quantity) {
            let stamp = Field::text(column.index, &column.header);
            return Ok((Clock::Stamp { stamp, is_end }, column.is_utc));
        }
    }
    let hour_column = columns.need(Quantity::HourEnding)?;
    let hour = whole(hour_column, 24.0);
    let clock = match columns.get(Quantity::Date) {
        Some(column) => Clock::DateHour {
            date: Field::text(column.index, &column.header),
            hour,
        },
        None => Clock::Numbers {
            year: None,
            month: whole(columns.need(Quantity::Month)?, 12.0),
            day: whole(columns.need(Quantity::Day)?, 31.0),
            hour,
        },
    };
    Ok((clock, hour_column.is_utc))
}
