//! The climate: the keys of its kind, and a table of months that can be true.

use std::collections::BTreeSet;

use super::super::parts::{ClimateFile, ClimateKind, MonthFile};
use super::super::problem::{
    Fault, above_other, both_given, escaped, figure, missing, month_name, must_be, needs_other,
    neither_given,
};
use super::calendar::PlannedDays;
use super::daily_sun::{extraterrestrial_kwh_m2, mid_month};
use super::day_persistence;
use super::far_station;
use super::findings::Findings;
use super::kinds;
use super::weather_files::WeatherFiles;
use super::weather_reach;
use crate::scenario::{Climate, History, Itinerary, MonthRow};
use crate::sky::history::ReadOptions;

/// Mean clearness of a month that the hours of a day can hold.
///
/// # Source
/// Within 0.05 to 0.84 the hourly model of Graham and Hollands (Solar Energy 44(6), 333-341, 1990)
/// has a distribution for every hour; 0.03 leaves room for the darkest winters.
const CLEARNESS: (f64, f64) = (0.03, 0.84);

/// Below so much sun outside the air a table's rounding says more than the sky, kWh/m² a day.
const FAINT_SUN_KWH_M2: f64 = 0.5;

/// Checks the climate; `None` where it cannot be used.
pub(super) fn check(
    file: Option<&ClimateFile>,
    (itinerary, calendar): (Option<&Itinerary>, Option<&PlannedDays<'_>>),
    weather: &WeatherFiles<'_>,
    notes: &mut Findings<'_>,
) -> Option<Climate> {
    let Some(file) = file else {
        if !notes.is_given("/climate") {
            let reason = "the world climate knows every stop by its place and date";
            notes.assume("/climate/kind", &ClimateKind::BuiltIn, reason);
        }
        let persistence = day_persistence::check(None, notes)?;
        return Some(Climate::BuiltIn { persistence });
    };
    let kind = file.kind?;
    kinds::refuse_others(file, kind.word(), "/climate", notes);
    match kind {
        ClimateKind::BuiltIn => {
            let persistence = day_persistence::check(file.kt_autocorrelation.as_deref(), notes)?;
            Some(Climate::BuiltIn { persistence })
        }
        ClimateKind::Monthly => monthly(file, calendar, notes),
        ClimateKind::History => history(file, (itinerary, calendar), weather, notes),
    }
}

fn monthly(
    file: &ClimateFile,
    calendar: Option<&PlannedDays<'_>>,
    notes: &mut Findings<'_>,
) -> Option<Climate> {
    let Some(months) = &file.months else {
        if !notes.is_spoiled("/climate/months") {
            let allowed = "a list with every month the trip touches";
            notes.problem("/climate/months", missing(allowed));
        }
        return None;
    };
    let mut rows: Vec<MonthRow> = Vec::new();
    for (number, month) in months.iter().enumerate() {
        let path = format!("/climate/months/{number}");
        let Some(row) = row(month, &path, notes) else {
            continue;
        };
        if rows.iter().any(|other| other.month == row.month) {
            let (month, name) = (row.month, month_name(row.month));
            let text = format!("is {month}, but {name} is in the table already");
            notes.problem(&format!("{path}/month"), text);
            continue;
        }
        if let Some(calendar) = calendar {
            clearness(&row, calendar, &path, notes);
        }
        rows.push(row);
    }
    if let Some(calendar) = calendar.filter(|_| rows.len() == months.len()) {
        let given: BTreeSet<u32> = rows.iter().map(|row| row.month).collect();
        let touched = calendar.months();
        let missing: Vec<&str> = (touched.difference(&given).copied())
            .map(month_name)
            .collect();
        if !missing.is_empty() {
            let text = format!("lack {}, which the trip touches", missing.join(" and "));
            notes.problem("/climate/months", text);
        }
    }
    rows.sort_by_key(|row| row.month);
    let persistence = day_persistence::check(file.kt_autocorrelation.as_deref(), notes)?;
    Some(Climate::Monthly { rows, persistence })
}

fn row(file: &MonthFile, path: &str, notes: &mut Findings<'_>) -> Option<MonthRow> {
    let sun_path = format!("{path}/sun_hours");
    let kt_path = format!("{path}/kt");
    match (file.sun_hours, file.kt) {
        (Some(_), Some(_)) => {
            notes.problem(&kt_path, both_given("sun_hours"));
        }
        (None, None) if !notes.is_spoiled(&sun_path) && !notes.is_spoiled(&kt_path) => {
            notes.problem(path, neither_given(["sun_hours", "kt"]));
        }
        _ => {}
    }
    if let (Some(low), Some(high)) = (file.day_min_c, file.day_max_c)
        && low > high
    {
        let fault = above_other(low, "day_max_c", high);
        notes.problem(&format!("{path}/day_min_c"), fault);
    }
    Some(MonthRow {
        month: file.month?,
        sun_hours: file.sun_hours,
        kt: file.kt,
        day_min_c: file.day_min_c?,
        day_max_c: file.day_max_c?,
        kt_sd: file.kt_sd,
    })
}

/// Whether the days of a month can have this mean, wherever the trip is in it or next to it.
fn clearness(row: &MonthRow, calendar: &PlannedDays<'_>, path: &str, notes: &mut Findings<'_>) {
    let (least, most) = CLEARNESS;
    let mut lowest_kt = row.kt.unwrap_or(1.0);
    if let Some(found) = row.kt
        && !(least..=most).contains(&found)
    {
        let allowed =
            format!("from {least:.2} to {most:.2}: no month on Earth has had more or less");
        notes.problem(&format!("{path}/kt"), must_be(figure(found), allowed));
        return;
    }
    let touched = calendar.days.iter().filter(|day| {
        let month = chrono::Datelike::month(&day.date);
        month == row.month
    });
    let mut places: Vec<&crate::scenario::Place> = touched.map(|day| day.place).collect();
    places.dedup();
    for place in places.iter().filter(|_| row.sun_hours.is_some()) {
        let found = row.sun_hours.unwrap_or(0.0);
        let outside = extraterrestrial_kwh_m2(place.lat_deg, mid_month(row.month));
        let name = escaped(&place.name, 40);
        let fault = if outside < FAINT_SUN_KWH_M2 {
            if found <= most * outside.max(0.1) {
                continue;
            }
            let found = figure(found);
            Fault::from(format!(
                "is {found}, but the sun does not rise at {name} in that month"
            ))
            .hint("write 0")
        } else {
            lowest_kt = lowest_kt.min(found / outside);
            if (least * outside..=most * outside).contains(&found) {
                continue;
            }
            let (least, most) = (least * outside, most * outside);
            let allowed =
                format!("from {least:.2} to {most:.2} for the sun at {name} in that month");
            let fault = must_be(figure(found), allowed);
            if found > most {
                fault.hint("`sun_hours` are kWh/m² a day on the flat, hours of full sun, not hours of sunshine")
            } else {
                fault
            }
        };
        notes.problem(&format!("{path}/sun_hours"), fault);
        return;
    }
    // A mean `m` between 0 and `ku` leaves at most `sqrt(m (ku - m))`.
    let ku = 0.864_f64.max(lowest_kt);
    let widest = (lowest_kt * (ku - lowest_kt)).max(0.0).sqrt();
    if let Some(found) = row.kt_sd
        && lowest_kt < 1.0
        && found > widest
    {
        let found = figure(found);
        let text =
            format!("is {found}, but days with this mean cannot spread by more than {widest:.2}");
        notes.problem(&format!("{path}/kt_sd"), text);
    }
}

fn history(
    file: &ClimateFile,
    (itinerary, calendar): (Option<&Itinerary>, Option<&PlannedDays<'_>>),
    weather: &WeatherFiles<'_>,
    notes: &mut Findings<'_>,
) -> Option<Climate> {
    for (given, other, path, other_key) in [
        (file.lat, file.lon, "/climate/lat", "lon"),
        (file.lon, file.lat, "/climate/lon", "lat"),
    ] {
        if given.is_some() && other.is_none() && !notes.is_spoiled(&format!("/climate/{other_key}"))
        {
            notes.problem(path, needs_other(other_key));
        }
    }
    let Some(name) = &file.file else {
        if !notes.is_spoiled("/climate/file") {
            notes.problem("/climate/file", missing("the name of a weather file"));
        }
        return None;
    };
    let season_days = file.season_days("/climate", notes);
    let stop = calendar.and_then(|calendar| calendar.days.last())?.place;
    let options = ReadOptions {
        lat_deg: file.lat.unwrap_or(stop.lat_deg),
        lon_deg: file.lon.unwrap_or(stop.lon_deg),
        columns: file.columns.clone().unwrap_or_default(),
        utc_offset_h: file.utc_offset_hours,
    };
    match weather.series(name, options) {
        Ok(series) => {
            if file.lat.is_none() && file.lon.is_none() && !series.is_placed {
                let place = format!("{}, {}", stop.lat_deg, stop.lon_deg);
                notes.assume(
                    "/climate/lat",
                    &place,
                    "the station is taken to stand at the last stop",
                );
            }
            if let Some(itinerary) = itinerary {
                far_station::doubt(file, &series, itinerary, notes);
            }
            let history = History {
                series,
                block_days: file.block_days,
                season_days,
                replay: file.replay,
            };
            if let Some(calendar) = calendar {
                weather_reach::record(name, &history, calendar, notes);
            }
            Some(Climate::History(history))
        }
        Err(error) => {
            notes.problem("/climate/file", Fault::weather_file(name, &error));
            None
        }
    }
}
