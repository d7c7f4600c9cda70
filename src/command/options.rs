//! The options of every command that runs trials, and the values that they take.
//!
//! One job: ranges and defaults, said once for the command line and the page.

use std::fmt::Display;
use std::ops::RangeInclusive;
use std::str::FromStr;

use crate::study::from_here::HereWords;
use crate::study::settings::{DEFAULT_SEED, DEFAULT_STEP_MINUTES, DEFAULT_TRIALS};

/// Steps of the time parked, minutes, of a stay that looks beyond so many days. Ours: a month in shorter ones takes
/// longer than it tells.
const LONG_STAY_STEP_MINUTES: u32 = 30;
const SHORT_STAY_DAYS: u32 = 7;

/// Most trials of a run.
pub const MOST_TRIALS: u32 = 10_000_000;

/// Largest seed: what a JSON number holds exactly.
pub const MOST_SEED: u64 = 9_007_199_254_740_991;

/// Most days that `stay` looks ahead.
const MOST_HORIZON_DAYS: u32 = 366;

/// How to run the trials, and from where on. `None`: as by default.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Options {
    /// Trials.
    pub trials: Option<u32>,
    /// Half width of the 95 % interval of the headline chance at which trials end.
    pub precision: Option<f64>,
    /// One trip without chance.
    pub typical: bool,
    /// Seed; that of the file where it has one.
    pub seed: Option<u64>,
    /// Minutes of a step.
    pub step_minutes: Option<u32>,
    /// Threads; all cores.
    pub threads: Option<usize>,
    /// From here on.
    pub here: HereWords,
}

impl Options {
    /// Trials by option, else by default.
    #[must_use]
    pub fn trials_or(&self, default: u64) -> u64 {
        self.trials.map_or(default, u64::from)
    }

    /// Step by option, else by default, minutes.
    #[must_use]
    pub fn step(&self) -> u32 {
        self.step_minutes.unwrap_or(DEFAULT_STEP_MINUTES)
    }

    /// Steps of the time parked of a stay, minutes, where nobody asks for others; `None`: as of everything else.
    pub(super) fn parked_step(&self, horizon_days: u32) -> Option<u32> {
        (self.step_minutes.is_none() && horizon_days > SHORT_STAY_DAYS)
            .then_some(LONG_STAY_STEP_MINUTES)
    }

    /// Seed by option, else by file, else by default.
    #[must_use]
    pub fn seed_or(&self, of_file: Option<u64>) -> u64 {
        self.seed.or(of_file).unwrap_or(DEFAULT_SEED)
    }

    /// What moves the figures, as it stands on the command line, each with a space before.
    pub(super) fn as_written(&self, seed: u64) -> String {
        let trials = match (self.typical, self.precision) {
            (true, _) => " --typical".to_owned(),
            (false, precision) => {
                let precision = precision.map_or_else(String::new, |x| format!(" --precision {x}"));
                format!(" --trials {}{precision}", self.trials_or(DEFAULT_TRIALS))
            }
        };
        let here = here_as_written(&self.here);
        format!("{here}{trials} --seed {seed} --step {}", self.step())
    }
}

fn here_as_written(words: &HereWords) -> String {
    let nights = words.nights.map(|nights| nights.to_string());
    let given = [
        ("--now", words.now.clone()),
        ("--at", words.at.clone()),
        ("--nights", nights),
    ];
    let given = given
        .into_iter()
        .filter_map(|(option, word)| Some((option, word?)));
    let soc = words.soc.iter().map(|word| ("--soc", word.clone()));
    let sky = words.sky.iter().map(|word| ("--sky", word.clone()));
    let all = given.chain(soc).chain(sky);
    all.fold(String::new(), |words, (option, word)| {
        words + " " + option + " '" + &word.replace('\'', "") + "'"
    })
}

/// A number in a range; `must_be`: how the sentence begins that says what is allowed.
pub(super) fn within<T: FromStr + PartialOrd + Display>(
    text: &str,
    range: RangeInclusive<T>,
    must_be: &str,
) -> Result<T, String> {
    let number = text.parse().ok().filter(|number| range.contains(number));
    number.ok_or_else(|| format!("{must_be} from {} to {}", range.start(), range.end()))
}

const WHOLE: &str = "must be a whole number";

/// A number of trials.
///
/// # Errors
/// What is allowed.
pub fn trials(text: &str) -> Result<u32, String> {
    within(text, 1..=MOST_TRIALS, WHOLE)
}

/// A seed.
///
/// # Errors
/// What is allowed.
pub fn seed(text: &str) -> Result<u64, String> {
    within(text, 0..=MOST_SEED, WHOLE)
}

/// Days that `stay` looks ahead.
///
/// # Errors
/// What is allowed.
pub fn horizon_days(text: &str) -> Result<u32, String> {
    within(text, 1..=MOST_HORIZON_DAYS, WHOLE)
}

/// A step in minutes that divides the hour.
///
/// # Errors
/// What is allowed.
pub fn step_minutes(text: &str) -> Result<u32, String> {
    const STEPS: [u32; 12] = [1, 2, 3, 4, 5, 6, 10, 12, 15, 20, 30, 60];
    text.parse()
        .ok()
        .filter(|minutes| STEPS.contains(minutes))
        .ok_or_else(|| "must be 1, 2, 3, 4, 5, 6, 10, 12, 15, 20, 30 or 60".to_owned())
}

/// Half the width of an interval.
///
/// # Errors
/// What is allowed.
pub fn precision(text: &str) -> Result<f64, String> {
    within(text, 0.0005..=0.5, "must be")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn steps_divide_the_hour() {
        for minutes in 0..=61 {
            let divides = minutes > 0 && 60 % minutes == 0;
            let is_one = step_minutes(&minutes.to_string()).is_ok();
            assert_eq!(is_one, divides, "{minutes}");
        }
    }

    #[test]
    fn refuses_numbers_out_of_range() {
        for text in ["0", "-1", "10000001", "1.5", "", "ten"] {
            assert!(trials(text).is_err(), "{text}");
        }
        assert_eq!(trials("10000000"), Ok(MOST_TRIALS));
        assert_eq!(
            seed("9007199254740992"),
            Err("must be a whole number from 0 to 9007199254740991".to_owned())
        );
        assert!(horizon_days("367").is_err() && precision("NaN").is_err());
    }
}
