//! The `loads` of the file.

use schemars::JsonSchema;
use serde::Deserialize;

use super::{HoursPerDay, Minutes, NamedWindow, Note};
use crate::scenario::{Appliance, Kept, Where};

/// What kind of load.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub(in crate::scenario) enum LoadKindWord {
    /// Drawn all the time it is live.
    Steady,
    /// Drawn a share of the time it is live.
    Duty,
    /// So many hours a day, spread evenly over its window.
    Hours,
    /// Now and then, for some minutes.
    Event,
    /// A compressor fridge or freezer.
    Fridge,
}

impl LoadKindWord {
    /// The word of the file.
    pub(in crate::scenario) fn word(self) -> &'static str {
        match self {
            Self::Steady => "steady",
            Self::Duty => "duty",
            Self::Hours => "hours",
            Self::Event => "event",
            Self::Fridge => "fridge",
        }
    }
}

/// When an event comes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub(in crate::scenario) enum OnWord {
    /// From each leg's arrival on.
    Arrive,
    /// From each leg's departure on.
    Depart,
    /// Daily at a local time.
    Daily,
}

/// How a fridge starts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub(in crate::scenario) enum StartsWord {
    /// At its set point.
    Cold,
    /// At ambient: it has to pull down.
    Warm,
}

/// When a load is live, in a word.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub(in crate::scenario) enum WhenWord {
    /// Permanently live.
    Always,
    /// While the engine runs.
    Ignition,
    /// While it does not.
    Parked,
}

/// When a load is live.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(untagged)]
pub(in crate::scenario) enum WhenFile {
    /// `always`, `ignition` or `parked`.
    Word(WhenWord),
    /// A daily window of local time.
    Ends([String; 2]),
    /// The same under a key.
    Named(NamedWindow),
}

/// Efficiency of an inverter.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(untagged)]
pub(in crate::scenario) enum EfficiencyFile {
    /// At any output, idle power apart.
    Constant(#[schemars(range(min = 0.3, max = 1))] f64),
    /// By output, idle power included, as data sheets have it; straight between the points.
    Curve(#[schemars(length(min = 1, max = 20))] Vec<EfficiencyPointFile>),
}

/// A point of an efficiency curve.
#[derive(Debug, Clone, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(in crate::scenario) struct EfficiencyPointFile {
    /// Free text for the reader; ignored.
    #[expect(dead_code, reason = "notes are accepted and ignored")]
    pub(in crate::scenario) note: Option<Note>,
    /// Output over the rated output.
    #[schemars(required, range(min = 0.01, max = 1))]
    pub(in crate::scenario) share: Option<f64>,
    /// Output power over input power there.
    #[schemars(required, range(min = 0.05, max = 1))]
    pub(in crate::scenario) efficiency: Option<f64>,
}

/// An inverter: the way from a bank to 230/120 V.
#[derive(Debug, Clone, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(in crate::scenario) struct InverterFile {
    /// Free text for the reader; ignored.
    #[expect(dead_code, reason = "notes are accepted and ignored")]
    pub(in crate::scenario) note: Option<Note>,
    /// Unique name: letters, digits, `_` and `-`.
    #[schemars(required, regex(pattern = "^[A-Za-z0-9_-]{1,60}$"))]
    pub(in crate::scenario) id: Option<String>,
    /// Id of the bank it draws on.
    #[schemars(required)]
    pub(in crate::scenario) bank: Option<String>,
    /// Output that it gives without end.
    #[schemars(required, range(max = 50_000), extend("exclusiveMinimum" = 0))]
    pub(in crate::scenario) rated_w: Option<f64>,
    /// Output that it gives for a moment.
    #[schemars(range(max = 150_000), extend("exclusiveMinimum" = 0))]
    pub(in crate::scenario) surge_w: Option<f64>,
    /// Drawn while any of its loads is live.
    #[schemars(range(min = 0, max = 1000))]
    pub(in crate::scenario) idle_w: Option<f64>,
    /// Output power over input power: one number, idle power apart, or the curve of a data sheet.
    pub(in crate::scenario) efficiency: Option<EfficiencyFile>,
    /// Id of the run that feeds it.
    pub(in crate::scenario) run: Option<String>,
}

/// The data-sheet point of a fridge.
#[derive(Debug, Clone, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(in crate::scenario) struct RatedFile {
    /// Free text for the reader; ignored.
    #[expect(dead_code, reason = "notes are accepted and ignored")]
    pub(in crate::scenario) note: Option<Note>,
    /// Mean current at 12.0 V per 12 V of system voltage …
    #[schemars(required, range(max = 100), extend("exclusiveMinimum" = 0))]
    pub(in crate::scenario) average_a: Option<f64>,
    /// … in these surroundings …
    #[schemars(required, range(min = -20, max = 60))]
    pub(in crate::scenario) at_ambient_c: Option<f64>,
    /// … with this inside.
    #[schemars(required, range(min = -40, max = 30))]
    pub(in crate::scenario) at_inside_c: Option<f64>,
}

/// Stops of the itinerary.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(untagged)]
pub(in crate::scenario) enum StopsFile {
    /// One, by its name; a time of day where a time is asked.
    One(#[schemars(length(min = 1, max = 100))] String),
    /// Several.
    Several(#[schemars(length(min = 1, max = 400))] Vec<StopFile>),
}

/// A stop of the itinerary.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(untagged)]
pub(in crate::scenario) enum StopFile {
    /// By the number of its leg, from 1.
    Number(#[schemars(range(min = 1, max = 400))] u32),
    /// By its name.
    Name(#[schemars(length(min = 1, max = 100))] String),
}

/// A load.
#[derive(Debug, Clone, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(in crate::scenario) struct LoadFile {
    /// Free text for the reader; ignored.
    #[expect(dead_code, reason = "notes are accepted and ignored")]
    pub(in crate::scenario) note: Option<Note>,
    /// Unique name: letters, digits, `_` and `-`.
    #[schemars(required, regex(pattern = "^[A-Za-z0-9_-]{1,60}$"))]
    pub(in crate::scenario) id: Option<String>,
    /// Id of the bank it draws on.
    #[schemars(required)]
    pub(in crate::scenario) bank: Option<String>,
    /// What kind of load.
    #[schemars(required)]
    pub(in crate::scenario) kind: Option<LoadKindWord>,
    /// Constant power while in use. This or `current_a`; not for a fridge.
    #[schemars(range(min = 0, max = 50_000))]
    pub(in crate::scenario) power_w: Option<f64>,
    /// Constant current while in use. This or `power_w`; not for a fridge.
    #[schemars(range(min = 0, max = 5000))]
    pub(in crate::scenario) current_a: Option<f64>,
    /// `duty`: share of the live time.
    #[schemars(range(min = 0, max = 1))]
    pub(in crate::scenario) duty: Option<f64>,
    /// `hours`: hours of use a day.
    pub(in crate::scenario) hours_per_day: Option<HoursPerDay>,
    /// `event`: how long it lasts.
    pub(in crate::scenario) minutes: Option<Minutes>,
    /// `event`: when it comes.
    pub(in crate::scenario) on: Option<OnWord>,
    /// `event` on `daily`: the local time, `"HH:MM"`. Any load: the stops, by name or by number from 1, where it
    /// is used, legs to them included.
    pub(in crate::scenario) at: Option<StopsFile>,
    /// The stops where it is not used, legs to them included.
    pub(in crate::scenario) not_at: Option<StopsFile>,
    /// Used on every so many dates, the first of the trip included.
    #[schemars(range(min = 1, max = 60))]
    pub(in crate::scenario) every_days: Option<u32>,
    /// `fridge`: where it stands.
    pub(in crate::scenario) kept: Option<Kept>,
    /// `fridge`: power while the compressor runs.
    #[schemars(range(max = 5000), extend("exclusiveMinimum" = 0))]
    pub(in crate::scenario) running_w: Option<f64>,
    /// `fridge`: set point; below -5 it is a freezer.
    #[schemars(range(min = -30, max = 20))]
    pub(in crate::scenario) set_c: Option<f64>,
    /// `fridge`: the data-sheet point.
    pub(in crate::scenario) rated: Option<RatedFile>,
    /// `fridge`: door openings a day.
    #[schemars(range(min = 0, max = 1000))]
    pub(in crate::scenario) openings_per_day: Option<f64>,
    /// `fridge`: food put in at ambient temperature, a day.
    #[schemars(range(min = 0, max = 200))]
    pub(in crate::scenario) warm_food_kg_per_day: Option<f64>,
    /// `fridge`: heat that cabinet and contents store.
    #[schemars(range(min = 1, max = 1000))]
    pub(in crate::scenario) contents_wh_per_k: Option<f64>,
    /// `fridge`: `cold` at its set point, or `warm` at ambient.
    pub(in crate::scenario) starts: Option<StartsWord>,
    /// When it is live.
    pub(in crate::scenario) when: Option<WhenFile>,
    /// Where it is used.
    #[serde(rename = "where")]
    pub(in crate::scenario) place: Option<Where>,
    /// Id of the inverter that feeds it.
    pub(in crate::scenario) inverter: Option<String>,
    /// Current at its start. This or `peak_w`.
    #[schemars(range(min = 0, max = 5000))]
    pub(in crate::scenario) peak_a: Option<f64>,
    /// Power at its start. This or `peak_a`.
    #[schemars(range(min = 0, max = 50_000))]
    pub(in crate::scenario) peak_w: Option<f64>,
    /// How long the start lasts, seconds.
    #[schemars(range(max = 3600), extend("exclusiveMinimum" = 0))]
    pub(in crate::scenario) peak_s: Option<f64>,
    /// What it is, for the start that such a thing usually has where no peak is given.
    pub(in crate::scenario) appliance: Option<Appliance>,
    /// Fuse that its maker asks for.
    #[schemars(range(max = 2000), extend("exclusiveMinimum" = 0))]
    pub(in crate::scenario) fuse_a: Option<f64>,
    /// A day's use varies by PERT(1−s, 1, 1+s), once a trip and once a day; a fridge's is all the heat of its day,
    /// what leaks in (setting, sun on the box) and what use lets in.
    #[schemars(range(min = 0), extend("exclusiveMaximum" = 1))]
    pub(in crate::scenario) use_spread: Option<f64>,
    /// Its turn when things are switched off, 1 first.
    #[schemars(range(min = 1, max = 1000))]
    pub(in crate::scenario) shed_order: Option<u32>,
    /// Never propose to switch it off.
    pub(in crate::scenario) keep: Option<bool>,
    /// Switched off: it draws nothing, and stays in the file.
    pub(in crate::scenario) off: Option<bool>,
    /// Never propose to change it.
    pub(in crate::scenario) fixed: Option<bool>,
}
