//! The days: each stop with its nights.
//!
//! One job: a heading, facts and a table a stop. More than [`ABREAST`] house banks go into further
//! tables.

use super::parts::{Part, Section, Table};
use crate::present::words::chance::{compact, percent, soc};
use crate::present::words::duration::{short_date, weekday_date};
use crate::present::words::figure::{rounded, whole};
use crate::study::answer::{Night, TripBank};
use crate::study::report::ReportAnswer;
use crate::study::sky_table::place_text;
use crate::study::stop_days::StopDays;

/// House banks side by side in a table.
const ABREAST: usize = 4;

/// The section.
pub(super) fn section(answer: &ReportAnswer) -> Section {
    let mut parts = vec![Part::text(
        "A night runs from noon of its date to the next noon. Dawn: state of charge that 9 in 10 trips are \
         above · half are above · 1 in 10 are above. Sun hours: kWh/m² a day on the flat, before shade, as \
         expected. Driving: expected hours at the wheel on that date, legs and local drives.",
    )];
    let house: Vec<&TripBank> = answer
        .trip
        .bands
        .iter()
        .filter(|band| !band.is_start)
        .filter_map(|band| {
            let banks = &answer.trip.result.banks;
            banks.iter().find(|bank| bank.id == band.bank)
        })
        .collect();
    for (index, stop) in answer.stops.iter().enumerate() {
        parts.push(Part::sub(
            format!("stop-{}", index + 1),
            &format!("{}. {}", index + 1, stop.stop),
        ));
        parts.push(facts(stop));
        if stop.nights.is_empty() {
            continue;
        }
        for banks in house.chunks(ABREAST) {
            parts.push(nights(index + 1, stop, banks).into());
        }
    }
    Section {
        id: "days",
        title: "The days, stop by stop",
        parts,
    }
}

fn facts(stop: &StopDays) -> Part {
    let height = stop
        .height_m
        .map_or_else(String::new, |height_m| format!(", {} m", whole(height_m)));
    let drive = &stop.drive_hours;
    let spread = if drive.max - drive.min > 0.05 {
        format!(" ({} to {})", rounded(drive.min), rounded(drive.max))
    } else {
        String::new()
    };
    let mut facts = vec![
        (
            "place",
            format!("{}{height}", place_text(stop.lat_deg, stop.lon_deg, 2)),
        ),
        (
            "drive",
            format!(
                "leave {}, {} h{spread}",
                moment(&stop.depart),
                rounded(drive.mean)
            ),
        ),
        ("expected arrival", moment(&stop.arrive)),
    ];
    if let Some(leave) = &stop.leave {
        facts.push(("onward", moment(leave)));
    }
    if !stop.nights.is_empty() {
        let shade = stop.shade.map_or_else(
            || "changes over the day".to_owned(),
            |share| format!("{} of direct sun blocked", soc(share)),
        );
        facts.push(("shade", shade));
        facts.push(("mains", if stop.mains { "yes" } else { "no" }.to_owned()));
    }
    Part::facts(facts)
}

/// A local time as people say it: `Thu 8 Jul 09:30`.
fn moment(rfc3339: &str) -> String {
    format!(
        "{} {}",
        short_date(rfc3339),
        rfc3339.get(11..16).unwrap_or_default()
    )
}

fn nights(number: usize, stop: &StopDays, banks: &[&TripBank]) -> Table {
    let first = &stop.nights[0].date;
    let mut table = Table::new(
        &format!(
            "Nights at stop {number}, {}, from {}.",
            stop.stop,
            weekday_date(first)
        ),
        "",
        &["night", "sun hours", "driving, h", "no house bank short"],
    );
    for bank in banks {
        table.column(&format!("{} at dawn, %", bank.id));
        table.column(&format!("{} not short", bank.id));
    }
    for night in &stop.nights {
        let mut row = vec![
            short_date(&night.date),
            rounded(night.sun_hours),
            rounded(night.driving_hours),
            compact(night.chance_no_shortfall),
        ];
        for bank in banks {
            match bank.nights.get(night.night) {
                Some(of_bank) => row.extend(dawn_and_chance(of_bank)),
                None => row.extend([String::new(), String::new()]),
            }
        }
        table.row(row);
    }
    table
}

fn dawn_and_chance(night: &Night) -> [String; 2] {
    let dawn = &night.dawn_soc;
    let levels = [dawn.p10, dawn.p50, dawn.p90].map(|share| whole(share * 100.0));
    [
        levels.join("\u{a0}·\u{a0}"),
        percent(night.chance_no_shortfall.value),
    ]
}
