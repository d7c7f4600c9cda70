//! `sky.svg`: sun hours, days in a row and temperature of a place through the year.
//!
//! One job: a [`SkyTable`] of twelve months to a picture of 4:3. Months stand side by side with their figures
//! written on them; bands join the middles of the months, over the year's end too. Every line has its
//! label at the right; dark lines on light bands stay apart for colour-blind eyes and in grey.

use plotters::prelude::*;
use plotters::style::text_anchor::HPos;

use super::year_panel::{
    INK, LEFT_PX, MUTED, Panel, Sheet, figure, fine, month_px, present, put, write,
};
use crate::study::sky_table::{MONTH_NAMES, RUN_DAYS, SkyMonth, SkyTable, place_text};
use crate::units::{Amount, Units};

/// Size as shown.
const SHOWN_PX: (u32, u32) = (960, 720);

/// Light of lightness 88, line of 34: sun.
const SUN_BAND: RGBColor = RGBColor(246, 220, 170);
const SUN_LINE: RGBColor = RGBColor(122, 66, 0);
/// Light of lightness 86, line of 29: air.
const AIR_BAND: RGBColor = RGBColor(203, 219, 230);
const AIR_LINE: RGBColor = RGBColor(24, 72, 108);

/// The picture, or `None` for a table that is not of a whole year.
#[must_use]
pub fn sky_year_svg(table: &SkyTable, units: Units) -> Option<String> {
    if table.months.len() != MONTH_NAMES.len() {
        return None;
    }
    let mut text = String::new();
    let size = (SHOWN_PX.0 * 4, SHOWN_PX.1 * 4);
    {
        let sheet = SVGBackend::with_string(&mut text, size).into_drawing_area();
        draw(&sheet, table, units);
        present(&sheet);
    }
    let big = format!("width=\"{}\" height=\"{}\"", size.0, size.1);
    Some(text.replacen(
        &big,
        &format!("width=\"{}\" height=\"{}\"", SHOWN_PX.0, SHOWN_PX.1),
        1,
    ))
}

fn draw(sheet: &Sheet<'_>, table: &SkyTable, units: Units) {
    put(
        sheet,
        &Rectangle::new([fine(0.0, 0.0), fine(960.0, 720.0)], WHITE.filled()),
    );
    let title = format!(
        "Sun and temperature through the year at {}, {}",
        place_text(table.lat_deg, table.lon_deg, 2),
        units.shown(Amount::Metres, table.height_m, 0)
    );
    write(sheet, &title, (LEFT_PX - 30.0, 24.0), 17.0, INK, HPos::Left);
    sun_panel(sheet, table);
    runs_panel(sheet, table);
    air_panel(sheet, table, units);
    let foot = format!(
        "A plausible climate, not a forecast. Nearest climate cell {}, temperature records some {} away, \
         sunshine records of weight {:.1} (well supported from 1).",
        units.shown(Amount::Kilometres, table.support.nearest_cell_km, 0),
        units.shown(Amount::Kilometres, table.support.nearest_station_km, 0),
        table.support.sunshine_weight
    );
    write(
        sheet,
        &foot,
        (LEFT_PX - 30.0, 692.0),
        10.5,
        MUTED,
        HPos::Left,
    );
    let credit = "Sun: MERRA-2 2011-2015 (NASA), corrected with sunshine records. Temperature: 2003-2021. \
                  Data basis: Deutscher Wetterdienst, own elaboration.";
    write(
        sheet,
        credit,
        (LEFT_PX - 30.0, 707.0),
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
        foot_px: 274.0,
        low: 0.0,
        high: top * 1.08,
    };
    let head = format!(
        "Sun hours a day (kWh/m² on the flat); {:.1} over the year. Bars: how well the mean itself is known (2 in 3)",
        table.year_sun_hours
    );
    panel.frame(sheet, &head);
    panel.band(sheet, &low, &high, SUN_BAND);
    panel.grid(sheet);
    panel.line(sheet, &high, SUN_LINE, 1.0);
    panel.line(sheet, &low, SUN_LINE, 1.0);
    panel.line(sheet, &mean, SUN_LINE, 2.6);
    let known: Vec<(f64, f64)> = table
        .months
        .iter()
        .map(|month| {
            let sd = month.sun_hours_uncertainty;
            (month.sun_hours - sd, month.sun_hours + sd)
        })
        .collect();
    panel.bars(sheet, &known, SUN_LINE);
    // A figure on the upper edge of a narrow band moves above it.
    for (month, (mean, high)) in mean.iter().zip(&high).enumerate() {
        let (own_px, edge_px) = (panel.y_px(known[month].1) - 9.0, panel.y_px(*high));
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

fn runs_panel(sheet: &Sheet<'_>, table: &SkyTable) {
    let mean: Vec<f64> = table.months.iter().map(|month| month.sun_hours).collect();
    let runs: [Vec<f64>; RUN_DAYS.len()] = std::array::from_fn(|run| {
        let months = table.months.iter();
        months.map(|month| month.run_sun_hours_p10[run]).collect()
    });
    let top = mean.iter().copied().fold(1.0, f64::max);
    let panel = Panel {
        top_px: 314.0,
        foot_px: 474.0,
        low: 0.0,
        high: top * 1.08,
    };
    panel.frame(
        sheet,
        "Days in a row: mean sun hours a day that 1 stay in 10 about the date does not exceed",
    );
    let [one, three, seven, fourteen] = &runs;
    panel.band(sheet, one, &mean, SUN_BAND);
    panel.grid(sheet);
    for (values, width_px) in [
        (&mean, 2.6),
        (fourteen, 1.0),
        (seven, 1.4),
        (three, 1.8),
        (one, 1.0),
    ] {
        panel.line(sheet, values, SUN_LINE, width_px);
    }
    panel.names(
        sheet,
        [
            ("mean", &mean),
            ("14 days", fourteen),
            ("7 days", seven),
            ("3 days", three),
            ("1 day", one),
        ],
        SUN_LINE,
    );
}

fn air_panel(sheet: &Sheet<'_>, table: &SkyTable, units: Units) {
    let of = |celsius: fn(&SkyMonth) -> f64| -> Vec<f64> {
        let months = table.months.iter().map(celsius);
        months.map(|it| units.value(Amount::Celsius, it)).collect()
    };
    let (low, high) = (of(|month| month.day_min_c), of(|month| month.day_max_c));
    let least = low.iter().copied().fold(f64::INFINITY, f64::min);
    let most = high.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let room = (most - least).max(units.value(Amount::Kelvin, 5.0)) * 0.16;
    let panel = Panel {
        top_px: 514.0,
        foot_px: 654.0,
        low: least - room,
        high: most + room,
    };
    let name = format!(
        "Temperature in the shade ({})",
        units.symbol(Amount::Celsius)
    );
    panel.frame(sheet, &name);
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
            (month_px(month), 666.0),
            11.5,
            INK,
            HPos::Center,
        );
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::study::sky_table::sky_table;

    #[test]
    fn a_year_is_drawn_with_names_figures_and_credit() {
        let table = sky_table(-20.49, 25.18, None, None).expect("Africa");
        let svg = sky_year_svg(&table, Units::Si).expect("a whole year");
        assert!(
            svg.starts_with("<svg width=\"960\" height=\"720\" viewBox=\"0 0 3840 2880\""),
            "{}",
            &svg[..90]
        );
        for wanted in [
            "Jan",
            "Dec",
            "mean daily maximum",
            "9 days in 10",
            "1 stay in 10",
            "14 days",
            "how well the mean itself is known",
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
        assert_eq!(sky_year_svg(&month, Units::Si), None);
        let north = sky_table(70.0, 25.0, None, None).expect("Lapland");
        assert!(
            !sky_year_svg(&north, Units::Us)
                .expect("a whole year")
                .contains("NaN")
        );
    }
}
