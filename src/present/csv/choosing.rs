//! `topup.csv`, `shed.csv` and `why.csv`.
//!
//! One job: rows of those answers in a file: cells of the heat map, loads, inputs.

use std::io::Write;

use super::write_columns;
use crate::present::columns::{Column, Value};
use crate::study::choosing::shed::{Shed, ShedResult};
use crate::study::choosing::topup::TopupResult;
use crate::study::choosing::why::{InputAnswer, WhyResult};

/// Writes the cells of the heat map: size, hours of driving a day, chance.
///
/// # Errors
/// What `out` answers when it cannot take more.
pub fn write_topup<W: Write>(out: W, result: &TopupResult) -> Result<(), ::csv::Error> {
    struct Cell<'a>(&'a str, f64, f64, f64);
    let columns: [Column<Cell<'_>>; 4] = [
        Column {
            key: "against",
            value: |cell| Value::Text(cell.0.to_owned()),
        },
        Column {
            key: "size",
            value: |cell| Value::Number(cell.1),
        },
        Column {
            key: "hours_per_day",
            value: |cell| Value::Number(cell.2),
        },
        Column {
            key: "chance_no_shortfall",
            value: |cell| Value::Chance(cell.3),
        },
    ];
    let rows = result.map.iter().flat_map(|map| {
        map.sizes
            .iter()
            .zip(&map.chance)
            .flat_map(move |(size, row)| {
                let cells = map.hours_per_day.iter().zip(row);
                cells.map(move |(hours, chance)| Cell(&map.against, *size, *hours, *chance))
            })
    });
    write_columns(out, &columns, result.heading.units, rows)
}

/// Writes one row a load alone, then one a step.
///
/// # Errors
/// What `out` answers when it cannot take more.
pub fn write_shed<W: Write>(out: W, result: &ShedResult) -> Result<(), ::csv::Error> {
    type Row<'a> = (&'static str, &'a Shed);
    fn column<'a>(key: &'static str, value: fn(&Row<'a>) -> Value) -> Column<Row<'a>> {
        Column { key, value }
    }
    let columns = [
        column("list", |row| Value::Text(row.0.to_owned())),
        column("load", |row| Value::Text(row.1.load.clone())),
        column("wh_per_day", |row| Value::Number(row.1.wh_per_day)),
        column("days_p10", |row| {
            row.1.days_p10.value.map_or(Value::Empty, Value::Number)
        }),
        column("gain_days_p10", |row| {
            Value::Number(row.1.gain_days_p10.value)
        }),
        column("gain_days_p10_low", |row| {
            Value::Number(row.1.gain_days_p10.low)
        }),
        column("gain_days_p10_high", |row| {
            Value::Number(row.1.gain_days_p10.high)
        }),
        column("chance_no_shortfall", |row| {
            Value::Chance(row.1.chance_no_shortfall.value)
        }),
        column("gain_chance", |row| Value::Number(row.1.gain_chance.value)),
        column("gain_chance_low", |row| {
            Value::Number(row.1.gain_chance.low)
        }),
        column("gain_chance_high", |row| {
            Value::Number(row.1.gain_chance.high)
        }),
    ];
    let alone = result.alone.iter().map(|shed| ("alone", shed));
    let steps = result.steps.iter().map(|shed| ("steps", shed));
    write_columns(out, &columns, result.heading.units, alone.chain(steps))
}

/// Writes one row an input.
///
/// # Errors
/// What `out` answers when it cannot take more.
pub fn write_why<W: Write>(out: W, result: &WhyResult) -> Result<(), ::csv::Error> {
    fn column<'a>(
        key: &'static str,
        value: fn(&&'a InputAnswer) -> Value,
    ) -> Column<&'a InputAnswer> {
        Column { key, value }
    }
    let columns = [
        column("input", |row| Value::Text(row.path.clone())),
        column("name", |row| Value::Text(row.name.clone())),
        column("unit", |row| Value::Text(row.unit.to_owned())),
        column("low", |row| Value::Number(row.low)),
        column("high", |row| Value::Number(row.high)),
        column("is_spread", |row| {
            Value::Number(f64::from(u8::from(row.is_spread)))
        }),
        column("at_low", |row| Value::Number(row.at_low)),
        column("at_high", |row| Value::Number(row.at_high)),
        column("swing", |row| Value::Number(row.swing)),
        column("swing_low", |row| Value::Number(row.difference.low)),
        column("swing_high", |row| Value::Number(row.difference.high)),
    ];
    write_columns(out, &columns, result.heading.units, result.inputs.iter())
}
