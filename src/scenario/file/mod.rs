//! The types that mirror the scenario file, key for key.
//!
//! One job: names, types and ranges of the keys; the JSON Schema is generated from here, and
//! `scenario::structure` checks a file against it. Every field is optional so that one problem
//! does not hide the next: what is required says so to the schema alone. What the keys mean
//! together is `scenario::check`'s work.
//! Left out: defaults (`scenario::defaults`).

mod climate;
mod electrical;
mod itinerary;
mod load;
mod run;
mod schema;
mod spread;

pub(super) use climate::{ClimateFile, ClimateKind, MonthFile};
pub(super) use electrical::{
    AlternatorFile, BankFile, ChargerFile, ChargerKind, MountFile, MountWord, PanelFile, Size,
};
pub(super) use itinerary::{BearingFile, DelayFile, ItineraryFile, LegFile, PlaceFile, ShadeFile};
pub(super) use load::{
    EfficiencyFile, InverterFile, LoadFile, LoadKindWord, OnWord, StartsWord, StopFile, StopsFile,
    WhenFile, WhenWord,
};
pub(super) use run::{PointFile, RunFile};
pub(super) use schema::SCHEMA;
pub use schema::json_schema;
pub(super) use spread::{
    AnySpread, DelayDays, DriveHours, HoursPerDay, LocalHours, Minutes, ShareSpread, Speed,
};

use schemars::JsonSchema;
use serde::Deserialize;

use crate::units::Units;

/// Free text for the reader; ignored by the program.
pub(super) type Note = serde_json::Value;

/// A daily window of local time.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(untagged)]
pub(super) enum WindowFile {
    /// Two ends: `"HH:MM"`, `"sunrise"`, `"sunset"`, or those with an offset such as `"sunset+0:30"`.
    /// Where the sun does not rise, both are its highest stand.
    Ends([String; 2]),
    /// The same under a key.
    Named(NamedWindow),
}

/// A window under its key.
#[derive(Debug, Clone, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct NamedWindow {
    /// Free text for the reader; ignored.
    #[expect(dead_code, reason = "notes are accepted and ignored")]
    pub(super) note: Option<Note>,
    /// Two ends: `"HH:MM"`, `"sunrise"`, `"sunset"`, or those with an offset such as `"sunset+0:30"`.
    /// Where the sun does not rise, both are its highest stand.
    #[schemars(required)]
    pub(super) window: Option<[String; 2]>,
}

/// The confidence that `compare`, `topup`, `stay` and `--strict` aim at.
#[derive(Debug, Clone, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct AimFile {
    /// Free text for the reader; ignored.
    #[expect(dead_code, reason = "notes are accepted and ignored")]
    pub(super) note: Option<Note>,
    /// Chance of no shortfall.
    #[schemars(required, extend("exclusiveMinimum" = 0, "exclusiveMaximum" = 1))]
    pub(super) chance: Option<f64>,
}

/// A trip and the electrical system that goes on it.
#[derive(Debug, Clone, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct ScenarioFile {
    /// The schema this file is checked against, for editors; ignored.
    #[serde(rename = "$schema")]
    #[expect(dead_code, reason = "for editors only")]
    pub(super) schema: Option<String>,
    /// Free text for the reader; ignored.
    #[expect(dead_code, reason = "notes are accepted and ignored")]
    pub(super) note: Option<Note>,
    /// Version of the file format.
    #[expect(dead_code, reason = "the schema admits one value only")]
    #[schemars(required, range(min = 1, max = 1))]
    pub(super) format: Option<u32>,
    /// What the trip is called.
    #[schemars(length(min = 1, max = 200))]
    pub(super) title: Option<String>,
    /// Nominal voltage of every bank.
    #[schemars(extend("enum" = [12, 24]))]
    pub(super) system_voltage_v: Option<f64>,
    /// Currency of the prices, ISO 4217: three capital letters, shown beside them.
    #[schemars(length(min = 3, max = 3))]
    pub(super) currency: Option<String>,
    /// Units of what is shown: `si`, or `us` for °F, feet, miles, pounds, AWG and dates and times as the United
    /// States write them.
    pub(super) units: Option<Units>,
    /// Seed of the random draws.
    #[schemars(range(min = 0, max = 9_007_199_254_740_991_u64))]
    pub(super) seed: Option<u64>,
    /// Where the trip goes and when.
    #[schemars(required)]
    pub(super) itinerary: Option<ItineraryFile>,
    /// Where the weather comes from.
    pub(super) climate: Option<ClimateFile>,
    /// Batteries: house and start.
    #[schemars(required, length(min = 1, max = 200))]
    pub(super) banks: Option<Vec<BankFile>>,
    /// The vehicle's alternator.
    pub(super) alternator: Option<AlternatorFile>,
    /// Chargers from the alternator, the mains or another bank.
    #[schemars(length(max = 200))]
    pub(super) chargers: Option<Vec<ChargerFile>>,
    /// Solar panels with their controllers.
    #[schemars(length(max = 200))]
    pub(super) solar: Option<Vec<PanelFile>>,
    /// What draws on the banks.
    #[schemars(length(max = 200))]
    pub(super) loads: Option<Vec<LoadFile>>,
    /// Inverters.
    #[schemars(length(max = 100))]
    pub(super) inverters: Option<Vec<InverterFile>>,
    /// Buses, fuse blocks, plugs and switches that runs lead to.
    #[schemars(length(max = 100))]
    pub(super) distribution: Option<Vec<PointFile>>,
    /// Cable pairs with their fuses.
    #[schemars(length(max = 400))]
    pub(super) runs: Option<Vec<RunFile>>,
    /// The confidence aimed at.
    pub(super) aim: Option<AimFile>,
}
