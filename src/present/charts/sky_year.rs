//! `sky.svg`: sun hours and temperature of a place through the year.
//!
//! One job: a [`SkyTable`] of twelve months to a picture of 16:9. Months stand side by side with their figures
//! written on them; bands join the middles of the months, over the year's end too. Every line has its
//! label at the right; dark lines on light bands stay apart for colour-blind eyes and in grey.

use plotters::coord::Shift;
use plotters::element::{Drawable, PointCollection};
use plotters::prelude::*;
use plotters::style::text_anchor::{HPos, Pos, VPos};

use crate::study::sky_table::{MONTH_NAMES, SkyMonth, SkyTable, place_text};

/// Size as shown.
const SHOWN_PX: (u32, u32) = (960, 540);
/// The drawing is made four times as large, so that whole pixels don't make curves wobble.
const FINE: f64 = 4.0;

const INK: RGBColor = RGBColor(28, 34, 40);
const MUTED: RGBColor = RGBColor(84, 94, 104);
const GRID: RGBColor = RGBColor(206, 211, 214);
/// Light of lightness 88, line of 34: sun.
const SUN_BAND: RGBColor = RGBColor(246, 220, 170);
const SUN_LINE: RGBColor = RGBColor(122, 66, 0);
/// Light of lightness 86, line of 29: air.
const AIR_BAND: RGBColor = RGBColor(203, 219, 230);
const AIR_LINE: RGBColor = RGBColor(24, 72, 108);

const LEFT_PX: f64 = 46.0;
const RIGHT_PX: f64 = 800.0;

type Sheet<'a> = DrawingArea<SVGBackend<'a>, Shift>;

/// The picture, or `None` for a table that is not of a whole year.
#[must_use]
pub fn sky_year_svg(table: &SkyTable) -> Option<String> {
    if table.months.len() != MONTH_NAMES.len() {
        return None;
    }
    let mut text = String::new();
    let size = (SHOWN_PX.0 * 4, SHOWN_PX.1 * 4);
    {
        let sheet = SVGBackend::with_string(&mut text, size).into_drawing_area();
        draw(&sheet, table);
        present(&sheet);
    }
    let big = format!("width=\"{}\" height=\"{}\"", size.0, size.1);
    Some(text.replacen(
        &big,
        &format!("width=\"{}\" height=\"{}\"", SHOWN_PX.0, SHOWN_PX.1),
        1,
    ))
}

fn draw(sheet: &Sheet<'_>, table: &SkyTable) {
    put(
        sheet,
        &Rectangle::new([fine(0.0, 0.0), fine(960.0, 540.0)], WHITE.filled()),
    );
    let title = format!(
        "Sun and temperature through the year at {}, {:.0} m",
        place_text(table.lat_deg, table.lon_deg, 2),
        table.height_m
    );
    write(sheet, &title, (LEFT_PX - 30.0, 24.0), 17.0, INK, HPos::Left);
    sun_panel(sheet, table);
    air_panel(sheet, table);
    let foot = format!(
        "A plausible climate, not a forecast. Nearest climate cell {:.0} km, temperature records some {:.0} km away.",
        table.support.nearest_cell_km, table.support.nearest_station_km
    );
    write(
        sheet,
        &foot,
        (LEFT_PX - 30.0, 512.0),
        10.5,
        MUTED,
        HPos::Left,
    );
    let credit = "Sun: MERRA-2 2011-2015 (NASA), corrected with sunshine records. Temperature: 2003-2021. \
                  Data basis: Deutscher Wetterdienst, own elaboration.";
    write(
        sheet,
        credit,
        (LEFT_PX - 30.0, 527.0),
        10.5,
        MUTED,
        HPos::Left,
    );
}

fn sun_panel(sheet: &Sheet<'_>, table: &SkyTable) {
    let of = |value: fn(&SkyMonth) -> f64| table.months.iter().map(value).collect::<Vec<f64>>();
    let (low, mean, high) = (
        of(|m| m.sun_hours_p10),
        of(|m| m.sun_hours),
        of(|m| m.sun_hours_p90),
    );
    let top = high.iter().copied().fold(1.0, f64::max);
    let panel = Panel {
        top_px: 62.0,
        foot_px: 286.0,
        low: 0.0,
        high: top * 1.08,
    };
    let head = format!(
        "Sun hours a day (kWh/m² on the flat); {:.1} over the year",
        table.year_sun_hours
    );
    panel.frame(sheet, &head);
    panel.band(sheet, &low, &high, SUN_BAND);
    panel.grid(sheet);
    panel.line(sheet, &high, SUN_LINE, 1.0);
    panel.line(sheet, &low, SUN_LINE, 1.0);
    panel.line(sheet, &mean, SUN_LINE, 2.6);
    // A figure on the upper edge of a narrow band moves above it.
    for (month, (mean, high)) in mean.iter().zip(&high).enumerate() {
        let (own_px, edge_px) = (panel.y_px(*mean) - 9.0, panel.y_px(*high));
        let y_px = if edge_px > own_px - 8.0 {
            edge_px - 9.0
        } else {
            own_px
        };
        let at_px = (month_px(month), y_px);
        write(
            sheet,
            &figure(*mean, 1),
            at_px,
            11.5,
            SUN_LINE,
            HPos::Center,
        );
    }
    panel.names(
        sheet,
        [
            ("9 days in 10 have less", &high),
            ("mean", &mean),
            ("1 day in 10 has less", &low),
        ],
        SUN_LINE,
    );
}

fn air_panel(sheet: &Sheet<'_>, table: &SkyTable) {
    let low: Vec<f64> = table.months.iter().map(|month| month.day_min_c).collect();
    let high: Vec<f64> = table.months.iter().map(|month| month.day_max_c).collect();
    let least = low.iter().copied().fold(f64::INFINITY, f64::min);
    let most = high.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let room = (most - least).max(5.0) * 0.16;
    let panel = Panel {
        top_px: 324.0,
        foot_px: 476.0,
        low: least - room,
        high: most + room,
    };
    panel.frame(sheet, "Temperature in the shade (°C)");
    panel.band(sheet, &low, &high, AIR_BAND);
    panel.grid(sheet);
    panel.line(sheet, &high, AIR_LINE, 2.2);
    panel.line(sheet, &low, AIR_LINE, 2.2);
    panel.figures(sheet, &high, -9.0, AIR_LINE);
    panel.figures(sheet, &low, 10.0, AIR_LINE);
    panel.names(
        sheet,
        [("mean daily maximum", &high), ("mean daily minimum", &low)],
        AIR_LINE,
    );
    for (month, name) in MONTH_NAMES.iter().enumerate() {
        write(
            sheet,
            &name[..3],
            (month_px(month), 488.0),
            11.5,
            INK,
            HPos::Center,
        );
    }
}

/// Where values stand, in pixels as shown.
struct Panel {
    top_px: f64,
    foot_px: f64,
    low: f64,
    high: f64,
}

impl Panel {
    fn y_px(&self, value: f64) -> f64 {
        self.foot_px - (value - self.low) / (self.high - self.low) * (self.foot_px - self.top_px)
    }

    fn frame(&self, sheet: &Sheet<'_>, head: &str) {
        write(
            sheet,
            head,
            (LEFT_PX - 30.0, self.top_px - 13.0),
            12.5,
            INK,
            HPos::Left,
        );
        let (low, high) = (fine(LEFT_PX, self.foot_px), fine(RIGHT_PX, self.foot_px));
        put(
            sheet,
            &PathElement::new(vec![low, high], MUTED.stroke_width(4)),
        );
    }

    /// Lines at round values, over the bands so that these can be read too.
    fn grid(&self, sheet: &Sheet<'_>) {
        let step = round_step((self.high - self.low) / 5.0);
        let mut tick = (self.low / step).ceil();
        while tick * step <= self.high {
            let y_px = self.y_px(tick * step);
            let ends = vec![fine(LEFT_PX, y_px), fine(RIGHT_PX, y_px)];
            put(
                sheet,
                &PathElement::new(ends, GRID.mix(0.9).stroke_width(3)),
            );
            write(
                sheet,
                &figure(tick * step, 0),
                (LEFT_PX - 8.0, y_px),
                11.5,
                MUTED,
                HPos::Right,
            );
            tick += 1.0;
        }
        for month in 0..=12_u8 {
            let x_px = LEFT_PX + f64::from(month) / 12.0 * (RIGHT_PX - LEFT_PX);
            let ends = vec![fine(x_px, self.foot_px), fine(x_px, self.foot_px + 4.0)];
            put(sheet, &PathElement::new(ends, MUTED.stroke_width(3)));
        }
    }

    fn band(&self, sheet: &Sheet<'_>, low: &[f64], high: &[f64], paint: RGBColor) {
        let mut edge = self.points(high);
        edge.extend(self.points(low).into_iter().rev());
        put(sheet, &Polygon::new(edge, paint.filled()));
    }

    fn line(&self, sheet: &Sheet<'_>, values: &[f64], paint: RGBColor, width_px: f64) {
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a few pixels"
        )]
        let width = (width_px * FINE) as u32;
        put(
            sheet,
            &PathElement::new(self.points(values), paint.stroke_width(width)),
        );
    }

    /// The middles of the months and the two ends of the year, halfway from December to January.
    fn points(&self, values: &[f64]) -> Vec<(i32, i32)> {
        let joint = year_end(values);
        let mut points = vec![fine(LEFT_PX, self.y_px(joint))];
        points.extend(
            values
                .iter()
                .enumerate()
                .map(|(month, value)| fine(month_px(month), self.y_px(*value))),
        );
        points.push(fine(RIGHT_PX, self.y_px(joint)));
        points
    }

    /// Figures on the middles of the months.
    fn figures(&self, sheet: &Sheet<'_>, values: &[f64], down_px: f64, paint: RGBColor) {
        for (month, value) in values.iter().enumerate() {
            let at = (month_px(month), self.y_px(*value) + down_px);
            write(sheet, &figure(*value, 0), at, 11.5, paint, HPos::Center);
        }
    }

    /// Names of lines at their right ends, from the highest down, pushed apart where they would touch.
    fn names<const N: usize>(
        &self,
        sheet: &Sheet<'_>,
        lines: [(&str, &Vec<f64>); N],
        paint: RGBColor,
    ) {
        const APART_PX: f64 = 14.0;
        let mut places = lines.map(|(_, values)| self.y_px(year_end(values)));
        for index in 1..N {
            places[index] = places[index].max(places[index - 1] + APART_PX);
        }
        let below_px = (places[N - 1] - (self.foot_px - 5.0)).max(0.0);
        for ((name, _), y_px) in lines.iter().zip(places) {
            write(
                sheet,
                name,
                (RIGHT_PX + 8.0, y_px - below_px),
                12.0,
                paint,
                HPos::Left,
            );
        }
    }
}

fn year_end(values: &[f64]) -> f64 {
    let first = values.first().copied().unwrap_or(0.0);
    f64::midpoint(first, values.last().copied().unwrap_or(first))
}

/// 1, 2 or 5 times a power of ten, at least as large.
fn round_step(least: f64) -> f64 {
    let power = 10.0_f64.powf(least.log10().floor());
    [1.0, 2.0, 5.0, 10.0]
        .into_iter()
        .map(|step| step * power)
        .find(|step| *step >= least)
        .unwrap_or(power)
}

/// A figure with a true minus and no minus before zero.
fn figure(value: f64, digits: usize) -> String {
    let text = format!("{:.digits$}", value.abs());
    let is_zero = text.bytes().all(|byte| matches!(byte, b'0' | b'.'));
    if value < 0.0 && !is_zero {
        format!("−{text}")
    } else {
        text
    }
}

fn month_px(month: usize) -> f64 {
    #[expect(clippy::cast_precision_loss, reason = "0 to 11")]
    let middle = month as f64 + 0.5;
    LEFT_PX + middle / 12.0 * (RIGHT_PX - LEFT_PX)
}

#[expect(clippy::cast_possible_truncation, reason = "some thousand pixels")]
fn fine(x_px: f64, y_px: f64) -> (i32, i32) {
    ((x_px * FINE).round() as i32, (y_px * FINE).round() as i32)
}

/// Text with its point at half height.
fn write(
    sheet: &Sheet<'_>,
    text: &str,
    at_px: (f64, f64),
    size_px: f64,
    paint: RGBColor,
    side: HPos,
) {
    let style = ("sans-serif", size_px * FINE)
        .into_font()
        .color(&paint)
        .pos(Pos::new(side, VPos::Center));
    put(
        sheet,
        &Text::new(text.to_owned(), fine(at_px.0, at_px.1), style),
    );
}

fn put<'s, E>(sheet: &Sheet<'s>, element: &E)
where
    for<'b> &'b E: PointCollection<'b, (i32, i32)>,
    E: Drawable<SVGBackend<'s>>,
{
    sheet
        .draw(element)
        .expect("drawing into memory does not fail");
}

fn present(sheet: &Sheet<'_>) {
    sheet.present().expect("drawing into memory does not fail");
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::study::sky_table::sky_table;

    #[test]
    fn a_year_is_drawn_with_names_figures_and_credit() {
        let table = sky_table(-20.49, 25.18, None, None).expect("Africa");
        let svg = sky_year_svg(&table).expect("a whole year");
        assert!(
            svg.starts_with("<svg width=\"960\" height=\"540\" viewBox=\"0 0 3840 2160\""),
            "{}",
            &svg[..90]
        );
        for wanted in [
            "Jan",
            "Dec",
            "mean daily maximum",
            "9 days in 10",
            "Data basis: Deutscher Wetterdienst, own elaboration",
        ] {
            assert!(svg.contains(wanted), "{wanted}");
        }
        let july = format!("{:.1}", table.months[6].sun_hours);
        assert!(svg.contains(&july), "{july}");
        assert!(!svg.contains("NaN"));
    }

    #[test]
    fn one_month_has_no_picture_and_polar_night_has() {
        let month = sky_table(-20.49, 25.18, None, Some(7)).expect("Africa");
        assert_eq!(sky_year_svg(&month), None);
        let north = sky_table(70.0, 25.0, None, None).expect("Lapland");
        assert!(!sky_year_svg(&north).expect("a whole year").contains("NaN"));
    }

    #[test]
    fn steps_are_round_and_zero_has_no_minus() {
        assert!((round_step(1.7) - 2.0).abs() < 1e-12 && (round_step(0.3) - 0.5).abs() < 1e-12);
        assert_eq!(figure(-0.2, 0), "0");
        assert_eq!(figure(-7.6, 0), "−8");
    }
}
