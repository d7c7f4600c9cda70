//! `why`: which assumption does the answer hang on?
//!
//! One job: each input moved from end to end on the same trials, and the share of the spread of
//! the lowest state of charge that comes from weather, driving, habits and the start.

use serde::Serialize;

use super::ChoosingError;
use super::inputs::{Input, inputs};
use super::paired::{Difference, chance_difference, mean_difference};
use super::runs::hits;
use crate::scenario::{ChangeError, Changes, Scenario};
use crate::study::answer::{Chance, Heading, Warning};
use crate::study::figures::tidy;
use crate::study::settings::Settings;
use crate::study::simulation::Simulation;
use crate::timeline::Timeline;
use crate::trials::{Progress, Seeds};

/// Trials without another word: two runs an input are many.
pub const DEFAULT_TRIALS: u64 = 500;

/// A chance that hangs this much on one uncertain input is worth a warning.
const MUCH: f64 = 0.3;

/// What is looked at.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Of {
    /// Chance of no shortfall.
    Chance,
    /// Lowest state of charge of any house bank, mean over trials.
    LowestSoc,
}

/// One input.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct InputAnswer {
    /// Its key.
    pub path: String,
    /// What it is.
    pub name: String,
    /// Unit of its values; empty for a share.
    pub unit: &'static str,
    /// Its lower value.
    pub low: f64,
    /// Its upper value.
    pub high: f64,
    /// Whether the file gives it as a spread; if not, it is moved by 20 %.
    pub is_spread: bool,
    /// The answer at the lower value.
    pub at_low: f64,
    /// The answer at the upper value.
    pub at_high: f64,
    /// Answer at the upper value less that at the lower: negative where more is worse.
    pub swing: f64,
    /// The swing with its interval.
    pub difference: Difference,
}

/// Shares of the variance of the lowest state of charge, 0 to 1.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Shares {
    /// Sun and temperature.
    pub weather: f64,
    /// Departures and hours at the wheel.
    pub driving: f64,
    /// Use of the loads.
    pub habits: f64,
    /// States of charge at the start.
    pub start: f64,
    /// Of several together.
    pub together: f64,
}

/// The result of `why`.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct WhyResult {
    /// Tool, scenario, seed, trials.
    #[serde(flatten)]
    pub heading: Heading,
    /// What is looked at.
    pub of: Of,
    /// The answer as the file stands.
    pub answer: f64,
    /// Chance of no shortfall as the file stands.
    pub chance_no_shortfall: Chance,
    /// The confidence aimed at.
    pub aim_chance: f64,
    /// Inputs, the widest swing first.
    pub inputs: Vec<InputAnswer>,
    /// Shares by group; null if the lowest state of charge never differs.
    pub shares: Option<Shares>,
    /// What the reader should know.
    pub warnings: Vec<Warning>,
}

/// Works out what the answer hangs on.
///
/// # Errors
/// [`ChoosingError::Weather`] where a day has no climate.
pub fn why(
    scenario: &Scenario,
    of: Of,
    settings: &Settings,
    progress: &dyn Progress,
) -> Result<WhyResult, ChoosingError> {
    let inputs = inputs(scenario);
    let steps = Timeline::new(scenario, settings.plan(), settings.step_minutes)?.steps;
    progress.expect(6 + 2 * inputs.len() as u64, steps);
    let base = Simulation::trip(scenario, settings, progress)?;
    let mut found = Vec::new();
    let mut warnings = base.warnings();
    for input in inputs {
        let changed = |value: f64| scenario.with(&Changes::one(&input.key, value));
        let (low, high) = match (changed(input.low), changed(input.high)) {
            (Ok(low), Ok(high)) => (low, high),
            (Err(refused), _) | (_, Err(refused)) => {
                warnings.push(not_moved(&input, &refused));
                continue;
            }
        };
        let low = Simulation::trip(&low, settings, progress)?;
        let high = Simulation::trip(&high, settings, progress)?;
        let by_chance = chance_difference(&low.kept(), &high.kept());
        let by_soc = mean_difference(&low.lowest(), &high.lowest());
        let difference = match of {
            Of::Chance => by_chance,
            Of::LowestSoc => by_soc,
        };
        if input.is_spread && by_chance.value.abs() > MUCH {
            warnings.push(Warning {
                path: String::new(),
                text: format!(
                    "{:.0} points of the chance hang on `{}` alone, which the file gives as uncertain: find it out",
                    by_chance.value.abs() * 100.0,
                    input.key
                ),
            });
        }
        found.push(InputAnswer {
            path: input.key,
            name: input.name,
            unit: input.unit,
            low: tidy(input.low),
            high: tidy(input.high),
            is_spread: input.is_spread,
            at_low: value(&low, of),
            at_high: value(&high, of),
            swing: difference.value,
            difference,
        });
    }
    found.sort_by(|a, b| b.swing.abs().total_cmp(&a.swing.abs()));
    Ok(WhyResult {
        heading: base.heading(),
        of,
        answer: value(&base, of),
        chance_no_shortfall: base.chance_no_shortfall(),
        aim_chance: scenario.aim_chance,
        inputs: found,
        shares: shares(&base, progress),
        warnings,
    })
}

/// An input whose ends do not both make a sound scenario says nothing.
fn not_moved(input: &Input, refused: &ChangeError) -> Warning {
    Warning {
        path: String::new(),
        text: format!(
            "`{}` is not looked at between {} and {}: {refused}",
            input.key,
            tidy(input.low),
            tidy(input.high)
        ),
    }
}

fn value(run: &Simulation, of: Of) -> f64 {
    #[expect(clippy::cast_precision_loss, reason = "counts of trials")]
    let trials = run.ensemble.trials as f64;
    tidy(match of {
        #[expect(clippy::cast_precision_loss, reason = "counts of trials")]
        Of::Chance => hits(&run.kept()) as f64 / trials,
        Of::LowestSoc => run.lowest().iter().map(|soc| f64::from(*soc)).sum::<f64>() / trials,
    })
}

/// First-order shares of the variance by pick and freeze: a run B with every part of chance
/// different from run A, and one run a group that takes that group from B and the rest from A;
/// Jansen's estimator `1 − mean((f(B) − f(A with the group of B))²) / (2 variance)`.
///
/// # Source
/// A. Saltelli et al., "Variance based sensitivity analysis of model output. Design and estimator
/// for the total sensitivity index", Comput. Phys. Commun. 181, 259-270, 2010,
/// doi:10.1016/j.cpc.2009.09.018, table 2.
fn shares(base: &Simulation, progress: &dyn Progress) -> Option<Shares> {
    let other = base.settings.seed ^ 0x5DEE_CE66_D1CE_CAFE;
    let own = Seeds::all(base.settings.seed);
    let run = |seeds: Seeds| -> Vec<f64> {
        let run = base.with_seeds(seeds, progress);
        run.lowest().into_iter().map(f64::from).collect()
    };
    let a: Vec<f64> = base.lowest().into_iter().map(f64::from).collect();
    let b = run(Seeds::all(other));
    let both: Vec<f64> = a.iter().chain(&b).copied().collect();
    #[expect(clippy::cast_precision_loss, reason = "counts of trials")]
    let (n, count) = (a.len() as f64, both.len() as f64);
    let mean = both.iter().sum::<f64>() / count;
    let variance = both.iter().map(|y| (y - mean).powi(2)).sum::<f64>() / count;
    if variance < 1e-12 {
        return None;
    }
    let first_order = |seeds: Seeds| {
        let mixed = run(seeds);
        let squares: f64 = b
            .iter()
            .zip(&mixed)
            .map(|(b, mixed)| (b - mixed).powi(2))
            .sum();
        (1.0 - squares / n / (2.0 * variance)).clamp(0.0, 1.0)
    };
    let mut found = [
        first_order(Seeds {
            weather: other,
            ..own
        }),
        first_order(Seeds {
            driving: other,
            ..own
        }),
        first_order(Seeds {
            habits: other,
            ..own
        }),
        first_order(Seeds {
            start: other,
            ..own
        }),
    ];
    let sum: f64 = found.iter().sum();
    // The estimate of each has its own error: together they are at most the whole.
    if sum > 1.0 {
        found = found.map(|share| share / sum);
    }
    let [weather, driving, habits, start] = found.map(tidy);
    Some(Shares {
        weather,
        driving,
        habits,
        start,
        together: tidy((1.0 - sum).max(0.0)),
    })
}
