//! `tideover new`: a starter scenario to edit.

use std::fmt::Write as _;
use std::path::PathBuf;

use clap::Args;
use clap::builder::PossibleValuesParser;
use tideover::command::Failure as Refused;
use tideover::scenario::templates::{LIKELY_KMH, TEMPLATES, with_gpx};

use super::reading::read_bytes;
use super::whole_files::write_new;
use super::{Ending, Failure, screen};

/// Largest GPX file that is read: a track of weeks, a point a second, has some 100 MB.
const GPX_LIMIT_MB: u64 = 256;

/// Write a starter scenario to edit; never overwrites
#[derive(Debug, Args)]
#[command(after_help = template_list())]
pub(super) struct Arguments {
    /// Where to write it
    #[arg(value_name = "PATH", required_unless_present = "list")]
    path: Option<PathBuf>,
    /// The template to start from
    #[arg(long, value_name = "TEMPLATE", default_value = TEMPLATES[0].name,
        value_parser = PossibleValuesParser::new(TEMPLATES.map(|template| template.name)))]
    from: String,
    /// Take the itinerary from a GPX file: waypoints or route points as stops, distances along its track
    #[arg(long, value_name = "FILE", conflicts_with = "list")]
    gpx: Option<PathBuf>,
    /// Mean speed on its legs, km/h, 5 to 130, to be edited leg by leg
    #[arg(long, value_name = "KMH", requires = "gpx", default_value_t = LIKELY_KMH,
        value_parser = clap::value_parser!(u16).range(5..=130))]
    speed: u16,
    /// List the templates and write nothing
    #[arg(long, conflicts_with = "path")]
    list: bool,
}

fn template_list() -> String {
    let mut list = "Templates:\n".to_owned();
    for template in TEMPLATES {
        let _ = writeln!(list, "  {:<15} {}", template.name, template.summary);
    }
    list
}

/// Runs the command.
pub(super) fn run(arguments: &Arguments) -> Result<Ending, Failure> {
    let Some(path) = arguments.path.as_ref().filter(|_| !arguments.list) else {
        return screen::answer(&template_list());
    };
    let text = TEMPLATES
        .iter()
        .find(|template| template.name == arguments.from)
        .map_or("", |template| template.text);
    let text = match &arguments.gpx {
        None => text.to_owned(),
        Some(file) => {
            let bytes = read_bytes(file, GPX_LIMIT_MB)?;
            with_gpx(text, &bytes, f64::from(arguments.speed)).map_err(|problem| {
                Refused::option("--gpx", &file.display().to_string(), problem.to_string())
            })?
        }
    };
    write_new(path, text.as_bytes())?;
    let shown = path.display();
    let way = arguments.gpx.as_ref().map_or_else(String::new, |file| {
        format!(" with the itinerary of {}", file.display())
    });
    screen::answer(&format!(
        "wrote {shown} from the template {}{way}\nnext: edit it, then `tideover check {shown}`\n",
        arguments.from
    ))
}
