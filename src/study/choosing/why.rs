//! `why`: which assumption does the answer depend on?
//!
//! One job: each input moved from end to end on the same trials: all in a first look, with few trials and
//! long steps, then those that move the answer most on the run's own. Where the spread of the answer comes
//! from is in `shares`.

use serde::Serialize;

use super::ChoosingError;
use super::inputs::{Input, inputs};
use super::paired::{Difference, chance_difference, mean_difference};
use super::shares::shares;
pub use super::shares::{Share, Shares};
use crate::scenario::{ChangeError, Changes, Scenario};
use crate::study::answer::{Chance, Heading, Warning};
use crate::study::figures::tidy;
use crate::study::settings::Settings;
use crate::study::simulation::Simulation;
use crate::trials::{Progress, Silent};
use crate::units::Whole;

/// Trials without another word: two runs an input are many.
pub const DEFAULT_TRIALS: u64 = 500;

/// Inputs that a screen shows: of these all that a first look finds to move the answer are moved on the
/// run's own trials, and the first `DECIDED` in any case.
pub const SHOWN: usize = 15;
const DECIDED: usize = 8;

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
    /// Trials behind it: the run's own for the widest swings, those of a first look for the rest.
    pub trials: u64,
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
    let runs = 7 + inputs.len() as u64 + 2 * SHOWN as u64;
    let base = Simulation::first_of(scenario, settings, runs, progress)?;
    let look = Simulation::trip(scenario, &settings.look(), &Silent)?;
    let stands = base.chance_no_shortfall().value;
    let moved_to_soc = of.is_none() && (stands <= 0.0 || stands >= 1.0);
    let of = of.unwrap_or(if moved_to_soc {
        Of::LowestSoc
    } else {
        Of::Chance
    });
    let mut warnings = base.warnings();
    let mut found = Vec::new();
    for input in inputs {
        match move_ends(scenario, &input) {
            Ok(ends) => {
                let moved = Moved::new(&look, &ends, of, &Silent)?;
                progress.advance(1, 1);
                found.push((input, ends, moved));
            }
            Err(refused) => warnings.push(not_moved(&input, &refused)),
        }
    }
    let widest = |a: &Difference, b: &Difference| b.value.abs().total_cmp(&a.value.abs());
    found.sort_by(|(.., a), (.., b)| widest(&a.difference, &b.difference));
    for (place, (_, ends, moved)) in found.iter_mut().enumerate().take(SHOWN) {
        if place < DECIDED || moved.difference.clear {
            *moved = Moved::new(&base, ends, of, progress)?;
        }
    }
    found.sort_by(|(.., a), (.., b)| widest(&a.difference, &b.difference));
    for (input, _, moved) in &found {
        warnings.extend(depends_much(input, &moved.by_chance));
    }
    let answer = value(&base, of);
    let shares = shares(&base_of_shares(&base, progress)?, progress)?;
    Ok(WhyResult {
        heading: base.heading(),
        of,
        moved_to_soc,
        answer,
        chance_no_shortfall: base.chance_no_shortfall(),
        aim_chance: scenario.aim_chance,
        inputs: found
            .into_iter()
            .map(|(input, _, moved)| InputAnswer {
                path: input.key,
                name: input.name,
                unit: input.unit,
                low: tidy(input.low),
                high: tidy(input.high),
                is_spread: input.is_spread,
                at_low: tidy(answer + moved.below),
                at_high: tidy(answer + moved.above),
                swing: moved.difference.value,
                difference: moved.difference,
                trials: moved.trials,
            })
            .collect(),
        shares,
        has_sun: has_sun(scenario),
        warnings,
    })
}

/// An input moved to both its ends on the trials of a run.
struct Moved {
    /// The answer at the lower end less that of the run, and at the upper.
    below: f64,
    above: f64,
    /// Upper less lower, of what is looked at.
    difference: Difference,
    by_chance: Difference,
    trials: u64,
}

impl Moved {
    fn new(
        base: &Simulation,
        [low, high]: &[Scenario; 2],
        of: Of,
        progress: &dyn Progress,
    ) -> Result<Self, ChoosingError> {
        let low = base.changed(low, progress)?;
        let high = base.changed(high, progress)?;
        let by_chance = chance_difference(&low.kept(), &high.kept());
        let here = value(base, of);
        Ok(Self {
            below: value(&low, of) - here,
            above: value(&high, of) - here,
            difference: match of {
                Of::Chance => by_chance,
                Of::LowestSoc => mean_difference(&low.lowest(), &high.lowest()),
            },
            by_chance,
            trials: base.ensemble.trials,
        })
    }
}

/// The scenario with an input at its lower and at its upper end, or why the checker refuses one.
fn move_ends(scenario: &Scenario, input: &Input) -> Result<[Scenario; 2], ChangeError> {
    let changed = |value: f64| scenario.with(&Changes::one(&input.key, value));
    Ok([changed(input.low)?, changed(input.high)?])
}

/// Shares of a variance lose nothing by longer steps.
fn base_of_shares(base: &Simulation, progress: &dyn Progress) -> Result<Simulation, ChoosingError> {
    let settings = base.settings.coarse(u64::MAX);
    Ok(Simulation::trip(&base.scenario, &settings, progress)?)
}

/// Where much of the chance depends on one uncertain input alone.
fn depends_much(input: &Input, by_chance: &Difference) -> Option<Warning> {
    let is_much = input.is_spread && by_chance.value.abs() > MUCH;
    is_much.then(|| Warning {
        path: String::new(),
        text: format!(
            "{:.0} points of the chance depend on {} alone (`{}`), which the file gives as uncertain: find it out",
            by_chance.value.abs() * 100.0,
            input.name,
            input.key
        )
        .into(),
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
        )
        .into(),
    }
}

fn value(run: &Simulation, of: Of) -> f64 {
    let trials = run.ensemble.trials.real();
    tidy(match of {
        Of::Chance => run.ensemble.kept().real() / trials,
        Of::LowestSoc => run.lowest().iter().map(|soc| f64::from(*soc)).sum::<f64>() / trials,
    })
}

fn has_sun(scenario: &Scenario) -> bool {
    let house = scenario.house_banks();
    scenario
        .solar
        .iter()
        .any(|panel| panel.panel_w > 0.0 && house.contains(&panel.to))
}
