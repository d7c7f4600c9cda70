//! A command that runs trials, from its words to its files and its screen.
//!
//! One job: to read, ask, write and print. What is answered is the library's.

use std::path::{Path, PathBuf};

use tideover::command::{Answered, Asked, Options, Question, answer, check_options};
use tideover::present::tables::laid_out;
use tideover::scenario::{Climate, Scenario};
use tideover::sky::hours::lay_hour_table;

use super::folder_writer::check_folder;
use super::here_options::HereOptions;
use super::progress::Bar;
use super::reading::{read_scenario, read_weather};
use super::trial_options::{TrialOptions, folder_for};
use super::whole_files::write_all;
use super::{Ending, Failure, screen};

/// Answers a question about the scenario at `path`; `is_strict` makes a no the exit status.
pub(super) fn studied(
    path: &Path,
    options: &TrialOptions,
    here: Option<&HereOptions>,
    question: &Question,
    is_strict: bool,
) -> Result<Ending, Failure> {
    let asked_for = options.options(here)?;
    check_options(question, &asked_for)?;
    let scenario = read_scenario(path, &options.land)?.scenario;
    let (answered, folder) = answered(path, &scenario, options, &asked_for, question)?;
    deliver(&answered, &folder, (options.json, options.quiet), is_strict)
}

/// The answer to a question about a scenario that was read from `path`, and the folder for its files.
pub(super) fn answered(
    path: &Path,
    scenario: &Scenario,
    options: &TrialOptions,
    asked_for: &Options,
    question: &Question,
) -> Result<(Answered, PathBuf), Failure> {
    let folder = folder_for(options.out.as_ref(), path);
    check_folder(&folder).map_err(|error| Failure::File {
        act: "create the folder",
        path: folder.clone(),
        error,
    })?;
    if !matches!(scenario.climate, Climate::History(_)) {
        // It takes about as long as the timeline. Where there is no thread, the first trial lays it.
        let _ = std::thread::Builder::new().spawn(lay_hour_table);
    }
    let bar = Bar::new(
        asked_for.trials_or(question.default_trials()),
        options.quiet,
    );
    let asked = Asked {
        scenario,
        options: asked_for,
        files: &|name| read_weather(path, name).map_err(|(_, text)| text),
        with_files: true,
        progress: &bar,
    };
    let answered = answer(question, &asked);
    bar.finish();
    Ok((answered?, folder))
}

/// Writes the files, then puts the answer on stdout: the JSON, or verdict, tables, warnings, cautions and
/// where the files are.
pub(super) fn deliver(
    answered: &Answered,
    folder: &Path,
    how: (bool, bool),
    is_strict: bool,
) -> Result<Ending, Failure> {
    let paths = write_all(folder, &answered.files)?;
    print(answered, &paths, how, is_strict)
}

/// Puts the answer on stdout; `is_strict` makes a no the exit status.
pub(super) fn print(
    answered: &Answered,
    paths: &[PathBuf],
    (is_json, is_quiet): (bool, bool),
    is_strict: bool,
) -> Result<Ending, Failure> {
    if is_json {
        screen::data(&answered.json)?;
    } else {
        screen::answer(&on_screen(answered, paths, is_quiet))?;
    }
    Ok(if is_strict && answered.is_no {
        Ending::No
    } else {
        Ending::Done
    })
}

/// What is printed: the verdict alone where that is asked for.
fn on_screen(answered: &Answered, paths: &[PathBuf], is_quiet: bool) -> String {
    if is_quiet {
        return format!("{}\n", answered.verdict);
    }
    let width = screen::width();
    let mut parts: Vec<String> = answered.from.iter().cloned().collect();
    parts.extend([answered.verdict.clone(), laid_out(&answered.body, width)]);
    parts.push(answered.warnings.join("\n"));
    let cautions = answered.cautions.iter();
    let cautions: Vec<String> = cautions.map(|it| format!("Caution: {it}")).collect();
    parts.push(cautions.join("\n"));
    if !paths.is_empty() {
        parts.push(written(paths));
    }
    parts.retain(|part| !part.is_empty());
    parts.join("\n\n") + "\n"
}

/// Where the files are, in a line.
pub(super) fn written(paths: &[PathBuf]) -> String {
    let folder = paths[0].parent().unwrap_or(Path::new(""));
    let names: Vec<String> = paths
        .iter()
        .filter_map(|path| path.file_name())
        .map(|name| name.to_string_lossy().into_owned())
        .collect();
    format!("Files in {}: {}", folder.display(), names.join(", "))
}
