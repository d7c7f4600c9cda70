//! The search of `topup`: trips with more or less driving, each judged by both conditions.
//!
//! One job: the least of a row of settings that does. Where it lies is looked for with few trials in long
//! steps; whether a setting does is decided with the run's own, for the answer and for the setting next
//! below. What the two make different is carried over from one setting to the next. What the conditions
//! are is in `topup`.

use std::collections::BTreeMap;

use super::ChoosingError;
use super::runs::{hits, house_banks};
use super::topup::{Binds, Condition, Driven, TopupBank};
use super::topup_banks::{engine_wh_per_day, like_medians, topup_bank};
use super::topup_driving::{DrivingBy, driven, most};
use crate::scenario::{Role, Scenario};
use crate::study::answer::Chance;
use crate::study::figures::{at_ranks, chance, percentile, tidy};
use crate::study::settings::Settings;
use crate::study::simulation::Simulation;
use crate::timeline::Timeline;
use crate::trials::{Progress, Silent, rank, rank_interval};

/// A bank is kept up if its charge falls by no more than this between two like days.
const SLACK_SOC: f64 = 0.02;

/// Settings that are told apart: minutes of driving on a day in camp, or steps of the factor.
const MINUTE_H: f64 = 1.0 / 60.0;
const FACTOR_STEP: f64 = 0.005;

/// The conditions as found.
const FOUND: usize = 1;

/// What a run says.
#[derive(Debug, Clone)]
pub(super) struct Tried {
    pub(super) driven: Driven,
    /// By how much the condition that binds holds, a share of 1, below 0 where it does not: at the favourable
    /// end of the intervals of the run's own trials, as found, at the unfavourable end.
    margins: [f64; 3],
    pub(super) binds: Option<Binds>,
    pub(super) banks: Vec<TopupBank>,
    /// What the engine-fed chargers of house banks put out on a day of the added drives, Wh.
    pub(super) engine_wh_per_day: f64,
}

/// The least driving that does.
pub(super) struct Least {
    /// The setting next below; `None` where no driving at all does.
    pub(super) below: Option<Tried>,
    pub(super) at: Tried,
    /// Number of the setting.
    number: u32,
}

/// A search over one way of driving more.
pub(super) struct Search<'a> {
    pub(super) scenario: &'a Scenario,
    own: Settings,
    look: Settings,
    progress: &'a dyn Progress,
    pub(super) way: DrivingBy,
    /// Whether the engine idles in place of drives about from camp, or of all drives where the trip has no
    /// such day.
    idles: bool,
    /// By setting, with the run's own trials and in a first look.
    run: BTreeMap<u32, Tried>,
    looked: BTreeMap<u32, Tried>,
    /// Margins of the run's own less those of a look, where both are known.
    beyond_look: [f64; 3],
}

impl<'a> Search<'a> {
    pub(super) fn new(
        scenario: &'a Scenario,
        own: &Settings,
        progress: &'a dyn Progress,
        way: DrivingBy,
    ) -> Self {
        Self {
            scenario,
            own: own.clone(),
            look: own.look(),
            progress,
            way,
            idles: false,
            run: BTreeMap::new(),
            looked: BTreeMap::new(),
            beyond_look: [0.0; 3],
        }
    }

    fn step(&self) -> f64 {
        match self.way {
            DrivingBy::LocalDrives => MINUTE_H,
            DrivingBy::Proportion => FACTOR_STEP,
        }
    }

    /// Number of the largest setting.
    fn last(&self) -> u32 {
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a count of steps"
        )]
        let last = (most(self.scenario, self.way) / self.step() - 1e-6).ceil() as u32;
        last
    }

    /// A trip; `start_soc` has the state of charge of each bank that is not to start as the file says.
    fn simulated(
        &self,
        number: u32,
        start_soc: &[Option<f64>],
        settings: &Settings,
        progress: &dyn Progress,
    ) -> Result<Simulation, ChoosingError> {
        let setting = (f64::from(number) * self.step()).min(most(self.scenario, self.way));
        let scenario = driven(self.scenario, self.way, setting)?;
        let plan = settings.plan();
        if !self.idles {
            let run = Simulation::of_plan(&scenario, plan, start_soc, settings, progress)?;
            return Ok(run);
        }
        let mut timeline = Timeline::new(&scenario, plan.clone(), settings.step_minutes)?;
        let has_local = !timeline.calendar.local_drives.is_empty();
        if let Some(alternator) = &mut timeline.plant.alternator {
            alternator.local_idle_share = 1.0;
            if !has_local && self.way == DrivingBy::Proportion {
                (alternator.states[0].1, alternator.states[1].1) = (1.0, 0.0);
            }
        }
        let run = Simulation::run(&scenario, plan, start_soc, settings, timeline, progress)?;
        Ok(run)
    }

    /// What a setting comes to with the run's own trials.
    pub(super) fn run(&mut self, number: u32) -> Result<&Tried, ChoosingError> {
        if !self.run.contains_key(&number) {
            let tried = self.tried(number, &self.own, self.progress)?;
            self.run.insert(number, tried);
        }
        Ok(&self.run[&number])
    }

    /// What it comes to in a first look.
    fn looked(&mut self, number: u32) -> Result<&Tried, ChoosingError> {
        if !self.looked.contains_key(&number) {
            let tried = self.tried(number, &self.look, &Silent)?;
            self.progress.advance(1, 1);
            self.looked.insert(number, tried);
        }
        Ok(&self.looked[&number])
    }

    fn tried(
        &self,
        number: u32,
        settings: &Settings,
        progress: &dyn Progress,
    ) -> Result<Tried, ChoosingError> {
        let run = self.simulated(number, &[], settings, progress)?;
        let settles_at = self.settles_at(&run);
        let settled = if settles_at.iter().any(Option::is_some) {
            Some(self.simulated(number, &settles_at, settings, progress)?)
        } else {
            None
        };
        Ok(self.judge(&run, settled.as_ref(), &settles_at))
    }

    /// Where a lead-acid bank falls from one like day to another, it may only be settling: near full it
    /// takes less, and what its taper leaves out there is no lack. Such a bank is judged by a second
    /// trip that begins where the first left it.
    fn settles_at(&self, run: &Simulation) -> Vec<Option<f64>> {
        let banks = self.scenario.banks.iter().enumerate();
        banks
            .map(|(index, bank)| {
                let is_house = bank.role == Role::House && bank.chemistry.is_lead_acid();
                let [_, lack, _] = self.drift(run, index).filter(|_| is_house)?;
                let last = percentile(&run.ensemble.banks[index].like_soc[1], 0.5);
                (lack > SLACK_SOC && last > bank.reserve_soc).then_some(last)
            })
            .collect()
    }

    fn judge(
        &self,
        run: &Simulation,
        settled: Option<&Simulation>,
        settles_at: &[Option<f64>],
    ) -> Tried {
        let aim = self.scenario.aim_chance;
        let all = self.chance(run);
        let mut margins = [all.high - aim, all.value - aim, all.low - aim];
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
            if let Some(lacks) = self.drift(second.unwrap_or(run), index) {
                for (margin, lack) in margins.iter_mut().zip(lacks) {
                    *margin = margin.min(SLACK_SOC - lack);
                }
                let is_worst = worst.as_ref().is_none_or(|(most, _)| lacks[FOUND] > *most);
                if lacks[FOUND] > SLACK_SOC && is_worst {
                    worst = Some((lacks[FOUND], bank.id.clone()));
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
            driven: Driven::of(run),
            margins,
            binds: worst
                .map(|worst| binds(worst, Condition::EndSoc))
                .or_else(|| chance.map(|weakest| binds(weakest, Condition::Chance))),
            banks,
            engine_wh_per_day: engine_wh_per_day(self.scenario, run),
        }
    }

    /// The chance of no shortfall with the interval that the run's own trials give it.
    fn chance(&self, run: &Simulation) -> Chance {
        let (kept, own) = (run.kept(), self.own.run.trials);
        #[expect(
            clippy::cast_precision_loss,
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "counts of trials"
        )]
        let of_own = (hits(&kept) as f64 / kept.len() as f64 * own as f64).round() as u64;
        chance(of_own, own)
    }

    /// By how much the charge falls from the end of the first like day to that of the last, at the three
    /// ends of the median with the run's own trials; `None` without two like days.
    fn drift(&self, run: &Simulation, bank: usize) -> Option<[f64; 3]> {
        let [first, last] = &run.ensemble.banks[bank].like_soc;
        let count = last.len();
        if count == 0 {
            return None;
        }
        let first = percentile(first, 0.5);
        let own = usize::try_from(self.own.run.trials).unwrap_or(count);
        let (low, high) = rank_interval(0.5, own);
        let of_these = |rank: usize| (rank * count).div_ceil(own).clamp(1, count);
        let middle = rank(0.5, count);
        let ranks = [
            of_these(low).min(middle),
            middle,
            of_these(high).max(middle),
        ];
        let [low, middle, high] = at_ranks(last, ranks).map(f64::from);
        Some([high, middle, low].map(|last| first - last))
    }

    /// The least that does by its own trials; `None` where not even the most does, whose run is kept.
    pub(super) fn least(&mut self) -> Result<Option<Least>, ChoosingError> {
        // Between what is known to fail and what is known to do.
        let (mut from, mut does) = (0, None);
        let last = self.last();
        for round in 0.. {
            if does == Some(from) {
                break;
            }
            let to = does.map_or(last, |does: u32| does - 1);
            if from > to {
                return Ok(None);
            }
            let number = self.next(from, to, does, round)?;
            let margins = self.run(number)?.margins;
            let looked = self.looked(number)?.margins;
            self.beyond_look = std::array::from_fn(|end| margins[end] - looked[end]);
            if margins[FOUND] >= 0.0 {
                does = Some(number);
            } else {
                from = number + 1;
            }
        }
        let below = from.checked_sub(1).map(|number| self.run[&number].clone());
        Ok(Some(Least {
            below,
            at: self.run[&from].clone(),
            number: from,
        }))
    }

    /// The setting to be run next, `from` to `to`: where a look has the least that does; once it has been
    /// asked often enough, on the line between what failed and what did; in the end the middle.
    fn next(
        &mut self,
        from: u32,
        to: u32,
        does: Option<u32>,
        round: u32,
    ) -> Result<u32, ChoosingError> {
        const LOOKS: u32 = 3;
        const LINES: u32 = 6;
        if round < LOOKS {
            return Ok(self.looked_for(FOUND, from, to)?.unwrap_or(to));
        }
        let fails = from.checked_sub(1).and_then(|fails| self.run.get(&fails));
        let ends = fails.zip(does.and_then(|does| self.run.get(&does)));
        let share = match ends {
            Some((fails, does)) if round < LINES => {
                let [below, above] = [fails, does].map(|tried| tried.margins[FOUND]);
                below / (below - above)
            }
            _ => 0.5,
        };
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a number between the two"
        )]
        let ahead = (f64::from(to - from) * share).round() as u32;
        Ok((from + ahead).min(to))
    }

    /// The least setting, `from` to `to`, that a first look has do at one of the three ends, what is known to
    /// differ from the run's own trials added; `None` if even the last does not.
    fn looked_for(&mut self, end: usize, from: u32, to: u32) -> Result<Option<u32>, ChoosingError> {
        let beyond = self.beyond_look[end];
        let mut does = |number: u32| -> Result<bool, ChoosingError> {
            Ok(self.looked(number)?.margins[end] + beyond >= 0.0)
        };
        if from > to || !does(to)? {
            return Ok(None);
        }
        let (mut from, mut to) = (from, to);
        while from < to {
            let middle = u32::midpoint(from, to);
            if does(middle)? {
                to = middle;
            } else {
                from = middle + 1;
            }
        }
        Ok(Some(to))
    }

    /// Hours a day at the favourable and the unfavourable ends of the intervals, from first looks put right by
    /// what was run; the second is `None` if not even the most does.
    pub(super) fn ends(&mut self, least: &Least) -> Result<(f64, Option<f64>), ChoosingError> {
        let low = self.looked_for(0, 0, least.number)?.unwrap_or(least.number);
        let high = self.looked_for(2, least.number, self.last())?;
        let here = self.looked(least.number)?.driven.per_day;
        let mut hours = |number: u32| -> Result<f64, ChoosingError> {
            let moved = self.looked(number)?.driven.per_day - here;
            Ok(tidy(least.at.driven.per_day + moved))
        };
        let low = hours(low)?;
        Ok((low, high.map(&mut hours).transpose()?))
    }

    /// Hours a day at the most.
    pub(super) fn most_per_day(&mut self) -> Result<f64, ChoosingError> {
        let last = self.last();
        Ok(self.looked(last)?.driven.per_day)
    }

    /// The most, with the run's own trials.
    pub(super) fn at_most(&mut self) -> Result<Tried, ChoosingError> {
        let last = self.last();
        self.run(last).cloned()
    }

    /// The least with the engine at idle, in a first look put right by what was run of driving; `None` if no
    /// number of hours does. Idling never brings more than driving.
    pub(super) fn at_idle(&mut self, least: &Least) -> Result<Option<Tried>, ChoosingError> {
        let mut idle = Self::new(self.scenario, &self.own, self.progress, self.way);
        idle.idles = true;
        idle.beyond_look = self.beyond_look;
        let last = idle.last();
        let Some(number) = idle.looked_for(FOUND, least.number, last)? else {
            return Ok(None);
        };
        let mut at = idle.looked(number)?.clone();
        // Legs are driven as they are, and hours are told from the run's own trials.
        let of_look = self.looked(least.number)?.driven;
        let of_run = least.at.driven;
        let put_right = |hours: f64, look: f64, run: f64| tidy(hours + run - look);
        at.driven.per_day = put_right(at.driven.per_day, of_look.per_day, of_run.per_day);
        let camp = of_look.per_camp_day.zip(of_run.per_camp_day);
        if let (Some(hours), Some((look, run))) = (&mut at.driven.per_camp_day, camp) {
            *hours = put_right(*hours, look, run);
        }
        Ok(Some(at))
    }
}
