//! The search of `topup`: trips with more or less driving, each judged by both conditions.
//!
//! One job: bisection, every run on the same trials. What the conditions are is in `topup`.

use super::ChoosingError;
use super::runs::{hits, house_banks};
use super::topup::{Binds, Condition, Driven, TopupBank};
use super::topup_driving::{DrivingBy, driven, most};
use crate::scenario::{ChargerSource, Role, Scenario};
use crate::study::figures::{at_ranks, chance, percentile, tidy};
use crate::study::settings::Settings;
use crate::study::simulation::Simulation;
use crate::timeline::Timeline;
use crate::trials::{Progress, rank, rank_interval};

/// A bank is kept up if its charge falls by no more than this between two like days.
const SLACK_SOC: f64 = 0.02;

/// What a run says: at the favourable end of its intervals, as found, at the unfavourable end.
#[derive(Debug, Clone)]
pub(super) struct Tried {
    pub(super) setting: f64,
    pub(super) driven: Driven,
    pub(super) holds: [bool; 3],
    pub(super) binds: Option<Binds>,
    pub(super) banks: Vec<TopupBank>,
    /// What the engine-fed chargers of house banks put out on a day of the added drives, Wh.
    pub(super) engine_wh_per_day: f64,
}

/// A search over one way of driving more.
pub(super) struct Search<'a> {
    pub(super) scenario: &'a Scenario,
    settings: &'a Settings,
    progress: &'a dyn Progress,
    pub(super) way: DrivingBy,
    /// Whether the engine idles in place of drives about from camp, or of all drives where the trip has no
    /// such day.
    idles: bool,
    tried: Vec<Tried>,
}

impl<'a> Search<'a> {
    pub(super) fn new(
        scenario: &'a Scenario,
        settings: &'a Settings,
        progress: &'a dyn Progress,
        way: DrivingBy,
    ) -> Self {
        Self {
            scenario,
            settings,
            progress,
            way,
            idles: false,
            tried: Vec::new(),
        }
    }

    /// The same search with the engine at idle.
    pub(super) fn at_idle(&self) -> Self {
        let mut search = Self::new(self.scenario, self.settings, self.progress, self.way);
        search.idles = true;
        search
    }

    /// A trip; `start_soc` has the state of charge of each bank that is not to start as the file says.
    fn run(&self, setting: f64, start_soc: &[Option<f64>]) -> Result<Simulation, ChoosingError> {
        let scenario = driven(self.scenario, self.way, setting)?;
        let (settings, progress) = (self.settings, self.progress);
        if !self.idles {
            let plan = settings.plan();
            let run = Simulation::of_plan(&scenario, plan, start_soc, settings, progress)?;
            return Ok(run);
        }
        let mut timeline = Timeline::new(&scenario, settings.plan(), settings.step_minutes)?;
        let has_local = !timeline.calendar.local_drives.is_empty();
        if let Some(alternator) = &mut timeline.plant.alternator {
            alternator.local_idle_share = 1.0;
            if !has_local && self.way == DrivingBy::Proportion {
                (alternator.states[0].1, alternator.states[1].1) = (1.0, 0.0);
            }
        }
        let plan = settings.plan();
        let run = Simulation::run(&scenario, plan, start_soc, settings, timeline, progress)?;
        Ok(run)
    }

    /// What a setting comes to.
    pub(super) fn at(&mut self, setting: f64) -> Result<Tried, ChoosingError> {
        let mut tried = self.tried.iter();
        if let Some(known) = tried.find(|known| (known.setting - setting).abs() < 1e-9) {
            return Ok(known.clone());
        }
        let run = self.run(setting, &[])?;
        let settles_at = self.settles_at(&run);
        let settled = if settles_at.iter().any(Option::is_some) {
            Some(self.run(setting, &settles_at)?)
        } else {
            None
        };
        let tried = self.judge(setting, &run, settled.as_ref(), &settles_at);
        self.tried.push(tried.clone());
        Ok(tried)
    }

    /// Where a lead-acid bank falls from one like day to another, it may only be settling: near full it
    /// takes less, and what its taper leaves out there is no lack. Such a bank is judged by a second
    /// trip that begins where the first left it.
    fn settles_at(&self, run: &Simulation) -> Vec<Option<f64>> {
        let banks = self.scenario.banks.iter().enumerate();
        banks
            .map(|(index, bank)| {
                let is_house = bank.role == Role::House && bank.chemistry.is_lead_acid();
                let [_, lack, _] = drift(run, index).filter(|_| is_house)?;
                let last = percentile(&run.ensemble.banks[index].like_soc[1], 0.5);
                (lack > SLACK_SOC && last > bank.reserve_soc).then_some(last)
            })
            .collect()
    }

    fn judge(
        &self,
        setting: f64,
        run: &Simulation,
        settled: Option<&Simulation>,
        settles_at: &[Option<f64>],
    ) -> Tried {
        let aim = self.scenario.aim_chance;
        let all = run.chance_no_shortfall();
        let mut holds = [all.high >= aim, all.value >= aim, all.low >= aim];
        let mut worst: Option<(f64, String)> = None;
        let mut weakest: Option<(f64, String)> = None;
        let mut banks = Vec::new();
        for index in house_banks(self.scenario) {
            let mut bank = topup_bank(self.scenario, run, index);
            let second = settled.filter(|_| settles_at[index].is_some());
            if let Some(second) = second {
                bank.settles_at = settles_at[index].map(tidy);
                [bank.first_soc, bank.last_soc] = like_medians(second, index);
            }
            if let Some(lacks) = drift(second.unwrap_or(run), index) {
                for (holds, lacks) in holds.iter_mut().zip(lacks) {
                    *holds &= lacks <= SLACK_SOC;
                }
                let is_worst = worst.as_ref().is_none_or(|(most, _)| lacks[1] > *most);
                if lacks[1] > SLACK_SOC && is_worst {
                    worst = Some((lacks[1], bank.id.clone()));
                }
            }
            let value = bank.chance_no_shortfall.value;
            if weakest.as_ref().is_none_or(|(least, _)| value < *least) {
                weakest = Some((value, bank.id.clone()));
            }
            banks.push(bank);
        }
        let binds = |(_, bank), condition| Binds { bank, condition };
        let chance = (all.value < aim).then_some(weakest).flatten();
        Tried {
            setting,
            driven: Driven::of(run),
            holds,
            binds: worst
                .map(|worst| binds(worst, Condition::EndSoc))
                .or_else(|| chance.map(|weakest| binds(weakest, Condition::Chance))),
            banks,
            engine_wh_per_day: engine_wh_per_day(self.scenario, run),
        }
    }

    /// The last setting that fails and the least that holds at one of the three ends; the largest
    /// is known to hold at it.
    pub(super) fn least(&mut self, end: usize) -> Result<(Option<Tried>, Tried), ChoosingError> {
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
        let hours = |tried: &Tried| tried.driven.per_day;
        while hours(&holds) - hours(&fails) > (0.005 * hours(&holds)).max(0.01)
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

/// By how much the charge falls from the end of the first like day to that of the last, at the three
/// ends of the median; `None` without two like days.
fn drift(run: &Simulation, bank: usize) -> Option<[f64; 3]> {
    let [first, last] = &run.ensemble.banks[bank].like_soc;
    if last.is_empty() {
        return None;
    }
    let first = percentile(first, 0.5);
    let (low, high) = rank_interval(0.5, last.len());
    let [low, middle, high] = at_ranks(last, [low, rank(0.5, last.len()), high]).map(f64::from);
    Some([high, middle, low].map(|last| first - last))
}

/// Median charge at the end of the first and of the last like day.
fn like_medians(run: &Simulation, bank: usize) -> [Option<f64>; 2] {
    let [first, last] = &run.ensemble.banks[bank].like_soc;
    [first, last].map(|soc| (!soc.is_empty()).then(|| tidy(percentile(soc, 0.5))))
}

fn topup_bank(scenario: &Scenario, run: &Simulation, index: usize) -> TopupBank {
    let ensemble = &run.ensemble;
    let days = run.days();
    let bank = &ensemble.banks[index];
    let ledger = &bank.ledger;
    let into = |wh: &[f64], is_own: &dyn Fn(usize) -> bool| {
        let own = wh.iter().enumerate().filter(|(part, _)| is_own(*part));
        tidy(own.map(|(_, wh)| wh).sum::<f64>() / days)
    };
    let [first_soc, last_soc] = like_medians(run, index);
    let kept = bank.autonomy_days.iter().map(|days| days.is_infinite());
    let kept: Vec<bool> = kept.collect();
    TopupBank {
        id: scenario.banks[index].id.clone(),
        settles_at: None,
        first_soc,
        last_soc,
        chance_no_shortfall: chance(hits(&kept), ensemble.trials),
        asked_wh_per_day: tidy((ledger.out_wh + ledger.unserved_wh + ledger.loss_wh) / days),
        sun_wh_per_day: into(&ensemble.panel_wh, &|p| scenario.solar[p].to == index),
        charger_wh_per_day: into(&ensemble.charger_wh, &|c| scenario.chargers[c].to == index),
        charger_limit_w: tidy(
            engine_fed(scenario)
                .filter(|&c| scenario.chargers[c].to == index)
                .map(|c| scenario.chargers[c].output_a * charging_v(scenario))
                .sum(),
        ),
    }
}

/// Chargers on the alternator.
pub(super) fn engine_fed(scenario: &Scenario) -> impl Iterator<Item = usize> {
    let chargers = 0..scenario.chargers.len();
    chargers.filter(|&c| scenario.chargers[c].from == ChargerSource::Alternator)
}

/// The voltage at which a charger's output is told in watts.
pub(super) fn charging_v(scenario: &Scenario) -> f64 {
    13.2 * scenario.voltage_factor()
}

/// What the engine-fed chargers put out on a camp day, or on any day where there is none.
fn engine_wh_per_day(scenario: &Scenario, run: &Simulation) -> f64 {
    use crate::timeline::whole_days::DayKind;
    let camp = &run.ensemble.by_kind[DayKind::Camp.index()];
    let (wh, hours) = if camp.hours > 0.0 {
        (&camp.charger_wh, camp.hours)
    } else {
        (&run.ensemble.charger_wh, run.ensemble.hours)
    };
    engine_fed(scenario).map(|c| wh[c]).sum::<f64>() / hours * 24.0
}
