//! What a page is asked first, answered beforehand.
//!
//! One job: the questions of the first screen about a trip that is not on yet, each with its answer. They are those of
//! the module, which gives the same bytes; the page takes one only for the very same question about the very same
//! file.

use serde::Serialize;
use serde_json::{Value, json};

use super::document::PageScenario;
use super::engine::Engine;

/// Trials of the first figure and their step, minutes, as `web/source/asking.ts` has them.
const FIRST_TRIALS: u32 = 128;
const FIRST_STEP: u32 = 60;

/// A question without its scenario, and its answer.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct AnsweredBefore {
    /// As the page writes it, keys in this order.
    pub question: Value,
    /// As the module gives it.
    pub answer: Value,
}

/// The first questions about a scenario before and after the days of its trip: its outline, where it is first parked,
/// and how long it can stay there. During the trip the first question has the time of day in it.
#[must_use]
pub fn opening(scenario: &PageScenario) -> Vec<AnsweredBefore> {
    let mut engine = Engine::default();
    let mut answered = |question: Value| {
        let mut whole = question.clone();
        whole["scenario"] = json!(scenario);
        let answer = engine.ask(&whole.to_string());
        AnsweredBefore {
            question,
            answer: serde_json::from_str(&answer).unwrap_or_default(),
        }
    };
    let outline = answered(json!({ "ask": "outline" }));
    let first = &outline.answer["stops"][0]["arrive"];
    let now = first.as_str().or(outline.answer["start"].as_str());
    let Some(now) = now.map(str::to_owned) else {
        return Vec::new();
    };
    let placed = answered(json!({ "ask": "outline", "now": now }));
    let options = json!({ "now": now, "trials": FIRST_TRIALS, "step": FIRST_STEP });
    let stay = answered(json!({ "ask": "run", "command": "stay", "options": options }));
    vec![outline, placed, stay]
}
