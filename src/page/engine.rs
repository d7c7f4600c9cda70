//! Questions and answers.

use serde::Deserialize;
use serde_json::{Map, Value, json};

use super::found_places::found_places;
use super::given::{Command, Given, OPTIONS, trials_of};
use super::numbers::numbers;
use super::outline::outline;
use super::scenario_file::ScenarioFile;
use crate::command::{
    Answered, Asked, Failure, answer, checked, quick_chance, refused_json, sky, wiring,
};
use crate::places::PLACES_NOTICE;
use crate::present::plain_text::{plain_line, plain_lines};
use crate::scenario::templates::TEMPLATES;
use crate::scenario::{Reading, json_schema};
use crate::sky::world_climate::{NOT_A_FORECAST, WORLD_CLIMATE_NOTICES};
use crate::study::quick_chance::QuickChance;
use crate::trials::Silent;

/// A question as the page asks it; which keys count depends on `ask`.
#[derive(Deserialize)]
struct Question {
    ask: String,
    scenario: Option<ScenarioFile>,
    command: Option<String>,
    #[serde(default)]
    options: Map<String, Value>,
    today: Option<String>,
    #[serde(default)]
    files: bool,
    now: Option<String>,
    #[serde(default)]
    set: Map<String, Value>,
    #[serde(default)]
    off: Vec<String>,
    name: Option<String>,
    #[serde(default)]
    begins: bool,
    at: Option<(f64, f64)>,
    by: Option<(f64, f64)>,
}

impl Question {
    /// The same about the scenario with its changes: values `set`, loads switched `off`.
    fn about_changed(mut self) -> Result<Self, Value> {
        if self.ask == "run" && !(self.set.is_empty() && self.off.is_empty()) {
            self.scenario = Some(scenario_of(&self)?.changed(&self.set, &self.off)?);
        }
        Ok(self)
    }
}

/// What answers a page. It keeps the last scenario as checked, so that the next question about it does not
/// read it again, and the last trip whose changes were asked about.
#[derive(Debug, Default)]
pub struct Engine {
    last: Option<(ScenarioFile, Reading)>,
    tried: Option<(Tried, QuickChance)>,
}

/// What the trials of a trip depend on.
#[derive(Debug, PartialEq)]
struct Tried {
    file: ScenarioFile,
    options: Map<String, Value>,
    seed: Option<u64>,
}

/// The answer to one question, both JSON; every answer has a `status` as the command line would exit with.
#[must_use]
pub fn ask(question: &str) -> String {
    Engine::default().ask(question)
}

impl Engine {
    /// The answer to one question.
    pub fn ask(&mut self, question: &str) -> String {
        let answered = match serde_json::from_str::<Question>(question) {
            Ok(question) => question
                .about_changed()
                .and_then(|question| self.answered(&question)),
            Err(error) => Err(not_asked(&format!("the question cannot be read: {error}"))),
        };
        answered.unwrap_or_else(|refused| refused).to_string()
    }

    fn answered(&mut self, question: &Question) -> Result<Value, Value> {
        match question.ask.as_str() {
            "run" => self.run(question),
            "outline" => {
                let now = question.now.as_deref();
                outline(&self.reading(question)?.scenario, now).map_err(|error| refusal(&error))
            }
            "numbers" => {
                let numbers = numbers(&self.reading(question)?.scenario);
                Ok(json!({ "status": 0, "numbers": numbers }))
            }
            "chance" => self.chance(question),
            "edit" => edit(question),
            "places" => {
                let name = question.name.as_deref().unwrap_or_default();
                let (at, by) = (question.at, question.by);
                let is_on_earth = |(lat, lon): (f64, f64)| lat.abs() <= 90.0 && lon.abs() <= 180.0;
                if !at.is_none_or(is_on_earth) || !by.is_none_or(is_on_earth) {
                    return Err(not_asked("the point is not on the Earth"));
                }
                found_places(name, question.begins, at, by).map_err(|failure| refusal(&failure))
            }
            "templates" => {
                let templates = TEMPLATES.iter().map(|template| {
                    json!({ "name": template.name, "summary": template.summary, "text": template.text })
                });
                Ok(json!({ "status": 0, "templates": templates.collect::<Vec<_>>() }))
            }
            "schema" => Ok(json!({ "status": 0, "schema": json_schema() })),
            "about" => Ok(about()),
            other => Err(not_asked(&format!(
                "`{}` is no question",
                plain_line(other)
            ))),
        }
    }

    /// The scenario of a question, read unless it is the last one again.
    fn reading(&mut self, question: &Question) -> Result<&Reading, Value> {
        let file = scenario_of(question)?;
        let kept = self.last.take().filter(|(known, _)| known == file);
        let kept = match kept {
            Some(kept) => kept,
            None => (
                file.clone(),
                file.read().map_err(|failure| refusal(&failure))?,
            ),
        };
        Ok(&self.last.insert(kept).1)
    }

    /// The chance of no shortfall on the trip with its changes, as `run` of `trip` gives it.
    fn chance(&mut self, question: &Question) -> Result<Value, Value> {
        let file = scenario_of(question)?;
        let options = trials_of(&question.options).map_err(|failure| refusal(&failure))?;
        let changed = file.changed(&question.set, &question.off)?;
        let changed = changed.read().map_err(|failure| refusal(&failure))?;
        let changed = changed.scenario;
        let tried = Tried {
            file: file.clone(),
            options: question.options.clone(),
            seed: changed.seed,
        };
        let known = self.tried.take().filter(|(known, _)| *known == tried);
        let known = if let Some(known) = known {
            known
        } else {
            // A file that does not hold as it is may hold with its changes.
            let as_it_is = self.reading(question).ok().map(|reading| &reading.scenario);
            let asked = Asked {
                scenario: as_it_is
                    .filter(|as_it_is| as_it_is.seed == changed.seed)
                    .unwrap_or(&changed),
                options: &options,
                files: &|name| file.file(name),
                with_files: false,
                progress: &Silent,
            };
            let trip = quick_chance(&asked).map_err(|failure| refusal(&failure))?;
            (tried, trip)
        };
        let (_, trip) = self.tried.insert(known);
        let chance = trip.of(&changed);
        let chance = chance.map_err(|error| refusal(&error.into()))?;
        Ok(json!({ "status": 0, "chance_no_shortfall": chance }))
    }

    fn run(&mut self, question: &Question) -> Result<Value, Value> {
        let command = question.command.as_deref().unwrap_or_default();
        let file = question.scenario.as_ref();
        let Given {
            command,
            options,
            is_strict,
            units,
        } = Given::new(
            command,
            &question.options,
            file.map(|file| file.name.as_str()),
            question.today.as_deref(),
        )
        .map_err(|failure| refusal(&failure))?;
        let with_files = question.files;
        let answered = match command {
            Command::Sky(place) => sky(place, with_files),
            Command::Check => {
                let name = scenario_of(question)?.name.clone();
                match self.reading(question) {
                    Ok(reading) => {
                        let scenario = reading.scenario.clone().in_units(units);
                        checked(&Reading { scenario }, &name)
                    }
                    Err(mut refused) => {
                        let again = scenario_of(question)?.read();
                        if let Err(Failure::Refused { refusal, .. }) = again {
                            refused["json"] = refused_json(&refusal).unwrap_or_default().into();
                        }
                        return Err(refused);
                    }
                }
            }
            Command::Wiring(how) => {
                let scenario = self.reading(question)?.scenario.clone().in_units(units);
                wiring(&scenario, how, with_files)
            }
            Command::Study(study) => {
                let file = scenario_of(question)?;
                let asked = Asked {
                    scenario: &self.reading(question)?.scenario.clone().in_units(units),
                    options: &options,
                    files: &|name| file.file(name),
                    with_files,
                    progress: &Silent,
                };
                answer(&study, &asked)
            }
        };
        let answered = answered.map_err(|failure| refusal(&failure))?;
        Ok(shown(&answered, with_files, is_strict))
    }
}

fn scenario_of(question: &Question) -> Result<&ScenarioFile, Value> {
    let file = question.scenario.as_ref();
    file.ok_or_else(|| not_asked("the question has no scenario"))
}

/// An answer as the page reads it.
fn shown(answered: &Answered, with_files: bool, is_strict: bool) -> Value {
    let plain = |lines: Vec<&str>| -> Vec<String> { lines.into_iter().map(plain_line).collect() };
    let warnings = answered.warnings.iter();
    let bare = warnings.map(|line| line.strip_prefix("warning: ").unwrap_or(line));
    let mut value = json!({
        "status": u8::from(is_strict && answered.is_no),
        "json": answered.json,
        "from": answered.from.as_deref().map(plain_line),
        "verdict": plain_lines(&answered.verdict),
        "tables": answered.body,
        "warnings": plain(bare.collect()),
        "cautions": plain(answered.cautions.iter().map(String::as_str).collect()),
    });
    if with_files {
        let files = answered.files.iter();
        let files =
            files.map(|(name, bytes)| (name.clone(), String::from_utf8_lossy(bytes).into()));
        value["files"] = Value::Object(files.collect());
    }
    value
}

/// A refusal as the page reads it.
fn refusal(failure: &Failure) -> Value {
    let problems = match failure {
        Failure::Refused { refusal, .. } => json!(refusal.problems),
        _ => json!([]),
    };
    json!({
        "status": failure.status(),
        "problems": problems,
        "text": plain_lines(&failure.to_string()),
    })
}

/// A question that is none.
pub(super) fn not_asked(text: &str) -> Value {
    json!({ "status": 2, "problems": [], "text": format!("error: {}\n", plain_line(text)) })
}

/// The text with values set and loads switched off, if it then holds.
fn edit(question: &Question) -> Result<Value, Value> {
    let new = scenario_of(question)?.changed(&question.set, &question.off)?;
    match new.read() {
        Ok(_) => Ok(json!({ "status": 0, "text": new.text })),
        Err(failure) => {
            let mut refused = refusal(&failure);
            refused["edited"] = new.text.into();
            Err(refused)
        }
    }
}

fn about() -> Value {
    let commands = OPTIONS.iter();
    let commands =
        commands.map(|(command, options)| ((*command).to_owned(), json!(options.concat())));
    let mut notices: Vec<String> = vec![format!("Built-in climate, {NOT_A_FORECAST}:")];
    notices.extend(WORLD_CLIMATE_NOTICES.map(ToString::to_string));
    notices.push(PLACES_NOTICE.to_string());
    json!({
        "status": 0,
        "version": env!("CARGO_PKG_VERSION"),
        "options": Value::Object(commands.collect()),
        "notices": notices,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    const WEEKEND: &str = include_str!("../../scenarios/weekend.json");

    fn asked(question: &Value) -> Value {
        serde_json::from_str(&ask(&question.to_string())).expect("an answer is JSON")
    }

    fn weekend() -> Value {
        json!({ "name": "weekend.json", "text": WEEKEND })
    }

    #[test]
    fn refuses_what_is_no_question() {
        for question in [
            "",
            "null",
            "[]",
            "{}",
            "{\"ask\":1}",
            "{\"ask\":\"\\u001b\"}",
            "\u{0}",
        ] {
            let answer: Value = serde_json::from_str(&ask(question)).expect("JSON");
            assert_eq!(answer["status"], 2, "{question}");
        }
        let none = asked(&json!({ "ask": "run", "command": "trip" }));
        assert_eq!(none["text"], "error: the question has no scenario\n");
        let none = asked(&json!({ "ask": "run", "command": "fly", "scenario": weekend() }));
        assert_eq!(none["status"], 2);
    }

    #[test]
    fn refuses_options_that_a_command_lacks_or_cannot_take() {
        let text = |options: Value| {
            let question = json!({ "ask": "run", "command": "trip", "scenario": weekend(), "options": options });
            asked(&question)["text"]
                .as_str()
                .unwrap_or_default()
                .to_owned()
        };
        assert_eq!(
            text(json!({ "trials": 0 })),
            "error: `--trials 0`: must be a whole number from 1 to 10000000\n"
        );
        assert_eq!(
            text(json!({ "horizon": 5 })),
            "error: `--horizon 5`: trip has no such option here\n"
        );
        assert_eq!(
            text(json!({ "typical": true, "trials": 5 })),
            "error: `--typical`: goes with neither --trials nor --precision\n"
        );
        assert_eq!(
            text(json!({ "nights": [1, 2] })),
            "error: `--nights 2`: is given twice\n"
        );
        for bad in [
            json!({ "soc": {} }),
            json!({ "step": 7 }),
            json!({ "seed": -1 }),
            json!({ "nights": 1e300 }),
        ] {
            assert!(text(bad.clone()).starts_with("error: `--"), "{bad}");
        }
    }

    #[test]
    fn the_last_scenario_is_read_once() {
        let mut engine = Engine::default();
        let question = json!({ "ask": "numbers", "scenario": weekend() }).to_string();
        let first = engine.ask(&question);
        assert!(engine.last.is_some());
        assert_eq!(engine.ask(&question), first);
        let other = json!({ "ask": "numbers", "scenario": { "name": "a", "text": "{" } });
        assert!(engine.ask(&other.to_string()).contains("\"status\":2"));
        assert_eq!(engine.ask(&question), first);
    }

    #[test]
    fn an_edit_is_checked() {
        let edit = |set: Value, off: Value| {
            asked(&json!({ "ask": "edit", "scenario": weekend(), "set": set, "off": off }))
        };
        let sound = edit(json!({ "banks.house.capacity_ah": 222 }), json!([]));
        assert_eq!(
            (
                &sound["status"],
                sound["text"]
                    .as_str()
                    .is_some_and(|text| text.contains("222"))
            ),
            (&json!(0), true)
        );
        let wrong = edit(json!({ "banks.house.capacity_ah": -1 }), json!([]));
        assert_eq!(
            (&wrong["status"], &wrong["problems"][0]["path"]),
            (&json!(2), &json!("/banks/0/capacity_ah"))
        );
        assert_eq!(edit(json!({}), json!(["nobody"]))["status"], 2);
    }

    #[test]
    fn every_number_can_be_set_to_what_it_is() {
        for text in TEMPLATES
            .map(|template| template.text)
            .iter()
            .chain([&WEEKEND])
        {
            let scenario = json!({ "name": "a.json", "text": text });
            let answer = asked(&json!({ "ask": "numbers", "scenario": scenario }));
            let numbers = answer["numbers"].as_array().expect("a list");
            assert!(numbers.len() > 8);
            for number in numbers {
                let key = number["key"].as_str().expect("a key");
                let set = json!({ key: number["value"] });
                let edit = asked(&json!({ "ask": "edit", "scenario": scenario, "set": set }));
                assert_eq!(edit["status"], 0, "{number} {edit}");
                let least = number["min"].as_f64() <= number["value"].as_f64();
                assert!(
                    least && number["value"].as_f64() <= number["max"].as_f64(),
                    "{number}"
                );
            }
        }
    }
}
