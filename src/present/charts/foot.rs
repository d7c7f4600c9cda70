//! What stands under panels over time: driving, dates, stops.
//!
//! One job: the time axis in local dates, with the drives and the stays along it.

use super::canvas::{Anchor, Canvas, Label};
use super::palette::{DRIVE, GRID, INK, MUTED, NIGHT};
use super::scale::Scale;
use super::text_size::{Area, fitted, width_px};
use crate::study::answer::{Calendar, SocBand, Span};
use crate::units::Whole as _;

/// Height of the foot with rows for stops.
pub(super) const FOOT_PX: f64 = 80.0;
/// Height of the foot without drives and stops.
pub(super) const DATES_PX: f64 = 24.0;
const DATE_SIZE: f64 = 11.0;
const STOP_SIZE: f64 = 11.0;
const DAY_S: f64 = 86_400.0;

/// Seconds as a quantity of a scale.
pub(super) fn seconds(utc_s: i64) -> f64 {
    utc_s.real()
}

/// From the first to the last instant of the bands; a single instant is given half a day either
/// way.
pub(super) fn time_ends(bands: &[SocBand], calendar: &Calendar) -> (f64, f64) {
    let instants = || bands.iter().flat_map(|band| band.utc_s.iter().copied());
    let midnights = || calendar.midnights.iter().map(|midnight| midnight.0);
    let first = instants().min().or_else(|| midnights().min()).unwrap_or(0);
    let last = instants().max().or_else(|| midnights().max()).unwrap_or(0);
    if last > first {
        (seconds(first), seconds(last))
    } else {
        (seconds(first) - DAY_S / 2.0, seconds(first) + DAY_S / 2.0)
    }
}

/// The part of a span on the scale, if there is any.
fn seen(time: &Scale, span: Span) -> Option<(f64, f64)> {
    let from = seconds(span.from_s).max(time.from());
    let to = seconds(span.to_s).min(time.to());
    (to > from).then(|| (time.at(from), time.at(to)))
}

/// Shades the nights over a panel.
pub(super) fn shade_nights(canvas: &mut Canvas, time: &Scale, calendar: &Calendar, panel: &Area) {
    for night in &calendar.nights {
        if let Some((left, right)) = seen(time, *night) {
            canvas.bar(
                Area {
                    left,
                    right,
                    ..*panel
                },
                NIGHT,
            );
        }
    }
}

/// Thin lines at local midnights.
pub(super) fn rule_midnights(canvas: &mut Canvas, time: &Scale, calendar: &Calendar, panel: &Area) {
    let apart = time.px_per_unit() * DAY_S;
    for (instant, _) in &calendar.midnights {
        if apart >= 6.0 && time.holds(seconds(*instant)) {
            let x = time.at(seconds(*instant));
            canvas.line((x, panel.top), (x, panel.bottom), GRID, 0.5);
        }
    }
}

/// Dates, each in the middle of its day as far as that is seen; every second, third, … one when
/// they are close. Of a trip of two days or less the hours stand as well.
pub(super) fn dates(canvas: &mut Canvas, time: &Scale, calendar: &Calendar, top: f64) {
    let y = top + DATES_PX / 2.0;
    let within = Area::new(
        (time.at(time.from()) - 20.0, top),
        (time.at(time.to()) + 20.0, top + DATES_PX),
    );
    let day_px = time.px_per_unit() * DAY_S;
    let widest = calendar
        .midnights
        .iter()
        .map(|(_, label)| width_px(label, DATE_SIZE, false))
        .fold(1.0, f64::max);
    let every: u16 = [1, 2, 3, 5, 7, 14, 30, 60, 90, 180]
        .into_iter()
        .find(|count| f64::from(*count) * day_px >= widest + 8.0)
        .unwrap_or(366);
    let days = calendar.midnights.iter().enumerate();
    for (index, (instant, text)) in
        days.filter(|(index, _)| index.is_multiple_of(usize::from(every)))
    {
        let next = calendar.midnights.get(index + 1);
        let to_s = next.map_or_else(|| instant.saturating_add(86_400), |next| next.0);
        let Some((left, right)) = seen(
            time,
            Span {
                from_s: *instant,
                to_s,
            },
        ) else {
            continue;
        };
        let label = Label::new(text.as_str(), f64::midpoint(left, right), y, DATE_SIZE, INK)
            .anchored(Anchor::Middle);
        canvas.label_where_free([label], &within);
        if day_px < 300.0 {
            continue;
        }
        for hour in [6, 12, 18] {
            let hour_s = seconds(*instant) + f64::from(hour) * 3600.0;
            if time.holds(hour_s) {
                let x = time.at(hour_s);
                canvas.line((x, top), (x, top + 4.0), MUTED, 1.0);
                let text = calendar.units.hour(hour);
                let label = Label::new(text, x, y, DATE_SIZE, MUTED).anchored(Anchor::Middle);
                canvas.label_where_free([label], &within);
            }
        }
    }
}

/// Driving, dates and stops under the last panel; takes [`FOOT_PX`] from `top`.
pub(super) fn foot(canvas: &mut Canvas, time: &Scale, calendar: &Calendar, top: f64) {
    let (left, right) = (time.at(time.from()), time.at(time.to()));
    let strip = Area::new((left, top + 9.0), (right, top + 18.0));
    if !calendar.drives.is_empty() {
        let label = Label::new(
            "driving",
            left - 8.0,
            f64::midpoint(strip.top, strip.bottom),
            11.0,
            MUTED,
        );
        canvas.label(label.anchored(Anchor::End));
        canvas.line((left, strip.bottom), (right, strip.bottom), GRID, 1.0);
    }
    for drive in &calendar.drives {
        if let Some((from, to)) = seen(time, *drive) {
            // An hour of a long trip is less than a pixel: it still shows.
            canvas.bar(
                Area {
                    left: from,
                    right: to.max(from + 1.0),
                    ..strip
                },
                DRIVE,
            );
        }
    }
    dates(canvas, time, calendar, top + 18.0);
    stops(canvas, time, calendar, top + 18.0 + DATES_PX);
}

/// Names of stops under their stays: beside them where they fit, else a row lower, else shortened,
/// else left out.
fn stops(canvas: &mut Canvas, time: &Scale, calendar: &Calendar, top: f64) {
    let stays: Vec<(f64, f64, &str)> = merged(calendar)
        .into_iter()
        .filter_map(|(span, name)| seen(time, span).map(|(from, to)| (from, to, name)))
        .collect();
    if stays.is_empty() {
        return;
    }
    let edges = (time.at(time.from()) - 40.0, time.at(time.to()) + 40.0);
    let row_y = [top + 9.0, top + 24.0];
    let label = Label::new("stops", time.at(time.from()) - 8.0, top + 1.0, 11.0, MUTED);
    canvas.label(label.anchored(Anchor::End));
    for (from, to, _) in &stays {
        canvas.line((*from, top), (*to, top), DRIVE, 1.5);
        for x in [from, to] {
            canvas.line((*x, top - 2.5), (*x, top + 2.5), DRIVE, 1.0);
        }
    }
    let within = Area::new((edges.0, top), (edges.1, top + 34.0));
    for (from, to, name) in &stays {
        let middle = f64::midpoint(*from, *to);
        let at = |text: String, y: f64| {
            Label::new(text, middle, y, STOP_SIZE, INK).anchored(Anchor::Middle)
        };
        let own = fitted(name, STOP_SIZE, false, to - from - 4.0);
        let whole = fitted(name, STOP_SIZE, false, 150.0);
        let half = fitted(name, STOP_SIZE, false, 75.0);
        // A name shortened to a few letters says less than the whole name a row lower.
        let choices = [
            at(
                if own == whole {
                    own.clone()
                } else {
                    String::new()
                },
                row_y[0],
            ),
            at(whole.clone(), row_y[0]),
            at(whole, row_y[1]),
            at(half.clone(), row_y[0]),
            at(half, row_y[1]),
            at(own, row_y[0]),
        ];
        let choices = choices.into_iter().filter(|label| !label.text.is_empty());
        canvas.label_where_free(choices, &within);
    }
}

/// Stays in order, one for stays at one stop that follow each other within a day.
fn merged(calendar: &Calendar) -> Vec<(Span, &str)> {
    let mut out: Vec<(Span, &str)> = Vec::new();
    for (span, name) in &calendar.stays {
        match out.last_mut() {
            Some((before, same)) if *same == name && span.from_s - before.to_s < 86_400 => {
                before.to_s = span.to_s;
            }
            _ => out.push((*span, name)),
        }
    }
    out
}
