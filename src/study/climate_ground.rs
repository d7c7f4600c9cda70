//! What the weather of an answer rests on.
//!
//! One job: the source of the climate in sentences, with the credits it requires. The climate
//! itself is in `sky`.

use serde::Serialize;

use super::sky_table::{place_text, source};
use crate::scenario::{Climate, Scenario};
use crate::sky::world_climate::{NOT_A_FORECAST, WORLD_CLIMATE_NOTICES, place_climate};

/// The ground the weather stands on.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ClimateGround {
    /// What kind of source it is, a sentence.
    pub kind: String,
    /// By place where the source differs by place: the place, and sentences about it.
    pub places: Vec<(String, Vec<String>)>,
    /// Sentences about the whole.
    pub remarks: Vec<String>,
    /// Credits that the sources require.
    pub notices: Vec<&'static str>,
}

/// The ground of a scenario's weather.
#[must_use]
pub fn climate_ground(scenario: &Scenario) -> ClimateGround {
    match &scenario.climate {
        Climate::BuiltIn => built_in(scenario),
        Climate::Monthly(rows) => ClimateGround {
            kind: "The weather is drawn from the monthly table in the scenario file.".to_owned(),
            places: Vec::new(),
            remarks: vec![format!(
                "The table gives {} months; days between mid-months are interpolated.",
                rows.len()
            )],
            notices: Vec::new(),
        },
        Climate::History(history) => {
            let series = &history.series;
            let years = match (series.days.first(), series.days.last()) {
                (Some(first), Some(last)) => format!(" from {} to {}", first.date, last.date),
                _ => String::new(),
            };
            let mut remarks = vec![format!(
                "The record holds {} days{years} and belongs to {}.",
                series.days.len(),
                place_text(series.lat_deg, series.lon_deg, 2)
            )];
            remarks.extend(history.replay.map(|year| {
                format!(
                    "The year {year} is replayed as it was: every trial meets the same weather."
                )
            }));
            remarks.extend(series.notices());
            ClimateGround {
                kind: "The weather is drawn in runs of days from the weather file that the \
                       scenario names."
                    .to_owned(),
                places: Vec::new(),
                remarks,
                notices: Vec::new(),
            }
        }
    }
}

fn built_in(scenario: &Scenario) -> ClimateGround {
    let legs = scenario.itinerary.legs.iter().map(|leg| &leg.stop);
    let mut places: Vec<(String, Vec<String>)> = Vec::new();
    for place in std::iter::once(&scenario.itinerary.from).chain(legs) {
        let Ok(climate) = place_climate(place.lat_deg, place.lon_deg, place.height_m) else {
            continue;
        };
        if places.iter().any(|(name, _)| *name == place.name) {
            continue;
        }
        let mut sentences = source(&climate.support);
        // The last one says what a climate is not: said once for all places.
        sentences.pop();
        sentences.extend(climate.support.warnings.iter().map(ToString::to_string));
        places.push((place.name.clone(), sentences));
    }
    ClimateGround {
        kind: "The weather is drawn from the built-in world climate.".to_owned(),
        places,
        remarks: vec![format!("It is {NOT_A_FORECAST}.")],
        notices: WORLD_CLIMATE_NOTICES.to_vec(),
    }
}
