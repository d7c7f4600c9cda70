//! `learn.svg`: measured charge on what was predicted from each morning.
//!
//! One job: a panel a bank over one time axis with nights and drives, and beside it what was found.

use super::axes::{SIZE, name_panel, round_values, upward};
use super::canvas::{Canvas, HEIGHT_PX, Label, WIDTH_PX};
use super::foot::{FOOT_PX, foot, rule_midnights, seconds, shade_nights};
use super::palette::{BAND_OUTER, INK, LOAD, MEDIAN, MUTED, RESERVE};
use super::scale::{Scale, on_panel};
use super::soc_panel::{LEFT_PX, NAME_PX, panel_below};
use super::text_size::{Area, fitted};
use super::trip::{HEAD_PX, head};
use crate::present::words::chance::soc;
use crate::present::words::learn_verdict;
use crate::present::words::learn_verdict::{found_figure, found_interval, found_name};
use crate::study::learning::LearnAnswer;
use crate::study::learning::answer::BankLine;
use crate::units::Whole as _;

/// Right of the panels: what was found.
const FOUND_PX: f64 = 258.0;
/// Least height of a panel.
const LEAST_PANEL_PX: f64 = 110.0;
/// Height of one thing found: its name and its figures.
const ENTRY_PX: f64 = 31.0;

/// How to read the picture.
pub(in crate::present) const LEARN_LEGEND: &str = "Dark line: measured charge. Band: 8 trips in 10 by the file, from each morning's charge. Dashes: the middle, put right.";

/// The picture of a log against the model.
#[must_use]
pub fn learn_svg(answer: &LearnAnswer) -> String {
    let lines = &answer.lines;
    let count = lines.len().max(1).real();
    let found: Vec<_> = answer.found.iter().filter(|found| found.differs).collect();
    let list_px = 40.0 + ENTRY_PX * found.len().real();
    let spare = (HEIGHT_PX - HEAD_PX - FOOT_PX).max(list_px);
    let panel_px = (spare / count - NAME_PX).max(LEAST_PANEL_PX);
    let mut canvas = Canvas::new(HEAD_PX + FOOT_PX + count * (panel_px + NAME_PX));
    head(&mut canvas, &answer.heading.scenario, LEARN_LEGEND);
    let instants = || lines.iter().flat_map(|line| line.utc_s.iter().copied());
    let (from, to) = (instants().min().unwrap_or(0), instants().max().unwrap_or(1));
    let right = WIDTH_PX - FOUND_PX;
    let time = Scale::new(seconds(from), seconds(to.max(from + 1)), LEFT_PX, right);
    let mut top = HEAD_PX;
    for line in lines {
        let panel = panel_below(top, right, panel_px);
        draw_panel(&mut canvas, &panel, &time, line, answer);
        top = panel.bottom;
    }
    draw_found(&mut canvas, answer, right + 18.0);
    let foot_top = canvas.height() - FOOT_PX;
    foot(&mut canvas, &time, &answer.calendar, foot_top);
    canvas.into_svg(
        &format!("A log against the model: {}", answer.heading.scenario),
        &learn_verdict(answer),
    )
}

fn draw_panel(
    canvas: &mut Canvas,
    panel: &Area,
    time: &Scale,
    line: &BankLine,
    answer: &LearnAnswer,
) {
    let level = Scale::new(0.0, 1.0, panel.bottom, panel.top);
    name_panel(canvas, panel, &line.bank);
    let ends = (panel.left, panel.right);
    upward(canvas, &level, ends, &round_values(&level, 4.0, 0.0), soc);
    rule_midnights(canvas, time, &answer.calendar, panel);
    let xs: Vec<f64> = line.utc_s.iter().map(|&utc_s| seconds(utc_s)).collect();
    let on = |ys: &[f64]| on_panel(time, &level, &xs, ys);
    let mut band = on(&line.p90);
    band.extend(on(&line.p10).into_iter().rev());
    canvas.polygon(band, BAND_OUTER);
    shade_nights(canvas, time, &answer.calendar, panel);
    let y = level.at(line.reserve_soc);
    canvas.dashed(
        vec![(panel.left, y), (panel.right, y)],
        &[7.0, 4.0],
        RESERVE,
        1.0,
    );
    let reserve = format!("reserve {}", soc(line.reserve_soc));
    let label = Label::new(reserve, panel.left + 6.0, y - 8.0, SIZE, RESERVE);
    canvas.label_where_free([label], panel);
    canvas.path(on(&line.p50), MEDIAN, 0.75);
    if !line.put_right.is_empty() {
        canvas.dashed(on(&line.put_right), &[4.0, 3.0], LOAD, 1.25);
    }
    let mut piece: (Vec<f64>, Vec<f64>) = (Vec::new(), Vec::new());
    for (x, y) in xs
        .iter()
        .zip(&line.measured)
        .chain([(&f64::NAN, &f64::NAN)])
    {
        if y.is_finite() {
            piece.0.push(*x);
            piece.1.push(*y);
        } else if !piece.0.is_empty() {
            canvas.path(on_panel(time, &level, &piece.0, &piece.1), INK, 2.0);
            piece = (Vec::new(), Vec::new());
        }
    }
}

/// What differs from the file, each with its figures under its name.
fn draw_found(canvas: &mut Canvas, answer: &LearnAnswer, left: f64) {
    let room = WIDTH_PX - left - 10.0;
    let mut y = HEAD_PX + NAME_PX - 10.0;
    let differing = answer.found.iter().filter(|found| found.differs);
    let agreeing = answer.found.iter().filter(|found| !found.differs).count();
    let title = if agreeing == answer.found.len() {
        "Nothing found differs from the file"
    } else {
        "Found, and the file"
    };
    canvas.label(Label::new(fitted(title, 13.0, true, room), left, y, 13.0, INK).bold());
    y += 22.0;
    for found in differing {
        let name = fitted(&found_name(&found.key), SIZE, false, room);
        canvas.label(Label::new(name, left, y, SIZE, MUTED));
        let interval = found_interval(found);
        let figures = format!(
            "{} ({}), file {}",
            found_figure(found.is, found.unit),
            interval.trim_end_matches(found.unit).trim_end(),
            found_figure(found.was, found.unit)
        );
        let figures = fitted(&figures, SIZE, true, room);
        canvas.label(Label::new(figures, left, y + 13.5, SIZE, INK).bold());
        y += ENTRY_PX;
    }
    if agreeing > 0 {
        let text = format!("and {agreeing} as the file has them");
        canvas.label(Label::new(
            fitted(&text, SIZE, false, room),
            left,
            y,
            SIZE,
            MUTED,
        ));
    }
}
