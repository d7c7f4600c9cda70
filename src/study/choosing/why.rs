//! `why`: which assumption does the answer depend on?
//!
//! One job: each input moved from end to end on the same trials. Where the spread of the answer comes
//! from is in `shares`.

use serde::Serialize;

use super::ChoosingError;
use super::inputs::{Input, inputs};
use super::paired::{Difference, chance_difference, mean_difference};
use super::runs::{hits, house_banks};
use super::shares::shares;
pub use super::shares::{Share, Shares};
use crate::scenario::{ChangeError, Changes, Scenario};
use crate::study::answer::{Chance, Heading, Warning};
use crate::study::figures::tidy;
use crate::study::settings::Settings;
use crate::study::simulation::Simulation;
use crate::timeline::Timeline;
use crate::trials::Progress;

/// Trials without another word: two runs an input are many.
pub const DEFAULT_TRIALS: u64 = 500;

/// A chance that depends this much on one uncertain input is worth a warning.
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

/// The result of `why`.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct WhyResult {
    /// Tool, scenario, seed, trials.
    #[serde(flatten)]
    pub heading: Heading,
    /// What is looked at.
    pub of: Of,
    /// Whether nobody asked for it: the chance stands at 0 or 1, which says nothing.
    pub moved_to_soc: bool,
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
    /// Whether a panel charges a house bank, so that more sun can be had.
    pub has_sun: bool,
    /// What the reader should know.
    pub warnings: Vec<Warning>,
}

/// Works out what the answer depends on: the chance of no shortfall, or `of`; without `of` the lowest
/// charge where the chance stands at 0 or 1.
///
/// # Errors
/// [`ChoosingError::Weather`] where a day has no climate.
pub fn why(
    scenario: &Scenario,
    of: Option<Of>,
    settings: &Settings,
    progress: &dyn Progress,
) -> Result<WhyResult, ChoosingError> {
    let inputs = inputs(scenario);
    let timeline = Timeline::new(scenario, settings.plan(), settings.step_minutes)?;
    let of_shares = 6 + u64::from(timeline.weather.has_unknown_mean());
    progress.expect(1 + of_shares + 2 * inputs.len() as u64, timeline.steps);
    let base = Simulation::trip(scenario, settings, progress)?;
    let stands = base.chance_no_shortfall().value;
    let moved_to_soc = of.is_none() && (stands <= 0.0 || stands >= 1.0);
    let of = of.unwrap_or(if moved_to_soc {
        Of::LowestSoc
    } else {
        Of::Chance
    });
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
        let low = base.changed(&low, progress)?;
        let high = base.changed(&high, progress)?;
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
                    "{:.0} points of the chance depend on {} alone (`{}`), which the file gives as uncertain: find it out",
                    by_chance.value.abs() * 100.0,
                    input.name,
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
        moved_to_soc,
        answer: value(&base, of),
        chance_no_shortfall: base.chance_no_shortfall(),
        aim_chance: scenario.aim_chance,
        inputs: found,
        shares: shares(&base, progress)?,
        has_sun: has_sun(scenario),
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

fn has_sun(scenario: &Scenario) -> bool {
    let house = house_banks(scenario);
    scenario
        .solar
        .iter()
        .any(|panel| panel.panel_w > 0.0 && house.contains(&panel.to))
}
