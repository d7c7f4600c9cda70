//! The answer of `mend` as plain data.

use serde::Serialize;
use serde_json::Value;

use crate::study::answer::{Chance, Heading, Warning};
use crate::study::choosing::paired::Difference;

/// One key that a mend sets.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Change {
    /// The key, as `compare --vary` takes it.
    pub key: String,
    /// What the file has there; null where it leaves it to the default.
    pub from: Value,
    /// What it becomes.
    pub to: Value,
}

/// A least size with its 95 % interval, from that of the chance.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct LeastSize {
    /// As found.
    pub value: f64,
    /// The least at the favourable end of the chance's interval.
    pub low: f64,
    /// At the unfavourable end; null if no size that was tried does there.
    pub high: Option<f64>,
    /// Unit of all three.
    pub unit: &'static str,
}

/// One change, or two together, tried on the run's own trials.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Mend {
    /// What is set.
    pub changes: Vec<Change>,
    /// The change in words.
    pub text: String,
    /// Chance of no shortfall with it.
    pub chance: Chance,
    /// The same less that of the scenario as it is, trial by trial.
    pub chance_gained: Difference,
    /// Mean of the days to the first shortfall less that of the scenario as it is.
    pub days_gained: Difference,
    /// What it costs more; 0 for a change of habit, null where the file has no price for it.
    pub price: Option<f64>,
    /// What it weighs more, kg; likewise.
    pub mass_kg: Option<f64>,
    /// Whether nothing has to be bought.
    pub free: bool,
    /// Whether the chance reaches the aim.
    pub meets_aim: bool,
    /// Where it is one size and reaches the aim: the least of those that can be bought, with its interval.
    pub least: Option<LeastSize>,
    /// Chance with as many other draws, for the one that leads; null for the others. It must not lie clearly
    /// below the aim.
    pub other_draws: Option<Chance>,
    /// Runs whose own cable or fuse does not suit it any more.
    pub cables: Vec<String>,
    /// The sum of relative changes, by which equals are told apart.
    #[serde(skip)]
    pub effort: f64,
}

/// A kind of change that does not help.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Useless {
    /// The kind.
    pub kind: &'static str,
    /// What was tried, in words.
    pub text: String,
}

/// Least pairs of two sizes that meet the aim.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct MendMap {
    /// Key of the size across.
    pub x_key: String,
    /// Key of the size upward.
    pub y_key: String,
    /// What they are, with units.
    pub names: [String; 2],
    /// The sizes of the scenario as it is.
    pub now: [f64; 2],
    /// For sizes across, ascending, the least size upward; null where none does.
    pub least: Vec<(f64, Option<f64>)>,
    /// The largest size upward that was tried.
    pub y_most: f64,
}

/// A size that can be bought.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Bought {
    /// The size.
    pub size: f64,
    /// Chance of no shortfall with it.
    pub chance: Chance,
    /// The same with as many other draws.
    pub other_draws: Chance,
    /// What it costs more than what there is; null without a price.
    pub price: Option<f64>,
    /// What it weighs more, kg; null without a mass.
    pub mass_kg: Option<f64>,
    /// Runs whose own cable or fuse does not suit it any more.
    pub cables: Vec<String>,
}

/// The result of `mend --of`: one size solved for alone.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SolveResult {
    /// Tool, scenario, seed, trials.
    #[serde(flatten)]
    pub heading: Heading,
    /// The confidence aimed at.
    pub aim_chance: f64,
    /// Chance of no shortfall of the scenario as it is.
    pub now: Chance,
    /// The key.
    pub of: String,
    /// What it is in words.
    pub part: String,
    /// The size as it is.
    pub size_now: f64,
    /// The least that meets the aim; null if none does.
    pub least: Option<LeastSize>,
    /// Chance of no shortfall with the least, or with the most that was tried where none does.
    pub chance: Chance,
    /// The most that was tried.
    pub most: f64,
    /// The next size from the least on that can be bought.
    pub bought: Option<Bought>,
    /// What the reader should know.
    pub warnings: Vec<Warning>,
}

/// The result of `mend`.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct MendResult {
    /// Tool, scenario, seed, trials.
    #[serde(flatten)]
    pub heading: Heading,
    /// The confidence aimed at.
    pub aim_chance: f64,
    /// Chance of no shortfall of the scenario as it is.
    pub now: Chance,
    /// Whether it reaches the aim already.
    pub meets_aim: bool,
    /// Changes: those that meet the aim first, the cheapest leading; then the others by chance.
    pub mends: Vec<Mend>,
    /// What does not help, however much of it.
    pub useless: Vec<Useless>,
    /// The map of enough; null where the system has no two sizes to vary.
    pub map: Option<MendMap>,
    /// What the reader should know.
    pub warnings: Vec<Warning>,
}
