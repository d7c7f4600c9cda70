//! The `itinerary` of the file.

use schemars::JsonSchema;
use serde::Deserialize;

use super::{DelayDays, DriveHours, LocalHours, Note, Speed, WindowFile};

/// Where the trip goes and when.
#[derive(Debug, Clone, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(in crate::scenario) struct ItineraryFile {
    /// Free text for the reader; ignored.
    #[expect(dead_code, reason = "notes are accepted and ignored")]
    pub(in crate::scenario) note: Option<Note>,
    /// Local time at which the states of charge are known, `YYYY-MM-DDTHH:MM`.
    #[schemars(required)]
    pub(in crate::scenario) start: Option<String>,
    /// IANA name of the time zone of every local time in the file; without it that of the place where the trip begins.
    pub(in crate::scenario) time_zone: Option<String>,
    /// Where the trip begins.
    #[schemars(required)]
    pub(in crate::scenario) from: Option<PlaceFile>,
    /// The drives and the stops they lead to, in order.
    #[schemars(required, length(min = 1, max = 400))]
    pub(in crate::scenario) legs: Option<Vec<LegFile>>,
    /// The last date, `YYYY-MM-DD`, on which the trip may end; a later end is counted and told.
    pub(in crate::scenario) no_later_than: Option<String>,
    /// When people are in the vehicle in camp, doors or windows open.
    pub(in crate::scenario) lived_in: Option<WindowFile>,
    /// Whether it is then kept at 20 °C at least.
    pub(in crate::scenario) heated: Option<bool>,
}

/// A place on the map.
#[derive(Debug, Clone, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(in crate::scenario) struct PlaceFile {
    /// Free text for the reader; ignored.
    #[expect(dead_code, reason = "notes are accepted and ignored")]
    pub(in crate::scenario) note: Option<Note>,
    /// What it is called: a name of our own beside `lat` and `lon` or `near`, else one to look up, `"Maun, BW"`.
    #[schemars(required, length(min = 1, max = 100))]
    pub(in crate::scenario) name: Option<String>,
    /// Degrees north; south is negative. Without `lat`, `lon` and `near` the name is looked up.
    #[schemars(range(min = -90, max = 90))]
    pub(in crate::scenario) lat: Option<f64>,
    /// Degrees east; west is negative.
    #[schemars(range(min = -180, max = 180))]
    pub(in crate::scenario) lon: Option<f64>,
    /// A place known by name, `"Tok, AK, US"`, from which `km` and `bearing` lead here.
    #[schemars(length(min = 1, max = 100))]
    pub(in crate::scenario) near: Option<String>,
    /// Distance from `near`.
    #[schemars(range(min = 0, max = 1000))]
    pub(in crate::scenario) km: Option<f64>,
    /// Direction from `near`: eight or sixteen compass points, or degrees clockwise from true north.
    pub(in crate::scenario) bearing: Option<BearingFile>,
    /// Metres above the sea.
    #[schemars(range(min = -500, max = 6500))]
    pub(in crate::scenario) height_m: Option<f64>,
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

/// A drive to a stop, and the stay there.
#[derive(Debug, Clone, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(in crate::scenario) struct LegFile {
    /// Free text for the reader; ignored.
    #[expect(dead_code, reason = "notes are accepted and ignored")]
    pub(in crate::scenario) note: Option<Note>,
    /// Name of the stop: of our own beside `lat` and `lon` or `near`, else one to look up, `"Maun, BW"`.
    #[schemars(required, length(min = 1, max = 100))]
    pub(in crate::scenario) to: Option<String>,
    /// Degrees north; south is negative. Without `lat`, `lon` and `near` the name is looked up.
    #[schemars(range(min = -90, max = 90))]
    pub(in crate::scenario) lat: Option<f64>,
    /// Degrees east; west is negative.
    #[schemars(range(min = -180, max = 180))]
    pub(in crate::scenario) lon: Option<f64>,
    /// A place known by name, `"Tok, AK, US"`, from which `km` and `bearing` lead here.
    #[schemars(length(min = 1, max = 100))]
    pub(in crate::scenario) near: Option<String>,
    /// Distance from `near`.
    #[schemars(range(min = 0, max = 1000))]
    pub(in crate::scenario) km: Option<f64>,
    /// Direction from `near`: eight or sixteen compass points, or degrees clockwise from true north.
    pub(in crate::scenario) bearing: Option<BearingFile>,
    /// Metres above the sea.
    #[schemars(range(min = -500, max = 6500))]
    pub(in crate::scenario) height_m: Option<f64>,
    /// Local time of departure, `"HH:MM"`.
    pub(in crate::scenario) depart: Option<String>,
    /// Departure varies by PERT(−s, 0, +s) minutes.
    #[schemars(range(min = 0, max = 720))]
    pub(in crate::scenario) depart_spread_min: Option<f64>,
    /// Hours at the wheel to get there. This, or `distance_km` and `speed_kmh`.
    pub(in crate::scenario) drive_hours: Option<DriveHours>,
    /// Way to get there, instead of `drive_hours`.
    #[schemars(range(min = 0, max = 5000))]
    pub(in crate::scenario) distance_km: Option<f64>,
    /// Mean speed on that way, short halts included.
    pub(in crate::scenario) speed_kmh: Option<Speed>,
    /// Chance that this departure is put off, and by how many days: a road closed after rain, a breakdown, a fine place.
    pub(in crate::scenario) delay: Option<DelayFile>,
    /// Nights stayed.
    #[schemars(range(min = 0, max = 366))]
    pub(in crate::scenario) nights: Option<u32>,
    /// Hours of driving about on each day without a leg.
    pub(in crate::scenario) local_drive_hours: Option<LocalHours>,
    /// When such a drive begins, `"HH:MM"`.
    pub(in crate::scenario) local_depart: Option<String>,
    /// Share of direct sun blocked in camp, all day alike or by windows.
    pub(in crate::scenario) shade: Option<ShadeFile>,
    /// A powered site: mains chargers work while parked here.
    pub(in crate::scenario) mains: Option<bool>,
    /// A powered site could be had here.
    pub(in crate::scenario) mains_possible: Option<bool>,
}

/// A departure that may be put off: the nights fall to the stop before.
#[derive(Debug, Clone, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(in crate::scenario) struct DelayFile {
    /// Free text for the reader; ignored.
    #[expect(dead_code, reason = "notes are accepted and ignored")]
    pub(in crate::scenario) note: Option<Note>,
    /// Share of trips in which it is put off.
    #[schemars(required, range(min = 0, max = 1))]
    pub(in crate::scenario) chance: Option<f64>,
    /// Whole days by which.
    #[schemars(required)]
    pub(in crate::scenario) days: Option<DelayDays>,
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

/// Shade during a part of the day.
#[derive(Debug, Clone, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(in crate::scenario) struct ShadeSlotFile {
    /// Free text for the reader; ignored.
    #[expect(dead_code, reason = "notes are accepted and ignored")]
    pub(in crate::scenario) note: Option<Note>,
    /// When.
    #[schemars(required)]
    pub(in crate::scenario) window: Option<[String; 2]>,
    /// Share of direct sun blocked.
    #[schemars(required, range(min = 0, max = 1))]
    pub(in crate::scenario) shade: Option<f64>,
}
