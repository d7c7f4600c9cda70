//! What every command that runs trials begins and ends with.
//!
//! One job: options and scenario file to settings; an answer to files and screen.

use std::path::{Path, PathBuf};

use serde::Serialize;
use tideover::present::plain_text::plain_json;
use tideover::present::words::{Contents, Screen, cautions, warning_lines};
use tideover::scenario::{Climate, Reading, Scenario};
use tideover::sky::hours::lay_hour_table;
use tideover::study::answer::Warning;
use tideover::study::settings::Settings;
use tideover::trials::{Progress as Advance, RunSettings};

use super::progress::Progress;
use super::reading::read_scenario;
use super::trial_options::{DEFAULT_TRIALS, TrialOptions};
use super::whole_files::WholeFiles;
use super::{Failure, screen};

/// A checked scenario with the settings of a run.
pub(super) struct Prepared {
    /// The scenario.
    pub(super) scenario: Scenario,
    /// Settings of the run.
    pub(super) settings: Settings,
    /// Where the outputs go.
    pub(super) folder: PathBuf,
}

/// Reads the scenario and takes up the options.
pub(super) fn prepare(path: &Path, options: &TrialOptions) -> Result<Prepared, Failure> {
    let Reading { scenario } = read_scenario(path)?;
    if !matches!(scenario.climate, Climate::History(_)) {
        // It takes about as long as the timeline. Where there is no thread, the first trial lays it.
        let _ = std::thread::Builder::new().spawn(lay_hour_table);
    }
    let settings = Settings {
        seed: options.seed_or(scenario.seed),
        step_minutes: options.step,
        run: RunSettings {
            trials: u64::from(options.trials.unwrap_or(DEFAULT_TRIALS)),
            threads: options.threads.map(usize::from),
            precision: options.precision,
        },
        typical: options.typical,
    };
    Ok(Prepared {
        scenario,
        settings,
        folder: options.folder_for(path),
    })
}

/// The progress bar behind the library's callback.
pub(super) struct Bar(Progress);

impl Bar {
    /// A bar over trials.
    pub(super) fn new(options: &TrialOptions, trials: u64) -> Self {
        Self(Progress::new(trials, "trials", options.quiet))
    }

    /// Takes it away.
    pub(super) fn finish(self) {
        self.0.finish();
    }
}

impl Advance for Bar {
    fn advance(&self, done: u64, total: u64) {
        self.0.reach(done, total);
    }
}

/// A result as JSON text.
pub(super) fn json(result: &impl Serialize) -> Result<String, Failure> {
    serde_json::to_string_pretty(result)
        .map(|text| plain_json(&text) + "\n")
        .map_err(Failure::Json)
}

/// Writes the files, then puts the answer on stdout: the JSON, or verdict, tables, warnings,
/// cautions and where the files are.
pub(super) fn deliver(
    options: &TrialOptions,
    files: WholeFiles,
    result_json: &str,
    text: &Spoken<'_>,
) -> Result<(), Failure> {
    let paths = files.write()?;
    if options.json {
        return screen::data(result_json);
    }
    let mut parts = vec![text.verdict.clone(), text.tables.clone()];
    if !options.quiet {
        parts.push(warning_lines(text.warnings).join("\n"));
        parts.push(cautions(Contents::from(text.scenario), text.screen).join("\n"));
    }
    if !paths.is_empty() {
        parts.push(written(&paths));
    }
    parts.retain(|part| !part.is_empty());
    let shown = parts.join("\n\n") + "\n";
    screen::answer(&shown)
}

/// What an answer says on the screen.
pub(super) struct Spoken<'a> {
    /// The first line.
    pub(super) verdict: String,
    /// The tables.
    pub(super) tables: String,
    /// Warnings of file and run.
    pub(super) warnings: &'a [Warning],
    /// The scenario, for the cautions.
    pub(super) scenario: &'a Scenario,
    /// Which screen it is, for the cautions.
    pub(super) screen: Screen,
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
