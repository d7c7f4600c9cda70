//! From the text of a scenario file to the checked [`Scenario`].
//!
//! One job: run the text through scanner, structure and rules, and hand back the scenario or
//! every problem at once. Each file here checks one part of the scenario.
//! Left out: reading the file from disk (`cli`).

mod alternator;
mod banks;
mod calendar;
mod chargers;
mod climate;
mod daily_sun;
mod day_persistence;
mod doubts;
mod entries;
mod far_station;
mod findings;
pub(super) mod fridge;
mod inverters;
mod itinerary;
mod kinds;
mod load_stops;
mod loads;
mod misplaced;
mod panels;
mod relays;
mod ring;
mod runs;
pub(super) mod spreads;
mod time_words;
mod unit_slips;
mod weather_files;
mod weather_reach;
mod whereabouts;
pub(super) mod windows;

use std::ops::Deref;

use serde::Serialize;

use super::document::{pointer_step, scan};
use super::file::{SCHEMA, ScenarioFile};
use super::problem::{Fault, Problem, Refusal, must_be};
use super::structure::check_structure;
use super::whole::Source;
use super::{BankId, Climate, Parts, Scenario};
use crate::units::Sentence;
pub use doubts::lithium_behind_relay;
pub(super) use entries::Entries;
pub(super) use findings::Findings;
pub(super) use weather_files::{TakenFile, WeatherFiles};

/// What a warning is about, where both the file and a run may warn of it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Topic {
    /// A relay through which more flows than is good for the alternator.
    Relay(usize),
    /// More is asked of the alternator than it has.
    Alternator,
    /// This bank is too cold to charge.
    ColdCharge(BankId),
    /// More is asked of this bank than it may give.
    Discharge(BankId),
    /// Anything else.
    Other,
}

/// Something legal but doubtful.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Warning {
    /// What it is about.
    #[serde(skip)]
    pub topic: Topic,
    /// JSON pointer of what it is about.
    pub path: String,
    /// Id or name of the entry the path goes through.
    pub label: Option<String>,
    /// One or two sentences.
    pub text: Sentence,
    /// Line in the file, from 1.
    pub line: usize,
    /// Column in characters, from 1.
    pub column: usize,
}

/// A value that the file does not give.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Assumed {
    /// JSON pointer at which it could be given.
    pub path: String,
    /// The value, as the file would write it.
    pub value: Sentence,
    /// Why this one.
    pub reason: Sentence,
}

/// An accepted scenario file.
#[derive(Debug, Clone, PartialEq)]
pub struct Reading {
    /// The scenario, every default filled in.
    pub scenario: Scenario,
}

/// What the file gave is what its scenario carries.
impl Deref for Reading {
    type Target = Scenario;

    fn deref(&self) -> &Scenario {
        &self.scenario
    }
}

/// Gives the bytes of a weather file named by the scenario, or says why it cannot.
pub type ReadFile<'a> = dyn Fn(&str) -> Result<Vec<u8>, String> + 'a;

/// Reads the text of a scenario file. `file_name` appears in messages only.
///
/// # Errors
/// Every problem of the file, in file order.
pub fn read(text: &str, file_name: &str, files: &ReadFile<'_>) -> Result<Reading, Refusal> {
    let weather = WeatherFiles::new(files, None);
    check_text(text, file_name, weather).map(|scenario| Reading { scenario })
}

/// Checks a text, with the weather files it may name.
pub(super) fn check_text(
    text: &str,
    file_name: &str,
    weather: WeatherFiles<'_>,
) -> Result<Scenario, Refusal> {
    let refuse = |problems: Vec<Problem>| Refusal {
        file_name: file_name.to_owned(),
        problems,
    };
    let (root, duplicates) =
        scan(text).map_err(|(byte, error)| refuse(vec![syntax(text, byte, error)]))?;
    let mut notes = Findings::new(text, &root);
    for duplicate in duplicates {
        let (first_line, _) = notes.locate(duplicate.first);
        let text = format!("stands twice in one object, first on line {first_line}");
        notes.problem_at(&duplicate.path, duplicate.later, text);
    }
    let (sound, findings) = check_structure(&root, &SCHEMA);
    for finding in findings {
        notes.problem_at(&finding.path, finding.byte, finding.fault);
        if let Some(meant) = finding.meant {
            notes.spoil_beside(&finding.path, &meant);
        }
    }
    let file: ScenarioFile = match serde_path_to_error::deserialize(&sound) {
        Ok(file) => file,
        Err(error) => {
            let path = error.path().iter().fold(String::new(), |path, step| {
                path + "/" + &pointer_step(&step.to_string())
            });
            notes.problem(&path, format!("cannot be read: {}", error.into_inner()));
            return Err(refuse(sorted(notes.problems)));
        }
    };
    let parts = parts(&file, file_name, &weather, &mut notes);
    match parts {
        Some(mut parts) if notes.problems.is_empty() => {
            parts.warnings = notes.warnings;
            let place = |warning: &Warning| (warning.line, warning.column);
            parts.warnings.sort_by_key(place);
            parts.assumed = notes.assumed;
            let source = Source {
                root: sound,
                file_name: file_name.to_owned(),
                weather: weather.taken(),
            };
            Ok(Scenario::new(parts, source))
        }
        _ => Err(refuse(sorted(notes.problems))),
    }
}

fn sorted(mut problems: Vec<Problem>) -> Vec<Problem> {
    problems.sort_by_key(|problem| (problem.line, problem.column));
    problems
}

fn syntax(text: &str, byte: usize, error: Fault) -> Problem {
    let place = super::document::LineIndex::new(text).locate(text, byte);
    Problem::new(place, "", None, error)
}

/// Checks part after part; `None` where a part that others need could not be read at all.
fn parts(
    file: &ScenarioFile,
    file_name: &str,
    weather: &WeatherFiles<'_>,
    notes: &mut Findings<'_>,
) -> Option<Parts> {
    let title = file.title.clone().unwrap_or_else(|| {
        let title = stem(file_name).unwrap_or("untitled trip").to_owned();
        notes.assume("/title", &title, "the name of the file");
        title
    });
    let system_voltage_v = file.system_voltage_v("", notes);
    let factor = system_voltage_v / 12.0;
    let currency = file.currency.as_deref();
    let currency = currency.and_then(|text| currency_letters(text, notes));
    let aim_chance = file.aim.clone().unwrap_or_default().chance("/aim", notes);

    let entries = Entries::collect(file, notes);
    let banks = banks::check(file, factor, notes);
    let alternator = alternator::check(file.alternator.as_ref(), factor, notes);
    let chargers = chargers::check(file, &entries, &banks, alternator.as_ref(), factor, notes);
    ring::check(&chargers, &banks, notes);
    let solar = panels::check(file, &entries, &chargers, factor, notes);

    let itinerary = file
        .itinerary
        .as_ref()
        .and_then(|itinerary| itinerary::check(itinerary, notes));
    let calendar = itinerary.as_ref().map(|itinerary| {
        let calendar = calendar::calendar(itinerary, itinerary::DAY_LIMIT);
        itinerary::check_length(itinerary, &calendar, notes);
        calendar
    });
    let dates = (itinerary.as_ref(), calendar.as_ref());
    let climate = climate::check(file.climate.as_ref(), dates, weather, notes);
    if let (Some(Climate::BuiltIn { .. }), Some(itinerary)) = (&climate, &itinerary) {
        weather_reach::built_in(itinerary, notes);
    }
    let mut loads = loads::check(file, &entries, &banks, calendar.as_ref(), factor, notes);
    let inverters = inverters::check(file, &entries, notes);
    inverters::join(
        file,
        &entries,
        &inverters,
        &mut loads,
        system_voltage_v,
        notes,
    );
    let ends = runs::Ends {
        banks: &banks,
        chargers: &chargers,
        solar: &solar,
        loads: &loads,
        inverters: &inverters,
    };
    let distribution = runs::points(file, notes);
    let runs = runs::check(file, &entries, &ends, notes);
    inverters::check_runs(file, &loads, &runs, notes);
    let nights = calendar.as_ref().map_or(0, |calendar| calendar.camp_nights);

    let parts = Parts {
        title,
        system_voltage_v,
        seed: file.seed,
        currency,
        units: file.units.unwrap_or_default(),
        aim_chance,
        itinerary: itinerary.clone()?,
        climate: climate?,
        banks,
        alternator,
        chargers,
        solar,
        loads,
        inverters,
        distribution,
        runs,
        warnings: Vec::new(),
        assumed: Vec::new(),
    };
    if notes.problems.is_empty() {
        doubts::doubt(&parts, nights, notes);
        misplaced::doubt(&parts.itinerary, notes);
        unit_slips::doubt(&parts, notes);
    }
    Some(parts)
}

fn currency_letters(text: &str, notes: &mut Findings<'_>) -> Option<String> {
    if text.bytes().all(|byte| byte.is_ascii_uppercase()) {
        return Some(text.to_owned());
    }
    let upper = text.to_uppercase();
    let is_cure = upper.bytes().all(|byte| byte.is_ascii_uppercase());
    let fault = must_be(
        format_args!("`{}`", text.escape_debug()),
        "three capital letters, such as `CAD`",
    );
    notes.problem(
        "/currency",
        if is_cure {
            fault.hint(&format!("write \"{upper}\""))
        } else {
            fault
        },
    );
    None
}

/// File name without folders and the last ending.
fn stem(file_name: &str) -> Option<&str> {
    let name = file_name.rsplit(['/', '\\']).next()?;
    let stem = name.rsplit_once('.').map_or(name, |(stem, _)| stem);
    (!stem.is_empty()).then_some(stem)
}
