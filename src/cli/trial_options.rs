//! The options of every command that runs trials.

use std::path::{Path, PathBuf};

use clap::Args;
use tideover::command::{Failure as Refused, MOST_SEED, MOST_TRIALS, Options};
use tideover::command::{precision, step_minutes};

use super::Failure;
use super::here_options::HereOptions;
use super::land::Land;
use super::reading::shown_path;

/// Most threads of a run.
const MOST_THREADS: usize = 1024;

/// How to run the trials and where the outputs go.
#[derive(Debug, Args)]
pub(super) struct TrialOptions {
    /// Number of random trips, 1 to 10,000,000 [default: 2000]
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u32).range(1..=i64::from(MOST_TRIALS)))]
    trials: Option<u32>,
    /// Go on until the 95 % interval of the headline chance is within ±X, 0.0005 to 0.5
    #[arg(long, value_name = "X", value_parser = precision)]
    precision: Option<f64>,
    /// One trip without chance: every spread at its mean; writes every step
    #[arg(long, conflicts_with_all = ["trials", "precision"])]
    typical: bool,
    /// Seed of the random draws, 0 to 9007199254740991 [default: that of the file, or 1]
    #[arg(long, value_name = "S", value_parser = clap::value_parser!(u64).range(0..=MOST_SEED))]
    seed: Option<u64>,
    /// Length of a step in minutes, 1 to 60, dividing the hour [default: 5; the time parked of a stay that looks beyond a week: 30]
    #[arg(long, value_name = "MIN", value_parser = step_minutes)]
    step: Option<u32>,
    /// Number of threads, 1 to 1024 [default: all cores]; the answer does not depend on it
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u16).range(1..=1024))]
    threads: Option<u16>,
    #[command(flatten)]
    pub(super) land: Land,
    /// Folder of the outputs [default: output/<name of the scenario file>/]
    #[arg(long, value_name = "DIR")]
    pub(super) out: Option<PathBuf>,
    /// Put the result as JSON on stdout instead of the table
    #[arg(long)]
    pub(super) json: bool,
    /// Print the verdict alone
    #[arg(long)]
    pub(super) quiet: bool,
}

impl TrialOptions {
    /// As the library takes them.
    pub(super) fn options(&self, here: Option<&HereOptions>) -> Result<Options, Failure> {
        Ok(Options {
            trials: self.trials,
            precision: self.precision,
            typical: self.typical,
            seed: self.seed,
            step_minutes: self.step,
            threads: self.threads_or_variable()?,
            here: here.map(HereOptions::words).unwrap_or_default(),
        })
    }

    /// Threads by option, else by the variable that the thread library reads, within the same limits.
    fn threads_or_variable(&self) -> Result<Option<usize>, Failure> {
        const VARIABLE: &str = "RAYON_NUM_THREADS";
        let variable = std::env::var_os(VARIABLE)
            .map(|text| text.to_string_lossy().into_owned())
            .filter(|text| !text.is_empty() && text != "0");
        let of_variable = variable.map(|found| match found.parse::<usize>() {
            Ok(threads) if threads <= MOST_THREADS => Ok(threads),
            _ => {
                let allowed = format!("must be from 1 to {MOST_THREADS}");
                Err(Refused::option(VARIABLE, &found, allowed))
            }
        });
        let of_variable = of_variable.transpose()?;
        Ok(self.threads.map(usize::from).or(of_variable))
    }
}

/// The folder asked for, else `output/` and the scenario file's name without its ending.
pub(super) fn folder_for(out: Option<&PathBuf>, scenario: &Path) -> PathBuf {
    out.cloned().unwrap_or_else(|| {
        let shown = shown_path(scenario);
        let shown = Path::new(shown.as_ref());
        let name = shown.file_name().unwrap_or_default();
        let stem = shown.file_stem().unwrap_or_default();
        // `...json` would be `..` without its ending, and lead out of `output/`.
        let is_dots = stem == "." || stem == "..";
        Path::new("output").join(if is_dots { name } else { stem })
    })
}

/// The options that a command refuses which compares runs don't stand in its help.
pub(super) fn hide_refused(argument: clap::Arg) -> clap::Arg {
    let is_refused = matches!(argument.get_id().as_str(), "typical" | "precision");
    argument.hide(is_refused)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_of_dots_stay_within_the_folder() {
        for (name, folder) in [
            ("trips/a.json", "output/a"),
            ("...json", "output/...json"),
            ("..json", "output/..json"),
            ("a..json", "output/a."),
            (".json", "output/.json"),
        ] {
            assert_eq!(
                folder_for(None, Path::new(name)),
                Path::new(folder),
                "{name}"
            );
        }
    }
}
