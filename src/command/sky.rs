//! The built-in climate of a place.

use super::Failure;
use super::answered::Answered;
use super::options::within;
use crate::present::plain_text::json_text;
use crate::present::tables::sky_tables;
use crate::study::sky_table::sky_table;
use crate::units::Units;

/// What is asked of a place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SkyQuestion {
    /// Degrees, north and east positive.
    pub at: (f64, f64),
    /// Height above the sea, m; `None`: that of the land there.
    pub height_m: Option<f64>,
    /// One month, 1 to 12; `None`: all.
    pub month: Option<u32>,
    /// Units of what is shown.
    pub units: Units,
}

/// A place in degrees, such as `-20.5,25.2`.
///
/// # Errors
/// What is allowed.
pub fn place(text: &str) -> Result<(f64, f64), String> {
    let form = || "must be LAT,LON in degrees, such as -20.5,25.2".to_owned();
    let (lat, lon) = text.split_once(',').ok_or_else(form)?;
    let degrees = |part: &str, limit: f64| {
        part.trim()
            .parse::<f64>()
            .ok()
            .filter(|degrees| degrees.abs() <= limit)
    };
    degrees(lat, 90.0).zip(degrees(lon, 180.0)).ok_or_else(form)
}

/// A height in metres.
///
/// # Errors
/// What is allowed.
pub fn height_m(text: &str) -> Result<f64, String> {
    within(text, -430.0..=6000.0, "must be")
}

/// A month.
///
/// # Errors
/// What is allowed.
pub fn month(text: &str) -> Result<u32, String> {
    within(text, 1..=12, "must be")
}

/// The climate of a place through the year, with its picture where it is that of all months and the whole of the
/// plotting library is there: with the feature `cli`.
///
/// # Errors
/// [`Failure::Climate`] where the place has none.
pub fn sky(question: SkyQuestion, with_files: bool) -> Result<Answered, Failure> {
    let (lat_deg, lon_deg) = question.at;
    let year = sky_table(lat_deg, lon_deg, question.height_m, question.month)
        .map_err(|error| Failure::Climate(error.to_string()))?;
    let mut answered = Answered {
        body: sky_tables(&year, question.units),
        json: json_text(&year).map_err(Failure::Json)?,
        ..Answered::default()
    };
    #[cfg(feature = "cli")]
    if let Some(svg) =
        crate::present::charts::sky_year_svg(&year, question.units).filter(|_| with_files)
    {
        answered.add("sky.svg", svg);
    }
    #[cfg(not(feature = "cli"))]
    let _ = (with_files, &mut answered);
    Ok(answered)
}
