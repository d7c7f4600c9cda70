//! The studies of a scenario's trip: `budget`, `trip`, `stay`, `compare`, `topup`, `shed`, `mend` and `why`.
//!
//! One job: the words of each to its question. What all of them do with the answer is in `studied`.

use std::path::PathBuf;

use clap::Args;
use tideover::command::{Question, horizon_days};
use tideover::study::choosing::why::Of;
use tideover::study::stay::DEFAULT_HORIZON_DAYS;

use super::here_options::HereOptions;
use super::studied::studied;
use super::trial_options::{TrialOptions, hide_refused};
use super::{Ending, Failure};

/// What every study takes that can begin on the way.
#[derive(Debug, Args)]
pub(super) struct OnTheWay {
    /// The scenario file
    scenario: PathBuf,
    #[command(flatten)]
    here: HereOptions,
    #[command(flatten)]
    options: TrialOptions,
}

impl OnTheWay {
    pub(super) fn ask(&self, question: &Question, is_strict: bool) -> Result<Ending, Failure> {
        let Self {
            scenario,
            here,
            options,
        } = self;
        studied(scenario, options, Some(here), question, is_strict)
    }
}

/// Test an itinerary: the chance that it works, night by night, and its weak point
#[derive(Debug, Args)]
pub(super) struct Trip {
    /// Exit with 1 if the chance of no shortfall is below the aim
    #[arg(long)]
    strict: bool,
    #[command(flatten)]
    study: OnTheWay,
}

impl Trip {
    pub(super) fn run(&self) -> Result<Ending, Failure> {
        self.study.ask(&Question::Trip, self.strict)
    }
}

/// How many days you can stay parked at a stop, from now on, without driving
#[derive(Debug, Args)]
pub(super) struct Stay {
    /// How many days to look ahead, 1 to 366
    #[arg(long, value_name = "D", default_value_t = DEFAULT_HORIZON_DAYS,
          value_parser = horizon_days)]
    horizon: u32,
    /// Exit with 1 if the nights planned here do not meet the aim
    #[arg(long)]
    strict: bool,
    #[command(flatten)]
    study: OnTheWay,
}

impl Stay {
    pub(super) fn run(&self) -> Result<Ending, Failure> {
        let horizon_days = self.horizon;
        let question = Question::Stay { horizon_days };
        self.study.ask(&question, self.strict)
    }
}

/// What each option buys: batteries, panels, chargers, nights, all on the same trial trips
#[derive(Debug, Args)]
#[command(mut_args(hide_refused))]
pub(super) struct Compare {
    /// Values of a key, such as `banks.main.capacity_ah=100,200`; repeat it for the cross product, 64
    /// options at most
    #[arg(long, value_name = "KEY=V1,V2,…")]
    vary: Vec<String>,
    /// One option that sets several keys, such as
    /// `big:banks.main.capacity_ah=200,banks.main.price=1600`
    #[arg(long, value_name = "NAME:KEY=V,KEY=V")]
    option: Vec<String>,
    #[command(flatten)]
    study: OnTheWay,
}

impl Compare {
    pub(super) fn run(&self) -> Result<Ending, Failure> {
        let question = Question::Compare {
            vary: self.vary.clone(),
            option: self.option.clone(),
        };
        self.study.ask(&question, false)
    }
}

/// The least driving a day that keeps the banks topped up at the aim
#[derive(Debug, Args)]
#[command(mut_args(hide_refused))]
#[expect(
    clippy::doc_markdown,
    reason = "the words of --help, shown without backticks"
)]
pub(super) struct Topup {
    /// The size across the picture, such as solar.roof.panel_w [default: the capacity of the bank
    /// that binds]
    #[arg(long, value_name = "KEY")]
    against: Option<String>,
    /// Exit with 1 if no number of hours does
    #[arg(long)]
    strict: bool,
    #[command(flatten)]
    study: OnTheWay,
}

impl Topup {
    pub(super) fn run(&self) -> Result<Ending, Failure> {
        let against = self.against.clone();
        self.study.ask(&Question::Topup { against }, self.strict)
    }
}

/// The cheapest change that makes the trip work, found by trying, and what does not help
#[derive(Debug, Args)]
#[command(mut_args(hide_refused))]
pub(super) struct Mend {
    /// The scenario file
    scenario: PathBuf,
    /// Solve for one size alone, such as `banks.main.capacity_ah`: the least that reaches the aim, and the next
    /// to be bought
    #[arg(long, value_name = "KEY")]
    of: Option<String>,
    /// Exit with 1 if no change that was tried reaches the aim
    #[arg(long)]
    strict: bool,
    #[command(flatten)]
    options: TrialOptions,
}

impl Mend {
    pub(super) fn run(&self) -> Result<Ending, Failure> {
        let of = self.of.clone();
        let question = Question::Mend { of };
        studied(&self.scenario, &self.options, None, &question, self.strict)
    }
}

/// Which assumption the answer depends on most; 500 trials where none are given
#[derive(Debug, Args)]
#[command(mut_args(hide_refused))]
pub(super) struct Why {
    /// What to look at: chance (of no shortfall) or soc (the lowest state of charge) [default: chance,
    /// or soc where the chance stands at 0 or 100 %]
    #[arg(long, value_name = "WHAT", value_parser = ["chance", "soc"])]
    of: Option<String>,
    #[command(flatten)]
    study: OnTheWay,
}

impl Why {
    pub(super) fn run(&self) -> Result<Ending, Failure> {
        let of = self.of.as_deref().map(|of| match of {
            "soc" => Of::LowestSoc,
            _ => Of::Chance,
        });
        self.study.ask(&Question::Why { of }, false)
    }
}
