//! A scenario's text with some of its values changed, and every other byte as it was.
//!
//! One job: keys and values to a new text, in the manner of the old one. Whether the new text holds is for
//! the checker to say.

use serde_json::Value;

use super::document::{Member, Node, NodeValue, Span, scan};
use super::key;
use super::whole::ChangeError;
use crate::units::{sister_of, sister_to, tidy};

/// The text with values set, one after another. A key goes by ids, names or numbers from 1
/// (`banks.main.capacity_ah`), or is a JSON pointer (`/banks/0/capacity_ah`; `/loads/-` appends an entry);
/// `null` takes it away. A key that the file gives in units of another land stays so: `one_way_m` is set as its
/// `one_way_ft`. A number set where the file has a spread moves the whole spread: its ends keep their
/// proportion to the likeliest value, and shares stay within 0 to 1.
///
/// # Errors
/// [`ChangeError::Key`]: the text is no JSON, or a key leads nowhere.
pub fn edited(text: &str, changes: &[(String, Value)]) -> Result<String, ChangeError> {
    changes
        .iter()
        .try_fold(text.to_owned(), |text, (key, value)| {
            one(&text, key, value).map_err(|problem| ChangeError::Key {
                key: key.clone(),
                problem,
                hint: None,
            })
        })
}

fn one(text: &str, key: &str, value: &Value) -> Result<String, String> {
    let (root, _) = scan(text).map_err(|_| "the file is no JSON".to_owned())?;
    let body = text.strip_prefix('\u{feff}').unwrap_or(text);
    let steps = if let Some(pointer) = key.strip_prefix('/') {
        let steps = pointer.split('/');
        let plain = steps.map(|step| step.replace("~1", "/").replace("~0", "~"));
        plain.collect()
    } else {
        let tree: Value = serde_json::from_str(body).map_err(|_| "the file is no JSON")?;
        key::steps(&tree, key).map_err(|lost| match lost.hint {
            Some(hint) => format!("{}; {hint}", lost.problem),
            None => lost.problem,
        })?
    };
    match as_the_file_gives_it(&root, &steps, value) {
        Some((steps, value)) => place(text, &root, &steps, &value),
        None => place(text, &root, &steps, value),
    }
}

/// The key that stands in the file for the same quantity in another unit, and the value in that; `None` where the
/// key itself is there, or neither.
fn as_the_file_gives_it(
    root: &Node,
    steps: &[String],
    value: &Value,
) -> Option<(Vec<String>, Value)> {
    let (last, above) = steps.split_last()?;
    let sister = sister_to(last).or_else(|| sister_of(last))?;
    let entry = above
        .iter()
        .try_fold(root, |node, step| match &node.value {
            NodeValue::List(items) => items.get(step.parse::<usize>().ok()?),
            _ => node.child(step),
        })?;
    if entry.child(last).is_some() || entry.child(&sister.key).is_none() {
        return None;
    }
    let converted =
        |number: &Value| match number.as_f64().and_then(|n| sister.from.to(sister.to, n)) {
            Some(there) => tidy(there).parse().map_or(Value::Null, Value::Number),
            None => number.clone(),
        };
    let value = match value {
        Value::Object(spread) => {
            let ends = spread.iter();
            Value::Object(
                ends.map(|(end, number)| (end.clone(), converted(number)))
                    .collect(),
            )
        }
        single => converted(single),
    };
    let mut steps = above.to_vec();
    steps.push(sister.key);
    Some((steps, value))
}

/// Walks to the place and changes it there.
fn place(text: &str, root: &Node, steps: &[String], value: &Value) -> Result<String, String> {
    let mut node = root;
    for (at, step) in steps.iter().enumerate() {
        let rest = &steps[at + 1..];
        let is_last = rest.is_empty();
        let child = match &node.value {
            NodeValue::Object(members) => {
                let found = members.iter().position(|member| member.key == *step);
                match found {
                    Some(index) if is_last && value.is_null() => {
                        return Ok(without(text, &spans_of(members), index));
                    }
                    Some(index) => &members[index].node,
                    None if value.is_null() => return Ok(text.to_owned()),
                    None => return Ok(with_member(text, node, step, &nested(rest, value))),
                }
            }
            NodeValue::List(items) => {
                let spans: Vec<Span> = items.iter().map(|item| item.span).collect();
                if step == "-" && is_last && !value.is_null() {
                    return Ok(appended(text, node, &spans, &|indent| {
                        written(value, indent)
                    }));
                }
                let index = step.parse::<usize>().ok();
                let index = index.filter(|index| *index < items.len());
                let index = index.ok_or_else(|| format!("there is no entry {step}"))?;
                if is_last && value.is_null() {
                    return Ok(without(text, &spans, index));
                }
                &items[index]
            }
            _ => return Err(format!("`{step}` stands inside a single value")),
        };
        node = child;
    }
    if value.is_null() {
        return Err("the whole file cannot be taken away".to_owned());
    }
    let moved = moved_spread(node, value, steps.last().map_or("", String::as_str));
    let indent = indent_at(text, node.span.from);
    let new = written(moved.as_ref().unwrap_or(value), &indent);
    Ok(spliced(text, node.span, &new))
}

/// A value below keys that are not there yet.
fn nested(steps: &[String], value: &Value) -> Value {
    steps.iter().rev().fold(value.clone(), |inner, step| {
        let mut map = serde_json::Map::new();
        map.insert(step.clone(), inner);
        Value::Object(map)
    })
}

/// The spread in the file moved to another likeliest value; `None` where the file has none or the value is
/// no number.
fn moved_spread(node: &Node, value: &Value, key: &str) -> Option<Value> {
    let likely = value.as_f64()?;
    let number = |name: &str| match &node.child(name)?.value {
        NodeValue::Number(text) => text.parse::<f64>().ok().filter(|n| n.is_finite()),
        _ => None,
    };
    let (min, was, max) = (number("min")?, number("likely")?, number("max")?);
    let most = if key.ends_with("soc") {
        1.0
    } else {
        f64::INFINITY
    };
    let scaled = |end: f64| {
        let end = if was > 0.0 {
            end / was * likely
        } else {
            likely
        };
        // To a ten-thousandth: a tail of digits says nothing in a file.
        Value::from(((end * 1e4).round() / 1e4).min(most))
    };
    let (low, high) = (scaled(min), scaled(max));
    Some(serde_json::json!({ "min": low, "likely": value, "max": high }))
}

/// The text with a part of it replaced.
fn spliced(text: &str, span: Span, new: &str) -> String {
    let before = text.get(..span.from).unwrap_or_default();
    let after = text.get(span.to..).unwrap_or_default();
    [before, new, after].concat()
}

/// White space from the last line break to `at`, where nothing else stands there.
fn indent_at(text: &str, at: usize) -> String {
    let before = text.get(..at).unwrap_or_default();
    let line = before.rsplit(['\n', '\r']).next().unwrap_or_default();
    let blank = line.chars().take_while(|c| *c == ' ' || *c == '\t');
    blank.collect()
}

/// Whether a part of the text is the first thing on its line.
fn begins_line(text: &str, at: usize) -> bool {
    let before = text.get(..at).unwrap_or_default();
    let line = before.rsplit(['\n', '\r']).next().unwrap_or_default();
    line.trim().is_empty() && before.contains(['\n', '\r'])
}

/// A value as JSON: single values and short lists and objects in a line, others indented.
fn written(value: &Value, indent: &str) -> String {
    const IN_A_LINE: usize = 100;
    let short = in_a_line(value);
    if short.chars().count() <= IN_A_LINE {
        return short;
    }
    let long = format!("{value:#}");
    long.replace('\n', &format!("\n{indent}"))
}

/// With a space after colons and commas and within braces.
fn in_a_line(value: &Value) -> String {
    match value {
        Value::Array(items) => {
            let items: Vec<String> = items.iter().map(in_a_line).collect();
            format!("[{}]", items.join(", "))
        }
        Value::Object(members) if members.is_empty() => "{}".to_owned(),
        Value::Object(members) => {
            let members: Vec<String> = members
                .iter()
                .map(|(key, value)| format!("{}: {}", Value::from(key.as_str()), in_a_line(value)))
                .collect();
            format!("{{ {} }}", members.join(", "))
        }
        single => single.to_string(),
    }
}

/// Each member from its key to the end of its value.
fn spans_of(members: &[Member]) -> Vec<Span> {
    let ends = |member: &Member| (member.key_span.from, member.node.span.to);
    let spans = members.iter().map(ends);
    spans.map(|(from, to)| Span { from, to }).collect()
}

fn with_member(text: &str, node: &Node, key: &str, value: &Value) -> String {
    let spans = match &node.value {
        NodeValue::Object(members) => spans_of(members),
        _ => Vec::new(),
    };
    appended(text, node, &spans, &|indent| {
        format!("{}: {}", Value::from(key), written(value, indent))
    })
}

/// The text with one thing more at the end of a list or an object whose things have these spans.
fn appended(text: &str, node: &Node, spans: &[Span], new: &dyn Fn(&str) -> String) -> String {
    let Some(last) = spans.last() else {
        let (open, close) = match &node.value {
            NodeValue::List(_) => ("[", "]"),
            _ => ("{ ", " }"),
        };
        let indent = indent_at(text, node.span.from);
        return spliced(text, node.span, &format!("{open}{}{close}", new(&indent)));
    };
    let between = if begins_line(text, last.from) {
        format!(",\n{}", indent_at(text, last.from))
    } else {
        ", ".to_owned()
    };
    let at = Span {
        from: last.to,
        to: last.to,
    };
    let indent = indent_at(text, last.from);
    spliced(text, at, &format!("{between}{}", new(&indent)))
}

/// The text without one of several things that commas part.
fn without(text: &str, spans: &[Span], index: usize) -> String {
    let gone = spans[index];
    let (from, to) = if let Some(next) = spans.get(index + 1) {
        (gone.from, next.from)
    } else if index > 0 {
        (spans[index - 1].to, gone.to)
    } else {
        (gone.from, gone.to)
    };
    spliced(text, Span { from, to }, "")
}

#[cfg(test)]
mod tests {
    use serde_json::json;

    use super::*;

    const DESERT: &str = include_str!("../../scenarios/desert-crossing.json");

    fn set(text: &str, key: &str, value: Value) -> String {
        edited(text, &[(key.to_owned(), value)]).expect("a key")
    }

    #[test]
    fn law_only_the_value_changes() {
        let text = "{\n  \"banks\": [\n    { \"id\": \"main\", \"capacity_ah\": 1.0e2 , \"x\": 1 }\n  ]\n}\n";
        let changed = set(text, "banks.main.capacity_ah", json!(200));
        assert_eq!(changed, text.replace("1.0e2", "200"));
        assert_eq!(set(text, "/banks/0/capacity_ah", json!(200)), changed);
        assert_eq!(
            set(text, "banks.main.price", json!(5)),
            text.replace("\"x\": 1", "\"x\": 1, \"price\": 5")
        );
        assert_eq!(
            set(text, "aim.chance", json!(0.8)),
            text.replace("  ]\n", "  ],\n  \"aim\": { \"chance\": 0.8 }\n")
        );
        assert_eq!(
            set(text, "banks.main.x", Value::Null),
            text.replace(" , \"x\": 1", "")
        );
        assert_eq!(
            set(text, "banks.main.id", Value::Null),
            text.replace("\"id\": \"main\", ", "")
        );
        assert_eq!(set(text, "banks.main.none", Value::Null), text);
        let longer = set(text, "/banks/-", json!({ "id": "b" }));
        assert_eq!(
            longer,
            text.replace(" }\n  ]", " },\n    { \"id\": \"b\" }\n  ]")
        );
        assert_eq!(set(&longer, "/banks/1", Value::Null), text);
        assert_eq!(set("{}", "title", json!("a")), "{ \"title\": \"a\" }");
    }

    /// 1 to 2 to 4 hours about a likeliest 3: half as much again.
    #[test]
    fn by_hand_a_spread_keeps_its_shape() {
        let text = r#"{ "h": { "min": 1, "likely": 2, "max": 4 }, "soc": { "min": 0.8, "likely": 0.9, "max": 1 } }"#;
        assert_eq!(
            set(text, "h", json!(3)),
            text.replace(
                r#""min": 1, "likely": 2, "max": 4"#,
                r#""min": 1.5, "likely": 3, "max": 6.0"#
            )
        );
        assert!(set(text, "soc", json!(0.99)).contains(r#""max": 1.0"#));
    }

    #[test]
    fn by_hand_a_key_in_another_unit_keeps_it() {
        let text = r#"{ "runs": [{ "id": "plug", "one_way_ft": 30 }], "loads": [{ "id": "fridge", "set_f": 39 }] }"#;
        let longer = set(text, "runs.plug.one_way_m", json!(10.668));
        assert_eq!(longer, text.replace("30", "35"));
        let colder = set(
            text,
            "/loads/0/set_c",
            json!({ "min": 0, "likely": 5, "max": 10 }),
        );
        let spread = r#"{ "min": 32, "likely": 41, "max": 50 }"#;
        assert_eq!(colder, text.replace("39", spread));
        let none = set(text, "loads.fridge.set_c", Value::Null);
        assert_eq!(none, text.replace(r#", "set_f": 39"#, ""));
    }

    #[test]
    fn refuses_keys_that_lead_nowhere() {
        let no = |key: &str| edited(DESERT, &[(key.to_owned(), json!(1))]).is_err();
        assert!(no("banks.nobody.capacity_ah") && no("/banks/99/id") && no("title.x.y"));
        assert!(edited("[", &[("a".to_owned(), json!(1))]).is_err());
        assert!(edited(DESERT, &[(String::new(), Value::Null)]).is_err());
    }
}
