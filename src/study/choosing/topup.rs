//! `topup`: the least driving a day that keeps the banks topped up at the aim.
//!
//! One job: bisection over the driving, every run on the same trials. Two conditions: (a) the
//! chance of no shortfall reaches the aim; (b) the median state of charge of each house bank at
//! the end is no lower than at the start. A bank that starts fuller than any driving leaves it by
//! the end (full, and a last night without the engine) is held to that level instead, and starts
//! there: it must come back to it.

use serde::Serialize;

use super::ChoosingError;
use super::idling::{Idling, idling};
use super::runs::{hits, house_banks};
pub use super::topup_driving::DrivingBy;
use super::topup_driving::{driven, most, ways};
use super::topup_limits::why_not;
use crate::scenario::{ChargerSource, Scenario};
use crate::study::answer::{Heading, Warning};
use crate::study::figures::{at_ranks, chance, percentile, tidy};
use crate::study::settings::Settings;
use crate::study::simulation::Simulation;
use crate::timeline::Timeline;
use crate::trials::{Progress, rank, rank_interval};

/// Slack of a bank held to the level that driving can reach: two thousandths of its charge.
const SLACK: f64 = 0.002;
/// Runs of the search: two ways to drive, then three ends of some fifteen halvings, two runs a try.
const MOST_RUNS: u64 = 1 + 2 * 3 + 3 * 15 * 2;

/// Hours a day with their 95 % interval.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct HoursPerDay {
    /// The least that does.
    pub value: f64,
    /// The least at the favourable ends of the intervals of chance and median.
    pub low: f64,
    /// At the unfavourable ends; null if no driving does.
    pub high: Option<f64>,
}

/// Which condition binds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Condition {
    /// The chance of no shortfall.
    Chance,
    /// The state of charge at the end.
    EndSoc,
}

/// What binds.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Binds {
    /// The bank.
    pub bank: String,
    /// The condition.
    pub condition: Condition,
}

/// A house bank at the answer, or at the most driving where there is none.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct TopupBank {
    /// Its id.
    pub id: String,
    /// State of charge at which it is held, median.
    pub start_soc: f64,
    /// Median at the end.
    pub end_soc: f64,
    /// Whether it is held to what driving can reach, below its start in the file.
    pub held_below_start: bool,
    /// Chance of no shortfall.
    pub chance_no_shortfall: crate::study::answer::Chance,
    /// What it gives a day, losses included, Wh.
    pub out_wh_per_day: f64,
    /// Sun into it, Wh a day.
    pub sun_wh_per_day: f64,
    /// Chargers into it, Wh a day.
    pub charger_wh_per_day: f64,
    /// What its engine-driven chargers put out at most, W.
    pub charger_limit_w: f64,
}

/// The result of `topup`.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct TopupResult {
    /// Tool, scenario, seed, trials.
    #[serde(flatten)]
    pub heading: Heading,
    /// The confidence aimed at.
    pub aim_chance: f64,
    /// Hours of driving per 24 h of the trip, mean; null if no number of hours does.
    pub hours_per_day: Option<HoursPerDay>,
    /// The same as the itinerary has it now.
    pub now_hours_per_day: f64,
    /// How the hours were changed.
    pub driving_by: Option<DrivingBy>,
    /// Why no number of hours does.
    pub why_not: Option<String>,
    /// What binds at the answer; null where no driving at all is needed.
    pub binds: Option<Binds>,
    /// House banks.
    pub banks: Vec<TopupBank>,
    /// Idling that would bring the same; null without an answer or an alternator.
    pub idling: Option<Idling>,
    /// The heat map of `topup.svg`.
    pub map: Option<super::topup_map::Map>,
    /// What the reader should know.
    pub warnings: Vec<Warning>,
}

/// What a run says: at the favourable end of its intervals, as found, at the unfavourable end.
#[derive(Debug, Clone)]
struct Tried {
    setting: f64,
    hours_per_day: f64,
    holds: [bool; 3],
    binds: Option<Binds>,
    banks: Vec<TopupBank>,
}

struct Search<'a> {
    scenario: &'a Scenario,
    settings: &'a Settings,
    progress: &'a dyn Progress,
    way: DrivingBy,
    /// Level at which a bank is held, where that is below its start.
    held: Vec<Option<f64>>,
    tried: Vec<Tried>,
}

/// Finds the least driving.
///
/// # Errors
/// [`ChoosingError::Weather`] where a day has no climate; [`ChoosingError::Nothing`] without a
/// charger that an engine feeds, or without a day on which to drive.
pub fn topup(
    scenario: &Scenario,
    settings: &Settings,
    progress: &dyn Progress,
) -> Result<TopupResult, ChoosingError> {
    if !scenario
        .chargers
        .iter()
        .any(|charger| charger.from == ChargerSource::Alternator)
    {
        return Err(ChoosingError::Nothing(
            "no charger hangs on the alternator: driving charges no house bank",
        ));
    }
    let steps = Timeline::new(scenario, settings.plan(), settings.step_minutes)?.steps;
    progress.expect(MOST_RUNS, steps);
    let now = Simulation::trip(scenario, settings, progress)?;
    let now_hours = now.ensemble.driven_h / now.ensemble.hours * 24.0;
    let ways = ways(scenario);
    if ways.is_empty() {
        return Err(ChoosingError::Nothing(
            "there is no drive to lengthen and no day in camp for one: give a leg two nights or more",
        ));
    }
    let mut found = None;
    for way in ways {
        let mut search = Search {
            scenario,
            settings,
            progress,
            way,
            held: vec![None; scenario.banks.len()],
            tried: Vec::new(),
        };
        search.hold_to_what_can_be_reached()?;
        let most = search.at(most(scenario, way))?;
        let done = most.holds[1];
        found = Some((search, most));
        if done {
            break;
        }
    }
    let Some((mut search, at_most)) = found else {
        return Err(ChoosingError::Nothing("there is nothing to drive"));
    };
    let mut result = TopupResult {
        heading: now.heading(),
        aim_chance: scenario.aim_chance,
        hours_per_day: None,
        now_hours_per_day: tidy(now_hours),
        driving_by: Some(search.way),
        why_not: None,
        binds: None,
        banks: at_most.banks.clone(),
        idling: None,
        map: None,
        warnings: now.warnings(),
    };
    if at_most.holds[1] {
        let (below, at) = search.least(1)?;
        let (_, low) = search.least(0)?;
        let high = if at_most.holds[2] {
            Some(search.least(2)?.1)
        } else {
            None
        };
        result.hours_per_day = Some(HoursPerDay {
            value: tidy(at.hours_per_day),
            low: tidy(low.hours_per_day.min(at.hours_per_day)),
            high: high.map(|high| tidy(high.hours_per_day.max(at.hours_per_day))),
        });
        result.binds = below.and_then(|below| below.binds);
        let charged = at.banks.iter().map(|bank| bank.charger_wh_per_day).sum();
        result.idling = idling(scenario, charged);
        result.banks = at.banks;
    } else {
        result.why_not = Some(why_not(scenario, at_most.hours_per_day, bound(&at_most)));
        result.binds = at_most.binds;
    }
    Ok(result)
}

impl Search<'_> {
    /// Banks that start above what the most driving leaves are held to that.
    fn hold_to_what_can_be_reached(&mut self) -> Result<(), ChoosingError> {
        let most = most(self.scenario, self.way);
        let reached = self.run(most)?;
        for bank in house_banks(self.scenario) {
            let end = percentile(&reached.ensemble.banks[bank].end_soc, 0.5);
            let start = self.scenario.banks[bank].start_soc.mean();
            if end < start {
                self.held[bank] = Some(end);
            }
        }
        Ok(())
    }

    fn run(&self, setting: f64) -> Result<Simulation, ChoosingError> {
        let scenario = driven(self.scenario, self.way, setting)?;
        Ok(Simulation::of_plan(
            &scenario,
            self.settings.plan(),
            &self.held,
            self.settings,
            self.progress,
        )?)
    }

    fn at(&mut self, setting: f64) -> Result<Tried, ChoosingError> {
        if let Some(known) = self
            .tried
            .iter()
            .find(|known| (known.setting - setting).abs() < 1e-9)
        {
            return Ok(known.clone());
        }
        let run = self.run(setting)?;
        // The chance is that of the trip as it starts; only (b) starts lower.
        let from_start = if self.held.iter().any(Option::is_some) {
            let scenario = driven(self.scenario, self.way, setting)?;
            Some(Simulation::trip(&scenario, self.settings, self.progress)?)
        } else {
            None
        };
        let tried = self.judge(setting, &run, from_start.as_ref().unwrap_or(&run));
        self.tried.push(tried.clone());
        Ok(tried)
    }

    fn judge(&self, setting: f64, run: &Simulation, trip: &Simulation) -> Tried {
        let trials = trip.ensemble.trials;
        let aim = self.scenario.aim_chance;
        let all = chance(hits(&trip.kept()), trials);
        let mut holds = [all.high >= aim, all.value >= aim, all.low >= aim];
        let mut worst: Option<(f64, String)> = None;
        let mut weakest: Option<(f64, String)> = None;
        let days = run.ensemble.hours / 24.0;
        let mut banks = Vec::new();
        for index in house_banks(self.scenario) {
            let bank = &self.scenario.banks[index];
            let ends = &run.ensemble.banks[index].end_soc;
            let (low, high) = rank_interval(0.5, ends.len());
            let ends = at_ranks(ends, [low, rank(0.5, ends.len()), high]);
            let [low, end, high] = ends.map(f64::from);
            let (wanted, slack) = match self.held[index] {
                Some(level) => (level, SLACK),
                None => (bank.start_soc.mean(), 0.0),
            };
            let missing = |end: f64| wanted - slack - end;
            for (holds, level) in holds.iter_mut().zip([high, end, low]) {
                *holds &= missing(level) <= 0.0;
            }
            if missing(end) > 0.0 && worst.as_ref().is_none_or(|(most, _)| missing(end) > *most) {
                worst = Some((missing(end), bank.id.clone()));
            }
            let kept = trip.ensemble.banks[index]
                .autonomy_days
                .iter()
                .filter(|d| d.is_infinite());
            let chance = chance(kept.count() as u64, trials);
            if weakest
                .as_ref()
                .is_none_or(|(least, _)| chance.value < *least)
            {
                weakest = Some((chance.value, bank.id.clone()));
            }
            let ledger = &run.ensemble.banks[index].ledger;
            let into = |wh: &[f64], mine: &dyn Fn(usize) -> bool| {
                let wh = wh.iter().enumerate().filter(|(part, _)| mine(*part));
                tidy(wh.map(|(_, wh)| wh).sum::<f64>() / days)
            };
            let chargers = self.scenario.chargers.iter();
            let volts = 13.2 * self.scenario.voltage_factor();
            banks.push(TopupBank {
                id: bank.id.clone(),
                start_soc: tidy(wanted),
                end_soc: tidy(end),
                held_below_start: self.held[index].is_some(),
                chance_no_shortfall: chance,
                out_wh_per_day: tidy((ledger.out_wh + ledger.loss_wh) / days),
                sun_wh_per_day: into(&run.ensemble.panel_wh, &|p| {
                    self.scenario.solar[p].to == index
                }),
                charger_wh_per_day: into(&run.ensemble.charger_wh, &|c| {
                    self.scenario.chargers[c].to == index
                }),
                charger_limit_w: tidy(
                    chargers
                        .filter(|c| c.to == index && c.from == ChargerSource::Alternator)
                        .map(|c| c.output_a * volts)
                        .sum(),
                ),
            });
        }
        let binds = match (all.value < aim, worst, weakest) {
            (_, Some((_, bank)), _) => Some(Binds {
                bank,
                condition: Condition::EndSoc,
            }),
            (true, None, Some((_, bank))) => Some(Binds {
                bank,
                condition: Condition::Chance,
            }),
            _ => None,
        };
        Tried {
            setting,
            hours_per_day: run.ensemble.driven_h / run.ensemble.hours * 24.0,
            holds,
            binds,
            banks,
        }
    }

    /// The last setting that fails and the least that holds at one of the three ends; the largest
    /// is known to hold at it.
    fn least(&mut self, end: usize) -> Result<(Option<Tried>, Tried), ChoosingError> {
        let none = self.at(0.0)?;
        if none.holds[end] {
            return Ok((None, none));
        }
        let mut fails = none;
        let mut holds = self.at(most(self.scenario, self.way))?;
        for known in &self.tried {
            if known.holds[end] && known.setting < holds.setting {
                holds = known.clone();
            }
        }
        for known in &self.tried {
            if !known.holds[end] && known.setting > fails.setting && known.setting < holds.setting {
                fails = known.clone();
            }
        }
        while holds.hours_per_day - fails.hours_per_day > (0.005 * holds.hours_per_day).max(0.01)
            && holds.setting - fails.setting > 1e-3
        {
            let middle = self.at(f64::midpoint(fails.setting, holds.setting))?;
            if middle.holds[end] {
                holds = middle;
            } else {
                fails = middle;
            }
        }
        Ok((Some(fails), holds))
    }
}

/// The bank that binds.
fn bound(tried: &Tried) -> Option<&TopupBank> {
    let binds = tried.binds.as_ref()?;
    tried.banks.iter().find(|bank| bank.id == binds.bank)
}
