//! `tideover page`: the same answers in a browser, from one file.

use std::cell::RefCell;
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use clap::Args;
use tideover::command::{Failure as Refused, without_scripts};
use tideover::page::{Page, PageScenario, opening};
use tideover::scenario::Scenario;

use super::reading::{check_text, file_name, read_text, read_weather, utf8};
use super::studied::written;
use super::trial_options::folder_for;
use super::whole_files::write_all;
use super::{Ending, Failure, screen};

/// A page for a phone or a desk: the whole engine in one file, without network
#[derive(Debug, Args)]
#[command(after_help = HOW)]
pub(super) struct Arguments {
    /// The scenario files; none for a page that begins with three questions
    #[arg(value_name = "SCENARIO")]
    scenarios: Vec<PathBuf>,
    /// Write static files for any web space into this folder, with which the page stays on a phone's home
    /// screen; page.html then only where --out asks for it
    #[arg(long, value_name = "DIR")]
    site: Option<PathBuf>,
    /// Folder of the page [default: output/<name of the first scenario file>/, without one output/page/]
    #[arg(long, value_name = "DIR")]
    out: Option<PathBuf>,
    /// Leave out how to open it
    #[arg(long)]
    quiet: bool,
}

const HOW: &str = "page.html opens in a browser, from a disk or a phone's storage, and asks nothing of any network. \
    Where a phone shows a file without its scripts, the nights left stand there as a table.";

/// Runs the command.
pub(super) fn run(arguments: &Arguments) -> Result<Ending, Failure> {
    let mut scenarios: Vec<PageScenario> = Vec::new();
    let mut read = Vec::new();
    for path in &arguments.scenarios {
        let (found, scenario) = of_page(path)?;
        if scenarios.iter().any(|known| known.name == found.name) {
            let allowed = "two scenarios of a page cannot have the same file name";
            return Err(Refused::option("page", &found.name, allowed).into());
        }
        scenarios.push(found);
        read.push(scenario);
    }
    let table = without_scripts(&read)?;
    let title = match read.as_slice() {
        [only] => only.title.as_str(),
        _ => "Nights on the battery",
    };
    let page = Page {
        title,
        scenarios: &scenarios,
        opening: &scenarios.first().map(opening).unwrap_or_default(),
        without_scripts: &table,
    };
    let mut text = String::new();
    if arguments.site.is_none() || arguments.out.is_some() {
        let first = arguments.scenarios.first();
        let named = first.map_or(Path::new("page"), PathBuf::as_path);
        let folder = folder_for(arguments.out.as_ref(), named);
        let file = ("page.html".to_owned(), page.file().into_bytes());
        text = text + &written(&write_all(&folder, &[file])?) + "\n";
        if !arguments.quiet {
            text.push_str("Open it in a browser, or copy it to a phone; it needs no network.\n");
        }
    }
    if let Some(folder) = &arguments.site {
        text = text + &written(&write_all(folder, &page.site())?) + "\n";
        if !arguments.quiet {
            text.push_str(
                "Put them on any web space with https, open the page once, and add it to the home screen.\n",
            );
        }
    }
    screen::answer(&text)
}

/// A scenario with the text of the files that it points to.
fn of_page(path: &Path) -> Result<(PageScenario, Scenario), Failure> {
    let text = read_text(path)?;
    let taken = RefCell::new(BTreeMap::new());
    let keeping = |name: &str| {
        let bytes = read_weather(path, name)?;
        taken.borrow_mut().insert(name.to_owned(), bytes.clone());
        Ok(bytes)
    };
    let scenario = check_text(&text, path, &keeping)?.scenario;
    let files = taken.into_inner().into_iter().map(|(name, bytes)| {
        let beside = path.parent().unwrap_or(Path::new("")).join(&name);
        Ok((name, utf8(bytes, &beside)?))
    });
    let found = PageScenario {
        name: file_name(path),
        text,
        files: files.collect::<Result<_, Failure>>()?,
    };
    Ok((found, scenario))
}
