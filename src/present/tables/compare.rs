//! The table of `compare`: a row an option.
//!
//! One job: the figures under the verdict, on the report and in `compare.csv`.

use super::part::Part;
use crate::present::plain_text::shortened;
use crate::present::table::{Align, Table, Value};
use crate::present::words::chance::soc;
use crate::present::words::compare_verdict::{gain, labels};
use crate::present::words::duration::{Horizon, lasting};
use crate::present::words::figure::{money, rounded};
use crate::study::choosing::compare::{CompareResult, OptionAnswer};
use crate::units::Amount;

/// How to read it.
const SAYS: &str = "All on the same trial trips: chances with their 95 % interval, differences trial by trial. Lowest: \
    state of charge of the weakest house bank that 9 in 10 trips keep above · that half keep above. Mass and price: sums \
    over the banks, chargers and panels that give them; a dash where a part of another size has none of its own: set it, \
    or give `price_per_ah`, `price_per_w`, `price_per_a`, `mass_kg_per_ah`, `mass_kg_per_w`.";

/// Longest label of an option.
const LABEL_LIMIT: usize = 40;

/// The tables of a comparison.
#[must_use]
pub fn compare_tables(result: &CompareResult) -> Vec<Part> {
    let (title, _) = labels(result);
    let title = (title != "option").then(|| Part::Lines(format!("Options: {title}")));
    let tables = Part::with_says(compare_table(result));
    title.into_iter().chain(tables).collect()
}

/// A row an option, in the order given.
#[must_use]
pub fn compare_table(result: &CompareResult) -> Table {
    let horizon = Horizon::TripEnd(0.0);
    let units = result.heading.units;
    let currency = result.heading.currency.as_deref();
    let (_, labels) = labels(result);
    let rows: Vec<(&OptionAnswer, &String)> = result.options.iter().zip(&labels).collect();
    let is = |name: &Option<String>, row: &(&OptionAnswer, &String)| {
        Value::flag(name.as_ref() == Some(&row.0.name))
    };
    let or_dash = |value: Option<f64>, shown: &dyn Fn(f64) -> String| {
        Value::Told(value.map_or_else(|| "–".to_owned(), shown), value)
    };
    let days = |days| Value::Told(lasting(days, horizon), days.value);
    let mass = |mass_kg: f64| rounded(units.value(Amount::Kilograms, mass_kg));
    let sources = |option: &OptionAnswer| {
        let of = |(id, wh): (&String, &f64)| format!("{} {}", shortened(id, 24), rounded(*wh));
        let sources = option
            .charge_wh_per_day
            .0
            .iter()
            .map(|(id, wh)| of((id, wh)));
        sources.collect::<Vec<String>>().join(", ")
    };
    Table::of(&rows, units)
        .filed("option", |row| Value::Text(row.0.name.clone()))
        .name("", "option", |row| row.1.clone())
        .limited(LABEL_LIMIT)
        .chance("chance_no_shortfall", "no shortfall", |row| {
            row.0.chance_no_shortfall
        })
        .shown("against the file as it is", |row| {
            let difference = row.0.difference.map(|_| gain(row.0));
            difference.unwrap_or_else(|| "–".to_owned())
        })
        .bounds("difference", |row| {
            row.0.difference.map(|it| [it.value, it.low, it.high])
        })
        .filed("difference_days", |row| {
            Value::of(row.0.difference_days.map(|it| it.value))
        })
        .figure("chance_no_outage", "no outage", |row| {
            Value::Chance(row.0.chance_no_outage.value)
        })
        .figure("autonomy_days_p10", "9 in 10 last", |row| {
            days(row.0.autonomy_days.p10)
        })
        .figure("autonomy_days_p50", "half last", |row| {
            days(row.0.autonomy_days.p50)
        })
        .figure("autonomy_days_p90", "1 in 10 last", |row| {
            days(row.0.autonomy_days.p90)
        })
        .shown("lowest", |row| {
            let lowest = &row.0.lowest_soc;
            format!("{} · {}", soc(lowest.p10), soc(lowest.p50))
        })
        .filed("lowest_soc_p10", |row| Value::Soc(row.0.lowest_soc.p10))
        .filed("lowest_soc_p50", |row| Value::Soc(row.0.lowest_soc.p50))
        .column("", "charge by source, Wh a day", Align::Left, |row| {
            Value::Text(sources(row.0))
        })
        .figure("curtailed_wh_per_day", "sun left over, Wh a day", |row| {
            Value::Number(row.0.curtailed_wh_per_day)
        })
        .figure(
            "mass_kg",
            &format!("mass, {}", units.symbol(Amount::Kilograms)),
            |row| or_dash(row.0.mass_kg, &mass),
        )
        .figure("price", "price", |row| {
            or_dash(row.0.price, &|price| money(price, currency))
        })
        .filed("capacity_ah", |row| Value::Number(row.0.capacity_ah))
        .filed("panel_w", |row| Value::Number(row.0.panel_w))
        .filed("meets_aim", |row| Value::flag(row.0.meets_aim))
        .filed("least", |row| is(&result.least, row))
        .filed("knee", |row| is(&result.knee, row))
        .done()
        .titled("Options against the trip as it is.", SAYS)
        .in_blocks(1, vec![7, 4])
}
