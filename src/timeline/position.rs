//! Where a vehicle is on the map.
//!
//! One job: a point, and the points on the way to another. When it is where is in `calendar`.

use crate::scenario::Place;

/// A point on the map.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Position {
    /// North positive.
    pub lat_deg: f64,
    /// East positive.
    pub lon_deg: f64,
    /// Height above the sea, if known.
    pub height_m: Option<f64>,
}

impl Position {
    pub(super) fn of(place: &Place) -> Self {
        Self {
            lat_deg: place.lat_deg,
            lon_deg: place.lon_deg,
            height_m: place.height_m,
        }
    }

    /// In a straight line on the map, the short way round; height only where both ends have one.
    pub(super) fn towards(self, to: Self, share: f64) -> Self {
        let mut east = to.lon_deg - self.lon_deg;
        if east > 180.0 {
            east -= 360.0;
        } else if east < -180.0 {
            east += 360.0;
        }
        let mut lon_deg = self.lon_deg + share * east;
        if lon_deg > 180.0 {
            lon_deg -= 360.0;
        } else if lon_deg < -180.0 {
            lon_deg += 360.0;
        }
        Self {
            lat_deg: self.lat_deg + share * (to.lat_deg - self.lat_deg),
            lon_deg,
            height_m: self
                .height_m
                .zip(to.height_m)
                .map(|(from_m, to_m)| from_m + share * (to_m - from_m)),
        }
    }
}
