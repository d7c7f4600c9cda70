//! `tideover sky`: the built-in climate of a place through the year.

use std::path::PathBuf;

use clap::Args;
use tideover::command::{SkyQuestion, height_m, month, place, sky};
use tideover::present::tables::laid_out;

use super::land::Land;
use super::whole_files::write_all;
use super::{Ending, Failure, screen};

/// The built-in climate of a place: sun hours, spread and temperatures, month by month
#[derive(Debug, Args)]
pub(super) struct Arguments {
    /// The place in degrees, north and east positive, such as -20.5,25.2
    #[arg(long, value_name = "LAT,LON", allow_hyphen_values = true, value_parser = place)]
    at: (f64, f64),
    /// Its height above the sea in metres, -430 to 6000 [default: that of the land there]
    #[arg(long, value_name = "M", allow_hyphen_values = true, value_parser = height_m)]
    height: Option<f64>,
    /// One month only, 1 to 12
    #[arg(long, value_name = "M", value_parser = month)]
    month: Option<u32>,
    #[command(flatten)]
    land: Land,
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

/// Runs the command.
pub(super) fn run(arguments: &Arguments) -> Result<Ending, Failure> {
    let question = SkyQuestion {
        at: arguments.at,
        height_m: arguments.height,
        month: arguments.month,
        units: arguments.land.units.unwrap_or_default(),
    };
    let answered = sky(question, true)?;
    let paths = write_all(&arguments.out, &answered.files)?;
    if arguments.json {
        return screen::data(&answered.json);
    }
    let mut text = laid_out(&answered.body, screen::width()) + "\n";
    if let Some(path) = paths.first().filter(|_| !arguments.quiet) {
        text = format!("{text}\nPicture: {}\n", path.display());
    }
    screen::answer(&text)
}
