//! A question to its answer: settings, study, words, tables, JSON and files.

use super::answered::{Answered, Told};
use super::choosing::{compare, mend, mend_of, shed, topup, why};
use super::learn::learn;
use super::report::report;
use super::{Failure, Options, Question};
use crate::present::charts::{autonomy_svg, budget_svg, stay_svg, trip_svg};
use crate::present::csv::series_csv;
use crate::present::tables::{budget_file, budget_tables, nights_file, stay_tables, trip_tables};
use crate::present::trip_document::TripDocument;
use crate::present::words::{Screen, budget_verdict, stay_verdict, trip_verdict};
use crate::scenario::{ReadFile, Scenario};
use crate::study::budget::budget;
use crate::study::from_here::{from_here, from_stop};
use crate::study::quick_chance::QuickChance;
use crate::study::settings::Settings;
use crate::study::stay::{StayQuestion, stay};
use crate::study::trip::trip;
use crate::study::typical::typical;
use crate::trials::{Ensemble, Progress, RunSettings};

/// What every command is worked out from.
pub struct Asked<'a> {
    /// The scenario.
    pub scenario: &'a Scenario,
    /// How to run it, and from where on.
    pub options: &'a Options,
    /// Reads a weather file that a change names.
    pub files: &'a ReadFile<'a>,
    /// Whether to make the files too.
    pub with_files: bool,
    /// Hears how far a run is.
    pub progress: &'a dyn Progress,
}

/// Refuses options that make no sense for a question. [`answer`] does so too; who reads a file first can
/// ask before.
///
/// # Errors
/// [`Failure::Option`].
pub fn check_options(question: &Question, options: &Options) -> Result<(), Failure> {
    let is_mend = matches!(question, Question::Mend { .. });
    if is_mend && options.here != super::options::Options::default().here {
        let allowed = "mend changes the trip from its departure, not from here on";
        return Err(Failure::option("--now", "", allowed));
    }
    if !question.compares_runs() {
        return Ok(());
    }
    if options.typical {
        return Err(Failure::option(
            "--typical",
            "",
            "this command compares chances, and a trip without chance has none",
        ));
    }
    options.precision.map_or(Ok(()), |precision| {
        Err(Failure::option(
            "--precision",
            &precision.to_string(),
            "this command needs the same trials in every run: give --trials",
        ))
    })
}

/// The trip from its departure, for the chances of changes to it.
///
/// # Errors
/// [`Failure`]: an option that does not fit, a day without weather.
pub fn quick_chance(asked: &Asked<'_>) -> Result<QuickChance, Failure> {
    let settings = settings(&Question::Trip, asked)?;
    check_memory(asked.scenario, &settings, nights_of(asked.scenario))?;
    Ok(QuickChance::new(asked.scenario, &settings)?)
}

/// The answer to a question.
///
/// # Errors
/// [`Failure`]: an option that does not fit, a choice that cannot be worked out, a day without weather.
pub fn answer(question: &Question, asked: &Asked<'_>) -> Result<Answered, Failure> {
    check_options(question, asked.options)?;
    let mut settings = settings(question, asked)?;
    check_memory(asked.scenario, &settings, nights_of(asked.scenario))?;
    if let Question::Stay { horizon_days } = question {
        return stay_answer(*horizon_days, asked, &settings);
    }
    settings.here = from_here(asked.scenario, &settings, &asked.options.here)?;
    match question {
        Question::Stay { .. } | Question::Trip => trip_answer(asked, &settings),
        Question::Budget => budget_answer(asked, &settings),
        Question::Shed => shed(asked, &settings),
        Question::Why { of } => why(*of, asked, &settings),
        Question::Compare { vary, option } => compare(vary, option, asked, &settings),
        Question::Mend { of: None } => mend(asked, &settings),
        Question::Mend { of: Some(key) } => mend_of(key, asked, &settings),
        Question::Learn(question) => learn(question, asked, &settings),
        Question::Topup { against } => topup(against.as_deref(), asked, &settings),
        Question::Report {
            compare,
            only,
            log,
            file_name,
            date,
        } => report(
            compare,
            (*only, log.as_ref()),
            (file_name, date),
            asked,
            &settings,
        ),
    }
}

fn settings(question: &Question, asked: &Asked<'_>) -> Result<Settings, Failure> {
    let options = asked.options;
    let or = |result: Result<(), String>, option: &str, found: &dyn ToString| {
        result.map_err(|allowed| Failure::option(option, &found.to_string(), allowed))
    };
    // Who is not the command line may have any number here.
    let step = super::step_minutes(&options.step().to_string()).map(drop);
    or(step, "--step", &options.step())?;
    let trials = options.trials_or(question.default_trials());
    or(
        super::trials(&trials.to_string()).map(drop),
        "--trials",
        &trials,
    )?;
    Ok(Settings {
        seed: options.seed_or(asked.scenario.seed),
        step_minutes: options.step(),
        run: RunSettings {
            trials,
            threads: options.threads,
            precision: options.precision,
        },
        typical: options.typical,
        here: None,
    })
}

fn nights_of(scenario: &Scenario) -> u64 {
    let legs = scenario.itinerary.legs.iter();
    legs.map(|leg| u64::from(leg.nights)).sum()
}

/// Refuses a run whose trials have no room.
fn check_memory(scenario: &Scenario, settings: &Settings, nights: u64) -> Result<(), Failure> {
    let fridges = scenario.loads.iter();
    let fridges = fridges.filter(|load| load.kind.fridge().is_some());
    let trials = settings.run.trials;
    let (banks, fridges) = (scenario.banks.len() as u64, fridges.count() as u64);
    let bytes = Ensemble::bytes_of(trials, banks, fridges, nights);
    let has_room =
        usize::try_from(bytes).is_ok_and(|bytes| Vec::<u8>::new().try_reserve_exact(bytes).is_ok());
    if has_room || settings.typical {
        Ok(())
    } else {
        Err(Failure::Memory { trials, bytes })
    }
}

fn trip_answer(asked: &Asked<'_>, settings: &Settings) -> Result<Answered, Failure> {
    let (answer, steps) = if settings.typical {
        let (answer, steps) = typical(asked.scenario, settings)?;
        (answer, Some(steps))
    } else {
        (trip(asked.scenario, settings, asked.progress)?, None)
    };
    let told = Told::new(
        asked,
        Screen::Trip,
        &answer.result.heading,
        &answer.result.warnings,
    );
    let document = TripDocument::from(&answer);
    let mut answered = told.answered(trip_verdict(&answer), trip_tables(&answer), &document)?;
    answered.is_no = answer.result.chance_no_shortfall.value < answer.aim_chance;
    if asked.with_files {
        answered.add("trip.svg", trip_svg(&answer));
        answered.add("autonomy.svg", autonomy_svg(&answer));
        answered.add_table("trip.csv", &nights_file(&answer.result))?;
        answered.add_json("trip.json");
        if let Some(steps) = steps {
            let rows = steps.rows.into_iter();
            let series = series_csv(&steps.header, asked.scenario.units, rows);
            answered.add("typical.csv", series.map_err(Failure::Csv)?);
        }
    }
    Ok(answered)
}

fn stay_answer(
    horizon_days: u32,
    asked: &Asked<'_>,
    settings: &Settings,
) -> Result<Answered, Failure> {
    super::horizon_days(&horizon_days.to_string())
        .map_err(|allowed| Failure::option("--horizon", &horizon_days.to_string(), allowed))?;
    let question = StayQuestion {
        horizon_days,
        step_minutes: asked.options.parked_step(horizon_days),
        ..StayQuestion::of(from_stop(asked.scenario, &asked.options.here)?)
    };
    check_memory(asked.scenario, settings, u64::from(horizon_days))?;
    let answer = stay(asked.scenario, &question, settings, asked.progress)?;
    let told = Told::new(
        asked,
        Screen::Stay,
        &answer.result.heading,
        &answer.result.warnings,
    );
    let mut answered =
        told.answered(stay_verdict(&answer), stay_tables(&answer), &answer.result)?;
    answered.is_no = answer.nights_at_aim < answer.nights_planned.clamp(1, horizon_days);
    if asked.with_files {
        answered.add("stay.svg", stay_svg(&answer));
        answered.add_json("stay.json");
    }
    Ok(answered)
}

fn budget_answer(asked: &Asked<'_>, settings: &Settings) -> Result<Answered, Failure> {
    let result = budget(asked.scenario, settings, asked.progress)?;
    let told = Told::new(asked, Screen::Budget, &result.heading, &result.warnings);
    let mut answered = told.answered(budget_verdict(&result), budget_tables(&result), &result)?;
    if asked.with_files {
        answered.add("budget.svg", budget_svg(&result));
        answered.add_table("budget.csv", &budget_file(&result))?;
        answered.add_json("budget.json");
    }
    Ok(answered)
}
