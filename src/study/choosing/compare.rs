//! `compare`: what each option buys.
//!
//! One job: every option run on the same trials, its figures, and its difference to the first.
//! Which option is the least that will do is in `compare_order`.

use serde::Serialize;

use super::ChoosingError;
use super::compare_order::{knee, least, measure_of};
use super::options::Choice;
use super::paired::{Difference, chance_difference, mean_difference};
use super::runs::{hits, house_banks};
use crate::scenario::{Changes, Scenario};
use crate::study::answer::{AutonomyDays, Cause, Chance, Heading, Named, SocPercentiles, Warning};
use crate::study::assemble::nights;
use crate::study::figures::{autonomy, chance, soc_percentiles, tidy};
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
    /// Mean of the lowest state of charge less the first option's; null for the first.
    pub difference_lowest_soc: Option<Difference>,
    /// Whether the chance reaches the aim.
    pub meets_aim: bool,
    /// Mass of the parts that give one, kg; null if none does.
    pub mass_kg: Option<f64>,
    /// Price of the parts that give one; null if none does.
    pub price: Option<f64>,
    /// Capacity of the house banks together, Ah.
    pub capacity_ah: f64,
    /// Solar panels together, W.
    pub panel_w: f64,
}

/// The result of `compare`.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct CompareResult {
    /// Tool, scenario, seed, trials; start and end are the first option's.
    #[serde(flatten)]
    pub heading: Heading,
    /// The confidence aimed at.
    pub aim_chance: f64,
    /// The options in the order given.
    pub options: Vec<OptionAnswer>,
    /// The least option that meets the aim; null if none does.
    pub least: Option<String>,
    /// By what options are called less or more: `price`, `mass_kg`, `capacity_ah`, `panel_w` or
    /// `order`.
    pub least_by: &'static str,
    /// The least option beyond which no dearer one is clearly better; null where options cannot be
    /// put in an order.
    pub knee: Option<String>,
    /// The option with the highest chance that is clearly better than the first; null if none is.
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
    kept: Vec<bool>,
    lowest: Vec<f32>,
}

/// Runs every option on the same trials. `scenarios` are the options' own, in the same order, at
/// least one.
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
        let run = Simulation::trip(scenario, settings, progress)?;
        let (kept, lowest) = (run.kept(), run.lowest());
        let mut answer = option_answer(choice, scenario, &run, &kept, &lowest);
        if let (Some(first), Some(of_first)) = (&first, found.first()) {
            answer.difference = Some(chance_difference(&of_first.kept, &kept));
            answer.difference_lowest_soc = Some(mean_difference(&of_first.lowest, &lowest));
            warnings.extend(of_option(choice, run.warnings_beyond(first)));
        } else {
            warnings.extend(run.warnings());
            first = Some(run);
        }
        found.push(Found {
            answer,
            kept,
            lowest,
        });
    }
    let first = first.ok_or(ChoosingError::Nothing("there is nothing to compare"))?;
    let kept: Vec<Vec<bool>> = found.iter().map(|found| found.kept.clone()).collect();
    let options: Vec<OptionAnswer> = found.into_iter().map(|found| found.answer).collect();
    let measure = measure_of(&options);
    let best = options
        .iter()
        .filter(|option| option.difference.is_some_and(|d| d.clear && d.value > 0.0))
        .fold(None::<&OptionAnswer>, |best, option| match best {
            Some(best) if best.chance_no_shortfall.value >= option.chance_no_shortfall.value => {
                Some(best)
            }
            _ => Some(option),
        });
    warnings.extend(same_money(&options, measure));
    Ok(CompareResult {
        heading: first.heading(),
        aim_chance: first.scenario.aim_chance,
        least: least(&options, measure).map(|index| options[index].name.clone()),
        least_by: measure.word(),
        knee: knee(&options, &kept, measure).map(|index| options[index].name.clone()),
        best: best.map(|option| option.name.clone()),
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
        text: format!("{OF_OPTION}{}: {}", choice.name, warning.text),
        ..warning
    })
}

fn option_answer(
    choice: &Choice,
    scenario: &Scenario,
    run: &Simulation,
    kept: &[bool],
    lowest: &[f32],
) -> OptionAnswer {
    let ensemble = &run.ensemble;
    let days = ensemble.hours / 24.0;
    let house = house_banks(scenario);
    let outages = house.iter().map(|&bank| ensemble.banks[bank].outages).max();
    let curtailed: f64 = house
        .iter()
        .map(|&bank| ensemble.banks[bank].ledger.curtailed_wh)
        .sum();
    let mut charge = Named::default();
    for (charger, wh) in scenario.chargers.iter().zip(&ensemble.charger_wh) {
        if house.contains(&charger.to) {
            charge.0.push((charger.id.clone(), tidy(wh / days)));
        }
    }
    for (panel, wh) in scenario.solar.iter().zip(&ensemble.panel_wh) {
        if house.contains(&panel.to) {
            charge.0.push((panel.id.clone(), tidy(wh / days)));
        }
    }
    let chance_no_shortfall = chance(hits(kept), ensemble.trials);
    let sum = |values: Vec<Option<f64>>| {
        let given: Vec<f64> = values.into_iter().flatten().collect();
        (!given.is_empty()).then(|| tidy(given.iter().sum()))
    };
    let mut masses: Vec<Option<f64>> = scenario.banks.iter().map(|bank| bank.mass_kg).collect();
    masses.extend(scenario.chargers.iter().map(|charger| charger.mass_kg));
    masses.extend(scenario.solar.iter().map(|panel| panel.mass_kg));
    let mut prices: Vec<Option<f64>> = scenario.banks.iter().map(|bank| bank.price).collect();
    prices.extend(scenario.chargers.iter().map(|charger| charger.price));
    prices.extend(scenario.solar.iter().map(|panel| panel.price));
    OptionAnswer {
        name: choice.name.clone(),
        set: choice.set.clone(),
        chance_no_shortfall,
        chance_no_outage: chance(ensemble.trials - outages.unwrap_or(0), ensemble.trials),
        autonomy_days: autonomy(&ensemble.house_autonomy_days),
        lowest_soc: soc_percentiles(lowest),
        curtailed_wh_per_day: tidy(curtailed / days),
        charge_wh_per_day: charge,
        difference: None,
        difference_lowest_soc: None,
        meets_aim: chance_no_shortfall.value >= scenario.aim_chance,
        mass_kg: sum(masses),
        price: sum(prices),
        capacity_ah: house
            .iter()
            .map(|&bank| scenario.banks[bank].capacity_ah)
            .sum(),
        panel_w: scenario.solar.iter().map(|panel| panel.panel_w).sum(),
    }
}

/// What the house bank with the lowest chance is short of, if it ever is.
fn limit_of(run: &Simulation) -> Option<Limit> {
    let short = |bank: usize| {
        let days = run.ensemble.banks[bank].autonomy_days.iter();
        days.filter(|days| days.is_finite()).count()
    };
    let bank = run
        .house()
        .into_iter()
        .max_by_key(|&bank| (short(bank), usize::MAX - bank))?;
    if short(bank) == 0 {
        return None;
    }
    let nights = nights(&run.scenario, &run.timeline, &run.ensemble, bank);
    let point = weak_point(run, bank, &nights)?;
    Some(Limit {
        bank: point.bank,
        cause: point.cause,
    })
}

/// Sizes differ and money and mass do not: the file's own figures stayed as they were.
fn same_money(options: &[OptionAnswer], measure: super::compare_order::Measure) -> Option<Warning> {
    let by_size = matches!(
        measure,
        super::compare_order::Measure::Capacity | super::compare_order::Measure::Panel
    );
    let gives = options
        .iter()
        .any(|option| option.price.is_some() || option.mass_kg.is_some());
    (by_size && gives).then(|| Warning {
        path: String::new(),
        text:
            "price and mass are those of the file, whatever the size: bind them to the size with \
               --option NAME:banks.ID.capacity_ah=…,banks.ID.price=… to compare by them"
                .to_owned(),
    })
}
