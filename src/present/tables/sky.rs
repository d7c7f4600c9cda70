//! The year of a place on the screen.
//!
//! One job: the table of `sky` with its source and notices. The picture is in `charts`.

use super::part::Part;
use crate::present::plain_text::neutral;
use crate::present::table::Table;
use crate::study::sky_table::{SkyMonth, SkyTable};
use crate::units::{Amount, Units};

const HEADINGS: [&str; 6] = [
    "month",
    "sun hours",
    "known to ±",
    "1 day in 10 below",
    "1 in 10 above",
    "1 in 10 stays below: 3, 7, 14 days",
];

/// How to read it.
const SAYS: &str = "Sun hours: mean of the month's days, known to one standard deviation of ±. Below and above: single days, then \
    the mean of stays of so many days in a row. Night and day: mean lowest and highest temperature.";

/// Everything that `sky` shows.
#[must_use]
pub fn sky_tables(year: &SkyTable, units: Units) -> Vec<Part> {
    let temperatures =
        ["night", "day"].map(|name| format!("{name} {}", units.symbol(Amount::Celsius)));
    let headings = HEADINGS.map(str::to_owned).into_iter().chain(temperatures);
    let headings: Vec<String> = headings.collect();
    let rows = year.months.iter().map(|month| row(month, units));
    let mut parts = vec![Part::Lines(format!(
        "At {:.2}, {:.2}, {}: {:.1} sun hours a day over the year (kWh/m² on the flat).",
        year.lat_deg,
        year.lon_deg,
        units.shown(Amount::Metres, year.height_m, 0),
        year.year_sun_hours
    ))];
    let table = Table::shown(&headings, 1, rows).titled("", SAYS);
    parts.extend(Part::with_says(table));
    let source = year.source.iter();
    let mut lines: Vec<String> = source.map(|it| it.in_units(units).to_owned()).collect();
    lines.extend(
        year.warnings
            .iter()
            .map(|warning| format!("Warning: {}", warning.in_units(units))),
    );
    lines.extend(year.notices.iter().map(|notice| (*notice).to_owned()));
    let lines: Vec<String> = lines
        .iter()
        .map(|line| neutral(line).into_owned())
        .collect();
    parts.push(Part::Lines(lines.join("\n")));
    parts
}

fn row(month: &SkyMonth, units: Units) -> Vec<String> {
    let temperature = |c: f64| units.figure(Amount::Celsius, c, 0);
    vec![
        month.name.to_owned(),
        format!("{:.1}", month.sun_hours),
        format!("{:.2}", month.sun_hours_uncertainty),
        format!("{:.1}", month.sun_hours_p10),
        format!("{:.1}", month.sun_hours_p90),
        month.run_sun_hours_p10[1..]
            .iter()
            .map(|sun_hours| format!("{sun_hours:.1}"))
            .collect::<Vec<_>>()
            .join(", "),
        temperature(month.day_min_c),
        temperature(month.day_max_c),
    ]
}
