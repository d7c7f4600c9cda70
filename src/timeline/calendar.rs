//! The nominal calendar: when the vehicle is expected to drive, arrive, stay and leave.
//!
//! One job: the itinerary as instants, with every spread at its mean. What one trial drives is
//! drawn in `trials`; sun and windows follow the calendar here. Instants are UTC seconds.

use std::sync::Arc;

use chrono::NaiveDate;

pub(crate) use super::clock::days_after;
use super::clock::first_at_or_after;
pub use super::clock::{clock_utc_s, local_time};
use super::here::{
    Here, Turn, clock, departure_clock, evening_date, night_is_spent_s, running_night_ends_s,
};
use super::position::Position;
use crate::scenario::{Itinerary, Scenario, Spread, Zone};
use crate::units::Whole;

/// What the calendar is made for.
#[derive(Debug, Clone, PartialEq)]
pub enum Plan {
    /// The whole itinerary.
    Trip,
    /// The itinerary as the file has it, up to a moment: what a plan that begins there takes over. Where
    /// the vehicle stands at the stop it was driving to, each trial ends at its own arrival, if later.
    Past(Arc<Here>),
    /// The rest of the itinerary from a moment on, from what the itinerary brings there.
    Onward(Arc<Here>),
    /// Parked from a moment on, without driving, from what the itinerary brings there.
    Rest {
        /// The moment; its stop is known.
        here: Arc<Here>,
        /// How far it looks.
        horizon_days: u32,
    },
    /// Parked at a stop from an instant on, without driving, from the file's own charges.
    Stay {
        /// Index of the leg whose stop it is.
        stop: usize,
        /// The instant from which it looks on, UTC seconds.
        now_s: i64,
        /// How far it looks.
        horizon_days: u32,
    },
}

/// A leg of the nominal calendar.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LegTimes {
    /// Departure by the clock.
    pub scheduled_s: i64,
    /// Departure, later than scheduled where the leg before arrives late.
    pub depart_s: i64,
    /// Arrival after the mean drive.
    pub arrive_s: i64,
}

/// A drive about from a stop.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LocalDrive {
    /// Index of the leg whose stop it is.
    pub stop: usize,
    /// Date of the drive.
    pub date: NaiveDate,
    /// When it begins.
    pub depart_s: i64,
    /// How long it lasts.
    pub hours: Spread,
}

/// A night at a stop, from noon to noon.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct NightTimes {
    /// Date of the evening.
    pub date: NaiveDate,
    /// Index of the leg whose stop it is.
    pub stop: usize,
    /// Noon of its date, or the beginning if later.
    pub from_s: i64,
    /// Noon of the next date, or the end if earlier.
    pub to_s: i64,
}

/// The calendar.
#[derive(Debug, Clone, PartialEq)]
pub struct NominalCalendar {
    /// When the states of charge are known.
    pub start_s: i64,
    /// When the weather's days begin: with the itinerary, so that every plan meets the same.
    pub weather_from_s: i64,
    /// Nominal end.
    pub end_s: i64,
    /// Latest end of any trial: beyond `end_s` only without a last night.
    pub latest_end_s: i64,
    /// First departure; `start_s` for a stay.
    pub departure_s: i64,
    /// Legs; none for a stay.
    pub legs: Vec<LegTimes>,
    /// Local drives.
    pub local_drives: Vec<LocalDrive>,
    /// Nights.
    pub nights: Vec<NightTimes>,
    /// The leg on whose arrival it ends, each trial on its own, if not before `end_s`.
    pub ends_on_arrival: Option<usize>,
    /// Days of delay that the nights have room for; none in a calendar that trials are run on.
    pub room_days: u32,
    /// What a moment of the trip made of the itinerary; `None` for a plan that begins with the file.
    pub turn: Option<Turn>,
    plan: Plan,
}

/// The first departure, put off by so many days.
fn first_departure_s(itinerary: &Itinerary, begin_s: i64, put_off: u32) -> i64 {
    let (zone, depart) = (&itinerary.zone, itinerary.legs[0].depart);
    let planned_s = first_at_or_after(zone, begin_s, depart);
    if put_off == 0 {
        return planned_s;
    }
    let date = days_after(zone.local(planned_s).date(), put_off);
    clock_utc_s(zone, date, depart)
}

fn hours_s(hours: f64) -> i64 {
    i64::cut((hours * 3600.0).round())
}

impl NominalCalendar {
    /// The calendar of a scenario for a plan, every departure as planned.
    #[must_use]
    pub fn new(scenario: &Scenario, plan: &Plan) -> Self {
        Self::put_off(scenario, plan, &[])
    }

    /// The calendar of a scenario for a plan where departures are put off: `put_off` has whole days by
    /// leg, none where it ends. The nights fall to the stop before, and all later dates move.
    #[must_use]
    pub fn put_off(scenario: &Scenario, plan: &Plan, put_off: &[u32]) -> Self {
        let itinerary = &scenario.itinerary;
        let trip = || Self::trip(itinerary, None, &[]);
        match plan {
            Plan::Trip => Self::trip(itinerary, None, put_off),
            Plan::Past(here) => trip().up_to(itinerary, plan, here),
            Plan::Onward(here) => {
                let turn = Turn::new(itinerary, &trip(), here);
                let mut onward = Self::trip(itinerary, Some(turn), put_off);
                onward.plan = plan.clone();
                onward
            }
            Plan::Rest { here, horizon_days } => {
                let turn = Turn::new(itinerary, &trip(), here);
                let stop = turn.leg.unwrap_or(0);
                let mut stay = Self::stay(itinerary, plan, stop, here.now_s, *horizon_days);
                stay.turn = Some(turn);
                stay
            }
            Plan::Stay {
                stop,
                now_s,
                horizon_days,
            } => Self::stay(itinerary, plan, *stop, *now_s, *horizon_days),
        }
    }

    /// The itinerary, from a moment on where it has a turn.
    fn trip(itinerary: &Itinerary, turn: Option<Turn>, put_off: &[u32]) -> Self {
        let zone = &itinerary.zone;
        let put_off = |leg: usize| put_off.get(leg).copied().unwrap_or(0);
        let begin_s = zone.first_utc_s(itinerary.start);
        let start_s = turn.map_or(begin_s, |turn| turn.now_s);
        let mut legs: Vec<LegTimes> = Vec::with_capacity(itinerary.legs.len());
        let mut local_drives = Vec::new();
        let mut nights = Vec::new();
        let mut scheduled_s = first_departure_s(itinerary, begin_s, put_off(0));
        let mut free_s = begin_s;
        let mut latest_s = begin_s;
        for (stop, leg) in itinerary.legs.iter().enumerate() {
            // Whoever stands at a stop against the plan has all drives up to it behind them.
            let moved = turn.filter(|turn| turn.is_moved && turn.leg >= Some(stop));
            let is_here = turn.is_some_and(|turn| turn.leg == Some(stop));
            let mut depart_s = scheduled_s.max(free_s);
            let mut arrive_s = depart_s + hours_s(leg.drive_hours.mean());
            latest_s = latest_s.max(scheduled_s + hours_s(leg.depart_spread_min / 60.0))
                + hours_s(leg.drive_hours.max);
            if let Some(turn) = turn.filter(|turn| turn.is_on_road && turn.leg == Some(stop)) {
                arrive_s = arrive_s.max(turn.now_s);
            }
            if let Some(turn) = moved {
                depart_s = depart_s.min(turn.now_s);
                arrive_s = if is_here {
                    turn.now_s
                } else {
                    arrive_s.min(turn.now_s)
                };
                latest_s = turn.now_s;
            }
            legs.push(LegTimes {
                scheduled_s,
                depart_s,
                arrive_s,
            });
            let arrive_date = match moved.filter(|_| is_here) {
                Some(turn) => turn.evening,
                None => zone.local(arrive_s).date(),
            };
            let next_depart = departure_clock(itinerary, stop);
            let given_s = turn.filter(|_| is_here).and_then(|turn| turn.leave_s);
            let leave_date = given_s.map_or(days_after(arrive_date, leg.nights), |leave_s| {
                zone.local(leave_s).date()
            });
            let waits = put_off(stop + 1);
            let leave_date = days_after(leave_date, waits);
            scheduled_s = given_s
                .filter(|_| waits == 0)
                .unwrap_or_else(|| clock_utc_s(zone, leave_date, next_depart));
            let until = match moved.filter(|_| !is_here) {
                Some(turn) => leave_date.min(turn.evening),
                None => leave_date,
            };
            for date in arrive_date.iter_days().take_while(|date| *date < until) {
                nights.push(NightTimes::of(date, stop));
                // The date of arrival has a leg, also when that leg began the day before.
                if date > arrive_date {
                    local_drives.push(LocalDrive {
                        stop,
                        date,
                        depart_s: clock_utc_s(zone, date, leg.local_depart),
                        hours: leg.local_drive_hours,
                    });
                }
            }
            free_s = arrive_s;
        }
        let last = itinerary.legs.len() - 1;
        let is_left_at = turn.is_some_and(|turn| turn.leg == Some(last) && turn.leave_s.is_some());
        let ends_on_arrival = itinerary.legs[last].nights == 0 && !is_left_at;
        let end_s = if ends_on_arrival {
            free_s
        } else {
            scheduled_s.max(free_s)
        };
        let mut calendar = Self {
            start_s,
            weather_from_s: begin_s,
            end_s,
            latest_end_s: if ends_on_arrival {
                latest_s.max(end_s)
            } else {
                end_s
            },
            departure_s: legs[0].depart_s.max(start_s),
            legs,
            local_drives,
            nights,
            ends_on_arrival: ends_on_arrival.then_some(last),
            room_days: 0,
            turn,
            plan: Plan::Trip,
        };
        calendar.local_drives.retain(|drive| drive.hours.max > 0.0);
        calendar.close_nights(zone);
        calendar
    }

    /// The calendar with the nights and the time that a trip may take which is put off by so many days in
    /// all: what is counted over trials that end on different dates.
    #[must_use]
    pub(super) fn with_room(mut self, zone: &Zone, days: u32) -> Self {
        let last = self.legs.len().saturating_sub(1);
        let stop = match self.ends_on_arrival {
            Some(leg) => leg.saturating_sub(1),
            None => last,
        };
        let ends = zone.local(self.end_s).date();
        let known = self.nights.last().map(|night| night.date);
        let first = known.map_or(ends, |date| ends.max(days_after(date, 1)));
        self.room_days = days;
        self.latest_end_s += i64::from(days) * 86_400;
        for date in first
            .iter_days()
            .take_while(|date| *date < days_after(ends, days))
        {
            self.nights.push(NightTimes::of(date, stop));
        }
        let nominal_s = std::mem::replace(&mut self.end_s, self.latest_end_s);
        self.close_nights(zone);
        self.end_s = nominal_s;
        self
    }

    /// Seconds from the start to an instant.
    #[must_use]
    pub fn since_s(&self, utc_s: i64) -> f64 {
        (utc_s - self.start_s).real()
    }

    /// What it was made for.
    #[must_use]
    pub fn plan(&self) -> &Plan {
        &self.plan
    }

    /// The calendar cut off at a moment.
    fn up_to(mut self, itinerary: &Itinerary, plan: &Plan, here: &Here) -> Self {
        let turn = Turn::new(itinerary, &self, here);
        // The latest arrival at the stop where the vehicle stands, if that was its way by the plan.
        let mut latest_s = self.start_s;
        self.ends_on_arrival = here.stop.filter(|_| self.stop_at(here.now_s) == here.stop);
        if let Some(stop) = self.ends_on_arrival {
            for (leg, times) in itinerary.legs.iter().zip(&self.legs).take(stop + 1) {
                let spread_s = hours_s(leg.depart_spread_min / 60.0);
                latest_s =
                    latest_s.max(times.scheduled_s + spread_s) + hours_s(leg.drive_hours.max);
            }
        }
        self.end_s = here.now_s;
        self.latest_end_s = here.now_s.max(latest_s);
        self.nights.clear();
        self.turn = Some(turn);
        self.plan = plan.clone();
        self
    }

    fn stay(
        itinerary: &Itinerary,
        plan: &Plan,
        stop: usize,
        now_s: i64,
        horizon_days: u32,
    ) -> Self {
        let zone = &itinerary.zone;
        let end_s = now_s + i64::from(horizon_days) * 86_400;
        let mut from_s = now_s;
        let mut nights = Vec::new();
        for date in evening_date(zone, now_s).iter_days() {
            if night_is_spent_s(zone, date) > end_s {
                break;
            }
            let running = running_night_ends_s(zone, now_s).filter(|_| nights.is_empty());
            let to_s = running.unwrap_or_else(|| noon_s(zone, days_after(date, 1)));
            nights.push(NightTimes {
                date,
                stop,
                from_s,
                to_s: to_s.min(end_s),
            });
            from_s = to_s;
        }
        Self {
            start_s: now_s,
            weather_from_s: zone.first_utc_s(itinerary.start).min(now_s),
            end_s,
            latest_end_s: end_s,
            departure_s: now_s,
            legs: Vec::new(),
            local_drives: Vec::new(),
            nights,
            ends_on_arrival: None,
            room_days: 0,
            turn: None,
            plan: plan.clone(),
        }
    }

    fn close_nights(&mut self, zone: &Zone) {
        for night in &mut self.nights {
            night.from_s = noon_s(zone, night.date).max(self.start_s);
            night.to_s = noon_s(zone, days_after(night.date, 1)).min(self.end_s);
        }
        self.nights.retain(|night| night.to_s > night.from_s);
    }

    /// Index of the leg that the vehicle drives or at whose stop it stays; `None` before the first
    /// departure.
    #[must_use]
    pub fn stop_at(&self, utc_s: i64) -> Option<usize> {
        match &self.plan {
            Plan::Stay { stop, .. } => Some(*stop),
            Plan::Rest { .. } => self.turn.and_then(|turn| turn.leg),
            Plan::Trip | Plan::Past(_) | Plan::Onward(_) => self
                .legs
                .partition_point(|leg| leg.depart_s <= utc_s)
                .checked_sub(1),
        }
    }

    /// Where the vehicle is at an instant: latitude, longitude (degrees) and height if known.
    #[must_use]
    pub fn place_at(&self, itinerary: &Itinerary, utc_s: i64) -> Position {
        let Some(stop) = self.stop_at(utc_s) else {
            return Position::of(&itinerary.from);
        };
        let to = Position::of(&itinerary.legs[stop].stop);
        let Some(leg) = self.legs.get(stop).filter(|leg| utc_s < leg.arrive_s) else {
            return to;
        };
        let from = match stop.checked_sub(1) {
            Some(before) => Position::of(&itinerary.legs[before].stop),
            None => Position::of(&itinerary.from),
        };
        let share = (utc_s - leg.depart_s).real() / (leg.arrive_s - leg.depart_s).max(1).real();
        from.towards(to, share)
    }

    /// The drives of the calendar, legs and local ones, in order of time.
    #[must_use]
    pub fn drives(&self) -> Vec<(i64, i64)> {
        let mut drives: Vec<(i64, i64)> = self
            .legs
            .iter()
            .map(|leg| (leg.depart_s, leg.arrive_s))
            .chain(
                self.local_drives
                    .iter()
                    .map(|drive| (drive.depart_s, drive.depart_s + hours_s(drive.hours.mean()))),
            )
            .filter(|(from_s, to_s)| to_s > from_s && *from_s < self.end_s)
            .collect();
        drives.sort_unstable();
        drives
    }
}

fn noon_s(zone: &Zone, date: NaiveDate) -> i64 {
    zone.first_utc_s(date.and_time(clock(12)))
}

impl NightTimes {
    /// One whose ends are not known yet.
    fn of(date: NaiveDate, stop: usize) -> Self {
        Self {
            date,
            stop,
            from_s: 0,
            to_s: 0,
        }
    }
}
