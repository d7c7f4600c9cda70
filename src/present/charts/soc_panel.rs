//! One bank's state of charge over time.
//!
//! One job: a panel with bands, median, reserve and cut-off, each labelled at its right end. Dates
//! and stops under it are in `foot`.

use super::canvas::{Anchor, Canvas, Label};
use super::foot::{rule_midnights, seconds, shade_nights};
use super::palette::{BAND_INNER, BAND_OUTER, CUTOFF, GRID, INK, MEDIAN, MUTED, Paint, RESERVE};
use super::scale::Scale;
use super::spread_labels::spread;
use super::text_size::{Area, LINE, fitted};
use crate::present::words::chance::soc;
use crate::study::answer::{Calendar, SocBand};

/// Left of every panel: room for its axis.
pub(super) const LEFT_PX: f64 = 62.0;
/// Right of every panel: room for its labels.
pub(super) const RIGHT_PX: f64 = 164.0;
/// Above every panel: room for its name.
pub(super) const NAME_PX: f64 = 25.0;
const LABEL_SIZE: f64 = 11.0;
/// Points of a curve: more than the picture has pixels show nothing more.
const POINT_LIMIT: usize = 1200;

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
    let name = fitted(&name, 13.0, true, panel.width() * 0.6);
    canvas.label(Label::new(name, panel.left, panel.top - 10.0, 13.0, INK).bold());
    frame(canvas, panel, &level);
    rule_midnights(canvas, time, calendar, panel);
    let ends = Ends::of(band, time);
    bands(canvas, time, &level, band);
    shade_nights(canvas, time, calendar, panel);
    for (share, paint, dash) in [
        (band.reserve_soc, RESERVE, Some((7.0, 4.0))),
        (band.cutoff_soc, CUTOFF, None),
    ] {
        let y = level.at(share);
        canvas.dashed(&[(panel.left, y), (panel.right, y)], dash, paint, 1.5);
    }
    cold_cutoff(canvas, time, &level, band);
    median(canvas, time, &level, band);
    end_labels(canvas, panel, &level, band, ends);
}

/// Frame, level lines and their percentages; fewer where a panel is low.
fn frame(canvas: &mut Canvas, panel: &Area, level: &Scale) {
    let shares: &[f64] = if panel.height() >= 110.0 {
        &[0.0, 0.25, 0.5, 0.75, 1.0]
    } else {
        &[0.0, 0.5, 1.0]
    };
    for share in shares {
        let y = level.at(*share);
        canvas.line((panel.left, y), (panel.right, y), GRID, 0.75);
        let label = Label::new(soc(*share), panel.left - 8.0, y, LABEL_SIZE, MUTED);
        canvas.label(label.anchored(Anchor::End));
    }
}

fn bands(canvas: &mut Canvas, time: &Scale, level: &Scale, band: &SocBand) {
    let xs: Vec<f64> = band.utc_s.iter().map(|&utc_s| seconds(utc_s)).collect();
    for (low, high, paint) in [
        (&band.p10, &band.p90, BAND_OUTER),
        (&band.p25, &band.p75, BAND_INNER),
    ] {
        let place = |(x, y): (f64, f64)| (time.at(x), level.at(y));
        let mut outline: Vec<_> = time
            .clipped(&xs, high, POINT_LIMIT)
            .into_iter()
            .map(place)
            .collect();
        let lower: Vec<_> = time
            .clipped(&xs, low, POINT_LIMIT)
            .into_iter()
            .map(place)
            .collect();
        if let ([(x, top)], [(_, bottom)]) = (outline.as_slice(), lower.as_slice()) {
            let bar = Area {
                left: x - 4.0,
                right: x + 4.0,
                top: *top,
                bottom: bottom.max(top + 1.0),
            };
            canvas.bar(bar, paint);
            continue;
        }
        outline.extend(lower.into_iter().rev());
        canvas.polygon(outline, paint);
    }
}

/// The cut-off that cold lifts, dotted.
fn cold_cutoff(canvas: &mut Canvas, time: &Scale, level: &Scale, band: &SocBand) {
    let xs: Vec<f64> = band.utc_s.iter().map(|&utc_s| seconds(utc_s)).collect();
    let points: Vec<_> = time
        .clipped(&xs, &band.cold_cutoff, POINT_LIMIT)
        .into_iter()
        .map(|(x, y)| (time.at(x), level.at(y)))
        .collect();
    canvas.dashed(&points, Some((2.0, 2.5)), CUTOFF, 1.5);
}

fn median(canvas: &mut Canvas, time: &Scale, level: &Scale, band: &SocBand) {
    let xs: Vec<f64> = band.utc_s.iter().map(|&utc_s| seconds(utc_s)).collect();
    let points: Vec<_> = time
        .clipped(&xs, &band.p50, POINT_LIMIT)
        .into_iter()
        .map(|(x, y)| (time.at(x), level.at(y)))
        .collect();
    if let [(x, y)] = points.as_slice() {
        canvas.dot(*x, *y, 3.0, MEDIAN);
    }
    canvas.path(points, MEDIAN, 1.75);
}

/// Percentiles at the right end of what is seen.
#[derive(Clone, Copy)]
struct Ends {
    p10: f64,
    p50: f64,
    p90: f64,
}

impl Ends {
    fn of(band: &SocBand, time: &Scale) -> Option<Self> {
        let index = band
            .utc_s
            .iter()
            .rposition(|&utc_s| seconds(utc_s) <= time.to())?;
        Some(Self {
            p10: *band.p10.get(index)?,
            p50: *band.p50.get(index)?,
            p90: *band.p90.get(index)?,
        })
    }
}

/// Nothing is above full.
fn above(share: f64) -> &'static str {
    if share >= 0.995 { "at" } else { "above" }
}

fn end_labels(
    canvas: &mut Canvas,
    panel: &Area,
    level: &Scale,
    band: &SocBand,
    ends: Option<Ends>,
) {
    let mut labels: Vec<(f64, String, Paint)> = Vec::new();
    if let Some(ends) = ends {
        if ends.p90 - ends.p10 < 0.01 {
            labels.push((ends.p50, format!("all about {}", soc(ends.p50)), MEDIAN));
        } else {
            labels.push((
                ends.p90,
                format!("1 in 10 {} {}", above(ends.p90), soc(ends.p90)),
                MUTED,
            ));
            labels.push((
                ends.p50,
                format!("half {} {}", above(ends.p50), soc(ends.p50)),
                MEDIAN,
            ));
            labels.push((
                ends.p10,
                format!("9 in 10 {} {}", above(ends.p10), soc(ends.p10)),
                MUTED,
            ));
        }
    }
    labels.push((
        band.reserve_soc,
        format!("reserve {}", soc(band.reserve_soc)),
        RESERVE,
    ));
    if let Some(last) = band.cold_cutoff.last() {
        let highest = band.cold_cutoff.iter().copied().fold(0.0, f64::max);
        let label = format!("in the cold up to {}", soc(highest));
        labels.push((*last, label, CUTOFF));
    }
    labels.push((
        band.cutoff_soc,
        format!("cut-off {}", soc(band.cutoff_soc)),
        CUTOFF,
    ));
    let wanted: Vec<f64> = labels.iter().map(|label| level.at(label.0)).collect();
    // Equal places keep the order of the list, highest first.
    let places = spread(
        &wanted,
        LABEL_SIZE * LINE + 0.5,
        panel.top - 4.0,
        panel.bottom + 2.0,
    );
    for ((place, wanted), (_, text, paint)) in places.into_iter().zip(wanted).zip(labels) {
        canvas.line(
            (panel.right + 1.0, wanted),
            (panel.right + 12.0, place),
            paint,
            0.75,
        );
        let bold = paint == MEDIAN;
        let label = Label::new(text, panel.right + 15.0, place, LABEL_SIZE, paint);
        canvas.label(if bold { label.bold() } else { label });
    }
}
