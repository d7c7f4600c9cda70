//! Options: `--vary KEY=V1,V2,…` and `--option NAME:KEY=V,KEY=V` to named changes of a scenario.
//!
//! One job: the words of the command line to named lists of keys and values. Whether they fit the
//! scenario is said when they are made.

use serde_json::Value;

use super::ChoosingError;
use crate::scenario::Changes;

/// Options that one comparison holds.
pub const MOST_OPTIONS: usize = 64;

/// What `--option` takes.
const NAMED_FORM: &str = "must be NAME:KEY=VALUE, or NAME:KEY=VALUE,KEY=VALUE";

/// One option: a name and what it sets.
#[derive(Debug, Clone, PartialEq)]
pub struct Choice {
    /// Its name.
    pub name: String,
    /// Keys and values, in the order given.
    pub set: Changes,
}

impl Choice {
    /// The scenario as it is.
    #[must_use]
    pub fn as_it_is() -> Self {
        Self {
            name: "as it is".to_owned(),
            set: Changes::default(),
        }
    }
}

fn word(option: &'static str, found: &str, problem: String) -> ChoosingError {
    ChoosingError::Word {
        option,
        found: found.to_owned(),
        problem,
        hint: None,
    }
}

/// The options of a comparison: the scenario as it is, the cross product of what varies, the named
/// ones.
///
/// # Errors
/// Words that cannot be understood, a name or key given twice, nothing at all, or more than
/// [`MOST_OPTIONS`].
pub fn choices(vary: &[String], named: &[String]) -> Result<Vec<Choice>, ChoosingError> {
    let mut product: Vec<Changes> = Vec::new();
    let mut keys: Vec<String> = Vec::new();
    let mut count: usize = 1;
    for given in vary {
        let (key, values) = key_and_values("--vary", given, given)?;
        if keys.contains(&key) {
            return Err(word("--vary", given, format!("`{key}` varies already")));
        }
        count = count.saturating_mul(values.len());
        check_count(count + named.len())?;
        if product.is_empty() {
            product.push(Changes::default());
        }
        product = product
            .iter()
            .flat_map(|set| {
                values.iter().map(|value| {
                    let mut set = set.clone();
                    set.0.push((key.clone(), value.clone()));
                    set
                })
            })
            .collect();
        keys.push(key);
    }
    check_count(product.len() + named.len())?;
    let mut choices: Vec<Choice> = product
        .into_iter()
        .map(|set| Choice {
            name: name_of(&set),
            set,
        })
        .collect();
    for given in named {
        choices.push(named_choice(given)?);
    }
    for (index, choice) in choices.iter().enumerate() {
        if choices[..index]
            .iter()
            .any(|other| other.name == choice.name)
        {
            let problem = "there is an option of this name already".to_owned();
            return Err(word("--option", &choice.name, problem));
        }
    }
    match choices.len() {
        0 => Err(ChoosingError::Nothing(
            "there is nothing to compare\n\n    hint: give --vary banks.main.capacity_ah=100,200 or --option NAME:KEY=VALUE",
        )),
        _ => Ok([vec![Choice::as_it_is()], choices].concat()),
    }
}

fn check_count(count: usize) -> Result<(), ChoosingError> {
    if count <= MOST_OPTIONS {
        return Ok(());
    }
    Err(ChoosingError::Word {
        option: "--vary",
        found: "…".to_owned(),
        problem: format!("makes {count} options, but at most {MOST_OPTIONS} are compared at once"),
        hint: Some("vary fewer keys or give fewer values".to_owned()),
    })
}

fn named_choice(given: &str) -> Result<Choice, ChoosingError> {
    let form = || word("--option", given, NAMED_FORM.to_owned());
    let (name, settings) = given.split_once(':').ok_or_else(form)?;
    let name = name.trim();
    if name.is_empty() || name.contains('=') {
        return Err(form());
    }
    let mut set = Changes::default();
    for piece in pieces(settings) {
        let (key, mut values) = key_and_values("--option", given, piece)?;
        if set.0.iter().any(|(known, _)| *known == key) {
            return Err(word("--option", given, format!("`{key}` is set twice")));
        }
        set.0.push((key, values.remove(0)));
    }
    Ok(Choice {
        name: name.to_owned(),
        set,
    })
}

fn key_and_values(
    option: &'static str,
    given: &str,
    piece: &str,
) -> Result<(String, Vec<Value>), ChoosingError> {
    let (key, values) = piece.split_once('=').ok_or_else(|| {
        let form = if option == "--vary" {
            "must be KEY=VALUE,VALUE,… such as banks.main.capacity_ah=100,200"
        } else {
            NAMED_FORM
        };
        word(option, given, form.to_owned())
    })?;
    let key = key.trim();
    if key.is_empty() || key.split('.').any(|step| step.trim().is_empty()) {
        return Err(word(
            option,
            given,
            "the key before `=` has an empty part".to_owned(),
        ));
    }
    let values: Result<Vec<Value>, ChoosingError> = pieces(values)
        .into_iter()
        .map(|text| {
            value(text).ok_or_else(|| {
                let problem = if text.trim().is_empty() {
                    "a value is missing".to_owned()
                } else {
                    format!("`{}` is not a JSON value", text.trim())
                };
                word(option, given, problem)
            })
        })
        .collect();
    let values = values?;
    for (index, value) in values.iter().enumerate() {
        if values[..index].contains(value) {
            return Err(word(
                option,
                given,
                format!("`{}` stands there twice", shown(value)),
            ));
        }
    }
    Ok((key.to_owned(), values))
}

/// Cuts at the commas outside of brackets and quotation marks.
fn pieces(text: &str) -> Vec<&str> {
    let (mut from, mut depth, mut quoted, mut escaped) = (0, 0_i32, false, false);
    let mut out = Vec::new();
    for (at, letter) in text.char_indices() {
        match letter {
            _ if escaped => escaped = false,
            '\\' if quoted => escaped = true,
            '"' => quoted = !quoted,
            '[' | '{' if !quoted => depth += 1,
            ']' | '}' if !quoted => depth -= 1,
            ',' if !quoted && depth == 0 => {
                out.push(&text[from..at]);
                from = at + 1;
            }
            _ => {}
        }
    }
    out.push(&text[from..]);
    out
}

/// A JSON value, or a bare word as text.
fn value(text: &str) -> Option<Value> {
    let text = text.trim();
    match serde_json::from_str(text) {
        Ok(value) => Some(value),
        Err(_) if text.is_empty() || text.starts_with(['{', '[', '"']) => None,
        Err(_) => Some(Value::from(text)),
    }
}

/// A value as the command line has it.
#[must_use]
pub fn shown(value: &Value) -> String {
    match value {
        Value::String(text) => text.clone(),
        other => other.to_string(),
    }
}

/// `main.capacity_ah 100 · roof.panel_w 200`.
fn name_of(set: &Changes) -> String {
    let parts: Vec<String> = set
        .0
        .iter()
        .map(|(key, value)| {
            let short = key.strip_prefix("itinerary.").unwrap_or(key);
            let short = short.split_once('.').map_or(short, |(_, rest)| rest);
            format!("{short} {}", shown(value))
        })
        .collect();
    parts.join(" · ")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn given(words: &[&str]) -> Vec<String> {
        words.iter().map(|&word| word.to_owned()).collect()
    }

    #[test]
    fn vary_makes_the_cross_product_in_order() {
        let made = choices(
            &given(&[
                "banks.main.capacity_ah=100,200",
                "solar.roof.mount=flat,{\"tilt_deg\":30,\"azimuth_deg\":0}",
            ]),
            &[],
        )
        .unwrap();
        let names: Vec<&str> = made.iter().map(|choice| choice.name.as_str()).collect();
        assert_eq!(names.len(), 5);
        assert_eq!(
            names[..2],
            ["as it is", "main.capacity_ah 100 · roof.mount flat"]
        );
        assert_eq!(made[4].set.0[1].1["tilt_deg"], 30);
    }

    #[test]
    fn options_stand_beside_the_scenario_as_it_is() {
        let made = choices(
            &[],
            &given(&["more:banks.main.capacity_ah=200,banks.main.price=1500"]),
        )
        .unwrap();
        assert_eq!(made[0], Choice::as_it_is());
        assert_eq!(made[1].set.0.len(), 2);
    }

    #[test]
    fn refuses_what_cannot_be_understood() {
        let refused = |vary: &[&str], named: &[&str]| {
            choices(&given(vary), &given(named))
                .unwrap_err()
                .to_string()
        };
        let vary = [
            (
                &["banks.main"][..],
                "`--vary banks.main`: must be KEY=VALUE,VALUE,… such as banks.main.capacity_ah=100,200",
            ),
            (&["a.b=1,,2"][..], "`--vary a.b=1,,2`: a value is missing"),
            (&["a.b=1,1"][..], "`--vary a.b=1,1`: `1` stands there twice"),
            (&["a.b={1"][..], "`--vary a.b={1`: `{1` is not a JSON value"),
            (
                &["a..b=1"][..],
                "`--vary a..b=1`: the key before `=` has an empty part",
            ),
            (
                &["a.b=1", "a.b=2"][..],
                "`--vary a.b=2`: `a.b` varies already",
            ),
        ];
        for (words, told) in vary {
            assert_eq!(refused(words, &[]), format!("error: {told}\n"));
        }
        let named = [
            (
                &["a.b=1"][..],
                "`--option a.b=1`: must be NAME:KEY=VALUE, or NAME:KEY=VALUE,KEY=VALUE",
            ),
            (
                &["x:a.b=1,a.b=2"][..],
                "`--option x:a.b=1,a.b=2`: `a.b` is set twice",
            ),
            (
                &["x:a.b=1", "x:a.b=2"][..],
                "`--option x`: there is an option of this name already",
            ),
        ];
        for (words, told) in named {
            assert_eq!(refused(&[], words), format!("error: {told}\n"));
        }
        assert!(refused(&[], &[]).starts_with("error: there is nothing to compare"));
        let long = "a.b=1,2,3,4,5,6,7,8,9,10";
        assert!(
            refused(&[long, &long.replace('b', "c")], &[])
                .contains("makes 100 options, but at most 64")
        );
    }
}
