//! Where and when a plan begins that does not begin at the departure.
//!
//! One job: what is known at that moment, and what it makes of the itinerary. Reading it from words is
//! in `study::from_here`; the calendar takes it up in `timeline::calendar`.

use chrono::{NaiveDate, NaiveTime};

use super::calendar::NominalCalendar;
use super::clock::{clock_utc_s, days_after, first_at_or_after};
use crate::scenario::{Itinerary, Zone};

/// From this clock time on the night of the date is running.
const NIGHT_FROM: NaiveTime = clock(18);
/// Up to this clock time the night of the date before is running.
const NIGHT_TO: NaiveTime = clock(6);
/// When a night that was running already is over.
const MORNING: NaiveTime = clock(8);

pub(super) const fn clock(hour: u32) -> NaiveTime {
    match NaiveTime::from_hms_opt(hour, 0, 0) {
        Some(time) => time,
        None => NaiveTime::MIN,
    }
}

/// The state of charge that a meter shows, 0 to 1; drawn evenly between the two where they differ.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MeterReading {
    /// Least.
    pub low: f64,
    /// Greatest.
    pub high: f64,
}

impl MeterReading {
    /// Whether the charge is below another, whichever it is of those that the meter may mean.
    #[must_use]
    pub fn is_below(self, soc: f64) -> bool {
        self.high < soc
    }
}

/// What a forecast says of a day's clearness.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum SkyWord {
    /// Within these ranks, 0 to 1, of the days of that season at that place.
    Ranks(f64, f64),
    /// A clearness index.
    Kt(f64),
}

impl SkyWord {
    /// The lower third.
    pub const DULL: Self = Self::Ranks(0.0, 1.0 / 3.0);
    /// The middle third.
    pub const MIXED: Self = Self::Ranks(1.0 / 3.0, 2.0 / 3.0);
    /// The upper third.
    pub const BRIGHT: Self = Self::Ranks(2.0 / 3.0, 1.0);
}

/// What is known at a moment of the trip.
#[derive(Debug, Clone, PartialEq)]
pub struct Here {
    /// The moment, UTC seconds; a timeline takes the step that it falls in.
    pub now_s: i64,
    /// Index of the leg at whose stop the vehicle stands; `None`: where the itinerary has it.
    pub stop: Option<usize>,
    /// Nights still to spend there; `None`: those that the itinerary has left.
    pub nights: Option<u32>,
    /// What the meter of each bank shows; `None`, or beyond the end: what the itinerary brings.
    pub readings: Vec<Option<MeterReading>>,
    /// Forecasts by date.
    pub sky: Vec<(NaiveDate, SkyWord)>,
}

impl Here {
    /// A moment of which nothing else is known.
    #[must_use]
    pub fn at(now_s: i64) -> Self {
        Self {
            now_s,
            stop: None,
            nights: None,
            readings: Vec::new(),
            sky: Vec::new(),
        }
    }

    /// The reading of a bank.
    #[must_use]
    pub fn reading(&self, bank: usize) -> Option<MeterReading> {
        self.readings.get(bank).copied().flatten()
    }
}

/// What a moment makes of the itinerary.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Turn {
    /// The leg that is being driven or at whose stop the vehicle stands; `None` before the departure.
    pub leg: Option<usize>,
    /// Whether it is on the way there.
    pub is_on_road: bool,
    /// Whether it is known to stand there.
    pub is_known: bool,
    /// Whether it stands there against the plan, since now.
    pub is_moved: bool,
    /// When it is to leave from there, where that is not the plan's.
    pub leave_s: Option<i64>,
    /// The moment.
    pub now_s: i64,
    /// Date of the evening that the moment belongs to: see [`evening_date`].
    pub evening: NaiveDate,
}

impl Turn {
    /// Where the vehicle stands, by what is known and, for the rest, by the `plan`.
    ///
    /// Someone who stands where the plan has them, or is on the road by it, keeps to it. Who stands
    /// elsewhere has arrived now, stays as many nights as the plan has left there, at least to the next
    /// time of departure, and goes on from there.
    #[must_use]
    pub fn new(itinerary: &Itinerary, plan: &NominalCalendar, here: &Here) -> Self {
        let zone = &itinerary.zone;
        let now_s = here.now_s;
        let planned = plan.stop_at(now_s);
        let is_driven = planned.is_some_and(|leg| now_s < plan.legs[leg].arrive_s);
        let is_moved = here.stop.is_some() && (here.stop != planned || is_driven);
        let leg = here.stop.or(planned);
        let evening = evening_date(zone, now_s);
        let leave_s = leg.and_then(|leg| {
            let arrive_s = plan.legs[leg].arrive_s;
            let from = if is_driven && !is_moved {
                zone.local(arrive_s).date()
            } else {
                evening
            };
            let clock = departure_clock(itinerary, leg);
            let after = |nights: u32| clock_utc_s(zone, days_after(from, nights), clock);
            match here.nights {
                Some(nights) => Some(after(nights).max(now_s)),
                None if is_moved => {
                    let nights = if arrive_s > now_s {
                        itinerary.legs[leg].nights
                    } else {
                        0
                    };
                    let planned_s = after(nights);
                    Some(if planned_s < now_s {
                        first_at_or_after(zone, now_s, clock)
                    } else {
                        planned_s
                    })
                }
                None => None,
            }
        });
        Self {
            leg,
            is_on_road: is_driven && !is_moved,
            is_known: here.stop.is_some(),
            is_moved,
            leave_s,
            now_s,
            evening,
        }
    }
}

/// The time of day at which one leaves a stop: that of the next leg, or of the last one's own.
pub(super) fn departure_clock(itinerary: &Itinerary, leg: usize) -> crate::scenario::ClockTime {
    let next = itinerary.legs.get(leg + 1);
    next.unwrap_or(&itinerary.legs[leg]).depart
}

/// The date of the evening whose night runs at a moment or comes next: that of the day before up to 06:00.
#[must_use]
pub fn evening_date(zone: &Zone, utc_s: i64) -> NaiveDate {
    let local = zone.local(utc_s);
    if local.time() < NIGHT_TO {
        local.date().pred_opt().unwrap_or(local.date())
    } else {
        local.date()
    }
}

/// When the night that is running at a moment ends: 08:00 after it; `None` by day, from 06:00 to 18:00.
#[must_use]
pub fn running_night_ends_s(zone: &Zone, utc_s: i64) -> Option<i64> {
    let time = zone.local(utc_s).time();
    let is_running = !(NIGHT_TO..NIGHT_FROM).contains(&time);
    let morning = days_after(evening_date(zone, utc_s), 1);
    is_running.then(|| zone.first_utc_s(morning.and_time(MORNING)))
}

/// When the night of a date counts as spent by a plan that ends then: 06:00 of the morning.
#[must_use]
pub fn night_is_spent_s(zone: &Zone, date: NaiveDate) -> i64 {
    zone.first_utc_s(days_after(date, 1).and_time(NIGHT_TO))
}
