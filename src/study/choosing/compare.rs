//! `compare`: what each option buys.
//!
//! One job: every option run on the same trials, its figures, and its difference to the first, which is
//! the scenario as it is. Which option wins is in `compare_order`, what each costs in `costs`.

use serde::Serialize;

use super::ChoosingError;
use super::compare_order::{knee, measure, ranking};
use super::costs::{Costs, costs};
use super::options::Choice;
use super::paired::{Difference, EachTrial, mean_difference};
use crate::scenario::{Changes, Scenario};
use crate::study::answer::{AutonomyDays, Cause, Chance, Heading, Named, SocPercentiles, Warning};
use crate::study::assemble::nights;
use crate::study::charged_by::charged_by;
use crate::study::figures::{autonomy, chance, chance_of, soc_percentiles, tidy};
use crate::study::settings::Settings;
use crate::study::simulation::Simulation;
use crate::study::weak_point::weak_point;
use crate::trials::Progress;

/// One option of a comparison.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct OptionAnswer {
    /// Its name.
    pub name: String,
    /// What it sets: `{KEY: value}`.
    pub set: Changes,
    /// Chance that no house bank goes below its reserve.
    pub chance_no_shortfall: Chance,
    /// Chance that the loads of no house bank are dropped: that of the worst bank.
    pub chance_no_outage: Chance,
    /// Time from departure to the first shortfall of any house bank.
    pub autonomy_days: AutonomyDays,
    /// Lowest state of charge of any house bank.
    pub lowest_soc: SocPercentiles,
    /// Sun left over a day, house banks together, Wh.
    pub curtailed_wh_per_day: f64,
    /// Into the house banks a day by source, Wh.
    pub charge_wh_per_day: Named,
    /// Chance of no shortfall less the first option's, trial by trial; null for the first.
    pub difference: Option<Difference>,
    /// Mean of the days to the first shortfall, a trip without one counted whole, less the first
    /// option's; null for the first.
    pub difference_days: Option<Difference>,
    /// Mean of the lowest state of charge less the first option's; null for the first.
    pub difference_lowest_soc: Option<Difference>,
    /// Whether the chance reaches the aim.
    pub meets_aim: bool,
    /// Mass of the parts that give one, kg; null if none does, or if a part of another size does not.
    pub mass_kg: Option<f64>,
    /// Price of the parts that give one; null likewise.
    pub price: Option<f64>,
    /// Capacity of the house banks together, Ah.
    pub capacity_ah: f64,
    /// Solar panels together, W.
    pub panel_w: f64,
    /// Sizes of house banks, chargers and panels: Ah, A, W.
    #[serde(skip)]
    pub sizes: Vec<f64>,
    /// Those together, each against the largest of its kind among the options.
    #[serde(skip)]
    pub size_together: f64,
}

/// The result of `compare`.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct CompareResult {
    /// Tool, scenario, seed, trials; start and end are the first option's.
    #[serde(flatten)]
    pub heading: Heading,
    /// The confidence aimed at.
    pub aim_chance: f64,
    /// The scenario as it is, then the options in the order given.
    pub options: Vec<OptionAnswer>,
    /// Their names from the winner on.
    pub ranking: Vec<String>,
    /// The least option that meets the aim; null if none does.
    pub least: Option<String>,
    /// By what it is the least: `price`, `mass_kg`, `sizes` (none of them is larger than another
    /// option's), `sizes_together`, or `nothing`.
    pub least_by: &'static str,
    /// The least option beyond which no larger or dearer one is clearly better, by chance or by days;
    /// null where options cannot be put in an order.
    pub knee: Option<String>,
    /// The option with the highest chance, then the longest days, that is clearly better than the
    /// first; null if none is.
    pub best: Option<String>,
    /// Why the first option falls short.
    pub limit: Option<Limit>,
    /// What the reader should know.
    pub warnings: Vec<Warning>,
}

/// What the first option is short of.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Limit {
    /// The bank.
    pub bank: String,
    /// Why it falls short in its weakest night; null where no trial that was looked at does.
    #[serde(flatten)]
    pub cause: Option<Cause>,
}

struct Found {
    answer: OptionAnswer,
    trials: EachTrial,
    lowest: Vec<f32>,
}

/// Runs every option on the same trials. `scenarios` are the options' own, in the same order, at
/// least one; the first is the scenario as it is.
///
/// # Errors
/// [`ChoosingError::Weather`] where a day of an option has no climate.
pub fn compare(
    choices: &[Choice],
    scenarios: &[Scenario],
    settings: &Settings,
    progress: &dyn Progress,
) -> Result<CompareResult, ChoosingError> {
    let mut found: Vec<Found> = Vec::with_capacity(choices.len());
    let mut first: Option<Simulation> = None;
    let mut warnings = Vec::new();
    for (choice, scenario) in choices.iter().zip(scenarios) {
        let run = match &first {
            Some(first) => first.changed(scenario, progress)?,
            None => Simulation::trip(scenario, settings, progress)?,
        };
        let base = first.as_ref().map_or(scenario, |first| &first.scenario);
        let costs = costs(&choice.set, scenario, base);
        let mut option = found_of(choice, &run, costs);
        if let (Some(first), Some(of_first)) = (&first, found.first()) {
            let [chance, days] = of_first.trials.gains(&option.trials);
            option.answer.difference = Some(chance);
            option.answer.difference_days = Some(days);
            let lowest = mean_difference(&of_first.lowest, &option.lowest);
            option.answer.difference_lowest_soc = Some(lowest);
            warnings.extend(of_option(choice, run.warnings_beyond(first)));
        } else {
            warnings.extend(run.warnings());
            first = Some(run);
        }
        found.push(option);
    }
    let first = first.ok_or(ChoosingError::Nothing("there is nothing to compare"))?;
    let mut options: Vec<OptionAnswer> = found.iter().map(|found| found.answer.clone()).collect();
    put_together(&mut options);
    let ranking = ranking(&options);
    let winner = ranking.first().copied().unwrap_or(0);
    let is_reached = options[winner].meets_aim;
    let best = best(&options);
    let name = |index: usize| options[index].name.clone();
    Ok(CompareResult {
        heading: first.heading(),
        aim_chance: first.scenario.aim_chance,
        least: is_reached.then(|| name(winner)),
        least_by: measure(&options, winner).word(),
        knee: knee(&options, |less, more| {
            found[less].trials.gains(&found[more].trials)
        })
        .map(name),
        best: best.map(name),
        ranking: ranking.iter().map(|&index| name(index)).collect(),
        limit: limit_of(&first),
        options,
        warnings,
    })
}

/// Begins a warning of one option.
pub(in crate::study) const OF_OPTION: &str = "option ";

/// What only an option makes worth a word, with its name.
fn of_option(choice: &Choice, warnings: Vec<Warning>) -> impl Iterator<Item = Warning> {
    warnings.into_iter().map(|warning| Warning {
        text: warning
            .text
            .within(|text| format!("{OF_OPTION}{}: {text}", choice.name)),
        ..warning
    })
}

/// The option with the highest chance, then the longest mean days, among those clearly better than
/// the first by either.
fn best(options: &[OptionAnswer]) -> Option<usize> {
    let is_better = |gain: Option<Difference>| gain.is_some_and(|d| d.clear && d.value > 0.0);
    let by = |gain: fn(&OptionAnswer) -> Option<Difference>| {
        let value = |index: usize| gain(&options[index]).map_or(0.0, |gain| gain.value);
        (0..options.len())
            .filter(|&index| is_better(gain(&options[index])))
            .rev()
            .max_by(|&a, &b| {
                let ties = options[b]
                    .size_together
                    .total_cmp(&options[a].size_together);
                value(a).total_cmp(&value(b)).then(ties)
            })
    };
    by(|option| option.difference).or_else(|| by(|option| option.difference_days))
}

/// Sizes of all options together, each against the largest of its kind.
fn put_together(options: &mut [OptionAnswer]) {
    let kinds = options.iter().map(|option| option.sizes.len()).max();
    for kind in 0..kinds.unwrap_or(0) {
        let size = |option: &OptionAnswer| option.sizes.get(kind).copied().unwrap_or(0.0);
        let most = options.iter().map(size).fold(0.0, f64::max);
        if most > 0.0 {
            for option in options.iter_mut() {
                option.size_together += size(option) / most;
            }
        }
    }
}

fn found_of(choice: &Choice, run: &Simulation, costs: Costs) -> Found {
    let scenario = &run.scenario;
    let (trials, lowest) = (EachTrial::of(run), run.lowest());
    let ensemble = &run.ensemble;
    let days = run.days();
    let house = scenario.house_banks();
    let outages = house.iter().map(|&bank| ensemble.banks[bank].outages).max();
    let curtailed: f64 = house
        .iter()
        .map(|&bank| ensemble.totals.banks[bank].curtailed_wh)
        .sum();
    let charge = charged_by(scenario, |to| house.contains(&to));
    let charge = charge.map(|(id, source)| {
        let wh = source.brought(&ensemble.totals).wh;
        (id.to_owned(), tidy(wh / days))
    });
    let charge = Named(charge.collect());
    let chance_no_shortfall = chance_of(&trials.kept);
    let answer = OptionAnswer {
        name: choice.name.clone(),
        set: choice.set.clone(),
        chance_no_shortfall,
        chance_no_outage: chance(ensemble.trials - outages.unwrap_or(0), ensemble.trials),
        autonomy_days: autonomy(&ensemble.house_autonomy_days),
        lowest_soc: soc_percentiles(&lowest),
        curtailed_wh_per_day: tidy(curtailed / days),
        charge_wh_per_day: charge,
        difference: None,
        difference_days: None,
        difference_lowest_soc: None,
        meets_aim: chance_no_shortfall.value >= scenario.aim_chance,
        mass_kg: costs.mass_kg,
        price: costs.price,
        capacity_ah: house
            .iter()
            .map(|&bank| scenario.banks[bank].capacity_ah)
            .sum(),
        panel_w: scenario.solar.iter().map(|panel| panel.panel_w).sum(),
        sizes: sizes(scenario, &house),
        size_together: 0.0,
    };
    Found {
        answer,
        trials,
        lowest,
    }
}

/// Sizes of house banks, chargers and panels.
fn sizes(scenario: &Scenario, house: &[usize]) -> Vec<f64> {
    let banks = house.iter().map(|&bank| scenario.banks[bank].capacity_ah);
    let chargers = scenario.chargers.iter().map(|charger| charger.output_a);
    let panels = scenario.solar.iter().map(|panel| panel.panel_w);
    banks.chain(chargers).chain(panels).collect()
}

/// What the house bank with the lowest chance is short of, if it ever is.
fn limit_of(run: &Simulation) -> Option<Limit> {
    let (bank, _) = run.shortest_bank().filter(|(_, short)| *short > 0)?;
    let nights = nights(run, bank);
    let point = weak_point(run, bank, &nights)?;
    Some(Limit {
        bank: point.bank,
        cause: point.cause,
    })
}
