//! `sky.svg`: sun hours, days in a row and temperature of a place through the year.
//!
//! One job: a [`SkyTable`] of twelve months to a picture of 4:3. Months stand side by side with their figures
//! written on them; bands join the middles of the months, over the year's end too. Every line has its
//! label at the right; dark lines on light bands stay apart for colour-blind eyes and in grey.

use super::canvas::{Canvas, Label};
use super::palette::{INK, MUTED, Paint, solid};
use super::year_panel::Panel;
use crate::study::sky_table::{MONTH_NAMES, RUN_DAYS, SkyMonth, SkyTable, place_text};
use crate::units::{Amount, Units};

/// Size as shown.
const SIZE_PX: (f64, f64) = (960.0, 720.0);

/// Light of lightness 88, line of 34: sun.
const SUN_BAND: Paint = solid(246, 220, 170);
const SUN_LINE: Paint = solid(122, 66, 0);
/// Light of lightness 86, line of 29: air.
const AIR_BAND: Paint = solid(203, 219, 230);
const AIR_LINE: Paint = solid(24, 72, 108);

/// The picture, or `None` for a table that is not of a whole year.
#[must_use]
pub fn sky_year_svg(table: &SkyTable, units: Units) -> Option<String> {
    if table.months.len() != MONTH_NAMES.len() {
        return None;
    }
    let mut canvas = Canvas::sized(SIZE_PX.0, SIZE_PX.1);
    let title = format!(
        "Sun and temperature through the year at {}, {}",
        place_text(table.lat_deg, table.lon_deg, 2),
        units.shown(Amount::Metres, table.height_m, 0)
    );
    canvas.label(Label::new(title.as_str(), 16.0, 22.0, 16.0, INK).bold());
    sun_panel(&mut canvas, table);
    runs_panel(&mut canvas, table);
    air_panel(&mut canvas, table, units);
    let foot = format!(
        "A plausible climate, not a forecast. Nearest climate cell {}, temperature records some {} away, \
         sunshine records of weight {:.1} (well supported from 1).",
        units.shown(Amount::Kilometres, table.support.nearest_cell_km, 0),
        units.shown(Amount::Kilometres, table.support.nearest_station_km, 0),
        table.support.sunshine_weight
    );
    let credit = "Sun: MERRA-2 2011-2015 (NASA), corrected with sunshine records. Temperature: 2003-2021. \
                  Data basis: Deutscher Wetterdienst, own elaboration.";
    canvas.label(Label::new(foot, 16.0, 691.0, 10.0, MUTED));
    canvas.label(Label::new(credit, 16.0, 707.0, 10.0, MUTED));
    let mean = table.year_sun_hours;
    let description =
        format!("{mean:.1} sun hours a day over the year, by month with temperatures.");
    Some(canvas.into_svg(&title, &description))
}

fn sun_panel(canvas: &mut Canvas, table: &SkyTable) {
    let of = |value: fn(&SkyMonth) -> f64| table.months.iter().map(value).collect::<Vec<f64>>();
    let (low, mean, high) = (
        of(|m| m.sun_hours_p10),
        of(|m| m.sun_hours),
        of(|m| m.sun_hours_p90),
    );
    let top = high.iter().copied().fold(1.0, f64::max);
    let name = format!(
        "Sun hours a day (kWh/m² on the flat); {:.1} over the year. Bars: how well the mean itself is known (2 in 3)",
        table.year_sun_hours
    );
    let panel = Panel::new(canvas, (62.0, 274.0), (0.0, top * 1.08), &name);
    panel.band(canvas, &low, &high, SUN_BAND);
    panel.grid(canvas);
    panel.line(canvas, &high, SUN_LINE, 1.0);
    panel.line(canvas, &low, SUN_LINE, 1.0);
    panel.line(canvas, &mean, SUN_LINE, 2.5);
    let known = table.months.iter().map(|month| {
        let sd = month.sun_hours_uncertainty;
        (month.sun_hours - sd, month.sun_hours + sd)
    });
    let known: Vec<(f64, f64)> = known.collect();
    panel.bars(canvas, &known, SUN_LINE);
    // A figure on the upper edge of a narrow band moves above it.
    for (month, (mean, high)) in mean.iter().zip(&high).enumerate() {
        let (own_px, edge_px) = (panel.y_px(known[month].1) - 9.0, panel.y_px(*high));
        let is_on_edge = edge_px > own_px - 8.0;
        let y_px = if is_on_edge { edge_px - 9.0 } else { own_px };
        Panel::figure(canvas, &format!("{mean:.1}"), month, y_px, SUN_LINE);
    }
    let names = [
        ("9 days in 10 have less", &high),
        ("mean", &mean),
        ("1 day in 10 has less", &low),
    ];
    panel.names(canvas, &names, SUN_LINE);
}

fn runs_panel(canvas: &mut Canvas, table: &SkyTable) {
    let mean: Vec<f64> = table.months.iter().map(|month| month.sun_hours).collect();
    let runs: [Vec<f64>; RUN_DAYS.len()] = std::array::from_fn(|run| {
        let months = table.months.iter();
        months.map(|month| month.run_sun_hours_p10[run]).collect()
    });
    let top = mean.iter().copied().fold(1.0, f64::max);
    let name =
        "Days in a row: mean sun hours a day that 1 stay in 10 about the date does not exceed";
    let panel = Panel::new(canvas, (314.0, 474.0), (0.0, top * 1.08), name);
    let [one, three, seven, fourteen] = &runs;
    panel.band(canvas, one, &mean, SUN_BAND);
    panel.grid(canvas);
    let lines = [
        ("mean", &mean, 2.5),
        ("14 days", fourteen, 1.0),
        ("7 days", seven, 1.5),
        ("3 days", three, 1.75),
        ("1 day", one, 1.0),
    ];
    for (_, values, width_px) in lines {
        panel.line(canvas, values, SUN_LINE, width_px);
    }
    panel.names(
        canvas,
        &lines.map(|(name, values, _)| (name, values)),
        SUN_LINE,
    );
}

fn air_panel(canvas: &mut Canvas, table: &SkyTable, units: Units) {
    let of = |celsius: fn(&SkyMonth) -> f64| -> Vec<f64> {
        let months = table.months.iter().map(celsius);
        months.map(|it| units.value(Amount::Celsius, it)).collect()
    };
    let (low, high) = (of(|month| month.day_min_c), of(|month| month.day_max_c));
    let least = low.iter().copied().fold(f64::INFINITY, f64::min);
    let most = high.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let room = (most - least).max(units.value(Amount::Kelvin, 5.0)) * 0.16;
    let name = format!(
        "Temperature in the shade ({})",
        units.symbol(Amount::Celsius)
    );
    let ends = (least - room, most + room);
    let panel = Panel::new(canvas, (514.0, 652.0), ends, &name);
    panel.band(canvas, &low, &high, AIR_BAND);
    panel.grid(canvas);
    panel.line(canvas, &high, AIR_LINE, 2.25);
    panel.line(canvas, &low, AIR_LINE, 2.25);
    panel.figures(canvas, &high, -9.0, AIR_LINE);
    panel.figures(canvas, &low, 10.0, AIR_LINE);
    let names = [("mean daily maximum", &high), ("mean daily minimum", &low)];
    panel.names(canvas, &names, AIR_LINE);
    for (month, name) in MONTH_NAMES.iter().enumerate() {
        Panel::figure(canvas, &name[..3], month, 666.0, INK);
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
            svg.contains("width=\"960\" height=\"720\" viewBox=\"0 0 3840 2880\""),
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
