//! Where the trip goes and when.

use chrono::{NaiveDate, NaiveDateTime};

use super::{ClockTime, Spread, Window};
use crate::scenario::Zone;

/// A place on the map.
#[derive(Debug, Clone, PartialEq)]
pub struct Place {
    /// The user's name for it.
    pub name: String,
    /// North positive, -90 to 90.
    pub lat_deg: f64,
    /// East positive, -180 to 180.
    pub lon_deg: f64,
    /// Height above the sea, if given.
    pub height_m: Option<f64>,
}

/// Shade during a part of the day.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ShadeSlot {
    /// When.
    pub window: Window,
    /// Share of direct sun blocked.
    pub share: f64,
}

/// Share of direct sun blocked at a stop; half as much of the diffuse light.
#[derive(Debug, Clone, PartialEq)]
pub enum Shade {
    /// All day alike.
    Constant(f64),
    /// By windows; no shade outside them, the last window wins where two overlap.
    Slots(Vec<ShadeSlot>),
}

/// A departure that may be put off.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Delay {
    /// Share of trips in which it is, above 0 to 1.
    pub chance: f64,
    /// Days by which, rounded to whole ones when drawn.
    pub days: Spread,
}

impl Delay {
    /// Most days by which it is put off.
    #[must_use]
    pub fn most_days(self) -> u32 {
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "0 to 30"
        )]
        let days = self.days.max.round() as u32;
        days
    }
}

/// A drive to a stop, and the stay there.
#[derive(Debug, Clone, PartialEq)]
pub struct Leg {
    /// The stop.
    pub stop: Place,
    /// Departure, local clock.
    pub depart: ClockTime,
    /// Departure varies by PERT(−s, 0, +s) minutes.
    pub depart_spread_min: f64,
    /// Hours at the wheel to get there.
    pub drive_hours: Spread,
    /// Whether and how far the departure may be put off; `None` where it cannot be by a day.
    pub delay: Option<Delay>,
    /// Nights stayed.
    pub nights: u32,
    /// Hours of driving about on each day without a leg.
    pub local_drive_hours: Spread,
    /// When such a drive begins.
    pub local_depart: ClockTime,
    /// Shade at the stop.
    pub shade: Shade,
    /// Whether mains chargers work there.
    pub mains: bool,
    /// Whether a powered site could be had there.
    pub mains_possible: bool,
}

/// The whole trip.
#[derive(Debug, Clone, PartialEq)]
pub struct Itinerary {
    /// Local time at which the states of charge are known; exists in `zone`.
    pub start: NaiveDateTime,
    /// Time zone of every local time in the file.
    pub zone: Zone,
    /// Where it begins.
    pub from: Place,
    /// At least one leg.
    pub legs: Vec<Leg>,
    /// The last date on which the trip may end, if there is one.
    pub no_later_than: Option<NaiveDate>,
    /// When people are in the vehicle in camp with doors or windows open.
    pub lived_in: Option<Window>,
    /// Whether it is then kept at 20 °C at least.
    pub heated: bool,
}
