//! What a page is asked first, answered beforehand.
//!
//! One job: the first questions of the first screen, each with its answer. Those about a trip that is not on yet are
//! answered as the module answers them, to the byte; the page takes one only for the very same question about the very
//! same file. On the way the question has the time of day in it: there the plan's own answer at hours of each day
//! stands in until the module's comes.

use chrono::{NaiveDateTime, NaiveTime, TimeDelta, Timelike as _};
use serde::Serialize;
use serde_json::{Value, json};

use super::document::PageScenario;
use super::engine::Engine;
use crate::trials::{each_of, useful_threads};

/// Trials of the first figure and their step, minutes, as `web/source/asking.ts` has them.
const FIRST_TRIALS: u32 = 128;
const FIRST_STEP: u32 = 60;

/// Moments on the way, at most, and how many hours they may be apart: as few as that allows.
const MOST_MOMENTS: usize = 24;
const HOURS_APART: [u32; 3] = [6, 12, 24];

/// How a moment is written.
const MINUTES: &str = "%Y-%m-%dT%H:%M";

/// What a page comes with.
#[derive(Debug, Clone, PartialEq, Default, Serialize)]
pub struct Opening {
    /// The first questions before and after the days of the trip.
    pub answers: Vec<AnsweredBefore>,
    /// How long to stay, by the plan, at moments of its days; each stands in until the next.
    pub moments: Vec<PlannedMoment>,
}

/// A question without its scenario, and its answer.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct AnsweredBefore {
    /// As the page writes it, keys in this order.
    pub question: Value,
    /// As the module gives it.
    pub answer: Value,
}

/// What the module says of a stay from a moment on, its figures left out.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PlannedMoment {
    /// Local time.
    pub now: String,
    /// The sentence that says from when and where.
    pub from: Value,
    /// How long one can stay.
    pub verdict: Value,
}

/// The first questions about a scenario. Before and after the days of its trip they are its outline, where it is first
/// parked, and how long it can stay there.
#[must_use]
pub fn opening(scenario: &PageScenario) -> Opening {
    let mut engine = Engine::default();
    let mut answered = |question: Value| AnsweredBefore {
        answer: asked(&mut engine, scenario, &question),
        question,
    };
    let outline = answered(json!({ "ask": "outline" }));
    let time = |at: &Value| at.as_str().and_then(|at| at.get(..16)).map(str::to_owned);
    let (start, end) = (time(&outline.answer["start"]), time(&outline.answer["end"]));
    let first = outline.answer["stops"][0]["arrive"].as_str();
    let Some(now) = first.map(str::to_owned).or(start.clone()) else {
        return Opening::default();
    };
    let placed = answered(json!({ "ask": "outline", "now": now }));
    let stay = answered(stay_from(&now));
    let moments = start.zip(end).map(|(start, end)| moments(&start, &end));
    Opening {
        answers: vec![outline, placed, stay],
        moments: planned(scenario, &moments.unwrap_or_default()),
    }
}

fn stay_from(now: &str) -> Value {
    let options = json!({ "now": now, "trials": FIRST_TRIALS, "step": FIRST_STEP });
    json!({ "ask": "run", "command": "stay", "options": options })
}

fn asked(engine: &mut Engine, scenario: &PageScenario, question: &Value) -> Value {
    let mut whole = question.clone();
    whole["scenario"] = json!(scenario);
    serde_json::from_str(&engine.ask(&whole.to_string())).unwrap_or_default()
}

/// Whole hours of the days between two local times, as often as [`MOST_MOMENTS`] allows.
fn moments(start: &str, end: &str) -> Vec<String> {
    let read = |text: &str| NaiveDateTime::parse_from_str(text, MINUTES).ok();
    let Some((start, end)) = read(start).zip(read(end)) else {
        return Vec::new();
    };
    let midnight = start.date().and_time(NaiveTime::MIN);
    let minutes_gone = start.hour() * 60 + start.minute();
    let every = |hours: u32| {
        let first = minutes_gone.div_ceil(hours * 60);
        let at = |number: u32| TimeDelta::hours(i64::from(number * hours));
        let later = (first..).map_while(|number| midnight.checked_add_signed(at(number)));
        later
            .take_while(|moment| *moment < end)
            .take(MOST_MOMENTS + 1)
            .map(|moment| moment.format(MINUTES).to_string())
            .collect::<Vec<_>>()
    };
    let mut found = HOURS_APART.map(every).into_iter();
    let fewest = found.find(|moments| moments.len() <= MOST_MOMENTS);
    fewest.unwrap_or_default()
}

/// The answers at moments, those that the clock leaves out or that are refused without.
fn planned(scenario: &PageScenario, moments: &[String]) -> Vec<PlannedMoment> {
    let share = moments.len().div_ceil(useful_threads(None)).max(1);
    let shares: Vec<&[String]> = moments.chunks(share).collect();
    let by_thread = each_of(shares.len(), None, |at| {
        let mut engine = Engine::default();
        let answer = |now: &String| {
            let mut answer = asked(&mut engine, scenario, &stay_from(now));
            answer["verdict"].is_string().then(|| PlannedMoment {
                now: now.clone(),
                from: answer["from"].take(),
                verdict: answer["verdict"].take(),
            })
        };
        shares[at].iter().filter_map(answer).collect::<Vec<_>>()
    });
    by_thread.concat()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn by_hand_moments_lie_within_the_trip() {
        let weekend = moments("2027-07-10T07:30", "2027-07-11T12:00");
        let hours: Vec<&str> = weekend.iter().map(|moment| &moment[8..13]).collect();
        assert_eq!(hours, ["10T12", "10T18", "11T00", "11T06"]);
        assert_eq!(moments("2027-07-10T06:00", "2027-07-10T07:00").len(), 1);
        // Six days have 24 quarters; seven have 14 halves.
        assert_eq!(moments("2027-07-10T00:00", "2027-07-16T00:00").len(), 24);
        assert_eq!(moments("2027-07-10T00:00", "2027-07-17T00:00").len(), 14);
        // Longer than 24 days: none, rather than one that is days old.
        assert_eq!(moments("2027-01-01T00:00", "2027-02-01T00:00").len(), 0);
        assert!(moments("", "2027-07-11T12:00").is_empty());
    }
}
