//! The options of every command that runs trials.

use std::path::{Path, PathBuf};

use clap::Args;

use super::Failure;
use super::reading::shown_path;

/// Number of trials where none is given.
pub(super) const DEFAULT_TRIALS: u32 = 2000;

/// Most threads of a run.
const MOST_THREADS: usize = 1024;

/// How to run the trials and where the outputs go.
#[derive(Debug, Clone, Args)]
pub(super) struct TrialOptions {
    /// Number of random trips, 1 to 10,000,000 [default: 2000]
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u32).range(1..=10_000_000))]
    pub(super) trials: Option<u32>,
    /// Go on until the 95 % interval of the headline chance is within ±X, 0.0005 to 0.5
    #[arg(long, value_name = "X", value_parser = precision)]
    pub(super) precision: Option<f64>,
    /// One trip without chance: every spread at its mean; writes every step
    #[arg(long, conflicts_with_all = ["trials", "precision"])]
    pub(super) typical: bool,
    /// Seed of the random draws, 0 to 9007199254740991 [default: that of the file, or 1]
    #[arg(long, value_name = "S", value_parser = clap::value_parser!(u64).range(0..=9_007_199_254_740_991))]
    pub(super) seed: Option<u64>,
    /// Length of a step in minutes, 1 to 60, dividing the hour
    #[arg(long, value_name = "MIN", default_value_t = 5, value_parser = step_minutes)]
    pub(super) step: u32,
    /// Number of threads, 1 to 1024 [default: all cores]; the answer does not depend on it
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u16).range(1..=1024))]
    pub(super) threads: Option<u16>,
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
    /// Seed by option, else by file, else 1.
    pub(super) fn seed_or(&self, of_file: Option<u64>) -> u64 {
        self.seed.or(of_file).unwrap_or(1)
    }

    /// Threads by option, else by the variable that the thread library reads, within the same limits.
    pub(super) fn threads_or_variable(&self) -> Result<Option<usize>, Failure> {
        const VARIABLE: &str = "RAYON_NUM_THREADS";
        let variable = std::env::var_os(VARIABLE)
            .map(|text| text.to_string_lossy().into_owned())
            .filter(|text| !text.is_empty() && text != "0");
        let of_variable = variable.map(|found| match found.parse::<usize>() {
            Ok(threads) if threads <= MOST_THREADS => Ok(threads),
            _ => Err(Failure::Option {
                option: VARIABLE,
                found,
                allowed: format!("must be from 1 to {MOST_THREADS}"),
            }),
        });
        let of_variable = of_variable.transpose()?;
        Ok(self.threads.map(usize::from).or(of_variable))
    }

    /// Folder of the outputs of a scenario file.
    pub(super) fn folder_for(&self, scenario: &Path) -> PathBuf {
        folder_for(self.out.as_ref(), scenario)
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

fn step_minutes(text: &str) -> Result<u32, String> {
    const STEPS: [u32; 12] = [1, 2, 3, 4, 5, 6, 10, 12, 15, 20, 30, 60];
    text.parse()
        .ok()
        .filter(|minutes| STEPS.contains(minutes))
        .ok_or_else(|| "must be 1, 2, 3, 4, 5, 6, 10, 12, 15, 20, 30 or 60".to_owned())
}

fn precision(text: &str) -> Result<f64, String> {
    text.parse()
        .ok()
        .filter(|precision| (0.0005..=0.5).contains(precision))
        .ok_or_else(|| "must be from 0.0005 to 0.5".to_owned())
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

    #[test]
    fn steps_divide_the_hour() {
        for minutes in 0..=61 {
            let divides = minutes > 0 && 60 % minutes == 0;
            assert_eq!(
                step_minutes(&minutes.to_string()).is_ok(),
                divides,
                "{minutes}"
            );
        }
    }
}
