//! Places of the world by name, built in.
//!
//! One job: a name such as `Tok, AK, US` in, latitude, longitude and time zone out; and the other way
//! round, the place nearest to a point. Heights and climate are in `sky`.
//!
//! The table holds the populated places of 500 people and more of the `GeoNames` extract in
//! `tests/reference/places/`, some 235,000; `tests/pack_places.rs` packs it into `places.bin` and
//! proves the two equal. Positions are rounded to 0.01°, some 1 km.
//!
//! Left out: places with fewer people, springs, capes and camps (`Bearing` leads to them from a
//! place that is known), and names in other scripts than the table's own.

mod bearing;
mod fold;
mod name;
mod packed;
mod regions;

pub use bearing::{Bearing, destination};
pub use fold::folded;
pub use name::{Name, alike, beginning, find};
pub use packed::{KnownPlace, nearest};

/// The credit that the licence of the table (CC BY 4.0) requires.
pub const PLACES_NOTICE: &str = "Names, positions and time zones of places: GeoNames (geonames.org), places of 500 people and \
     more, licence CC BY 4.0; packed and rounded to 0.01°";
