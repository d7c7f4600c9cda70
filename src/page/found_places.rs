//! Places that a page asks for: by the beginning of a name, or by a point.
//!
//! One job: what is typed or tapped to places as JSON, with the way there. What names mean is in `crate::places`.

use serde_json::{Value, json};

use crate::command::{Failure, places};
use crate::places::{beginning, nearest};
use crate::present::tables::places_json;
use crate::scenario::templates::guessed_way;
use crate::sky::distance::great_circle_km;

/// Places suggested while a name is typed.
const SUGGESTIONS: usize = 8;

/// Places of a name, with `begins` those whose names begin so; or the place nearest to a point `at`, and the way from
/// there to the point. Where one comes `by` a point, each with its distance from there and the keys of such a leg.
/// Points are latitude and longitude in degrees.
pub(super) fn found_places(
    name: &str,
    begins: bool,
    at: Option<(f64, f64)>,
    by: Option<(f64, f64)>,
) -> Result<Value, Failure> {
    let found = match at {
        Some((lat, lon)) => nearest(lat, lon).into_iter().map(|near| near.0).collect(),
        // None is no refusal: that would look through the whole table for names that are alike, at every letter.
        None if begins && name.trim().is_empty() => Vec::new(),
        None if begins => beginning(name, by, SUGGESTIONS),
        None => places(name)?,
    };
    let mut answer = places_json(&found);
    answer["status"] = json!(0);
    for (number, place) in found.iter().enumerate() {
        let json = &mut answer["places"][number];
        let to = at.unwrap_or((place.lat_deg, place.lon_deg));
        if let Some((lat, lon)) = at {
            json["way"] = json!(place.way_to(lat, lon));
        }
        if let Some(from) = by {
            json["km"] = json!(great_circle_km(from, to).round());
            json["leg"] = guessed_way(from, to);
        }
    }
    Ok(answer)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::page::ask;

    fn asked(question: &Value) -> Value {
        serde_json::from_str(&ask(&question.to_string())).expect("an answer is JSON")
    }

    #[test]
    fn by_hand_places_are_suggested_and_a_point_is_told_by_the_nearest() {
        let first = |question: Value| asked(&question)["places"][0].clone();
        // Maun lies at 19.98° S, 23.42° E (the table of places).
        let maun = first(json!({ "ask": "places", "name": "Maun, b", "begins": true }));
        assert_eq!(
            maun["full_name"], "Maun, BW",
            "the country is not typed whole yet"
        );
        let maun =
            first(json!({ "ask": "places", "name": "mau", "begins": true, "by": [-20.0, 23.0] }));
        assert_eq!(maun["full_name"], "Maun, BW");
        // By hand: 0.42° of longitude at 20° S, 111.2 km · cos 20° a degree, are 44 km.
        assert_eq!(maun["km"], 44.0);
        assert_eq!(maun["leg"]["distance_km"], 57.0);
        // By hand: 0.18° of latitude to the north are 20 km.
        let near = first(json!({ "ask": "places", "at": [-19.80, 23.42], "by": [-19.98, 23.42] }));
        assert_eq!(near["way"], "20 km N of Maun, BW");
        assert_eq!(near["leg"]["distance_km"], 26.0);
        let off = asked(&json!({ "ask": "places", "at": [-91.0, 0.0] }));
        assert_eq!(off["status"], 2);
        let none = asked(&json!({ "ask": "places", "name": "Coober Pudy", "begins": true }));
        assert_eq!(none["places"], json!([]));
        let none = asked(&json!({ "ask": "places", "name": "Coober Pudy" }));
        assert!(
            none["text"]
                .as_str()
                .is_some_and(|text| text.contains("Coober Pedy"))
        );
    }
}
