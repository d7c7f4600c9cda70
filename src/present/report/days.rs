//! The days: how far the charge lasts, the stops and their nights.
//!
//! One job: a table of the stops and one of all nights.

use super::parts::{Passage, Section};
use crate::present::charts::autonomy_svg;
use crate::present::table::{Align, Table, Value};
use crate::present::tables::{chance, dawn, fridge_table};
use crate::present::words::chance::soc;
use crate::present::words::duration::short_time;
use crate::present::words::figure::{rounded, whole};
use crate::study::answer::TripBank;
use crate::study::report::ReportAnswer;
use crate::study::sky_table::place_text;
use crate::study::stop_days::{StopDays, StopNight};
use crate::units::{Amount, Units};

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
        parts.push(nights(answer, &house).into());
    }
    parts.extend(fridge_table(&trip.result.fridges, &trip.result.heading).map(Passage::from));
    Section {
        id: "days",
        title: "The days, stop by stop",
        parts,
    }
}

fn stops(answer: &ReportAnswer) -> Table {
    let units = answer.trip.result.heading.units;
    let if_stayed = |stop: &StopDays, shown: String| {
        if stop.nights.is_empty() {
            "–".to_owned()
        } else {
            shown
        }
    };
    Table::of(&answer.stops, units)
        .words("stop", |stop| stop.stop.clone())
        .words("place", |stop| {
            let height = stop.height_m.map(|height_m| height(height_m, units));
            place_text(stop.lat_deg, stop.lon_deg, 2) + &height.unwrap_or_default()
        })
        .words("leave", |stop| short_time(&stop.depart, units))
        .words("drive, h", drive)
        .words("arrive", |stop| short_time(&stop.arrive, units))
        .words("onward", |stop| {
            let leave = stop.leave.as_deref();
            leave.map_or_else(|| "–".to_owned(), |leave| short_time(leave, units))
        })
        .words("shade", |stop| {
            if_stayed(stop, stop.shade.map_or_else(|| "changes".to_owned(), soc))
        })
        .words("mains", |stop| {
            if_stayed(stop, if stop.mains { "yes" } else { "no" }.to_owned())
        })
        .done()
        .titled(
            "The stops.",
            "Drives: hours expected (least to most). Shade: share of direct sun blocked.",
        )
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
    let heading = &answer.trip.result.heading;
    let of_stop = |stop: &'_ StopDays| {
        let nights = stop.nights.iter().cloned();
        nights
            .map(|night| (stop.stop.clone(), night))
            .collect::<Vec<_>>()
    };
    let rows: Vec<(String, StopNight)> = answer.stops.iter().flat_map(of_stop).collect();
    let mut columns = Table::of(&rows, heading.units)
        .column("", "night", Align::Left, |row| {
            Value::Date(row.1.date.clone())
        })
        .words("stop", |row| row.0.clone())
        .figure("", "sun hours", |row| Value::Number(row.1.sun_hours))
        .figure("", "driving, h", |row| Value::Number(row.1.driving_hours))
        .chance("", "no house bank short", |row| row.1.chance_no_shortfall);
    for bank in banks {
        let night = |row: &(String, StopNight)| bank.nights.get(row.1.night);
        columns = columns
            .shown(&format!("{} at dawn, %", bank.id), |row| {
                night(row).map_or_else(String::new, |it| dawn(it, heading.typical))
            })
            .shown(&format!("{} not short", bank.id), |row| {
                night(row).map_or_else(String::new, chance)
            });
    }
    let levels = if heading.typical {
        "state of charge"
    } else {
        "state of charge that 9 in 10 trips are above · half are above · 1 in 10 are above"
    };
    let says = format!(
        "A night runs from noon of its date to the next noon. At dawn: {levels}. Sun hours: kWh/m² a day on the flat, \
         before shade, as expected. Driving: expected hours at the wheel on that date, legs and local drives."
    );
    columns
        .done()
        .titled("The nights.", &says)
        .in_blocks(5, vec![2; banks.len()])
}
