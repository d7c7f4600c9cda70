//! `tideover stay`: how many days can we stay parked here, from now on?

use std::path::PathBuf;

use clap::Args;
use tideover::present::charts::stay_svg;
use tideover::present::tables::stay_tables;
use tideover::present::words::{Screen, stay_verdict};
use tideover::study::from_here::from_stop;
use tideover::study::stay::{DEFAULT_HORIZON_DAYS, StayQuestion, stay};

use super::here_options::HereOptions;
use super::prepared::{Bar, Spoken, check_memory, deliver, json, prepare};
use super::trial_options::TrialOptions;
use super::whole_files::WholeFiles;
use super::{Failure, Outcome, screen};

/// How many days you can stay parked at a stop, from now on, without driving
#[derive(Debug, Args)]
pub(super) struct Arguments {
    /// The scenario file
    scenario: PathBuf,
    /// How many days to look ahead, 1 to 366
    #[arg(long, value_name = "D", default_value_t = DEFAULT_HORIZON_DAYS,
          value_parser = clap::value_parser!(u32).range(1..=366))]
    horizon: u32,
    /// Exit with 1 if the nights planned here do not meet the aim
    #[arg(long)]
    strict: bool,
    #[command(flatten)]
    here: HereOptions,
    #[command(flatten)]
    options: TrialOptions,
}

/// Runs the command.
pub(super) fn run(arguments: &Arguments) -> Result<Outcome, Failure> {
    let options = &arguments.options;
    let prepared = prepare(&arguments.scenario, options)?;
    let (scenario, settings) = (&prepared.scenario, &prepared.settings);
    let question = StayQuestion {
        horizon_days: arguments.horizon,
        ..StayQuestion::of(from_stop(scenario, &arguments.here.words())?)
    };
    check_memory(scenario, settings, u64::from(question.horizon_days))?;
    let bar = Bar::new(options, settings.run.trials);
    let answer = stay(scenario, &question, settings, &bar);
    bar.finish();
    let answer = answer?;
    let result_json = json(&answer.result)?;
    let mut files = WholeFiles::into_folder(prepared.folder);
    files.add("stay.svg", stay_svg(&answer));
    files.add("stay.json", result_json.as_str());
    deliver(
        options,
        files,
        &result_json,
        &Spoken {
            from: answer.result.heading.from.as_ref(),
            verdict: stay_verdict(&answer),
            tables: stay_tables(&answer, screen::width()),
            warnings: &answer.result.warnings,
            scenario,
            screen: Screen::Stay,
        },
    )?;
    let is_no = answer.nights_at_aim < answer.nights_planned.clamp(1, arguments.horizon);
    Ok(if arguments.strict && is_no {
        Outcome::No
    } else {
        Outcome::Done
    })
}
