//! The nominal calendar: when the vehicle is expected to drive, arrive, stay and leave.
//!
//! One job: the itinerary as instants, with every spread at its mean. What one trial drives is
//! drawn in `trials`; sun and windows follow the calendar here. Instants are UTC seconds.

use chrono::{Days, NaiveDate, NaiveDateTime, NaiveTime};

use crate::scenario::{ClockTime, Itinerary, Place, Scenario, Spread, Zone};

/// What the calendar is made for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Plan {
    /// The whole itinerary.
    Trip,
    /// Parked at a stop from an instant on, without driving.
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
    /// Whether the trip ends on arrival, each trial at its own.
    pub ends_on_arrival: bool,
    plan: Plan,
}

/// The instant of a clock time on a date; a skipped time moves to the change, of a doubled time
/// the first counts. 24:00 is midnight of the next date.
#[must_use]
pub fn clock_utc_s(zone: &Zone, date: NaiveDate, clock: ClockTime) -> i64 {
    zone.first_utc_s(local_time(date, clock))
}

/// Local wall-clock time of a clock time on a date.
#[must_use]
pub fn local_time(date: NaiveDate, clock: ClockTime) -> NaiveDateTime {
    let midnight = date.and_time(NaiveTime::MIN);
    midnight + chrono::TimeDelta::minutes(i64::from(clock.minutes()))
}

fn hours_s(hours: f64) -> i64 {
    #[expect(clippy::cast_possible_truncation, reason = "hours of a drive, checked")]
    let seconds = (hours * 3600.0).round() as i64;
    seconds
}

fn days_after(date: NaiveDate, days: u32) -> NaiveDate {
    date.checked_add_days(Days::new(u64::from(days)))
        .unwrap_or(date)
}

impl NominalCalendar {
    /// The calendar of a scenario for a plan.
    #[must_use]
    pub fn new(scenario: &Scenario, plan: Plan) -> Self {
        match plan {
            Plan::Trip => Self::trip(&scenario.itinerary),
            Plan::Stay {
                stop,
                now_s,
                horizon_days,
            } => Self::stay(&scenario.itinerary, stop, now_s, horizon_days),
        }
    }

    fn trip(itinerary: &Itinerary) -> Self {
        let zone = &itinerary.zone;
        let start_s = zone.first_utc_s(itinerary.start);
        let mut legs: Vec<LegTimes> = Vec::with_capacity(itinerary.legs.len());
        let mut local_drives = Vec::new();
        let mut nights = Vec::new();
        let mut scheduled_s = first_at_or_after(zone, start_s, itinerary.legs[0].depart);
        let mut free_s = start_s;
        let mut latest_s = start_s;
        for (stop, leg) in itinerary.legs.iter().enumerate() {
            let depart_s = scheduled_s.max(free_s);
            let arrive_s = depart_s + hours_s(leg.drive_hours.mean());
            latest_s = latest_s.max(scheduled_s + hours_s(leg.depart_spread_min / 60.0))
                + hours_s(leg.drive_hours.max);
            legs.push(LegTimes {
                scheduled_s,
                depart_s,
                arrive_s,
            });
            let arrive_date = zone.local(arrive_s).date();
            let leave_date = days_after(arrive_date, leg.nights);
            for night in 0..leg.nights {
                let date = days_after(arrive_date, night);
                nights.push(NightTimes {
                    date,
                    stop,
                    from_s: 0,
                    to_s: 0,
                });
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
            let next_depart = itinerary
                .legs
                .get(stop + 1)
                .map_or(leg.depart, |next| next.depart);
            scheduled_s = clock_utc_s(zone, leave_date, next_depart);
        }
        let last = itinerary.legs.len() - 1;
        let ends_on_arrival = itinerary.legs[last].nights == 0;
        let end_s = if ends_on_arrival {
            free_s
        } else {
            scheduled_s.max(free_s)
        };
        let mut calendar = Self {
            start_s,
            end_s,
            latest_end_s: if ends_on_arrival {
                latest_s.max(end_s)
            } else {
                end_s
            },
            departure_s: legs[0].depart_s,
            legs,
            local_drives,
            nights,
            ends_on_arrival,
            plan: Plan::Trip,
        };
        calendar.local_drives.retain(|drive| drive.hours.max > 0.0);
        calendar.close_nights(zone);
        calendar
    }

    fn stay(itinerary: &Itinerary, stop: usize, now_s: i64, horizon_days: u32) -> Self {
        let zone = &itinerary.zone;
        let end_s = now_s + i64::from(horizon_days) * 86_400;
        let now = zone.local(now_s);
        // Before noon one is still in the night of the evening before.
        let first = if now.time() < NOON {
            now.date().pred_opt()
        } else {
            Some(now.date())
        };
        let first = first.unwrap_or(now.date());
        let nights = (0..=horizon_days)
            .map(|night| NightTimes {
                date: days_after(first, night),
                stop,
                from_s: 0,
                to_s: 0,
            })
            .collect();
        let mut calendar = Self {
            start_s: now_s,
            end_s,
            latest_end_s: end_s,
            departure_s: now_s,
            legs: Vec::new(),
            local_drives: Vec::new(),
            nights,
            ends_on_arrival: false,
            plan: Plan::Stay {
                stop,
                now_s,
                horizon_days,
            },
        };
        calendar.close_nights(zone);
        calendar
    }

    fn close_nights(&mut self, zone: &Zone) {
        for night in &mut self.nights {
            let noon = |date: NaiveDate| zone.first_utc_s(date.and_time(NOON));
            night.from_s = noon(night.date).max(self.start_s);
            night.to_s = noon(days_after(night.date, 1)).min(self.end_s);
        }
        self.nights.retain(|night| night.to_s > night.from_s);
    }

    /// Index of the leg that the vehicle drives or at whose stop it stays; `None` before the first
    /// departure.
    #[must_use]
    pub fn stop_at(&self, utc_s: i64) -> Option<usize> {
        match self.plan {
            Plan::Stay { stop, .. } => Some(stop),
            Plan::Trip => self
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
        #[expect(clippy::cast_precision_loss, reason = "seconds of a drive")]
        let share = (utc_s - leg.depart_s) as f64 / (leg.arrive_s - leg.depart_s).max(1) as f64;
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

const NOON: NaiveTime = match NaiveTime::from_hms_opt(12, 0, 0) {
    Some(noon) => noon,
    None => NaiveTime::MIN,
};

fn first_at_or_after(zone: &Zone, start_s: i64, clock: ClockTime) -> i64 {
    let today = zone.local(start_s).date();
    let on_day = clock_utc_s(zone, today, clock);
    if on_day >= start_s {
        on_day
    } else {
        clock_utc_s(zone, days_after(today, 1), clock)
    }
}

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
    fn of(place: &Place) -> Self {
        Self {
            lat_deg: place.lat_deg,
            lon_deg: place.lon_deg,
            height_m: place.height_m,
        }
    }

    /// In a straight line on the map, the short way round; height only where both ends have one.
    fn towards(self, to: Self, share: f64) -> Self {
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
