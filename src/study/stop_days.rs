//! The days of a trip, stop by stop: when, how long at the wheel, how much sun, how sure.
//!
//! One job: calendar and nights put side by side. The nights of each bank are in its answer of
//! `trip`; here is what they have in common.

use serde::Serialize;

use super::answer::Chance;
use super::figures::tidy;
use super::simulation::Simulation;
use crate::scenario::{Shade, Spread};
use crate::timeline::expected_sun::expected_sun_hours;
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
pub fn stop_days(trip: &Simulation) -> Vec<StopDays> {
    let calendar = &trip.timeline.calendar;
    let times = &calendar.legs;
    let legs = trip.scenario.itinerary.legs.iter().zip(times).enumerate();
    legs.map(|(index, (leg, at))| {
        let stays = calendar.ends_on_arrival.is_none();
        let leave_s = match times.get(index + 1) {
            Some(next) => Some(next.depart_s),
            None => stays.then_some(calendar.end_s),
        };
        StopDays {
            stop: leg.stop.name.clone(),
            lat_deg: leg.stop.lat_deg,
            lon_deg: leg.stop.lon_deg,
            height_m: leg.stop.height_m,
            depart: trip.local(at.depart_s),
            arrive: trip.local(at.arrive_s),
            leave: leave_s.map(|leave_s| trip.local(leave_s)),
            drive_hours: leg.drive_hours.into(),
            shade: match leg.shade {
                Shade::Constant(share) => Some(share),
                Shade::Slots(_) => None,
            },
            mains: leg.mains,
            nights: nights_at(trip, index),
        }
    })
    .collect()
}

fn nights_at(trip: &Simulation, stop: usize) -> Vec<StopNight> {
    let (timeline, ensemble) = (&trip.timeline, &trip.ensemble);
    let zone = &trip.scenario.itinerary.zone;
    let drives = timeline.calendar.drives();
    let nights = timeline.calendar.nights.iter();
    nights
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
                chance_no_shortfall: trip.chance(ensemble.trials - short),
            }
        })
        .collect()
}
