//! `topup`: the least driving a day that keeps the banks topped up at the aim.
//!
//! One job: the answer. Two conditions: (a) the chance of no shortfall reaches the aim; (b) no house
//! bank drifts downward: its median charge at the end of the last of two like days, of driving or in
//! camp, is that of the first, less two points. So what a taper leaves out near full is no lack, nor
//! that a trip begins fuller than any driving keeps a bank. The search is in `topup_search`.

use serde::Serialize;

use super::ChoosingError;
use super::idling::{Idling, idling};
use super::least_of_row::Search;
use super::topup_banks::engine_fed;
pub use super::topup_driving::DrivingBy;
use super::topup_driving::ways;
use super::topup_limits::why_not;
use super::topup_search::{Driving, Least};
use crate::engine::Totals;
use crate::scenario::Scenario;
use crate::study::answer::{Chance, Heading, Warning};
use crate::study::figures::tidy;
use crate::study::settings::Settings;
use crate::study::simulation::Simulation;
use crate::timeline::whole_days::DayKind;
use crate::trials::Progress;

/// Runs of the search: first looks at three ends and idling, some ten halvings each, and what is decided.
const MOST_RUNS: u64 = 4 * 10 + 6;

/// Hours a day with their 95 % interval.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct HoursPerDay {
    /// The least that does.
    pub value: f64,
    /// The least at the favourable ends of the intervals of chance and median.
    pub low: f64,
    /// At the unfavourable ends, or the most that was looked at.
    pub high: f64,
    /// Whether `high` is the most that was looked at, and still too little at those ends.
    pub high_is_most: bool,
}

/// Hours of driving per 24 h: over the trip, on a day with a leg, on a day in camp.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Driven {
    /// Mean over the trip.
    #[serde(rename = "now_hours_per_day")]
    pub per_day: f64,
    /// On a day with a leg; null without a whole one.
    #[serde(rename = "now_hours_per_driving_day")]
    pub per_driving_day: Option<f64>,
    /// On a day in camp; null without a whole one.
    #[serde(rename = "now_hours_per_camp_day")]
    pub per_camp_day: Option<f64>,
}

impl Driven {
    /// What a simulation drives.
    pub(super) fn of(run: &Simulation) -> Self {
        let ensemble = &run.ensemble;
        let per_day = |of: &Totals| tidy(of.driven_h / of.hours * 24.0);
        let of_kind = |kind: DayKind| {
            let days = Some(&ensemble.by_kind[kind.index()]);
            days.filter(|of| of.hours > 0.0).map(per_day)
        };
        Self {
            per_day: per_day(&ensemble.totals),
            per_driving_day: of_kind(DayKind::Driving),
            per_camp_day: of_kind(DayKind::Camp),
        }
    }
}

/// Which condition binds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Condition {
    /// The chance of no shortfall.
    Chance,
    /// The state of charge at the end of like days.
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

/// Two days of one kind, whose ends are compared.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LikeDays {
    /// `camp` or `driving`.
    pub kind: &'static str,
    /// Date on which the first begins.
    pub first: String,
    /// Date on which the last begins.
    pub last: String,
}

impl LikeDays {
    fn of(run: &Simulation) -> Option<Self> {
        let [first, last] = run.timeline.like_days?;
        Some(Self {
            kind: match first.kind {
                DayKind::Camp => "camp",
                DayKind::Driving => "driving",
            },
            first: first.date.to_string(),
            last: last.date.to_string(),
        })
    }
}

/// A house bank at the answer, or at the most driving where there is none.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct TopupBank {
    /// Its id.
    pub id: String,
    /// State of charge from which a lead-acid bank was judged by a second trip: that to which it had
    /// come by the last like day of the first; null for any other bank.
    pub settles_at: Option<f64>,
    /// Median state of charge at the end of the first of the like days; null without such days.
    pub first_soc: Option<f64>,
    /// At the end of the last.
    pub last_soc: Option<f64>,
    /// Chance of no shortfall.
    pub chance_no_shortfall: Chance,
    /// What its loads ask for a day, losses inside the bank included, Wh.
    pub asked_wh_per_day: f64,
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
    /// The same on a day with a leg.
    pub hours_per_driving_day: Option<f64>,
    /// The same on a day in camp.
    pub hours_per_camp_day: Option<f64>,
    /// As the itinerary has it now.
    #[serde(flatten)]
    pub now: Driven,
    /// How the hours were changed.
    pub driving_by: Option<DrivingBy>,
    /// Why no number of hours does.
    pub why_not: Option<String>,
    /// What binds at the answer; null where no driving at all is needed.
    pub binds: Option<Binds>,
    /// The days whose ends are compared; null where the trip has no two like days, and the chance alone
    /// is asked for.
    pub like_days: Option<LikeDays>,
    /// House banks.
    pub banks: Vec<TopupBank>,
    /// Idling that would do as well; null without an answer or an alternator.
    pub idling: Option<Idling>,
    /// The heat map of `topup.svg`.
    pub map: Option<super::topup_map::Map>,
    /// What the reader should know.
    pub warnings: Vec<Warning>,
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
    ways_of(scenario)?;
    let now = Simulation::first_of(scenario, settings, MOST_RUNS, progress)?;
    topup_of(&now, progress)
}

/// The same from the trip as it is.
///
/// # Errors
/// As [`topup`].
pub fn topup_of(now: &Simulation, progress: &dyn Progress) -> Result<TopupResult, ChoosingError> {
    let scenario = &now.scenario;
    let ways = ways_of(scenario)?;
    let mut own = now.settings.clone();
    own.run.trials = now.ensemble.trials;
    own.run.precision = None;
    let mut result = TopupResult {
        heading: now.heading(),
        aim_chance: scenario.aim_chance,
        hours_per_day: None,
        hours_per_driving_day: None,
        hours_per_camp_day: None,
        now: Driven::of(now),
        driving_by: None,
        why_not: None,
        binds: None,
        like_days: LikeDays::of(now),
        banks: Vec::new(),
        idling: None,
        map: None,
        warnings: now.warnings(),
    };
    for way in ways {
        let mut search = Driving::search(scenario, &own, progress, way, false);
        result.driving_by = Some(way);
        if let Some(least) = search.least()? {
            result.why_not = None;
            return answer(result, &mut search, least);
        }
        let last = search.last;
        let at_most = search.own(last)?.clone();
        result.why_not = Some(why_not(scenario, own.here.as_deref(), way, &at_most));
        result.binds = at_most.binds;
        result.banks = at_most.banks;
    }
    Ok(result)
}

/// The ways to drive more, where driving charges anything.
fn ways_of(scenario: &Scenario) -> Result<Vec<DrivingBy>, ChoosingError> {
    if engine_fed(scenario).next().is_none() {
        return Err(ChoosingError::Nothing(
            "no charger depends on the alternator: driving charges no house bank",
        ));
    }
    let ways = ways(scenario);
    if ways.is_empty() {
        return Err(ChoosingError::Nothing(
            "there is no drive to lengthen and no day in camp for one: give a leg two nights or more",
        ));
    }
    Ok(ways)
}

fn answer(
    mut result: TopupResult,
    search: &mut Search<Driving<'_>>,
    least: Least,
) -> Result<TopupResult, ChoosingError> {
    let value = least.at.driven.per_day;
    let (low, high, high_is_most) = search.end_hours(&least)?;
    result.hours_per_day = Some(HoursPerDay {
        value,
        low: low.min(value),
        high: high.max(value),
        high_is_most,
    });
    result.hours_per_driving_day = least.at.driven.per_driving_day;
    result.hours_per_camp_day = least.at.driven.per_camp_day;
    result.idling = idling(search, &least)?;
    result.binds = least.below.and_then(|below| below.binds);
    result.banks = least.at.banks;
    Ok(result)
}
