//! The cures of the problems, where they are known.

use super::ProblemKind;
use super::typed::{typed_date_time, typed_time, typed_zone};
use super::words::either;

impl ProblemKind {
    /// The cure, where it is known.
    #[must_use]
    pub fn hint(&self) -> Option<String> {
        let did_you_mean =
            |word: &Option<String>| word.as_ref().map(|word| format!("did you mean `{word}`?"));
        match self {
            Self::Syntax(error) => error.hint(),
            Self::UnknownKey { meant: Some(hint), .. } | Self::NotOneOf { meant: Some(hint), .. } => {
                Some(hint.clone())
            }
            Self::UnknownKey {
                nearest: None,
                known,
                ..
            } => Some(format!("known here: {}", known.join(", "))),
            Self::UnknownKey { nearest, .. } | Self::NotOneOf { nearest, .. } => {
                did_you_mean(nearest)
            }
            Self::NoSuchZone { found, nearest } => typed_zone(found)
                .map(|zone| {
                    format!(
                        "write \"{zone}\", or leave `time_zone` out for that of the place where the trip begins"
                    )
                })
                .or_else(|| did_you_mean(nearest)),
            Self::NoSuchEntry { nearest, known, .. } => {
                did_you_mean(nearest).or_else(|| match known.as_slice() {
                    [] => None,
                    known => Some(format!("there is {}", known.join(", "))),
                })
            }
            Self::NotAllowed { hint, .. } => hint.clone(),
            Self::NoSuchPlace { alike, .. } if !alike.is_empty() => {
                Some(format!("did you mean {}?", either(alike)))
            }
            Self::NoSuchPlace { .. } => Some(
                "give `lat` and `lon`, or a town with `\"near\": \"Town, Country\", \"km\": 30, \
                 \"bearing\": \"NW\"`"
                    .to_owned(),
            ),
            Self::ReservedId { .. } | Self::AmbiguousEntry { .. } => {
                Some("choose another id".to_owned())
            }
            Self::NoHouseBank => Some("`role` is `house` unless it says `start`".to_owned()),
            Self::NoAlternator => {
                Some("add `\"alternator\": { \"rated_a\": 120 }` with your own figure".to_owned())
            }
            Self::SharesOtherBank { .. } => {
                Some("one box charges one bank: leave out `shares` if there are two".to_owned())
            }
            Self::RatedAboveRunning { rated_w, running_w } if *rated_w > 3.0 * running_w => Some("`average_a` is in amperes, not in watts".to_owned()),
            Self::ImpossibleClearness {
                key: "sun_hours",
                found,
                most,
                ..
            } if found > most => Some(
                "`sun_hours` are kWh/m² a day on the flat, hours of full sun, not hours of sunshine"
                    .to_owned(),
            ),
            Self::SunInPolarNight { .. } => Some("write 0".to_owned()),
            Self::ImpossibleAutocorrelation(_) => Some(
                "measured on one unbroken record, each as a sum of products over the sum of all \
                 squares, they always fit together"
                    .to_owned(),
            ),
            Self::OutsideBuiltInClimate {
                meant: Some(meant), ..
            } => Some(meant.clone()),
            Self::OutsideBuiltInClimate { .. } => Some(
                "give the months yourself with `\"climate\": { \"kind\": \"monthly\", … }` or a \
                 weather file with `\"climate\": { \"kind\": \"history\", … }`"
                    .to_owned(),
            ),
            Self::NoSeason { .. } => Some(
                "give a smaller `block_days`, a larger `season_days` or a longer file".to_owned(),
            ),
            Self::NotATime { found } | Self::NotAWindowEnd { found } => {
                typed_time(found).map(|time| format!("write \"{time}\""))
            }
            Self::NotADateTime { found } => typed_date_time(found),
            Self::TripTooLong { .. } | Self::TooManyNights { .. } => {
                Some("cut the trip into parts".to_owned())
            }
            _ => None,
        }
    }
}
