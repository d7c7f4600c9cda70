//! Where the trip goes and when.

use chrono::{NaiveDate, NaiveDateTime};

use schemars::JsonSchema;
use serde::Deserialize;

use super::section::section;
use super::{ClockTime, Spread, Window};
use crate::scenario::Zone;
use crate::scenario::file::{DelayDays, DriveHours, LocalHours, Speed, WindowFile};
use crate::units::Whole;

/// The time of day of a departure that the file does not give, minutes after midnight.
pub(in crate::scenario) const DEPART_MIN: (u16, &str) = (8 * 60, "after breakfast");
/// That of a drive about.
pub(in crate::scenario) const LOCAL_DEPART_MIN: (u16, &str) = (10 * 60, "after a slow morning");

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
        u32::cut(self.days.max.round())
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

impl Itinerary {
    /// Name of the stop of a leg.
    #[must_use]
    pub fn stop_name(&self, leg: usize) -> String {
        self.legs[leg].stop.name.clone()
    }
}

section! {
    /// Where the trip goes and when.
    file ItineraryFile {
        /// Local time at which the states of charge are known, `YYYY-MM-DDTHH:MM`.
        start: String [] must;
        /// IANA name of the time zone of every local time in the file; without it that of the place where the trip begins.
        time_zone: String [];
        /// Where the trip begins.
        from: PlaceFile [] must;
        /// The drives and the stops they lead to, in order.
        legs: Vec<LegFile> [1 to 400 long] must;
        /// The last date, `YYYY-MM-DD`, on which the trip may end; a later end is counted and told.
        no_later_than: String [];
        /// When people are in the vehicle in camp, doors or windows open.
        lived_in: WindowFile [];
        /// Whether it is then kept at 20 °C at least.
        heated: bool [] ask or (false, "no heater unless it is named");
    }
}

/// A section whose name is followed by where that is.
macro_rules! placed_section {
    ($(#[$about:meta])* file $file:ident { $($name:tt)* } { $($after:tt)* }) => {
        section! {
            $(#[$about])*
            file $file {
                $($name)*
                /// Degrees north; south is negative. Without `lat`, `lon` and `near` the name is looked up.
                lat: f64 [-90 to 90];
                /// Degrees east; west is negative.
                lon: f64 [-180 to 180];
                /// A place known by name, `"Tok, AK, US"`, from which `km` and `bearing` lead here.
                near: String [1 to 100 long];
                /// Distance from `near`.
                km: f64 [0 to 1000];
                /// Direction from `near`: eight or sixteen compass points, or degrees clockwise from true north.
                bearing: BearingFile [];
                /// Metres above the sea.
                height_m: f64 [-500 to 6500];
                $($after)*
            }
        }
    };
}

placed_section! {
    /// A place on the map.
    file PlaceFile {
        /// What it is called: a name of our own beside `lat` and `lon` or `near`, else one to look up, `"Maun, BW"`.
        name: String [1 to 100 long] must;
    } {}
}

/// A direction over ground.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(untagged)]
pub(in crate::scenario) enum BearingFile {
    /// Degrees clockwise from true north.
    Degrees(#[schemars(range(min = 0, max = 360))] f64),
    /// A compass point, `"NW"` or `"NNW"`.
    Point(#[schemars(length(min = 1, max = 3))] String),
}

placed_section! {
    /// A drive to a stop, and the stay there.
    file LegFile {
        /// Name of the stop: of our own beside `lat` and `lon` or `near`, else one to look up, `"Maun, BW"`.
        to: String [1 to 100 long] must;
    } {
        /// Local time of departure, `"HH:MM"`.
        depart: String [];
        /// Departure varies by PERT(−s, 0, +s) minutes.
        depart_spread_min: f64 [0 to 720] ask or (0.0, "departure is taken as punctual");
        /// Hours at the wheel to get there. This, or `distance_km` and `speed_kmh`.
        drive_hours: DriveHours [];
        /// Way to get there, instead of `drive_hours`.
        distance_km: f64 [0 to 5000];
        /// Mean speed on that way, short halts included.
        speed_kmh: Speed [];
        /// Chance that this departure is put off, and by how many days: a road closed after rain, a breakdown, a fine place.
        delay: DelayFile [];
        /// Nights stayed.
        nights: u32 [0 to 366] ask or (0, "a leg without nights passes through");
        /// Hours of driving about on each day without a leg.
        local_drive_hours: LocalHours [];
        /// When such a drive begins, `"HH:MM"`.
        local_depart: String [];
        /// Share of direct sun blocked in camp, all day alike or by windows.
        shade: ShadeFile [];
        /// A powered site: mains chargers work while parked here.
        mains: bool [] ask or (false, "no powered site unless it is named");
        /// A powered site could be had here.
        mains_possible: bool [];
    }
}

section! {
    /// A departure that may be put off: the nights fall to the stop before.
    file DelayFile {
        /// Share of trips in which it is put off.
        chance: f64 [0 to 1] must;
        /// Whole days by which.
        days: DelayDays [] must;
    }
}

/// Shade in camp.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(untagged)]
pub(in crate::scenario) enum ShadeFile {
    /// Share of direct sun blocked, all day alike.
    Share(#[schemars(range(min = 0, max = 1))] f64),
    /// By windows of the day.
    Slots(#[schemars(length(max = 48))] Vec<ShadeSlotFile>),
}

section! {
    /// Shade during a part of the day.
    file ShadeSlotFile {
        /// When.
        window: [String; 2] [] must;
        /// Share of direct sun blocked.
        shade: f64 [0 to 1] must;
    }
}
