//! The year of a place on the screen.
//!
//! One job: the table of `sky` with its source and notices. The picture is in `charts`.

use super::frame::{framed, head};
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

/// Everything that `sky` prints, at most `width` columns wide.
#[must_use]
pub fn sky_text(table: &SkyTable, width: usize) -> String {
    let mut parts = vec![
        format!(
            "At {:.2}, {:.2}, {:.0} m: {:.1} sun hours a day over the year (kWh/m² on the flat).",
            table.lat_deg, table.lon_deg, table.height_m, table.year_sun_hours
        ),
        framed(
            &head(&HEADINGS, 1),
            table.months.iter().map(row).collect(),
            width,
        ),
    ];
    let mut lines: Vec<String> = table.source.clone();
    lines.extend(
        table
            .warnings
            .iter()
            .map(|warning| format!("Warning: {warning}")),
    );
    lines.extend(table.notices.iter().map(|notice| (*notice).to_owned()));
    parts.push(
        lines
            .iter()
            .map(|line| neutral(line).into_owned())
            .collect::<Vec<_>>()
            .join("\n"),
    );
    parts.join("\n\n") + "\n"
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
