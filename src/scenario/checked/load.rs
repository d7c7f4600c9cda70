//! Loads: what draws on a bank, when and where.

use schemars::JsonSchema;
use serde::Deserialize;

use super::{BankId, ClockTime, Kept, Spread, Window};

/// A draw as the user gave it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Power {
    /// Constant power.
    Watts(f64),
    /// Constant current at the bank's voltage.
    Amps(f64),
}

/// When a load is live.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum When {
    /// Permanently live.
    Always,
    /// While the engine runs.
    Ignition,
    /// While it does not.
    Parked,
    /// Inside a daily window.
    Window(Window),
}

/// Where a load is used.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Where {
    /// Everywhere.
    Anywhere,
    /// Parked at a stop.
    Camp,
    /// While the engine runs.
    Driving,
}

/// An inverter between the bank and the load.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Inverter {
    /// Output power over input power, idle power apart.
    pub efficiency: f64,
    /// Drawn whenever the load's `when` and `where` hold (an event: while it lasts).
    pub idle_w: f64,
}

/// When an event load runs.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum EventMoment {
    /// From each leg's arrival on.
    Arrive,
    /// From each leg's departure on.
    Depart,
    /// Daily at a local time.
    Daily(ClockTime),
}

/// A compressor fridge or freezer.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fridge {
    /// Where it stands.
    pub kept: Kept,
    /// Power while the compressor runs.
    pub running_w: f64,
    /// Set point. Below -5 it is a freezer.
    pub set_c: f64,
    /// The data-sheet point: mean current at 12.0 V per 12 V of system voltage …
    pub rated_average_a: f64,
    /// … in these surroundings …
    pub rated_ambient_c: f64,
    /// … with this inside.
    pub rated_inside_c: f64,
    /// Door openings a day.
    pub openings_per_day: f64,
    /// Food put in at ambient temperature, a day.
    pub warm_food_kg_per_day: f64,
    /// Heat that cabinet and contents store.
    pub contents_wh_per_k: f64,
    /// Starts at ambient and has to pull down.
    pub starts_warm: bool,
}

/// What kind of load.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum LoadKind {
    /// Drawn all the time it is live.
    Steady(Power),
    /// Drawn a share of the time it is live.
    Duty {
        /// While running.
        power: Power,
        /// Share of the live time, 0 to 1.
        duty: f64,
    },
    /// So many hours a day, spread evenly over its window.
    Hours {
        /// While in use.
        power: Power,
        /// Hours of use a day.
        hours_per_day: Spread,
    },
    /// Now and then, for some minutes.
    Event {
        /// While it lasts.
        power: Power,
        /// How long it lasts.
        minutes: Spread,
        /// When it comes.
        on: EventMoment,
    },
    /// A fridge.
    Fridge(Fridge),
}

/// One load with every default filled in.
#[derive(Debug, Clone, PartialEq)]
pub struct Load {
    /// Unique id.
    pub id: String,
    /// The bank it draws on.
    pub bank: BankId,
    /// What it is.
    pub kind: LoadKind,
    /// When it is live.
    pub when: When,
    /// Where it is used.
    pub place: Where,
    /// Spread of a day's use, 0 to below 1: one PERT(1−s, 1, 1+s) factor a trial and one a day.
    pub use_spread: f64,
    /// The inverter it hangs on.
    pub inverter: Option<Inverter>,
    /// Its turn when things are switched off, 1 first.
    pub shed_order: Option<u32>,
    /// Never proposed for switching off.
    pub keep: bool,
}
