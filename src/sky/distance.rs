//! How far two places are apart.
//!
//! One job: the great circle between two points of the Earth. What counts as far is each caller's.
//! Left out: the Earth's flattening, 0.6 % at most.

const EARTH_RADIUS_KM: f64 = 6371.0;

/// Great-circle distance on a sphere of 6371 km, km.
///
/// | argument | meaning | unit | accepted |
/// |---|---|---|---|
/// | `a`, `b` | latitude and longitude, north and east positive | ° | -90 to 90, any |
///
/// Returns 0 to 20,016.
///
/// # Source
/// The haversine formula: R. W. Sinnott, "Virtues of the haversine", Sky and Telescope 68(2), 159, 1984 (from
/// memory).
///
/// # Example
/// ```
/// use tideover::sky::distance::great_circle_km;
///
/// // By hand: a quarter of the circumference, π / 2 · 6371.
/// assert!((great_circle_km((0.0, 170.0), (0.0, -100.0)) - 10_007.543).abs() < 0.001);
/// ```
#[must_use]
pub fn great_circle_km(a: (f64, f64), b: (f64, f64)) -> f64 {
    let half_lat = libm::sin((b.0 - a.0).to_radians() / 2.0);
    let half_lon = libm::sin((b.1 - a.1).to_radians() / 2.0);
    let h = half_lat * half_lat
        + libm::cos(a.0.to_radians()) * libm::cos(b.0.to_radians()) * half_lon * half_lon;
    2.0 * EARTH_RADIUS_KM * libm::asin(libm::sqrt(h.min(1.0)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn law_a_degree_of_latitude_is_alike_everywhere_and_the_way_back_as_long() {
        for lat in [-90.0, -45.0, 0.0, 60.0, 89.0] {
            let (a, b) = ((lat, 7.0), (lat + 1.0, 7.0));
            // By hand: π / 180 · 6371.
            assert!((great_circle_km(a, b) - 111.194_927).abs() < 1e-5, "{lat}");
        }
        let (a, b) = ((-33.95, 151.18), (52.1, 5.18));
        assert!((great_circle_km(a, b) - great_circle_km(b, a)).abs() < 1e-9);
        assert!(great_circle_km(a, a).abs() < 1e-12);
        assert!((great_circle_km((90.0, 0.0), (-90.0, 50.0)) - 20_015.087).abs() < 0.001);
    }
}
