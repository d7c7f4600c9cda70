//! The twin's own calendar: legs, places, dates with their sun, windows.
//!
//! One job: read the itinerary as a person would with an almanac at hand. The sun of a date is
//! found by looking every minute. Left out: windows on a day when the clocks change.

use chrono::{Days, NaiveDate, NaiveDateTime, NaiveTime, TimeDelta};
use tideover::scenario::{ClockTime, Place, Scenario, Shade, Window, WindowEnd, Zone};
use tideover::sky::sun_position::sun_position;

/// The sun's centre at rise and set by the almanac's convention: refraction and half its disc.
const HORIZON_DEG: f64 = 90.833;

pub struct Day {
    pub date: NaiveDate,
    pub midnight_s: i64,
    pub rise_s: i64,
    pub set_s: i64,
    /// Tilt and heading that face the sun at its highest.
    pub noon_facing: (f64, f64),
    /// Beginning of the local mean solar day.
    pub solar_midnight_s: i64,
}

pub struct Calendar<'a> {
    scenario: &'a Scenario,
    pub start_s: i64,
    legs: Vec<(i64, i64)>,
    pub days: Vec<Day>,
}

pub type Spans = Vec<(i64, i64)>;

impl<'a> Calendar<'a> {
    pub fn new(scenario: &'a Scenario, days: usize) -> Self {
        let itinerary = &scenario.itinerary;
        let zone = &itinerary.zone;
        let start_s = utc_of(zone, itinerary.start);
        let mut date = itinerary.start.date();
        if clock(date, itinerary.legs[0].depart) < itinerary.start {
            date = date + Days::new(1);
        }
        let mut legs: Vec<(i64, i64)> = Vec::new();
        for (index, leg) in itinerary.legs.iter().enumerate() {
            if index > 0 {
                let arrived = zone.local(legs[index - 1].1).date();
                date = arrived + Days::new(u64::from(itinerary.legs[index - 1].nights));
            }
            let scheduled_s = utc_of(zone, clock(date, leg.depart));
            let depart_s = legs
                .last()
                .map_or(scheduled_s, |before| scheduled_s.max(before.1));
            let hours = leg.drive_hours;
            let mean_h = (hours.min + 4.0 * hours.likely + hours.max) / 6.0;
            legs.push((depart_s, depart_s + (mean_h * 3600.0).round() as i64));
        }
        let mut calendar = Self {
            scenario,
            start_s,
            legs,
            days: Vec::new(),
        };
        let first = itinerary.start.date() - Days::new(1);
        calendar.days = (0..days)
            .map(|day| calendar.day(first + Days::new(day as u64)))
            .collect();
        calendar
    }

    fn day(&self, date: NaiveDate) -> Day {
        let midnight_s = utc_of(&self.scenario.itinerary.zone, date.and_time(NaiveTime::MIN));
        let (lat, lon) = self.place(midnight_s + 43_200);
        let solar_noon_s =
            date.and_time(NaiveTime::MIN).and_utc().timestamp() + 43_200 - (lon * 240.0) as i64;
        let zenith = |utc_s: i64| sun_position(utc_s as f64, lat, lon).zenith_deg;
        let minutes: Vec<i64> = (-720..=720).map(|m| solar_noon_s + m * 60).collect();
        let heights: Vec<f64> = minutes.iter().map(|&utc_s| zenith(utc_s)).collect();
        let highest = (0..heights.len())
            .min_by(|&a, &b| heights[a].total_cmp(&heights[b]))
            .expect("a day has minutes");
        let crossing = |index: usize| {
            let (a, b) = (heights[index], heights[index + 1]);
            minutes[index] + ((HORIZON_DEG - a) / (b - a) * 60.0) as i64
        };
        let up = |index: usize| heights[index] < HORIZON_DEG;
        let rise = (0..highest).rev().find(|&m| !up(m));
        let set = (highest + 1..heights.len()).find(|&m| !up(m));
        let (rise_s, set_s) = match (rise, set) {
            _ if !up(highest) => (midnight_s + 86_400, midnight_s),
            (Some(rise), Some(set)) => (crossing(rise), crossing(set - 1)),
            _ => (midnight_s, midnight_s + 86_400),
        };
        let noon = sun_position(minutes[highest] as f64, lat, lon);
        Day {
            date,
            midnight_s,
            rise_s,
            set_s,
            noon_facing: (noon.zenith_deg.min(90.0), noon.azimuth_deg),
            solar_midnight_s: solar_noon_s - 43_200,
        }
    }

    /// The stop that the nominal calendar drives to or stays at; none before departure.
    pub fn stop(&self, utc_s: i64) -> Option<usize> {
        (0..self.legs.len())
            .rev()
            .find(|&leg| self.legs[leg].0 <= utc_s)
    }

    /// Latitude and longitude.
    pub fn place(&self, utc_s: i64) -> (f64, f64) {
        let legs = &self.scenario.itinerary.legs;
        let at = |place: &Place| (place.lat_deg, place.lon_deg);
        let Some(leg) = self.stop(utc_s) else {
            return at(&self.scenario.itinerary.from);
        };
        let to = at(&legs[leg].stop);
        let (depart_s, arrive_s) = self.legs[leg];
        if utc_s >= arrive_s {
            return to;
        }
        let from = if leg == 0 {
            at(&self.scenario.itinerary.from)
        } else {
            at(&legs[leg - 1].stop)
        };
        let share = (utc_s - depart_s) as f64 / (arrive_s - depart_s) as f64;
        (
            from.0 + share * (to.0 - from.0),
            from.1 + share * (to.1 - from.1),
        )
    }

    /// Opening and closing of a window on each date; empty spans where it does not open.
    pub fn spans(&self, window: Window) -> Spans {
        let usual = |end: WindowEnd| match end {
            WindowEnd::Clock(at) => i32::from(at.minutes()),
            WindowEnd::Sunrise(offset) => 360 + offset,
            WindowEnd::Sunset(offset) => 1080 + offset,
        };
        let wraps = usual(window.to) <= usual(window.from);
        let zone = &self.scenario.itinerary.zone;
        let end = |end: WindowEnd, day: &Day| match end {
            WindowEnd::Clock(at) => utc_of(zone, clock(day.date, at)),
            WindowEnd::Sunrise(offset) => day.rise_s + i64::from(offset) * 60,
            WindowEnd::Sunset(offset) => day.set_s + i64::from(offset) * 60,
        };
        (0..self.days.len())
            .map(|day| {
                let from_s = end(window.from, &self.days[day]);
                let closing = if wraps { day + 1 } else { day };
                let to_s = self
                    .days
                    .get(closing)
                    .map_or(from_s, |day| end(window.to, day));
                (from_s, to_s.max(from_s))
            })
            .collect()
    }

    /// Share of direct light that shade takes at a stop.
    pub fn shade(&self, stop: usize, spans: &[Vec<(Spans, f64)>], day: usize, utc_s: i64) -> f64 {
        match &self.scenario.itinerary.legs[stop].shade {
            Shade::Constant(share) => *share,
            Shade::Slots(_) => spans[stop]
                .iter()
                .rev()
                .find(|(spans, _)| opened(spans, day, utc_s).is_some())
                .map_or(0.0, |(_, share)| *share),
        }
    }

    pub fn shade_spans(&self) -> Vec<Vec<(Spans, f64)>> {
        let legs = self.scenario.itinerary.legs.iter();
        legs.map(|leg| match &leg.shade {
            Shade::Constant(_) => Vec::new(),
            Shade::Slots(slots) => slots
                .iter()
                .map(|slot| (self.spans(slot.window), slot.share))
                .collect(),
        })
        .collect()
    }
}

/// The date on which the window that is now open was opened; `day` is today.
pub fn opened(spans: &Spans, day: usize, utc_s: i64) -> Option<usize> {
    [day, day.saturating_sub(1)]
        .into_iter()
        .find(|&day| spans[day].0 <= utc_s && utc_s < spans[day].1)
}

fn clock(date: NaiveDate, at: ClockTime) -> NaiveDateTime {
    date.and_time(NaiveTime::MIN) + TimeDelta::minutes(i64::from(at.minutes()))
}

/// The instant of a local time away from changes of the clock.
fn utc_of(zone: &Zone, local: NaiveDateTime) -> i64 {
    let as_utc = local.and_utc().timestamp();
    let guess = as_utc - zone.offset_s(as_utc);
    as_utc - zone.offset_s(guess)
}
