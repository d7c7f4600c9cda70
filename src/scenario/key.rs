//! Keys of a scenario by ids: `banks.main.capacity_ah`, `itinerary.legs.Pan edge.nights`.
//!
//! One job: from such a key to the place of a value in the JSON. Entries of lists go by id, by
//! name or by number from 1; names may hold spaces and dots, so the longest that fits is taken.
//! Left out: whether a key of an entry exists. The scenario's own check says that, with its hint.

use serde_json::Value;

/// What an entry of a list goes by, in this order.
const NAMES: [&str; 3] = ["id", "to", "name"];

/// Why a key leads nowhere.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Lost {
    pub(super) problem: String,
    pub(super) hint: Option<String>,
}

fn lost(problem: String) -> Lost {
    Lost {
        problem,
        hint: None,
    }
}

/// Puts `value` at the key.
pub(super) fn put(root: &mut Value, key: &str, value: Value) -> Result<(), Lost> {
    *at(root, key)? = value;
    Ok(())
}

/// The place of a key; what is missing in objects on the way is made.
pub(super) fn at<'v>(root: &'v mut Value, key: &str) -> Result<&'v mut Value, Lost> {
    walk(root, key).map(|(place, _)| place)
}

/// The steps of a key: keys of objects and numbers of entries from 0. What is missing in objects on the way
/// counts as there.
pub(super) fn steps(root: &Value, key: &str) -> Result<Vec<String>, Lost> {
    walk(&mut root.clone(), key).map(|(_, steps)| steps)
}

fn walk<'v>(root: &'v mut Value, key: &str) -> Result<(&'v mut Value, Vec<String>), Lost> {
    let mut steps = Vec::new();
    let mut place = root;
    let mut rest = key;
    let mut walked = String::new();
    while !rest.is_empty() {
        let (step, after) = match place {
            Value::Object(members) => {
                let known = members.keys().map(String::as_str);
                // An unknown key is put there all the same: the scenario's check knows the words.
                longest(known, rest).unwrap_or_else(|| rest.split_once('.').unwrap_or((rest, "")))
            }
            Value::Array(items) => entry(items, rest, &walked)?,
            _ => {
                return Err(lost(format!(
                    "`{walked}` is a single value, with nothing inside"
                )));
            }
        };
        let (step, after) = (step.to_owned(), after);
        walked = if walked.is_empty() {
            step.clone()
        } else {
            format!("{walked}.{step}")
        };
        place = match place {
            Value::Object(members) => {
                steps.push(step.clone());
                members
                    .entry(step)
                    .or_insert_with(|| Value::Object(serde_json::Map::new()))
            }
            Value::Array(items) => {
                let index = position(items, &step)?;
                steps.push(index.to_string());
                &mut items[index]
            }
            _ => return Err(lost(format!("`{walked}` leads nowhere"))),
        };
        rest = after;
    }
    Ok((place, steps))
}

/// The longest name at the beginning of `rest`, and what follows its dot.
fn longest<'a, 'b>(
    names: impl Iterator<Item = &'b str>,
    rest: &'a str,
) -> Option<(&'a str, &'a str)> {
    names
        .filter_map(|name| {
            let after = rest.strip_prefix(name)?;
            let after = match after.strip_prefix('.') {
                Some(after) if !after.is_empty() => after,
                None if after.is_empty() => after,
                _ => return None,
            };
            Some((&rest[..name.len()], after))
        })
        .max_by_key(|(name, _)| name.len())
}

fn name_of(item: &Value) -> Option<&str> {
    NAMES.iter().find_map(|key| item.get(key)?.as_str())
}

fn entry<'a>(items: &[Value], rest: &'a str, list: &str) -> Result<(&'a str, &'a str), Lost> {
    let names: Vec<&str> = items.iter().filter_map(name_of).collect();
    if let Some(found) = longest(names.iter().copied(), rest) {
        return Ok(found);
    }
    let (first, after) = rest.split_once('.').unwrap_or((rest, ""));
    if first
        .parse::<usize>()
        .is_ok_and(|number| (1..=items.len()).contains(&number))
    {
        return Ok((first, after));
    }
    let nearest = names
        .iter()
        .map(|name| (strsim::damerau_levenshtein(name, first), *name))
        .filter(|(distance, name)| *distance <= 1 + name.chars().count() / 3)
        .min();
    Err(Lost {
        problem: if names.is_empty() {
            format!(
                "`{list}` has no `{first}`, but has numbers from 1 to {}",
                items.len()
            )
        } else {
            format!("`{list}` has no `{first}`, but has {}", names.join(", "))
        },
        hint: nearest.map(|(_, name)| format!("did you mean `{name}`?")),
    })
}

fn position(items: &[Value], step: &str) -> Result<usize, Lost> {
    let named: Vec<usize> = (0..items.len())
        .filter(|&index| name_of(&items[index]) == Some(step))
        .collect();
    match named.as_slice() {
        [only] => Ok(*only),
        [] => Ok(step.parse::<usize>().unwrap_or(1).saturating_sub(1)),
        several => {
            let numbers: Vec<String> = several.iter().map(|at| (at + 1).to_string()).collect();
            Err(Lost {
                problem: format!("{} entries are named `{step}`", several.len()),
                hint: Some(format!("give the number, {}", numbers.join(" or "))),
            })
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn scenario() -> Value {
        serde_json::json!({
            "banks": [{"id": "main", "capacity_ah": 100}, {"id": "aux"}],
            "itinerary": {"legs": [
                {"to": "Pan edge", "nights": 3}, {"to": "Pan", "nights": 1},
                {"to": "St. Lucia", "nights": 1}, {"to": "Home"}, {"to": "Home"}]}
        })
    }

    #[test]
    fn keys_go_by_ids_names_and_numbers() {
        let mut root = scenario();
        put(&mut root, "banks.main.capacity_ah", 200.into()).unwrap();
        put(&mut root, "itinerary.legs.Pan edge.nights", 4.into()).unwrap();
        put(&mut root, "itinerary.legs.2.nights", 5.into()).unwrap();
        put(&mut root, "itinerary.legs.St. Lucia.nights", 6.into()).unwrap();
        put(&mut root, "aim.chance", 0.8.into()).unwrap();
        assert_eq!(root["banks"][0]["capacity_ah"], 200);
        let legs = &root["itinerary"]["legs"];
        assert_eq!(
            (&legs[0]["nights"], &legs[1]["nights"], &legs[2]["nights"]),
            (&4.into(), &5.into(), &6.into())
        );
        assert_eq!(root["aim"]["chance"], 0.8);
    }

    #[test]
    fn refuses_keys_that_lead_nowhere() {
        let lost = |key| put(&mut scenario(), key, 1.into()).unwrap_err();
        let unknown = lost("banks.mian.capacity_ah");
        assert_eq!(unknown.problem, "`banks` has no `mian`, but has main, aux");
        assert_eq!(unknown.hint.as_deref(), Some("did you mean `main`?"));
        assert_eq!(
            lost("banks.main.capacity_ah.min").problem,
            "`banks.main.capacity_ah` is a single value, with nothing inside"
        );
        let twice = lost("itinerary.legs.Home.nights");
        assert_eq!(twice.problem, "2 entries are named `Home`");
        assert_eq!(twice.hint.as_deref(), Some("give the number, 4 or 5"));
    }
}
