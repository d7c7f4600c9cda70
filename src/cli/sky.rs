//! `tideover sky`: the built-in climate of a place through the year.

use std::path::PathBuf;

use clap::Args;
use tideover::present::charts::sky_year_svg;
use tideover::present::tables::sky_text;
use tideover::study::sky_table::sky_table;

use super::prepared::json;
use super::whole_files::WholeFiles;
use super::{Failure, Outcome, screen};

/// The built-in climate of a place: sun hours, spread and temperatures, month by month
#[derive(Debug, Args)]
pub(super) struct Arguments {
    /// The place in degrees, north and east positive, such as -20.5,25.2
    #[arg(long, value_name = "LAT,LON", allow_hyphen_values = true, value_parser = place)]
    at: (f64, f64),
    /// Its height above the sea in metres, -430 to 6000 [default: that of the land there]
    #[arg(long, value_name = "M", allow_hyphen_values = true, value_parser = height)]
    height: Option<f64>,
    /// One month only, 1 to 12
    #[arg(long, value_name = "M", value_parser = clap::value_parser!(u32).range(1..=12))]
    month: Option<u32>,
    /// Folder of the picture
    #[arg(long, value_name = "DIR", default_value = "output")]
    out: PathBuf,
    /// Put the result as JSON on stdout instead of the table
    #[arg(long)]
    json: bool,
    /// Leave out where the picture is
    #[arg(long)]
    quiet: bool,
}

fn place(text: &str) -> Result<(f64, f64), String> {
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

fn height(text: &str) -> Result<f64, String> {
    text.parse()
        .ok()
        .filter(|height| (-430.0..=6000.0).contains(height))
        .ok_or_else(|| "must be from -430 to 6000".to_owned())
}

/// Runs the command.
pub(super) fn run(arguments: &Arguments) -> Result<Outcome, Failure> {
    let (lat_deg, lon_deg) = arguments.at;
    let table = sky_table(lat_deg, lon_deg, arguments.height, arguments.month)
        .map_err(|error| Failure::Climate(error.to_string()))?;
    let result_json = json(&table)?;
    let mut files = WholeFiles::into_folder(arguments.out.clone());
    if let Some(svg) = sky_year_svg(&table) {
        files.add("sky.svg", svg);
    }
    let paths = files.write()?;
    if arguments.json {
        screen::data(&result_json)?;
        return Ok(Outcome::Done);
    }
    let mut text = sky_text(&table, screen::width());
    if let Some(path) = paths.first().filter(|_| !arguments.quiet) {
        text = format!("{text}\nPicture: {}\n", path.display());
    }
    screen::answer(&text)?;
    Ok(Outcome::Done)
}
