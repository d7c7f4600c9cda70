//! `tideover stay`: how many days can we stay parked here, from now on?

use std::path::PathBuf;

use chrono::NaiveDateTime;
use clap::Args;
use tideover::present::charts::stay_svg;
use tideover::present::tables::stay_tables;
use tideover::present::words::{Screen, stay_verdict};
use tideover::scenario::{LocalInstant, Scenario};
use tideover::study::stay::{DEFAULT_HORIZON_DAYS, StayQuestion, stay};

use super::prepared::{Bar, Spoken, check_memory, deliver, json, prepare};
use super::trial_options::TrialOptions;
use super::whole_files::WholeFiles;
use super::{Failure, Outcome, screen};

/// How many days you can stay parked at a stop, from now on, without driving
#[derive(Debug, Args)]
pub(super) struct Arguments {
    /// The scenario file
    scenario: PathBuf,
    /// The stop, by name or by number from 1 [default: where the itinerary is at --now, else the
    /// first with a night]
    #[arg(long, value_name = "STOP")]
    at: Option<String>,
    /// State of charge now, 0 to 1, such as main=0.62; once for each bank [default: its `start_soc`]
    #[arg(long, value_name = "BANK=SOC")]
    soc: Vec<String>,
    /// Local time now, such as 2027-07-05T18:00 [default: the arrival by the itinerary]
    #[arg(long, value_name = "TIME")]
    now: Option<String>,
    /// How many days to look ahead, 1 to 366
    #[arg(long, value_name = "D", default_value_t = DEFAULT_HORIZON_DAYS,
          value_parser = clap::value_parser!(u32).range(1..=366))]
    horizon: u32,
    /// Exit with 1 if the chance of no shortfall up to the next departure is below the aim
    #[arg(long)]
    strict: bool,
    #[command(flatten)]
    options: TrialOptions,
}

/// Runs the command.
pub(super) fn run(arguments: &Arguments) -> Result<Outcome, Failure> {
    let options = &arguments.options;
    let prepared = prepare(&arguments.scenario, options)?;
    let (scenario, settings) = (&prepared.scenario, &prepared.settings);
    let question = question(arguments, scenario)?;
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
            verdict: stay_verdict(&answer),
            tables: stay_tables(&answer, screen::width()),
            warnings: &answer.result.warnings,
            scenario,
            screen: Screen::Stay,
        },
    )?;
    let chance = match &answer.next_departure {
        Some((_, chance)) => chance.value,
        None => answer
            .result
            .nights
            .last()
            .map_or(1.0, |night| night.chance_so_far.value),
    };
    let is_no = chance < answer.aim_chance;
    Ok(if arguments.strict && is_no {
        Outcome::No
    } else {
        Outcome::Done
    })
}

fn question(arguments: &Arguments, scenario: &Scenario) -> Result<StayQuestion, Failure> {
    let stop = arguments
        .at
        .as_deref()
        .map(|at| find_stop(scenario, at))
        .transpose()?;
    let now_s = arguments
        .now
        .as_deref()
        .map(|now| local_now(scenario, now))
        .transpose()?;
    let mut question = StayQuestion::new(scenario, stop, now_s);
    question.horizon_days = arguments.horizon;
    for given in &arguments.soc {
        let (bank, soc) = bank_soc(scenario, given)?;
        question.start_soc[bank] = Some(soc);
    }
    Ok(question)
}

fn usage(option: &'static str, found: &str, allowed: String) -> Failure {
    Failure::Option {
        option,
        found: found.to_owned(),
        allowed,
    }
}

fn find_stop(scenario: &Scenario, at: &str) -> Result<usize, Failure> {
    let legs = &scenario.itinerary.legs;
    let named: Vec<usize> = (0..legs.len())
        .filter(|&leg| legs[leg].stop.name == at)
        .collect();
    match named.as_slice() {
        [only] => return Ok(*only),
        [] => {}
        several => {
            let numbers: Vec<String> = several.iter().map(|leg| (leg + 1).to_string()).collect();
            let text = format!(
                "several stops have this name: give the number, {}",
                numbers.join(" or ")
            );
            return Err(usage("--at", at, text));
        }
    }
    if let Some(leg) = at
        .parse::<usize>()
        .ok()
        .filter(|leg| (1..=legs.len()).contains(leg))
    {
        return Ok(leg - 1);
    }
    let names: Vec<&str> = legs.iter().map(|leg| leg.stop.name.as_str()).collect();
    let text = format!(
        "must be a stop ({}) or its number, 1 to {}",
        names.join(", "),
        legs.len()
    );
    Err(usage("--at", at, text))
}

fn local_now(scenario: &Scenario, now: &str) -> Result<i64, Failure> {
    let local = ["%Y-%m-%dT%H:%M", "%Y-%m-%dT%H:%M:%S"]
        .iter()
        .find_map(|form| NaiveDateTime::parse_from_str(now, form).ok())
        .ok_or_else(|| {
            usage(
                "--now",
                now,
                "must be a local time such as 2027-07-05T18:00".to_owned(),
            )
        })?;
    match scenario.itinerary.zone.resolve(local) {
        LocalInstant::Once(utc_s) | LocalInstant::Twice { first_s: utc_s, .. } => Ok(utc_s),
        LocalInstant::Skipped { .. } => Err(usage(
            "--now",
            now,
            format!(
                "the clocks of {} jump over this time",
                scenario.itinerary.zone.name()
            ),
        )),
    }
}

fn bank_soc(scenario: &Scenario, given: &str) -> Result<(usize, f64), Failure> {
    let ids: Vec<&str> = scenario.banks.iter().map(|bank| bank.id.as_str()).collect();
    let form = || {
        format!(
            "must be BANK=SOC with a bank ({}) and a share from 0 to 1",
            ids.join(", ")
        )
    };
    let (id, soc) = given
        .split_once('=')
        .ok_or_else(|| usage("--soc", given, form()))?;
    let bank = ids.iter().position(|known| *known == id);
    let soc = soc
        .parse::<f64>()
        .ok()
        .filter(|soc| (0.0..=1.0).contains(soc));
    bank.zip(soc).ok_or_else(|| usage("--soc", given, form()))
}
