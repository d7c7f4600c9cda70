//! Ranges of numbers in a schema: whether they hold, and their words.

use serde_json::Value;

use crate::units::{Unit, sister_to, tidy};

fn bound(schema: &Value, key: &str) -> Option<f64> {
    schema.get(key).and_then(Value::as_f64)
}

fn listed(schema: &Value) -> Vec<f64> {
    let values = schema.get("enum").and_then(Value::as_array);
    values
        .into_iter()
        .flatten()
        .filter_map(Value::as_f64)
        .collect()
}

fn is_integer(schema: &Value) -> bool {
    schema.get("type").is_some_and(|kind| kind == "integer")
}

/// Whether a finite number is one that the schema admits.
pub(super) fn holds(schema: &Value, value: f64) -> bool {
    let listed = listed(schema);
    let same = |other: &f64| (value - other).abs() < f64::EPSILON;
    (listed.is_empty() || listed.iter().any(same))
        && (!is_integer(schema) || value.fract().abs() < f64::MIN_POSITIVE)
        && bound(schema, "minimum").is_none_or(|least| value >= least)
        && bound(schema, "maximum").is_none_or(|most| value <= most)
        && bound(schema, "exclusiveMinimum").is_none_or(|least| value > least)
        && bound(schema, "exclusiveMaximum").is_none_or(|most| value < most)
}

/// The numbers a schema admits, in words that go on from "must be"; in the units that the file is
/// written in, where these are others than the schema's.
pub(super) fn number_words(schema: &Value, written_in: Option<(Unit, Unit)>) -> String {
    let Some((written, own)) = written_in else {
        return words_by(schema, &|value| value.to_string());
    };
    let turned = |value: f64| own.to(written, value).map_or(value.to_string(), tidy);
    format!("{} {}", words_by(schema, &turned), written.symbol)
}

fn words_by(schema: &Value, show: &dyn Fn(f64) -> String) -> String {
    let listed = listed(schema);
    if let [head @ .., last] = listed.as_slice() {
        let head: Vec<String> = head.iter().map(|value| show(*value)).collect();
        return format!("{} or {}", head.join(", "), show(*last));
    }
    let noun = if is_integer(schema) {
        "a whole number "
    } else {
        ""
    };
    let low = bound(schema, "minimum");
    let high = bound(schema, "maximum");
    let above = bound(schema, "exclusiveMinimum");
    let below = bound(schema, "exclusiveMaximum");
    match (low, high, above, below) {
        (Some(low), Some(high), _, _) if (high - low).abs() < f64::EPSILON => show(low),
        (Some(low), Some(high), _, _) => format!("{noun}from {} to {}", show(low), show(high)),
        (_, Some(high), Some(above), _) => {
            format!("{noun}above {} up to {}", show(above), show(high))
        }
        (_, _, Some(above), Some(below)) => {
            format!("{noun}above {} and below {}", show(above), show(below))
        }
        (Some(low), _, _, Some(below)) => {
            format!("{noun}from {} to below {}", show(low), show(below))
        }
        (Some(low), None, None, None) => format!("{noun}at least {}", show(low)),
        (None, Some(high), None, None) => format!("{noun}at most {}", show(high)),
        _ => "a number".to_owned(),
    }
}

/// The cure for a number outside its range, where the slip is a usual one.
pub(super) fn outside_hint(schema: &Value, value: f64, path: &str) -> Option<String> {
    if path == "/format" {
        return Some("a newer program may have written this file".to_owned());
    }
    let key = path.rsplit('/').next().unwrap_or_default();
    if key == "lat" {
        return Some("have `lat` and `lon` changed places?".to_owned());
    }
    if let Some(sister) = sister_to(key).filter(|sister| sister.to.symbol == "°F")
        && let Some(turned) = sister.to.to(sister.from, value)
        && holds(schema, (turned * 1e9).round() / 1e9)
    {
        let key = sister.key;
        return Some(format!("if {value} °F are meant, write \"{key}\": {value}"));
    }
    let most = bound(schema, "maximum").or_else(|| bound(schema, "exclusiveMaximum"))?;
    let is_share = (0.0..=1.0).contains(&most) && !is_integer(schema);
    (is_share && value > 1.0 && value <= 100.0)
        .then(|| format!("write {} for {value} %", value / 100.0))
}
