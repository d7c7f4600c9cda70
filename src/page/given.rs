//! The options of a question: names and values as the command line has them, to what a command takes.
//!
//! One job: words to options. Ranges are the library's own, in `command`.

use serde_json::{Map, Value};

use crate::command::{
    Failure, Options, Question, SkyQuestion, WiringQuestion, height_m, horizon_days, month, place,
    precision, seed, step_minutes, trials,
};
use crate::present::plain_text::{plain_line, shortened};
use crate::study::choosing::why::Of;
use crate::study::from_here::HereWords;
use crate::study::report::ReportPart;
use crate::study::stay::DEFAULT_HORIZON_DAYS;
use crate::units::Units;
use crate::wiring::conductors::Series;

/// How trials are run, where every run needs the same ones.
const TRIALS: &[&str] = &["trials", "seed", "step"];

/// How trials are run, where they may be one without chance or as many as it takes.
const ANY_TRIALS: &[&str] = &["trials", "precision", "typical", "seed", "step"];

/// Units of what is shown, with every command.
const UNITS: &[&str] = &["units"];

/// What is known of where one is.
const HERE: &[&str] = &["now", "at", "soc", "nights", "sky"];

/// What each command takes on a page, in groups.
pub(super) const OPTIONS: [(&str, &[&[&str]]); 12] = [
    ("trip", &[&["strict"], ANY_TRIALS, HERE, UNITS]),
    ("stay", &[&["horizon", "strict"], ANY_TRIALS, HERE, UNITS]),
    ("budget", &[ANY_TRIALS, HERE, UNITS]),
    ("shed", &[TRIALS, HERE, UNITS]),
    ("why", &[&["of"], TRIALS, HERE, UNITS]),
    ("compare", &[&["vary", "option"], TRIALS, HERE, UNITS]),
    ("mend", &[&["of", "strict"], TRIALS, UNITS]),
    ("topup", &[&["against", "strict"], TRIALS, HERE, UNITS]),
    ("report", &[&["compare", "only"], ANY_TRIALS, HERE, UNITS]),
    ("wiring", &[&["strict", "cable", "length"], UNITS]),
    ("check", &[&["strict"], UNITS]),
    ("sky", &[&["at", "height", "month"], UNITS]),
];

/// What is asked.
pub(super) enum Command {
    /// A question to the trials.
    Study(Question),
    /// Cables and fuses.
    Wiring(WiringQuestion),
    /// A place's climate.
    Sky(SkyQuestion),
    /// The file itself.
    Check,
}

/// A command with its options.
pub(super) struct Given {
    pub(super) command: Command,
    pub(super) options: Options,
    /// Whether a no becomes the status.
    pub(super) is_strict: bool,
    /// Units of what is shown, if not the file's.
    pub(super) units: Option<Units>,
}

impl Given {
    /// Reads options. `file_name` and `today` are what a report says of itself.
    pub(super) fn new(
        command: &str,
        options: &Map<String, Value>,
        file_name: Option<&str>,
        today: Option<&str>,
    ) -> Result<Self, Failure> {
        let Some((command, known)) = OPTIONS.iter().find(|(name, _)| *name == command) else {
            let names = OPTIONS.map(|(name, _)| name).join(", ");
            let allowed = format!("must be one of {names}");
            return Err(Failure::option(&shortened(command, 40), "", allowed));
        };
        let words = Words::new(command, known, options)?;
        let is_typical = words.flag("typical")?;
        let given = Options {
            trials: words.read("trials", trials)?,
            precision: words.read("precision", precision)?,
            typical: is_typical,
            seed: words.read("seed", seed)?,
            step_minutes: words.read("step", step_minutes)?,
            threads: None,
            here: if *command == "sky" {
                HereWords::default()
            } else {
                here(&words)?
            },
        };
        if is_typical && (given.trials.is_some() || given.precision.is_some()) {
            let allowed = "goes with neither --trials nor --precision";
            return Err(Failure::option("--typical", "", allowed));
        }
        let command = match *command {
            "sky" => Command::Sky(sky(&words)?),
            "wiring" => Command::Wiring(wiring(&words)?),
            "check" => Command::Check,
            study => Command::Study(question(study, &words, file_name, today)?),
        };
        Ok(Self {
            command,
            options: given,
            is_strict: words.flag("strict")?,
            units: words.read("units", Units::named)?,
        })
    }
}

/// How the trials of a chance are run.
pub(super) fn trials_of(options: &Map<String, Value>) -> Result<Options, Failure> {
    let words = Words::new("chance", &[TRIALS], options)?;
    Ok(Options {
        trials: words.read("trials", trials)?,
        seed: words.read("seed", seed)?,
        step_minutes: words.read("step", step_minutes)?,
        ..Options::default()
    })
}

fn question(
    command: &str,
    words: &Words<'_>,
    file_name: Option<&str>,
    today: Option<&str>,
) -> Result<Question, Failure> {
    Ok(match command {
        "trip" => Question::Trip,
        "stay" => Question::Stay {
            horizon_days: words
                .read("horizon", horizon_days)?
                .unwrap_or(DEFAULT_HORIZON_DAYS),
        },
        "budget" => Question::Budget,
        "shed" => Question::Shed,
        "why" => Question::Why {
            of: words.read("of", |of| match of {
                "chance" => Ok(Of::Chance),
                "soc" => Ok(Of::LowestSoc),
                _ => Err("must be chance or soc".to_owned()),
            })?,
        },
        "compare" => Question::Compare {
            vary: words.many("vary"),
            option: words.many("option"),
        },
        "mend" => Question::Mend {
            of: words.one("of")?.map(str::to_owned),
        },
        "topup" => Question::Topup {
            against: words.one("against")?.map(str::to_owned),
        },
        _ => Question::Report {
            compare: words.many("compare"),
            only: words.read("only", |id| {
                ReportPart::of_id(id).ok_or_else(|| "is no part of the report".to_owned())
            })?,
            log: None,
            file_name: file_name.unwrap_or_default().to_owned(),
            date: date(today)?,
        },
    })
}

/// The date that a report bears.
fn date(today: Option<&str>) -> Result<String, Failure> {
    let today = today.unwrap_or_default();
    let date = chrono::NaiveDate::parse_from_str(today, "%Y-%m-%d");
    date.map(|date| date.to_string()).map_err(|_| {
        let allowed = "a report needs today's date, such as 2027-07-05";
        Failure::option("today", &shortened(today, 40), allowed)
    })
}

fn here(words: &Words<'_>) -> Result<HereWords, Failure> {
    Ok(HereWords {
        now: words.one("now")?.map(str::to_owned),
        at: words.one("at")?.map(str::to_owned),
        soc: words.many("soc"),
        nights: words.read("nights", |text| {
            text.parse::<u32>()
                .map_err(|_| "must be a whole number of nights".to_owned())
        })?,
        sky: words.many("sky"),
    })
}

fn sky(words: &Words<'_>) -> Result<SkyQuestion, Failure> {
    let at = words.read("at", place)?;
    let at = at.ok_or_else(|| Failure::option("--at", "", "give the place: LAT,LON in degrees"))?;
    Ok(SkyQuestion {
        at,
        height_m: words.read("height", height_m)?,
        month: words.read("month", month)?,
        units: words.read("units", Units::named)?.unwrap_or_default(),
    })
}

fn wiring(words: &Words<'_>) -> Result<WiringQuestion, Failure> {
    let series = words.read("cable", |text| match text {
        "mm2" => Ok(Series::Metric),
        "awg" => Ok(Series::Awg),
        _ => Err("must be mm2 or awg".to_owned()),
    })?;
    let length = words.read("length", |text| match text {
        "m" => Ok(Units::Si),
        "ft" => Ok(Units::Us),
        _ => Err("must be m or ft".to_owned()),
    })?;
    Ok(WiringQuestion { series, length })
}

/// Options as words, each with its name.
struct Words<'a>(Vec<(&'a str, String)>);

impl<'a> Words<'a> {
    fn new(
        command: &str,
        known: &[&[&str]],
        options: &'a Map<String, Value>,
    ) -> Result<Self, Failure> {
        let mut words = Vec::new();
        for (name, value) in options {
            let values = match value {
                Value::Array(values) => values.as_slice(),
                single => std::slice::from_ref(single),
            };
            let values = values.iter();
            let values = values.filter(|value| !matches!(value, Value::Null | Value::Bool(false)));
            for value in values {
                let word = match value {
                    Value::String(text) => text.clone(),
                    other => other.to_string(),
                };
                let option = format!("--{}", shortened(&plain_line(name), 40));
                if !known.concat().contains(&name.as_str()) {
                    let allowed = format!("{command} has no such option here");
                    return Err(Failure::option(&option, &shortened(&word, 40), allowed));
                }
                if value.is_array() || value.is_object() {
                    let allowed = "must be a text, a number or true";
                    return Err(Failure::option(&option, &shortened(&word, 40), allowed));
                }
                words.push((name.as_str(), word));
            }
        }
        Ok(Self(words))
    }

    fn many(&self, name: &str) -> Vec<String> {
        let given = self.0.iter().filter(|(known, _)| *known == name);
        given.map(|(_, word)| word.clone()).collect()
    }

    fn one(&self, name: &str) -> Result<Option<&str>, Failure> {
        let mut given = self.0.iter().filter(|(known, _)| *known == name);
        let first = given.next();
        match given.next() {
            Some((_, again)) => Err(Failure::option(
                &format!("--{name}"),
                &shortened(again, 40),
                "is given twice",
            )),
            None => Ok(first.map(|(_, word)| word.as_str())),
        }
    }

    fn flag(&self, name: &str) -> Result<bool, Failure> {
        let flag = self.read(name, |text| match text {
            "true" => Ok(()),
            _ => Err("is a switch: true or nothing".to_owned()),
        })?;
        Ok(flag.is_some())
    }

    fn read<T>(
        &self,
        name: &str,
        read: impl Fn(&str) -> Result<T, String>,
    ) -> Result<Option<T>, Failure> {
        let word = self.one(name)?;
        word.map(|word| {
            read(word).map_err(|allowed| {
                Failure::option(&format!("--{name}"), &shortened(word, 40), allowed)
            })
        })
        .transpose()
    }
}
