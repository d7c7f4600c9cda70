//! The search of `topup`: trips with more or less driving, each judged by both conditions.
//!
//! One job: what a setting comes to. What the conditions are is in `topup`, how the least is found in
//! `least_of_row`.

use super::ChoosingError;
use super::least_of_row::{Effort, FOUND, Row, Search, chance_margins};
use super::topup::{Binds, Condition, Driven, TopupBank};
use super::topup_banks::{engine_wh_per_day, like_medians, topup_bank};
use super::topup_driving::{DrivingBy, driven, driven_timeline, most};
use crate::scenario::{Role, Scenario};
use crate::study::figures::{at_ranks, percentile, tidy};
use crate::study::settings::Settings;
use crate::study::simulation::{Besides, Simulation};
use crate::trials::{Progress, Silent, rank, rank_interval};
use crate::units::Whole;

/// A bank is kept up if its charge falls by no more than this between two like days.
const SLACK_SOC: f64 = 0.02;

/// Settings that are told apart: minutes of driving on a day in camp, or steps of the factor.
const MINUTE_H: f64 = 1.0 / 60.0;
const FACTOR_STEP: f64 = 0.005;

/// What a run says.
#[derive(Debug, Clone)]
pub(super) struct Tried {
    pub(super) driven: Driven,
    /// By how much the condition that binds holds, a share of 1.
    margins: [f64; 3],
    pub(super) binds: Option<Binds>,
    pub(super) banks: Vec<TopupBank>,
    /// What the engine-fed chargers of house banks put out on a day of the added drives, Wh.
    pub(super) engine_wh_per_day: f64,
}

/// The least driving that does.
pub(super) type Least = super::least_of_row::Least<Tried>;

/// Trips by how much is driven, in one way of driving more.
pub(super) struct Driving<'a> {
    pub(super) scenario: &'a Scenario,
    own: Settings,
    progress: &'a dyn Progress,
    way: DrivingBy,
    /// Whether the engine idles in place of drives about from camp, or of all drives where the trip has no
    /// such day.
    idles: bool,
}

impl Row for Driving<'_> {
    type Tried = Tried;

    fn tried(&self, number: u32, effort: Effort) -> Result<Tried, ChoosingError> {
        if effort == Effort::Own {
            return self.judged(number, &self.own, self.progress);
        }
        let tried = self.judged(number, &self.own.look(), &Silent)?;
        self.progress.advance(1, 1);
        Ok(tried)
    }

    fn margins(tried: &Tried) -> [f64; 3] {
        tried.margins
    }
}

impl<'a> Driving<'a> {
    /// A search over one way of driving more.
    pub(super) fn search(
        scenario: &'a Scenario,
        own: &Settings,
        progress: &'a dyn Progress,
        way: DrivingBy,
        idles: bool,
    ) -> Search<Self> {
        let row = Self {
            scenario,
            own: own.clone(),
            progress,
            way,
            idles,
        };
        let last = u32::cut((most(scenario, way) / row.step() - 1e-6).ceil());
        Search::new(row, last)
    }

    fn step(&self) -> f64 {
        match self.way {
            DrivingBy::LocalDrives => MINUTE_H,
            DrivingBy::Proportion => FACTOR_STEP,
        }
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
        let mut timeline = driven_timeline(self.scenario, &scenario, settings)?;
        let has_local = !timeline.calendar.local_drives.is_empty();
        if let Some(alternator) = timeline.plant.alternator.as_mut().filter(|_| self.idles) {
            alternator.local_idle_share = 1.0;
            if !has_local && self.way == DrivingBy::Proportion {
                (alternator.states[0].1, alternator.states[1].1) = (1.0, 0.0);
            }
        }
        let besides = Besides {
            start_soc,
            ..Besides::default()
        };
        let run = Simulation::run(&scenario, settings, timeline, &besides, progress)?;
        Ok(run)
    }

    fn judged(
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
        let chance = run.chance_no_shortfall().value;
        let mut margins = chance_margins(chance, self.own.run.trials, aim);
        let mut worst: Option<(f64, String)> = None;
        let mut weakest: Option<(f64, String)> = None;
        let mut banks = Vec::new();
        for index in self.scenario.house_banks() {
            let mut bank = topup_bank(run, index);
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
        let short = (chance < aim).then_some(weakest).flatten();
        Tried {
            driven: Driven::of(run),
            margins,
            binds: worst
                .map(|worst| binds(worst, Condition::EndSoc))
                .or_else(|| short.map(|weakest| binds(weakest, Condition::Chance))),
            banks,
            engine_wh_per_day: engine_wh_per_day(run),
        }
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
}

impl Search<Driving<'_>> {
    /// Hours a day at the favourable and the unfavourable ends of the intervals, and whether the second is the
    /// most that was looked at, and still too little there.
    pub(super) fn end_hours(&mut self, least: &Least) -> Result<(f64, f64, bool), ChoosingError> {
        let (low, high) = self.ends(least.number)?;
        let here = self.looked(least.number)?.driven.per_day;
        let last = high.unwrap_or(self.last);
        let mut hours = |number: u32| -> Result<f64, ChoosingError> {
            let moved = self.looked(number)?.driven.per_day - here;
            Ok(tidy(least.at.driven.per_day + moved))
        };
        Ok((hours(low)?, hours(last)?, high.is_none()))
    }

    /// The least with the engine at idle, in a first look put right by what was run of driving; `None` if no
    /// number of hours does. Idling never brings more than driving.
    pub(super) fn at_idle(&mut self, least: &Least) -> Result<Option<Tried>, ChoosingError> {
        let Driving {
            scenario,
            ref own,
            progress,
            way,
            ..
        } = self.row;
        let mut idle = Driving::search(scenario, own, progress, way, true);
        idle.beyond_look = self.beyond_look;
        let last = idle.last;
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
