//! How well a built-in climate is supported, and the refusal where it is not.

use std::fmt;

use serde::Serialize;

use super::place::REACH_KM;
use crate::units::Sentence;

/// A cell that a climate rests on.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct SupportCell {
    /// Centre.
    pub lat_deg: f64,
    /// Centre.
    pub lon_deg: f64,
    /// Its share in the mix, 0 to 1.
    pub share: f64,
}

/// Where the height that the temperatures are carried to comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum HeightSource {
    /// The user gave it.
    Given,
    /// Mean height of the land in the 1° box of the place.
    LandBox,
    /// No land to speak of in the box: a coast or an island, taken at sea level.
    SeaLevel,
}

/// What a climate rests on.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Support {
    /// The cells mixed, largest share first.
    pub cells: Vec<SupportCell>,
    /// Distance of the nearest cell with data.
    pub nearest_cell_km: f64,
    /// Weight of the sunshine stations behind the sun, mean of the months by their sun: 0 none, above 1
    /// well supported.
    pub sunshine_weight: f64,
    /// Distance of the nearest temperature station from the cells, mean by share; a difference of height
    /// counts as distance.
    pub nearest_station_km: f64,
    /// Height that the temperatures are carried to, m.
    pub height_m: f64,
    /// Where that height comes from.
    pub height_source: HeightSource,
    /// Height that the cells' own temperatures belong to, m.
    pub cells_height_m: f64,
    /// What a reader should know before trusting it.
    pub warnings: Vec<SupportWarning>,
}

/// A weakness of a climate at a place.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[serde(tag = "kind", rename_all = "kebab-case")]
pub enum SupportWarning {
    /// The place lies off the cells with data; the nearest stand in.
    FarCells {
        /// Its distance.
        km: f64,
    },
    /// The sun rests on reanalysis and a general fit; no sunshine station is near.
    NoSunshineStation {
        /// The weight there is.
        weight: f64,
    },
    /// The nearest temperature station is far.
    FarStation {
        /// Its distance.
        km: f64,
    },
    /// The place lies far above or below its cells, so that the temperature is carried far.
    FarInHeight {
        /// Height of the place less that of its cells, m.
        difference_m: f64,
    },
    /// A given height outside what the rule was made for was cut to its limit.
    HeightCut {
        /// As given, m.
        given_m: f64,
        /// As used, m.
        used_m: f64,
    },
}

impl SupportWarning {
    /// In a sentence.
    #[must_use]
    pub fn sentence(&self) -> Sentence {
        Sentence::from(match self {
            Self::FarCells { km } => format!(
                "no climate cell is near; the nearest, ‹{km} km:0› away, stands in for the place"
            ),
            Self::NoSunshineStation { weight } => format!(
                "hardly any sunshine record is near (weight {weight:.1}, well supported from 1): \
                 the sun may be off by 10 % and more"
            ),
            Self::FarStation { km } => {
                format!("temperature records are some ‹{km} km:0› away, height counted as distance")
            }
            Self::FarInHeight { difference_m } => format!(
                "the place lies ‹{} m:0› {} its climate cells: the temperature is carried there \
                 at ‹5.5 K/km›",
                difference_m.abs(),
                if *difference_m < 0.0 {
                    "below"
                } else {
                    "above"
                }
            ),
            Self::HeightCut { given_m, used_m } => format!(
                "the height ‹{given_m} m:0› is beyond the climate's rule; ‹{used_m} m:0› is used"
            ),
        })
    }
}

/// Why a place has no built-in climate.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum OutsideWorldClimate {
    /// Not a place on Earth, or not a height.
    NotAPlace {
        /// As given.
        lat_deg: f64,
        /// As given.
        lon_deg: f64,
        /// As given.
        height_m: Option<f64>,
    },
    /// Too far from every cell.
    TooFar {
        /// As given.
        lat_deg: f64,
        /// As given.
        lon_deg: f64,
        /// Distance of the nearest cell.
        nearest_cell_km: f64,
    },
}

impl fmt::Display for OutsideWorldClimate {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NotAPlace {
                lat_deg,
                lon_deg,
                height_m,
            } => {
                write!(
                    f,
                    "{lat_deg}, {lon_deg} is not a place: the latitude must be from -90 to 90 and \
                     the longitude from -180 to 180"
                )?;
                match height_m {
                    Some(height_m) if !height_m.is_finite() => {
                        write!(f, ", and the height {height_m} must be a number of metres")
                    }
                    _ => Ok(()),
                }
            }
            Self::TooFar {
                lat_deg,
                lon_deg,
                nearest_cell_km,
            } => write!(
                f,
                "the built-in climate does not reach {lat_deg}, {lon_deg}: its nearest cell is \
                 {nearest_cell_km:.0} km away and at most {REACH_KM:.0} km are bridged; give the \
                 months yourself with `\"climate\": {{ \"kind\": \"monthly\", … }}` or a weather \
                 file with `\"climate\": {{ \"kind\": \"history\", … }}`"
            ),
        }
    }
}

impl std::error::Error for OutsideWorldClimate {}
