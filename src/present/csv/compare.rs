//! `compare.csv`: one row an option.

use std::io::Write;

use super::write_columns;
use crate::present::columns::{Column, Value};
use crate::study::choosing::compare::{CompareResult, OptionAnswer};

fn number(value: Option<f64>) -> Value {
    value.map_or(Value::Empty, Value::Number)
}

/// Writes one row an option, in the order given.
///
/// # Errors
/// What `out` answers when it cannot take more.
pub fn write_compare<W: Write>(out: W, result: &CompareResult) -> Result<(), ::csv::Error> {
    type Row<'a> = (&'a OptionAnswer, bool, bool);
    fn column<'a>(key: &'static str, value: fn(&Row<'a>) -> Value) -> Column<Row<'a>> {
        Column { key, value }
    }
    let columns = [
        column("option", |row| Value::Text(row.0.name.clone())),
        column("chance_no_shortfall", |row| {
            Value::Chance(row.0.chance_no_shortfall.value)
        }),
        column("chance_no_shortfall_low", |row| {
            Value::Chance(row.0.chance_no_shortfall.low)
        }),
        column("chance_no_shortfall_high", |row| {
            Value::Chance(row.0.chance_no_shortfall.high)
        }),
        column("difference", |row| {
            number(row.0.difference.map(|d| d.value))
        }),
        column("difference_low", |row| {
            number(row.0.difference.map(|d| d.low))
        }),
        column("difference_high", |row| {
            number(row.0.difference.map(|d| d.high))
        }),
        column("difference_days", |row| {
            number(row.0.difference_days.map(|d| d.value))
        }),
        column("chance_no_outage", |row| {
            Value::Chance(row.0.chance_no_outage.value)
        }),
        column("autonomy_days_p10", |row| {
            number(row.0.autonomy_days.p10.value)
        }),
        column("autonomy_days_p50", |row| {
            number(row.0.autonomy_days.p50.value)
        }),
        column("autonomy_days_p90", |row| {
            number(row.0.autonomy_days.p90.value)
        }),
        column("lowest_soc_p10", |row| Value::Soc(row.0.lowest_soc.p10)),
        column("lowest_soc_p50", |row| Value::Soc(row.0.lowest_soc.p50)),
        column("curtailed_wh_per_day", |row| {
            Value::Number(row.0.curtailed_wh_per_day)
        }),
        column("mass_kg", |row| number(row.0.mass_kg)),
        column("price", |row| number(row.0.price)),
        column("capacity_ah", |row| Value::Number(row.0.capacity_ah)),
        column("panel_w", |row| Value::Number(row.0.panel_w)),
        column("meets_aim", |row| {
            Value::Number(f64::from(u8::from(row.0.meets_aim)))
        }),
        column("least", |row| Value::Number(f64::from(u8::from(row.1)))),
        column("knee", |row| Value::Number(f64::from(u8::from(row.2)))),
    ];
    let is = |name: &Option<String>, option: &OptionAnswer| name.as_ref() == Some(&option.name);
    let rows = result
        .options
        .iter()
        .map(|option| (option, is(&result.least, option), is(&result.knee, option)));
    write_columns(out, &columns, result.heading.units, rows)
}
