//! A point some way from another.
//!
//! One job: distance and bearing from a place to the point there, on the great circle. What counts
//! as near is each caller's. Left out: the Earth's flattening, 0.6 % at most.

const EARTH_RADIUS_KM: f64 = 6371.0;

/// Compass points of 22.5°, clockwise from north.
const POINTS: [&str; 16] = [
    "N", "NNE", "NE", "ENE", "E", "ESE", "SE", "SSE", "S", "SSW", "SW", "WSW", "W", "WNW", "NW",
    "NNW",
];

/// A direction over ground, degrees clockwise from true north, 0 to 360.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bearing(f64);

impl Bearing {
    /// From one of eight or sixteen compass points, in any case, or degrees (0 to 360) as text.
    #[must_use]
    pub fn parse(text: &str) -> Option<Self> {
        let text = text.trim();
        if let Some(at) = POINTS
            .iter()
            .position(|point| point.eq_ignore_ascii_case(text))
        {
            #[expect(clippy::cast_precision_loss, reason = "0 to 15")]
            return Some(Self(at as f64 * 22.5));
        }
        Self::degrees(text.trim_end_matches('°').parse().ok()?)
    }

    /// From degrees clockwise from true north, 0 to 360.
    #[must_use]
    pub fn degrees(degrees: f64) -> Option<Self> {
        (0.0..=360.0).contains(&degrees).then_some(Self(degrees))
    }

    /// Degrees clockwise from true north.
    #[must_use]
    pub fn in_degrees(self) -> f64 {
        self.0
    }

    /// The initial direction of the great circle from one point to another.
    #[must_use]
    pub fn from_to(from: (f64, f64), to: (f64, f64)) -> Self {
        let (lat1, lat2) = (from.0.to_radians(), to.0.to_radians());
        let east = (to.1 - from.1).to_radians();
        let y = libm::sin(east) * libm::cos(lat2);
        let x =
            libm::cos(lat1) * libm::sin(lat2) - libm::sin(lat1) * libm::cos(lat2) * libm::cos(east);
        Self(libm::atan2(y, x).to_degrees().rem_euclid(360.0))
    }

    /// The nearest of sixteen compass points.
    #[must_use]
    pub fn point(self) -> &'static str {
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "0 to 16"
        )]
        let at = (self.0 / 22.5).round() as usize;
        POINTS[at % 16]
    }
}

/// The point that lies `km` from a place along a great circle that leaves it at `bearing`; latitude
/// and longitude in degrees.
///
/// # Source
/// The direct problem on a sphere of 6371 km (E. Williams, "Aviation Formulary", from memory); the
/// inverse of `sky::distance::great_circle_km`, which its law holds it to.
///
/// # Example
/// ```
/// use tideover::places::{Bearing, destination};
///
/// // By hand: a quarter of the circumference to the east along the equator.
/// let east = Bearing::parse("E").ok_or("a compass point")?;
/// let (lat, lon) = destination((0.0, 10.0), std::f64::consts::FRAC_PI_2 * 6371.0, east);
/// assert!(lat.abs() < 1e-9 && (lon - 100.0).abs() < 1e-9);
/// # Ok::<(), &str>(())
/// ```
#[must_use]
pub fn destination(from: (f64, f64), km: f64, bearing: Bearing) -> (f64, f64) {
    let arc = km / EARTH_RADIUS_KM;
    let (lat, course) = (from.0.to_radians(), bearing.0.to_radians());
    let sin_lat =
        libm::sin(lat) * libm::cos(arc) + libm::cos(lat) * libm::sin(arc) * libm::cos(course);
    let y = libm::sin(course) * libm::sin(arc) * libm::cos(lat);
    let x = libm::cos(arc) - libm::sin(lat) * sin_lat;
    let lon = from.1 + libm::atan2(y, x).to_degrees();
    (
        libm::asin(sin_lat.clamp(-1.0, 1.0)).to_degrees(),
        (lon + 540.0).rem_euclid(360.0) - 180.0,
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sky::distance::great_circle_km;

    #[test]
    fn law_the_way_there_is_as_long_as_asked_and_leads_back_the_way_it_left() {
        for from in [
            (-29.01, 134.75),
            (63.34, -142.99),
            (0.0, 179.9),
            (-54.8, -68.3),
        ] {
            for (text, degrees) in [
                ("N", 0.0),
                ("nw", 315.0),
                ("ENE", 67.5),
                ("200", 200.0),
                ("90°", 90.0),
            ] {
                let bearing = Bearing::parse(text).expect("a bearing");
                assert!((bearing.in_degrees() - degrees).abs() < 1e-12);
                let to = destination(from, 30.0, bearing);
                assert!(
                    (great_circle_km(from, to) - 30.0).abs() < 1e-6,
                    "{from:?} {text}"
                );
                let back = Bearing::from_to(from, to).in_degrees();
                assert!(
                    (back - degrees + 180.0).rem_euclid(360.0) - 180.0 < 1e-6,
                    "{back} {text}"
                );
            }
        }
        assert_eq!(Bearing::parse("NORTH-ish"), None);
        assert_eq!(Bearing::parse("361"), None);
        assert_eq!(Bearing::from_to((0.0, 0.0), (1.0, 1.0)).point(), "NE");
    }
}
