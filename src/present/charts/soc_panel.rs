//! One bank's state of charge over time.
//!
//! One job: a panel with bands, median, reserve and cut-off, each labelled at its right end. Dates
//! and stops under it are in `foot`.

use super::axes::{name_panel, round_values, upward};
use super::canvas::Canvas;
use super::foot::{rule_midnights, seconds, shade_nights};
use super::palette::{BAND_INNER, BAND_OUTER, CUTOFF, MEDIAN, MUTED, Paint, RESERVE};
use super::scale::{Scale, on_panel};
use super::spread_labels::{EndLabel, label_ends};
use super::text_size::Area;
use crate::present::words::chance::soc;
use crate::study::answer::{Calendar, SocBand};

/// Left of every panel: room for its axis.
pub(super) const LEFT_PX: f64 = 62.0;
/// Right of every panel: room for its labels.
pub(super) const RIGHT_PX: f64 = 164.0;
/// Above every panel: room for its name.
pub(super) const NAME_PX: f64 = 25.0;

/// The panel below `top` and its name, as far as `right`.
pub(super) fn panel_below(top: f64, right: f64, height: f64) -> Area {
    let top = top + NAME_PX;
    Area::new((LEFT_PX, top), (right, top + height))
}

/// Draws the panel of a bank into `panel`, its name above it.
pub(super) fn soc_panel(
    canvas: &mut Canvas,
    panel: &Area,
    time: &Scale,
    band: &SocBand,
    calendar: &Calendar,
) {
    let level = Scale::new(0.0, 1.0, panel.bottom, panel.top);
    let name = if band.is_start {
        format!("{} (starting battery)", band.bank)
    } else {
        band.bank.clone()
    };
    name_panel(canvas, panel, &name);
    frame(canvas, panel, &level);
    rule_midnights(canvas, time, calendar, panel);
    bands(canvas, time, &level, band);
    shade_nights(canvas, time, calendar, panel);
    for (share, paint, dash) in [
        (band.reserve_soc, RESERVE, &[7.0, 4.0][..]),
        (band.cutoff_soc, CUTOFF, &[]),
    ] {
        let y = level.at(share);
        canvas.dashed(vec![(panel.left, y), (panel.right, y)], dash, paint, 1.5);
    }
    cold_cutoff(canvas, time, &level, band);
    median(canvas, time, &level, band);
    end_labels(canvas, panel, time, &level, band);
}

/// Level lines and their percentages; fewer where a panel is low.
fn frame(canvas: &mut Canvas, panel: &Area, level: &Scale) {
    let count = if panel.height() >= 110.0 { 4.0 } else { 2.0 };
    let values = round_values(level, count, 0.0);
    upward(canvas, level, (panel.left, panel.right), &values, soc);
}

/// The curve of values at the instants of a band, as far as it is seen.
fn curve(time: &Scale, level: &Scale, band: &SocBand, values: &[f64]) -> Vec<(f64, f64)> {
    let xs: Vec<f64> = band.utc_s.iter().map(|&utc_s| seconds(utc_s)).collect();
    on_panel(time, level, &xs, values)
}

fn bands(canvas: &mut Canvas, time: &Scale, level: &Scale, band: &SocBand) {
    for (low, high, paint) in [
        (&band.p10, &band.p90, BAND_OUTER),
        (&band.p25, &band.p75, BAND_INNER),
    ] {
        let mut outline = curve(time, level, band, high);
        let lower = curve(time, level, band, low);
        if let ([(x, top)], [(_, bottom)]) = (outline.as_slice(), lower.as_slice()) {
            let bar = Area::new((x - 4.0, *top), (x + 4.0, bottom.max(top + 1.0)));
            canvas.bar(bar, paint);
            continue;
        }
        outline.extend(lower.into_iter().rev());
        canvas.polygon(outline, paint);
    }
}

/// The cut-off that cold lifts, dotted.
fn cold_cutoff(canvas: &mut Canvas, time: &Scale, level: &Scale, band: &SocBand) {
    let points = curve(time, level, band, &band.cold_cutoff);
    canvas.dashed(points, &[2.0, 2.5], CUTOFF, 1.5);
}

fn median(canvas: &mut Canvas, time: &Scale, level: &Scale, band: &SocBand) {
    let points = curve(time, level, band, &band.p50);
    if let [(x, y)] = points.as_slice() {
        canvas.dot(*x, *y, 3.0, MEDIAN);
    }
    canvas.path(points, MEDIAN, 1.75);
}

/// What 9 in 10, half and 1 in 10 are above at the right end of what is seen.
fn percentiles(band: &SocBand, time: &Scale) -> Option<[f64; 3]> {
    let mut instants = band.utc_s.iter();
    let index = instants.rposition(|&utc_s| seconds(utc_s) <= time.to())?;
    let of = |values: &[f64]| values.get(index).copied();
    Some([of(&band.p10)?, of(&band.p50)?, of(&band.p90)?])
}

/// Nothing is above full.
fn above(share: f64) -> &'static str {
    if share >= 0.995 { "at" } else { "above" }
}

fn end_labels(canvas: &mut Canvas, panel: &Area, time: &Scale, level: &Scale, band: &SocBand) {
    let mut labels: Vec<EndLabel> = Vec::new();
    let mut add = |value: f64, text: String, paint: Paint| {
        labels.push(EndLabel {
            y: level.at(value),
            text,
            paint,
            bold: paint == MEDIAN,
        });
    };
    if let Some([p10, p50, p90]) = percentiles(band, time) {
        if p90 - p10 < 0.01 {
            add(p50, format!("all about {}", soc(p50)), MEDIAN);
        } else {
            for (value, who, paint) in [
                (p90, "1 in 10", MUTED),
                (p50, "half", MEDIAN),
                (p10, "9 in 10", MUTED),
            ] {
                let text = format!("{who} {} {}", above(value), soc(value));
                add(value, text, paint);
            }
        }
    }
    let reserve = format!("reserve {}", soc(band.reserve_soc));
    add(band.reserve_soc, reserve, RESERVE);
    if let Some(last) = band.cold_cutoff.last() {
        let highest = band.cold_cutoff.iter().copied().fold(0.0, f64::max);
        add(*last, format!("in the cold up to {}", soc(highest)), CUTOFF);
    }
    let cutoff = format!("cut-off {}", soc(band.cutoff_soc));
    add(band.cutoff_soc, cutoff, CUTOFF);
    label_ends(canvas, panel, labels);
}
