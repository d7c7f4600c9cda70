//! A scenario run through its trials: what every study begins with.
//!
//! One job: scenario, timeline and trials side by side, and what the reader of any answer that
//! rests on them should know, said once. What is asked of it is in the studies.

use std::borrow::Cow;

use super::answer::{Chance, FORMAT, Heading, Warning};
use super::assemble::{from_here, rfc3339};
use super::climate_notes::climate_notes;
use super::figures::{chance_in, never};
use super::run_warnings::run_warnings;
use super::settings::Settings;
use crate::engine::{Draws, Figures, LANES, Unobserved};
use crate::scenario::{Scenario, Topic, Warning as Doubt, subject};
use crate::timeline::Timeline;
use crate::timeline::calendar::Plan;
use crate::timeline::weather_days::WeatherError;
use crate::trials::{
    Behind, DelayDraws, DelayedPlan, Drawing, Ensemble, Progress, Seeds, run_trials_for,
    run_typical,
};
use crate::units::{Whole, narrow};

/// A scenario with its trials.
#[derive(Debug)]
pub struct Simulation {
    /// What was run.
    pub scenario: Scenario,
    /// How.
    pub settings: Settings,
    /// The steps.
    pub timeline: Timeline,
    /// The trials, or the one trip without chance.
    pub ensemble: Ensemble,
}

/// What a run has besides scenario, settings and timeline.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Besides<'a> {
    /// State of charge of each bank where it is not that of the file; empty leaves all as they are.
    pub(super) start_soc: &'a [Option<f64>],
    /// What leads up to a plan that goes on from a moment, where several do; `None`: each has its own.
    pub(super) behind: Option<&'a Behind<'a>>,
    /// What of the trials is worked out.
    pub(super) figures: Figures,
    /// Streams of chance; `None`: the settings' seed for all.
    pub(super) seeds: Option<Seeds>,
}

/// Something to tell, and whether it is the same as something told elsewhere.
#[derive(Debug, Clone, PartialEq)]
struct Told {
    topic: Topic,
    warning: Warning,
}

impl Simulation {
    /// Runs the trip of the itinerary, from where the settings have it go on.
    ///
    /// # Errors
    /// [`WeatherError`] where a day has no climate.
    pub fn trip(
        scenario: &Scenario,
        settings: &Settings,
        progress: &dyn Progress,
    ) -> Result<Self, WeatherError> {
        Self::of_plan(scenario, settings.plan(), settings, progress)
    }

    /// The first of at most `runs` runs of the trip, which are told of before it begins.
    ///
    /// # Errors
    /// [`WeatherError`] where a day has no climate.
    pub fn first_of(
        scenario: &Scenario,
        settings: &Settings,
        runs: u64,
        progress: &dyn Progress,
    ) -> Result<Self, WeatherError> {
        let timeline = Timeline::new(scenario, settings.plan(), settings.step_minutes)?;
        progress.expect(runs, timeline.steps);
        Self::run(scenario, settings, timeline, &Besides::default(), progress)
    }

    /// Runs a plan.
    ///
    /// # Errors
    /// [`WeatherError`] where a day has no climate.
    pub fn of_plan(
        scenario: &Scenario,
        plan: Plan,
        settings: &Settings,
        progress: &dyn Progress,
    ) -> Result<Self, WeatherError> {
        let timeline = Timeline::new(scenario, plan, settings.step_minutes)?;
        Self::run(scenario, settings, timeline, &Besides::default(), progress)
    }

    /// Runs a changed scenario for the same plan on the same trials: it meets the same weather, drives
    /// and habits as far as the change leaves them. Sun and weather are not worked out again where the
    /// change leaves them too.
    ///
    /// # Errors
    /// [`WeatherError`] where a day has no climate.
    pub fn changed(
        &self,
        scenario: &Scenario,
        progress: &dyn Progress,
    ) -> Result<Self, WeatherError> {
        let timeline = self.timeline.of_changed(&self.scenario, scenario)?;
        let settings = &self.settings;
        Self::run(scenario, settings, timeline, &Besides::default(), progress)
    }

    /// Runs a scenario on its timeline: the one way to a simulation.
    ///
    /// # Errors
    /// [`WeatherError`] where a day that a delay leads to has no climate.
    pub(super) fn run(
        scenario: &Scenario,
        settings: &Settings,
        mut timeline: Timeline,
        besides: &Besides<'_>,
        progress: &dyn Progress,
    ) -> Result<Self, WeatherError> {
        let Besides {
            start_soc,
            behind,
            figures,
            seeds,
        } = *besides;
        let seeds = seeds.unwrap_or(Seeds::all(settings.seed));
        let ensemble = if settings.typical {
            let drawing = Drawing::new(scenario, &timeline, settings.seed, start_soc);
            run_typical(&timeline, &drawing, &mut Unobserved)
        } else if let Some(delays) = DelayDraws::new(scenario, &timeline, seeds.driving) {
            // Trials are counted on the nights of one that has room for all delays.
            if timeline.calendar.room_days == 0 {
                timeline = timeline.with_room(scenario, delays.most_days())?;
            }
            let plan = DelayedPlan {
                scenario,
                room: &timeline,
                delays: &delays,
                seeds,
                start_soc,
                behind,
                figures,
            };
            plan.run(&settings.run, progress)?
        } else {
            let drawing = Drawing::going_on(scenario, &timeline, seeds, start_soc, behind);
            run_trials_for(figures, &timeline, &drawing, &settings.run, progress)
        };
        Ok(Self {
            scenario: scenario.clone(),
            settings: settings.clone(),
            timeline,
            ensemble,
        })
    }

    /// The same plan with other streams of chance and so many trials.
    ///
    /// # Errors
    /// [`WeatherError`] where a day that a delay leads to has no climate.
    pub fn with_seeds(
        &self,
        seeds: Seeds,
        trials: u64,
        progress: &dyn Progress,
    ) -> Result<Self, WeatherError> {
        let mut settings = self.settings.clone();
        settings.run.trials = trials;
        let besides = Besides {
            seeds: Some(seeds),
            ..Besides::default()
        };
        let timeline = self.timeline.clone();
        Self::run(&self.scenario, &settings, timeline, &besides, progress)
    }

    /// The timelines that these trials ran on, each with its trials: one, but where departures may be put
    /// off.
    fn timelines_of(&self, trials: &[u64]) -> Vec<(Cow<'_, Timeline>, Vec<u64>)> {
        let Some(delays) = self.delays() else {
            return vec![(Cow::Borrowed(&self.timeline), trials.to_vec())];
        };
        let groups = delays.groups(trials.iter().copied()).into_iter();
        groups
            .filter_map(|(days, trials)| {
                let timeline = self.timeline.put_off(&self.scenario, &days);
                // What ran once has a climate.
                timeline.ok().map(|timeline| (Cow::Owned(timeline), trials))
            })
            .collect()
    }

    /// Runs some of these trials again to be looked at, or the one trip without chance: `look` gets each timeline
    /// that they ran on and the draws of a batch.
    pub(super) fn look_again(
        &self,
        trials: &[u64],
        mut look: impl FnMut(&Timeline, &Drawing<'_>, &[Draws]),
    ) {
        for (timeline, trials) in self.timelines_of(trials) {
            let drawing = Drawing::new(&self.scenario, &timeline, self.settings.seed, &[]);
            let batches = if self.settings.typical {
                vec![drawing.typical()]
            } else {
                let batches = trials.chunks(LANES);
                batches.map(|trials| drawing.chosen(trials).0).collect()
            };
            look(&timeline, &drawing, &batches);
        }
    }

    /// What the delays of its trials were drawn from; `None` without any.
    pub(super) fn delays(&self) -> Option<DelayDraws> {
        let delays = || DelayDraws::new(&self.scenario, &self.timeline, self.settings.seed);
        (self.timeline.calendar.room_days > 0)
            .then(delays)
            .flatten()
    }

    /// What the reader of an answer from these trials should know: doubts about the file, what the
    /// weather rests on, what the trials showed. Where the trials tell with figures what the file
    /// made doubtful, the doubt is left out.
    #[must_use]
    pub fn warnings(&self) -> Vec<Warning> {
        self.told().into_iter().map(|told| told.warning).collect()
    }

    /// Those of the warnings that another simulation does not give, by what they are about.
    #[must_use]
    pub fn warnings_beyond(&self, other: &Self) -> Vec<Warning> {
        let known = other.told();
        let is_known = |told: &Told| {
            known
                .iter()
                .any(|known| known.topic == told.topic && known.warning.path == told.warning.path)
        };
        let beyond = self.told().into_iter().filter(|told| !is_known(told));
        beyond.map(|told| told.warning).collect()
    }

    fn told(&self) -> Vec<Told> {
        let measured = run_warnings(self);
        let is_measured = |topic: Topic| {
            topic != Topic::Other && measured.iter().any(|(known, _)| *known == topic)
        };
        let doubts = self.scenario.warnings.iter();
        let doubts = doubts
            .filter(|doubt| !is_measured(doubt.topic))
            .map(|doubt| (doubt.topic, doubt.into()));
        let stop = match self.timeline.calendar.plan() {
            Plan::Trip | Plan::Past(_) | Plan::Onward(_) => None,
            Plan::Stay { stop, .. } => Some(*stop),
            Plan::Rest { here, .. } => here.stop,
        };
        let notes = climate_notes(&self.scenario, &self.timeline, stop);
        let notes = notes.into_iter().map(|note| (Topic::Other, note));
        let all = doubts.chain(notes).chain(measured.iter().cloned());
        all.map(|(topic, warning)| Told { topic, warning })
            .collect()
    }

    /// The head of an answer from these trials.
    #[must_use]
    pub fn heading(&self) -> Heading {
        let (scenario, settings) = (&self.scenario, &self.settings);
        Heading {
            format: FORMAT,
            tool: concat!("tideover ", env!("CARGO_PKG_VERSION")).to_owned(),
            scenario: scenario.title.clone(),
            seed: settings.seed,
            trials: self.ensemble.trials,
            step_minutes: settings.step_minutes,
            currency: scenario.currency.clone(),
            units: scenario.units,
            typical: settings.typical,
            start: self.local(self.timeline.calendar.start_s),
            end: self.local(self.timeline.calendar.end_s),
            from: from_here(self),
        }
    }

    /// An instant as RFC 3339 with the local offset.
    pub(super) fn local(&self, utc_s: i64) -> String {
        rfc3339(&self.scenario.itinerary.zone, utc_s)
    }

    /// Chance of something that happened in `hits` of the trials.
    pub(super) fn chance(&self, hits: u64) -> Chance {
        chance_in(&self.ensemble, hits)
    }

    /// Days of all trials together.
    #[must_use]
    pub fn days(&self) -> f64 {
        self.ensemble.totals.hours / 24.0
    }

    /// Days from the departure to the nominal end.
    #[must_use]
    pub fn trip_days(&self) -> f32 {
        trip_days(&self.timeline)
    }

    /// Whether each trial kept every house bank above its reserve.
    #[must_use]
    pub fn kept(&self) -> Vec<bool> {
        let days = self.ensemble.house_autonomy_days.iter();
        days.map(|days| days.is_infinite()).collect()
    }

    /// Chance of no shortfall of any house bank.
    #[must_use]
    pub fn chance_no_shortfall(&self) -> Chance {
        self.chance(self.ensemble.kept())
    }

    /// The house bank that falls short in most trials, and in how many; the first of equals.
    #[must_use]
    pub fn shortest_bank(&self) -> Option<(usize, u64)> {
        let short =
            |bank: usize| self.ensemble.trials - never(&self.ensemble.banks[bank].autonomy_days);
        let banks = self.scenario.house_banks().into_iter();
        let banks = banks.map(|bank| (bank, short(bank)));
        banks.max_by_key(|&(bank, short)| (short, usize::MAX - bank))
    }

    /// Lowest state of charge of any house bank in each trial.
    #[must_use]
    pub fn lowest(&self) -> Vec<f32> {
        let house = self.scenario.house_banks();
        (0..self.ensemble.house_autonomy_days.len())
            .map(|trial| {
                let of_banks = house
                    .iter()
                    .map(|&bank| self.ensemble.banks[bank].lowest_soc[trial]);
                of_banks.fold(f32::INFINITY, f32::min)
            })
            .collect()
    }
}

pub(super) fn trip_days(timeline: &Timeline) -> f32 {
    let calendar = &timeline.calendar;
    narrow((calendar.end_s - calendar.departure_s).real() / 86_400.0)
}

/// A doubt about the file as an answer tells it: with its subject in front.
impl From<&Doubt> for Warning {
    fn from(doubt: &Doubt) -> Self {
        let subject = subject(&doubt.path, doubt.label.as_deref());
        Self {
            path: doubt.path.clone(),
            text: doubt.text.within(|text| format!("{subject} {text}")),
        }
    }
}
