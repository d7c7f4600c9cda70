//! `tideover new`: a starter scenario to edit.

use std::fmt::Write as _;
use std::path::PathBuf;

use clap::Args;
use clap::builder::PossibleValuesParser;
use tideover::scenario::templates::TEMPLATES;

use super::whole_files::write_new;
use super::{Failure, Outcome, screen};

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
pub(super) fn run(arguments: &Arguments) -> Result<Outcome, Failure> {
    let Some(path) = arguments.path.as_ref().filter(|_| !arguments.list) else {
        screen::answer(&template_list())?;
        return Ok(Outcome::Done);
    };
    let text = TEMPLATES
        .iter()
        .find(|template| template.name == arguments.from)
        .map_or("", |template| template.text);
    write_new(path, text.as_bytes())?;
    let shown = path.display();
    screen::answer(&format!(
        "wrote {shown} from the template {}\nnext: edit it, then `tideover check {shown}`\n",
        arguments.from
    ))?;
    Ok(Outcome::Done)
}
