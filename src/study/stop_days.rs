//! The days of a trip, stop by stop: when, how long at the wheel, how much sun, how sure.
//!
//! One job: calendar and nights put side by side. The nights of each bank are in its answer of
//! `trip`; here is what they have in common.

use serde::Serialize;

use super::answer::Chance;
use super::assemble::rfc3339;
use super::figures::{chance_in, tidy};
use crate::scenario::{Scenario, Shade, Spread};
use crate::timeline::Timeline;
use crate::timeline::expected_sun::expected_sun_hours;
use crate::trials::Ensemble;
use crate::units::Whole;

/// A stop of the trip.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct StopDays {
    /// Name.
    pub stop: String,
    /// North positive.
    pub lat_deg: f64,
    /// East positive.
    pub lon_deg: f64,
    /// Height above the sea, if given.
    pub height_m: Option<f64>,
    /// Departure to it, RFC 3339 with the local offset.
    pub depart: String,
    /// Expected arrival.
    pub arrive: String,
    /// Expected departure from it; `None` where the trip ends on arrival.
    pub leave: Option<String>,
    /// Hours at the wheel to get there.
    pub drive_hours: DriveHours,
    /// Share of direct sun blocked all day; `None` where it changes over the day.
    pub shade: Option<f64>,
    /// Whether mains chargers work there.
    pub mains: bool,
    /// Its nights.
    pub nights: Vec<StopNight>,
}

/// Hours of driving: least, mean, most.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct DriveHours {
    /// Least.
    pub min: f64,
    /// Mean.
    pub mean: f64,
    /// Most.
    pub max: f64,
}

impl From<Spread> for DriveHours {
    fn from(spread: Spread) -> Self {
        Self {
            min: spread.min,
            mean: tidy(spread.mean()),
            max: spread.max,
        }
    }
}

/// A night with the day before it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct StopNight {
    /// Index among the nights of each bank in the answer of `trip`.
    pub night: usize,
    /// Date of its evening, ISO 8601.
    pub date: String,
    /// Mean sun hours of that date: kWh/m² on the flat, before shade.
    pub sun_hours: f64,
    /// Mean hours at the wheel on that date, legs and local drives.
    pub driving_hours: f64,
    /// Chance that no house bank is short in that night.
    pub chance_no_shortfall: Chance,
}

/// Every stop of the trip in order.
#[must_use]
pub fn stop_days(scenario: &Scenario, timeline: &Timeline, ensemble: &Ensemble) -> Vec<StopDays> {
    let zone = &scenario.itinerary.zone;
    let times = &timeline.calendar.legs;
    scenario
        .itinerary
        .legs
        .iter()
        .zip(times)
        .enumerate()
        .map(|(index, (leg, at))| {
            let leave_s = match times.get(index + 1) {
                Some(next) => Some(next.depart_s),
                None => timeline
                    .calendar
                    .ends_on_arrival
                    .is_none()
                    .then_some(timeline.calendar.end_s),
            };
            StopDays {
                stop: leg.stop.name.clone(),
                lat_deg: leg.stop.lat_deg,
                lon_deg: leg.stop.lon_deg,
                height_m: leg.stop.height_m,
                depart: rfc3339(zone, at.depart_s),
                arrive: rfc3339(zone, at.arrive_s),
                leave: leave_s.map(|leave_s| rfc3339(zone, leave_s)),
                drive_hours: leg.drive_hours.into(),
                shade: match leg.shade {
                    Shade::Constant(share) => Some(share),
                    Shade::Slots(_) => None,
                },
                mains: leg.mains,
                nights: nights_at(scenario, timeline, ensemble, index),
            }
        })
        .collect()
}

fn nights_at(
    scenario: &Scenario,
    timeline: &Timeline,
    ensemble: &Ensemble,
    stop: usize,
) -> Vec<StopNight> {
    let zone = &scenario.itinerary.zone;
    let drives = timeline.calendar.drives();
    timeline
        .calendar
        .nights
        .iter()
        .zip(&ensemble.house_nights)
        .enumerate()
        .filter(|(_, (times, _))| times.stop == stop)
        .map(|(night, (times, (short, _)))| {
            let day = timeline.days.iter().position(|day| day.date == times.date);
            let driven_s: i64 = drives
                .iter()
                .filter(|(from_s, _)| zone.local(*from_s).date() == times.date)
                .map(|(from_s, to_s)| to_s - from_s)
                .sum();
            let driving_hours = driven_s.real() / 3600.0;
            StopNight {
                night,
                date: times.date.to_string(),
                sun_hours: tidy(day.map_or(0.0, |day| {
                    expected_sun_hours(&timeline.weather, &timeline.days, day)
                })),
                driving_hours: tidy(driving_hours),
                chance_no_shortfall: chance_in(ensemble, ensemble.trials - short),
            }
        })
        .collect()
}
