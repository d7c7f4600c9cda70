//! The file as a whole, and the types that its keys have.
//!
//! One job: what stands at the top of a file; the JSON Schema is generated from here, and
//! `scenario::structure` checks a file against it. Every field is optional so that one problem
//! does not hide the next: what is required says so to the schema alone. What the keys mean
//! together is `scenario::check`'s work. The keys of each part are declared in `scenario::parts`.

mod schema;
mod spread;

pub(super) use schema::SCHEMA;
pub use schema::json_schema;
pub(super) use spread::{
    AnySpread, DelayDays, DriveHours, HoursPerDay, LocalHours, Minutes, ShareSpread, Speed,
};

use schemars::JsonSchema;
use serde::Deserialize;

use super::parts::section::section;
use super::parts::{
    AlternatorFile, BankFile, ChargerFile, ClimateFile, InverterFile, ItineraryFile, LoadFile,
    PanelFile, PointFile, RunFile,
};
use crate::units::Units;

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

/// A size that can be bought.
#[derive(Debug, Clone, Copy, Deserialize, JsonSchema)]
#[serde(transparent)]
pub(super) struct Size(
    #[schemars(range(max = 100_000), extend("exclusiveMinimum" = 0))] pub(super) f64,
);

section! {
    /// A window under its key.
    file NamedWindow {
        /// Two ends: `"HH:MM"`, `"sunrise"`, `"sunset"`, or those with an offset such as `"sunset+0:30"`.
        /// Where the sun does not rise, both are its highest stand.
        window: [String; 2] [] must;
    }
}

section! {
    /// The confidence that `compare`, `topup`, `stay` and `--strict` aim at.
    file AimFile {
        /// Chance of no shortfall.
        chance: f64 [above 0, below 1] must ask or (0.9, "nine trips in ten shall go well");
    }
}

section! {
    /// A trip and the electrical system that goes on it.
    file ScenarioFile first {
        /// The schema this file is checked against, for editors; ignored.
        #[serde(rename = "$schema")]
        #[expect(dead_code, reason = "for editors only")]
        schema: Option<String>,
    } {
        /// Version of the file format.
        #[expect(dead_code, reason = "the schema admits one value only")]
        format: u32 [1 to 1] must;
        /// What the trip is called.
        title: String [1 to 200 long];
        /// Nominal voltage of every bank.
        system_voltage_v: f64 [one of 12, 24] ask or (12.0, "most touring vehicles have 12 V");
        /// Currency of the prices, ISO 4217: three capital letters, shown beside them.
        currency: String [3 to 3 long];
        /// Units of what is shown: `si`, or `us` for °F, feet, miles, pounds, AWG and dates and times as the United
        /// States write them.
        units: Units [];
        /// Seed of the random draws.
        seed: u64 [0 to 9_007_199_254_740_991_u64];
        /// Where the trip goes and when.
        itinerary: ItineraryFile [] must;
        /// Where the weather comes from.
        climate: ClimateFile [];
        /// Batteries: house and start.
        banks: Vec<BankFile> [1 to 200 long] must;
        /// The vehicle's alternator.
        alternator: AlternatorFile [];
        /// Chargers from the alternator, the mains or another bank.
        chargers: Vec<ChargerFile> [to 200 long];
        /// Solar panels with their controllers.
        solar: Vec<PanelFile> [to 200 long];
        /// What draws on the banks.
        loads: Vec<LoadFile> [to 200 long];
        /// Inverters.
        inverters: Vec<InverterFile> [to 100 long];
        /// Buses, fuse blocks, plugs and switches that runs lead to.
        distribution: Vec<PointFile> [to 100 long];
        /// Cable pairs with their fuses.
        runs: Vec<RunFile> [to 400 long];
        /// The confidence aimed at.
        aim: AimFile [];
    }
}
