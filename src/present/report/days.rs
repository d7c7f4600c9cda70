//! The days: how far the charge lasts, the stops and their nights.
//!
//! One job: a table of the stops and one of all nights. More than [`ABREAST`] house banks go into further
//! tables.

use super::parts::{Passage, Section, Table};
use crate::present::charts::autonomy_svg;
use crate::present::words::chance::{compact, percent, soc};
use crate::present::words::duration::{short_date, short_time};
use crate::present::words::figure::{rounded, whole};
use crate::study::answer::{Night, TripAnswer, TripBank};
use crate::study::report::ReportAnswer;
use crate::study::sky_table::place_text;
use crate::study::stop_days::StopDays;
use crate::units::{Amount, Units};

/// House banks side by side in a table.
const ABREAST: usize = 4;

/// The section.
pub(super) fn section(answer: &ReportAnswer) -> Section {
    let trip = &answer.trip;
    let mut parts = vec![
        Passage::figure(
            "Chance of getting so far without a shortfall.",
            "See where a line leaves the top: from that day on some trips have gone below a reserve.",
            autonomy_svg(trip),
        ),
        stops(answer).into(),
    ];
    let bands = trip.bands.iter().filter(|band| !band.is_start);
    let house: Vec<&TripBank> = bands
        .filter_map(|band| trip.result.banks.iter().find(|bank| bank.id == band.bank))
        .collect();
    if answer.stops.iter().any(|stop| !stop.nights.is_empty()) {
        parts.extend(
            house
                .chunks(ABREAST)
                .map(|banks| nights(answer, banks).into()),
        );
    }
    parts.extend(fridges(trip).map(Passage::from));
    Section {
        id: "days",
        title: "The days, stop by stop",
        parts,
    }
}

fn stops(answer: &ReportAnswer) -> Table {
    let mut table = Table::new(
        "The stops.",
        "Drives: hours expected (least to most). Shade: share of direct sun blocked.",
        &[
            "stop", "place", "leave", "drive, h", "arrive", "onward", "shade", "mains",
        ],
    )
    .words(8);
    let units = answer.trip.result.heading.units;
    for stop in &answer.stops {
        let height = stop
            .height_m
            .map_or_else(String::new, |height_m| height(height_m, units));
        let place = place_text(stop.lat_deg, stop.lon_deg, 2);
        let mut row = vec![
            stop.stop.clone(),
            format!("{place}{height}"),
            short_time(&stop.depart, units),
            drive(stop),
            short_time(&stop.arrive, units),
            stop.leave
                .as_deref()
                .map_or_else(|| "–".to_owned(), |leave| short_time(leave, units)),
        ];
        if stop.nights.is_empty() {
            row.extend(["–".to_owned(), "–".to_owned()]);
        } else {
            row.push(stop.shade.map_or_else(|| "changes".to_owned(), soc));
            row.push(if stop.mains { "yes" } else { "no" }.to_owned());
        }
        table.row(row);
    }
    table
}

fn drive(stop: &StopDays) -> String {
    let drive = &stop.drive_hours;
    if drive.max - drive.min > 0.05 {
        format!(
            "{} ({} to {})",
            rounded(drive.mean),
            rounded(drive.min),
            rounded(drive.max)
        )
    } else {
        rounded(drive.mean)
    }
}

/// A height above the sea behind a place: `, 320 m`.
fn height(height_m: f64, units: Units) -> String {
    let value = units.value(Amount::Metres, height_m);
    format!(", {} {}", whole(value), units.symbol(Amount::Metres))
}

fn nights(answer: &ReportAnswer, banks: &[&TripBank]) -> Table {
    let mut table = Table::new(
        "The nights.",
        "A night runs from noon of its date to the next noon. At dawn: state of charge that 9 in 10 trips are \
         above · half are above · 1 in 10 are above. Sun hours: kWh/m² a day on the flat, before shade, as \
         expected. Driving: expected hours at the wheel on that date, legs and local drives.",
        &["night", "stop", "sun hours", "driving, h", "no house bank short"],
    )
    .words(2);
    for bank in banks {
        table.column(&format!("{} at dawn, %", bank.id));
        table.column(&format!("{} not short", bank.id));
    }
    for stop in &answer.stops {
        for night in &stop.nights {
            let mut row = vec![
                short_date(&night.date, answer.trip.result.heading.units),
                stop.stop.clone(),
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

fn fridges(trip: &TripAnswer) -> Option<Table> {
    let fridges = &trip.result.fridges;
    let mut table = Table::new(
        "Fridges and freezers.",
        &trip
            .result
            .heading
            .units
            .sentence("Too warm: above ‹8 °C›, a freezer ‹6 K› above its set point."),
        &[
            "fridge",
            "compressor runs",
            "too warm, half the trips at most",
            "too warm, 1 in 10 longer than",
        ],
    );
    for fridge in fridges {
        table.row([
            fridge.id.clone(),
            percent(fridge.duty),
            format!("{} h", rounded(fridge.hours_above_8c.p50)),
            format!("{} h", rounded(fridge.hours_above_8c.p90)),
        ]);
    }
    (!fridges.is_empty()).then_some(table)
}
