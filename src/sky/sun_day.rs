//! Sunrise, solar noon and sunset.
//!
//! One job: date and place in, the three instants out, or which of the two polar states it is.
//! Windows bound to them are read in `timeline`.
//! Left out: mountains, height of the place, weather; real refraction moves the rise by minutes at
//! high latitudes.

use chrono::NaiveDate;

use super::memo::Memo;
use super::sun_position::{SunPosition, hour_angle_deg, sun_position, sun_position_fast};
use crate::units::Whole;

/// Height of the sun's centre at rise and set: 34' of refraction and 16' of radius.
pub const RISE_HEIGHT_DEG: f64 = -0.8333;

const HALF_DAY_S: f64 = 43_200.0;

/// One solar day, instants in seconds since 1970-01-01 UTC.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SunDay {
    /// The sun rises and sets.
    Normal {
        /// The last rise before the transit.
        rise_s: i64,
        /// Solar noon.
        transit_s: i64,
        /// The first set after the transit.
        set_s: i64,
    },
    /// The sun stays up.
    PolarDay {
        /// Solar noon.
        transit_s: i64,
    },
    /// The sun stays down.
    PolarNight {
        /// Solar noon.
        transit_s: i64,
    },
}

impl SunDay {
    /// Solar noon.
    #[must_use]
    pub fn transit_s(&self) -> i64 {
        match *self {
            Self::Normal { transit_s, .. }
            | Self::PolarDay { transit_s }
            | Self::PolarNight { transit_s } => transit_s,
        }
    }
}

/// Local mean noon of a date at a longitude, in seconds since 1970-01-01 UTC.
#[must_use]
pub fn local_mean_noon_utc_s(date: NaiveDate, lon_deg: f64) -> i64 {
    let days = date.signed_duration_since(NaiveDate::default()).num_days();
    days * 86_400 + whole_seconds(HALF_DAY_S - lon_deg * 240.0)
}

/// Rise, transit and set of the solar day around a local mean noon.
///
/// | argument | meaning | unit | accepted |
/// |---|---|---|---|
/// | `noon_utc_s` | local mean noon of the wanted date | s since 1970 UTC | years -2000 to 6000 |
/// | `lat_deg`, `lon_deg` | place | ° | -90 to 90, -180 to 180 |
///
/// The transit is the one nearest to that noon; rise and set are the last and first times around
/// it, within half a day, at which the true topocentric height of the sun's centre passes
/// [`RISE_HEIGHT_DEG`]. They may lie on the neighbouring UTC date.
///
/// # Validity
/// To the second at moderate latitudes; where the sun grazes the horizon a second of time is less
/// than the position is worth. On the one day on which a polar day begins or ends, the missing rise
/// or set is the solar midnight.
///
/// # Source
/// Definition of rise and set: the almanacs' -50' (Reda and Andreas 2004, as in [`sun_position`]).
#[must_use]
pub fn sun_day(noon_utc_s: i64, lat_deg: f64, lon_deg: f64) -> SunDay {
    static KNOWN: Memo<(i64, u64, u64), SunDay> = Memo::new();
    let key = (noon_utc_s, lat_deg.to_bits(), lon_deg.to_bits());
    KNOWN.get_or(key, || worked_out(noon_utc_s, lat_deg, lon_deg))
}

/// How far the short algorithm may be off, °, five times over: nearer to the horizon the exact one is asked.
const DOUBT_DEG: f64 = 0.05;

/// The sun passes the horizon steeply if faster than so many degrees an hour: the exact instant is then two steps of
/// Newton's from that of the short algorithm, whose slope serves.
const STEEP_DEG_PER_H: f64 = 4.0;

fn worked_out(noon_utc_s: i64, lat_deg: f64, lon_deg: f64) -> SunDay {
    let transit = transit_s(noon_utc_s, lon_deg);
    let transit_whole_s = whole_seconds(transit);
    let above = |sun: SunPosition| 90.0 - sun.zenith_deg - RISE_HEIGHT_DEG;
    let exact = |s: f64| above(sun_position(s, lat_deg, lon_deg));
    let short = |s: f64| above(sun_position_fast(s, lat_deg, lon_deg));
    let height = |s: f64| {
        Some(short(s))
            .filter(|deg| deg.abs() > DOUBT_DEG)
            .unwrap_or_else(|| exact(s))
    };
    let noon_deg = height(transit);
    if noon_deg < 0.0 {
        return SunDay::PolarNight {
            transit_s: transit_whole_s,
        };
    }
    let before = (transit - HALF_DAY_S, height(transit - HALF_DAY_S));
    let after = (transit + HALF_DAY_S, height(transit + HALF_DAY_S));
    if before.1 >= 0.0 && after.1 >= 0.0 {
        return SunDay::PolarDay {
            transit_s: transit_whole_s,
        };
    }
    let edge = |midnight: (f64, f64)| {
        if midnight.1 >= 0.0 {
            return whole_seconds(midnight.0);
        }
        let near = crossing(midnight, (transit, noon_deg), short);
        let slope = (short(near + 30.0) - short(near - 30.0)) / 60.0;
        whole_seconds(if slope.abs() * 3600.0 > STEEP_DEG_PER_H {
            (0..2).fold(near, |at, _| at - exact(at) / slope)
        } else {
            crossing(midnight, (transit, noon_deg), exact)
        })
    };
    SunDay::Normal {
        rise_s: edge(before),
        transit_s: transit_whole_s,
        set_s: edge(after),
    }
}

/// The transit nearest to local mean noon: the equation of time keeps it within 17 minutes, and each step leaves less
/// than a two-thousandth.
fn transit_s(noon_utc_s: i64, lon_deg: f64) -> f64 {
    (0..2).fold(noon_utc_s.real(), |at_s, _| {
        at_s - hour_angle_deg(at_s, lon_deg) * 240.0
    })
}

/// Zero of `height` between a point below and a point above, by the Illinois rule (false position
/// that halves the weight of an end that stays).
fn crossing(below: (f64, f64), above: (f64, f64), height: impl Fn(f64) -> f64) -> f64 {
    let (mut below, mut above) = (below, above);
    let mut last_was_below = None;
    for _ in 0..60 {
        if (above.0 - below.0).abs() < 0.05 {
            break;
        }
        let at = below.0 + (above.0 - below.0) * below.1 / (below.1 - above.1);
        let value = height(at);
        if value.abs() < 1e-7 {
            return at;
        }
        let is_below = value < 0.0;
        let stays = last_was_below == Some(is_below);
        if is_below {
            below = (at, value);
            above.1 *= if stays { 0.5 } else { 1.0 };
        } else {
            above = (at, value);
            below.1 *= if stays { 0.5 } else { 1.0 };
        }
        last_was_below = Some(is_below);
    }
    f64::midpoint(below.0, above.0)
}

fn whole_seconds(seconds: f64) -> i64 {
    i64::cut(libm::round(seconds))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Outside figures: Reda and Andreas 2004, comparison with an almanac: 5 July 1996, 35° S, 0°
    /// E: sunrise 07:08:15, sunset 17:01:04 (printed in whole seconds, cut off).
    #[test]
    fn outside_sun_day_reda_andreas_almanac() {
        let midnight_s = 836_524_800;
        let SunDay::Normal { rise_s, set_s, .. } = sun_day(midnight_s + 43_200, -35.0, 0.0) else {
            panic!("the sun rises at 35° S");
        };
        assert!((rise_s - midnight_s - 25_695).abs() <= 2, "{rise_s}");
        assert!((set_s - midnight_s - 61_264).abs() <= 2, "{set_s}");
    }

    /// To the second what the exact algorithm alone gives, but where a second of time is less than a position is worth.
    #[test]
    fn law_the_short_algorithm_only_leads_to_the_edge() {
        let mut most_s = 0;
        for lat in (-78..=78).step_by(4) {
            for week in 0..52 {
                let (lat, noon_s) = (f64::from(lat) + 0.3, 1_767_268_800 + week * 604_800);
                let day = worked_out(noon_s, lat, 12.0);
                let transit = transit_s(noon_s, 12.0);
                let height =
                    |s: f64| 90.0 - sun_position(s, lat, 12.0).zenith_deg - RISE_HEIGHT_DEG;
                let ends = [transit - HALF_DAY_S, transit + HALF_DAY_S].map(|s| (s, height(s)));
                let noon = (transit, height(transit));
                match day {
                    SunDay::Normal { rise_s, set_s, .. } => {
                        for (end, found) in ends.into_iter().zip([rise_s, set_s]) {
                            let wanted = if end.1 < 0.0 {
                                crossing(end, noon, height)
                            } else {
                                end.0
                            };
                            most_s = most_s.max((found - whole_seconds(wanted)).abs());
                        }
                    }
                    SunDay::PolarDay { .. } => assert!(ends.iter().all(|end| end.1 >= 0.0)),
                    SunDay::PolarNight { .. } => assert!(noon.1 < 0.0),
                }
            }
        }
        assert!(most_s <= 1, "{most_s} s");
    }

    #[test]
    fn law_order_at_every_latitude_and_month() {
        for lat in (-90..=90).step_by(6) {
            for month in 0..12 {
                let noon_s = 1_767_268_800 + month * 2_629_800;
                if let SunDay::Normal {
                    rise_s,
                    transit_s,
                    set_s,
                } = sun_day(noon_s, f64::from(lat), 0.0)
                {
                    assert!(rise_s <= transit_s && transit_s <= set_s, "{lat} {month}");
                    assert!(set_s - rise_s <= 86_400);
                }
            }
        }
    }

    #[test]
    fn law_local_mean_noon_moves_four_minutes_a_degree() {
        let date = NaiveDate::from_ymd_opt(1970, 1, 2).unwrap();
        assert_eq!(local_mean_noon_utc_s(date, 0.0), 86_400 + 43_200);
        assert_eq!(local_mean_noon_utc_s(date, 15.0), 86_400 + 39_600);
    }
}
