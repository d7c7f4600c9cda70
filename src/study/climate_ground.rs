//! What the weather of an answer rests on.
//!
//! One job: the source of the climate in sentences, with the credits it requires. The climate
//! itself is in `sky`.

use serde::Serialize;

use super::sky_table::{place_text, source};
use crate::scenario::{Climate, DayPersistence, Scenario};
use crate::sky::world_climate::{
    NOT_A_FORECAST, SupportWarning, WORLD_CLIMATE_NOTICES, place_climate,
};
use crate::units::Sentence;

/// The ground the weather stands on.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ClimateGround {
    /// What kind of source it is, a sentence.
    pub kind: String,
    /// By place where the source differs by place: the place, and sentences about it.
    pub places: Vec<(String, Vec<Sentence>)>,
    /// Sentences about the whole.
    pub remarks: Vec<Sentence>,
    /// Credits that the sources require.
    pub notices: Vec<&'static str>,
}

/// The ground of a scenario's weather.
#[must_use]
pub fn climate_ground(scenario: &Scenario) -> ClimateGround {
    match &scenario.climate {
        Climate::BuiltIn { persistence } => built_in(scenario, persistence),
        Climate::Monthly { rows, persistence } => {
            let mut remarks = vec![format!(
                "The table gives {} months; the days between them have the months' own means.",
                rows.len()
            )];
            remarks.extend(persistence_remark(persistence));
            ClimateGround {
                kind: "The weather is drawn from the monthly table in the scenario file."
                    .to_owned(),
                places: Vec::new(),
                remarks: remarks.into_iter().map(Sentence::from).collect(),
                notices: Vec::new(),
            }
        }
        Climate::History(history) => {
            let series = &history.series;
            let years = match (series.days.first(), series.days.last()) {
                (Some(first), Some(last)) => format!(" from ‹{}› to ‹{}›", first.date, last.date),
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
                remarks: remarks.into_iter().map(Sentence::from).collect(),
                notices: Vec::new(),
            }
        }
    }
}

/// What the file says of how a day depends on those before it, if it does.
fn persistence_remark(persistence: &DayPersistence) -> Option<String> {
    (*persistence != DayPersistence::default()).then(|| {
        let lags: Vec<String> = persistence.given().iter().map(f64::to_string).collect();
        let (autocorrelations, days, are) = match lags.len() {
            1 => ("autocorrelation", "1 day".to_owned(), "is"),
            count => ("autocorrelations", format!("1 to {count} days"), "are"),
        };
        format!(
            "How the clearness of a day depends on the days before it is the scenario file's: the {autocorrelations} at \
             {days} {are} {}.",
            lags.join(", ")
        )
    })
}

fn built_in(scenario: &Scenario, persistence: &DayPersistence) -> ClimateGround {
    let legs = scenario.itinerary.legs.iter().map(|leg| &leg.stop);
    let mut places: Vec<(String, Vec<Sentence>)> = Vec::new();
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
        sentences.extend(
            climate
                .support
                .warnings
                .iter()
                .map(SupportWarning::sentence),
        );
        places.push((place.name.clone(), sentences));
    }
    ClimateGround {
        kind: "The weather is drawn from the built-in world climate.".to_owned(),
        places,
        remarks: std::iter::once(format!("It is {NOT_A_FORECAST}."))
            .chain(persistence_remark(persistence))
            .map(Sentence::from)
            .collect(),
        notices: WORLD_CLIMATE_NOTICES.to_vec(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn pinned_a_given_persistence_is_said_and_the_default_is_not() {
        let said = |given: &[f64]| persistence_remark(&DayPersistence::new(given).unwrap());
        assert_eq!(said(DayPersistence::default().given()), None);
        assert_eq!(
            said(&[0.4]).unwrap(),
            "How the clearness of a day depends on the days before it is the scenario file's: the autocorrelation at \
             1 day is 0.4."
        );
        assert_eq!(
            said(&[0.3, 0.16, -0.1]).unwrap(),
            "How the clearness of a day depends on the days before it is the scenario file's: the autocorrelations at \
             1 to 3 days are 0.3, 0.16, -0.1."
        );
    }
}
