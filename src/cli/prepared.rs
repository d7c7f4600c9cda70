//! What every command that runs trials begins and ends with.
//!
//! One job: options and scenario file to settings; an answer to files and screen.

use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicU64, Ordering::Relaxed};

use serde::Serialize;
use tideover::present::plain_text::json_text;
use tideover::present::words::{Contents, Screen, cautions, from_line, warning_lines};
use tideover::scenario::{Climate, LoadKind, Reading, Scenario};
use tideover::sky::hours::lay_hour_table;
use tideover::study::answer::FromHere;
use tideover::study::answer::Warning;
use tideover::study::from_here::from_here;
use tideover::study::settings::Settings;
use tideover::trials::{Ensemble, Progress as Advance, RunSettings};

use super::folder_writer::check_folder;
use super::here_options::HereOptions;
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
    let folder = options.folder_for(path);
    check_folder(&folder).map_err(|error| Failure::File {
        act: "create the folder",
        path: folder.clone(),
        error,
    })?;
    if !matches!(scenario.climate, Climate::History(_)) {
        // It takes about as long as the timeline. Where there is no thread, the first trial lays it.
        let _ = std::thread::Builder::new().spawn(lay_hour_table);
    }
    let settings = Settings {
        seed: options.seed_or(scenario.seed),
        step_minutes: options.step,
        run: RunSettings {
            trials: u64::from(options.trials.unwrap_or(DEFAULT_TRIALS)),
            threads: options.threads_or_variable()?,
            precision: options.precision,
        },
        typical: options.typical,
        here: None,
    };
    let nights = scenario.itinerary.legs.iter();
    let nights = nights.map(|leg| u64::from(leg.nights)).sum();
    check_memory(&scenario, &settings, nights)?;
    Ok(Prepared {
        scenario,
        settings,
        folder,
    })
}

/// Refuses a run whose trials have no room.
pub(super) fn check_memory(
    scenario: &Scenario,
    settings: &Settings,
    nights: u64,
) -> Result<(), Failure> {
    let fridges = scenario.loads.iter();
    let fridges = fridges.filter(|load| matches!(load.kind, LoadKind::Fridge(_)));
    let trials = settings.run.trials;
    let (banks, fridges) = (scenario.banks.len() as u64, fridges.count() as u64);
    let bytes = Ensemble::bytes_of(trials, banks, fridges, nights);
    let has_room =
        usize::try_from(bytes).is_ok_and(|bytes| Vec::<u8>::new().try_reserve_exact(bytes).is_ok());
    if has_room || settings.typical {
        Ok(())
    } else {
        Err(Failure::Memory { trials, bytes })
    }
}

/// Trials times steps times runs beyond which a run says beforehand how much it is.
const LONG: u64 = 2_000_000_000;

impl Prepared {
    /// The same from where a person says they are.
    pub(super) fn going_on(mut self, here: &HereOptions) -> Result<Self, Failure> {
        self.settings.here = from_here(&self.scenario, &self.settings, &here.words())?;
        Ok(self)
    }
}

/// The progress bar behind the library's callback.
pub(super) struct Bar {
    progress: Progress,
    trials: u64,
    is_quiet: bool,
    /// Runs at most; 0: just one.
    runs: AtomicU64,
    finished: AtomicU64,
}

impl Bar {
    /// A bar over trials.
    pub(super) fn new(options: &TrialOptions, trials: u64) -> Self {
        Self {
            progress: Progress::new(trials, "trials", options.quiet),
            trials,
            is_quiet: options.quiet,
            runs: AtomicU64::new(0),
            finished: AtomicU64::new(0),
        }
    }

    /// Takes it away.
    pub(super) fn finish(self) {
        self.progress.finish();
    }
}

impl Advance for Bar {
    fn advance(&self, done: u64, total: u64) {
        let runs = self.runs.load(Relaxed);
        if runs == 0 {
            self.progress.reach(done, total);
            return;
        }
        let finished = self.finished.load(Relaxed);
        let runs = runs.max(finished + 1);
        self.progress.reach(finished * total + done, runs * total);
        if done == total {
            self.finished.fetch_add(1, Relaxed);
        }
    }

    fn expect(&self, runs: u64, steps: usize) {
        self.runs.store(runs, Relaxed);
        let work = (steps as u64)
            .saturating_mul(runs)
            .saturating_mul(self.trials);
        if work > LONG && !self.is_quiet {
            screen::note(&format!(
                "up to {runs} runs of {} trials in {steps} steps: this takes long; fewer `--trials` or a longer \
                 `--step` make it quicker",
                self.trials
            ));
        }
    }
}

/// A result as JSON text.
pub(super) fn json(result: &impl Serialize) -> Result<String, Failure> {
    json_text(result).map_err(Failure::Json)
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
    if options.quiet {
        return screen::answer(&format!("{}\n", text.verdict));
    }
    let from = text.from.map_or_else(String::new, from_line);
    let mut parts = vec![
        from,
        text.verdict.clone(),
        text.tables.clone(),
        warning_lines(text.warnings).join("\n"),
        cautions(Contents::from(text.scenario), text.screen).join("\n"),
    ];
    if !paths.is_empty() {
        parts.push(written(&paths));
    }
    parts.retain(|part| !part.is_empty());
    let shown = parts.join("\n\n") + "\n";
    screen::answer(&shown)
}

/// What an answer says on the screen.
pub(super) struct Spoken<'a> {
    /// From where on it goes, if not from the departure.
    pub(super) from: Option<&'a FromHere>,
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
