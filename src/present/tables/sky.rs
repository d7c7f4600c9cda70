//! The year of a place on the screen.
//!
//! One job: the table of `sky` with its source and notices. The picture is in `charts`.

use super::part::{Part, head, table};
use crate::present::plain_text::neutral;
use crate::study::sky_table::{SkyMonth, SkyTable};

const HEADINGS: [&str; 8] = [
    "month",
    "sun hours",
    "known to ±",
    "1 day in 10 below",
    "1 in 10 above",
    "1 in 10 stays below: 3, 7, 14 days",
    "night °C",
    "day °C",
];

/// Everything that `sky` shows.
#[must_use]
pub fn sky_tables(year: &SkyTable) -> Vec<Part> {
    let mut parts = vec![
        Part::Lines(format!(
            "At {:.2}, {:.2}, {:.0} m: {:.1} sun hours a day over the year (kWh/m² on the flat).",
            year.lat_deg, year.lon_deg, year.height_m, year.year_sun_hours
        )),
        table(head(&HEADINGS, 1), year.months.iter().map(row).collect()),
    ];
    let mut lines: Vec<String> = year.source.clone();
    lines.extend(
        year.warnings
            .iter()
            .map(|warning| format!("Warning: {warning}")),
    );
    lines.extend(year.notices.iter().map(|notice| (*notice).to_owned()));
    let lines: Vec<String> = lines
        .iter()
        .map(|line| neutral(line).into_owned())
        .collect();
    parts.push(Part::Lines(lines.join("\n")));
    parts
}

fn row(month: &SkyMonth) -> Vec<String> {
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
        format!("{:.0}", month.day_min_c),
        format!("{:.0}", month.day_max_c),
    ]
}
