//! What was found as changes of the scenario.
//!
//! One job: the keys whose value lies outside what the log allows, as spreads where the file has them, each
//! with a note where it comes from.

use serde_json::{Value, json};

use super::answer::Found;
use super::nights::SPREAD_HALF;
use super::question::LearnError;
use crate::scenario::{Changes, LoadKind, Scenario};
use crate::study::figures::tidy;
use crate::units::Whole;

/// A figure as a file has it: three digits that count.
fn short(value: f64) -> f64 {
    if value == 0.0 || !value.is_finite() {
        return 0.0;
    }
    let place = 2 - i32::cut(value.abs().log10().floor());
    let scale = 10f64.powi(place.clamp(0, 6));
    (value * scale).round() / scale
}

/// The part that a key is of: of lists, its id too.
fn part_of(key: &str) -> &str {
    let dots = usize::from(!key.starts_with("alternator."));
    let end = key.match_indices('.').nth(dots);
    end.map_or(key, |(end, _)| &key[..end])
}

/// Where a found value comes from, for a reader of the file.
fn note_of(found: &Found, log: &str) -> String {
    let part = part_of(&found.key).len() + 1;
    let name = found.key.get(part..).unwrap_or_default();
    let unit = if found.unit.is_empty() {
        String::new()
    } else {
        format!(" {}", found.unit)
    };
    format!(
        "{name} learned from the log of {log}: {}{unit}, 8 in 10 between {} and {} ({}; was {}).",
        short(found.is),
        short(found.low),
        short(found.high),
        found.how,
        short(found.was)
    )
}

/// The scenario with what was found, and the changes that make it.
pub(super) fn put_right(
    scenario: &Scenario,
    found: &[Found],
    log: &str,
) -> Result<(Scenario, Changes), LearnError> {
    let refused = |error: crate::scenario::ChangeError| LearnError::PutRight(error.to_string());
    let mut changes = Changes::default();
    let mut notes: Vec<(String, String)> = Vec::new();
    let mut right = scenario.clone();
    for found in found.iter().filter(|found| found.differs && found.is_key) {
        let more = changes_of(scenario, found);
        // What the checker would refuse (more hours than the window holds) is told, not written.
        let Ok(changed) = right.with(&more) else {
            continue;
        };
        right = changed;
        changes.0.extend(more.0);
        let part = part_of(&found.key).to_owned();
        match notes.iter_mut().find(|(known, _)| *known == part) {
            Some((_, text)) => {
                text.push(' ');
                text.push_str(&note_of(found, log));
            }
            None => notes.push((part, note_of(found, log))),
        }
    }
    for (part, text) in notes {
        let key = format!("{part}.note");
        let before = scenario.given(&key).map_err(refused)?;
        let text = match before.as_ref().and_then(Value::as_str) {
            Some(before) => format!("{before} {text}"),
            None => text,
        };
        changes = changes.and(key, text);
    }
    let right = scenario.with(&changes).map_err(refused)?;
    Ok((right, changes))
}

fn changes_of(scenario: &Scenario, found: &Found) -> Changes {
    let value = short(found.is);
    let mut parts = found.key.splitn(3, '.');
    let (list, id, key) = (parts.next(), parts.next().unwrap_or(""), parts.next());
    let load = scenario
        .loads
        .iter()
        .find(|load| load.id == id)
        .filter(|_| list == Some("loads"));
    match (load, key) {
        (Some(load), Some("rated.average_a")) => {
            let Some(fridge) = load.kind.fridge() else {
                return Changes::default();
            };
            Changes::one(
                format!("loads.{id}.rated"),
                json!({
                    "average_a": value,
                    "at_ambient_c": fridge.rated_ambient_c,
                    "at_inside_c": fridge.rated_inside_c,
                }),
            )
        }
        (Some(load), Some("hours_per_day")) => {
            let LoadKind::Hours { hours_per_day, .. } = load.kind else {
                return Changes::default();
            };
            // The spread of days stays what the file has; its middle is what was found.
            let factor = value / hours_per_day.mean().max(1e-9);
            let scaled = hours_per_day.scaled(factor);
            let spread = if scaled.is_fixed() {
                json!({ "min": short(found.low), "likely": value, "max": short(found.high) })
            } else {
                json!({ "min": short(scaled.min), "likely": short(scaled.likely), "max": short(scaled.max) })
            };
            Changes::one(found.key.clone(), spread)
        }
        (Some(load), Some(_)) if load.kind.fridge().is_none() => {
            let half = 0.5 * (found.high - found.low) / found.is.max(1e-9);
            let spread = (half / SPREAD_HALF)
                .clamp(0.02, 0.9)
                .max(load.use_spread.min(0.9));
            let one = Changes::one(found.key.clone(), value);
            if spread > load.use_spread {
                one.and(format!("loads.{id}.use_spread"), tidy(short(spread)))
            } else {
                one
            }
        }
        _ => Changes::one(found.key.clone(), value),
    }
}
