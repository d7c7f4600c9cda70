//! Loads: what draws on a bank, when and where.

use chrono::NaiveDate;
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

/// What an inverter between the bank and the load adds to it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Inverter {
    /// Which one, by index.
    pub unit: usize,
    /// Output power over input power at this load's own power, idle power apart.
    pub efficiency: f64,
    /// Drawn whenever the load's `when` and `where` hold (an event: while it lasts). Of loads that are
    /// live together the first has all of it, the others 0.
    pub idle_w: f64,
}

/// What a load is, as far as its start goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Appliance {
    /// A diesel or petrol heater, which lights with a glow pin.
    FuelHeater,
    /// A compressor fridge or freezer.
    Fridge,
    /// A water or fuel pump.
    Pump,
    /// An air compressor for tyres.
    AirCompressor,
    /// A fan.
    Fan,
    /// Anything without a start worth the name.
    Other,
}

impl Power {
    /// So many times as much.
    #[must_use]
    pub fn times(self, factor: f64) -> Self {
        match self {
            Self::Watts(watts) => Self::Watts(watts * factor),
            Self::Amps(amps) => Self::Amps(amps * factor),
        }
    }

    /// Current at a voltage, A.
    #[must_use]
    pub fn current_a(self, volts: f64) -> f64 {
        match self {
            Self::Watts(watts) => watts / volts,
            Self::Amps(amps) => amps,
        }
    }
}

impl LoadKind {
    /// The draw while it runs; of a fridge that of its compressor.
    #[must_use]
    pub fn running(&self) -> Power {
        match self {
            Self::Steady(power)
            | Self::Duty { power, .. }
            | Self::Hours { power, .. }
            | Self::Event { power, .. } => *power,
            Self::Fridge(fridge) => Power::Watts(fridge.running_w),
        }
    }
}

impl Appliance {
    /// The word of the scenario file.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::FuelHeater => "fuel-heater",
            Self::Fridge => "fridge",
            Self::Pump => "pump",
            Self::AirCompressor => "air-compressor",
            Self::Fan => "fan",
            Self::Other => "other",
        }
    }
}

/// What a load draws when it starts.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Peak {
    /// The draw, no less than while running.
    pub power: Power,
    /// How long it lasts, s.
    pub seconds: f64,
    /// Where the figure comes from, in a few words.
    pub basis: &'static str,
}

/// At which stops a load is used. A leg belongs to the stop it leads to; the time before the first departure to
/// none.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum StopChoice {
    /// Wherever the trip goes.
    Everywhere,
    /// Nowhere but there, by the number of the leg from 0.
    Only(Vec<usize>),
    /// Everywhere but there.
    Except(Vec<usize>),
}

impl StopChoice {
    /// Whether a stop is one of them; `None`: before the first departure.
    #[must_use]
    pub fn holds(&self, stop: Option<usize>) -> bool {
        let is_in = |stops: &[usize]| stop.is_some_and(|stop| stops.contains(&stop));
        match self {
            Self::Everywhere => true,
            Self::Only(stops) => is_in(stops),
            Self::Except(stops) => !is_in(stops),
        }
    }
}

impl Load {
    /// Whether it is used on a date of a trip that begins on another.
    #[must_use]
    pub fn is_day(&self, date: NaiveDate, first: NaiveDate) -> bool {
        let days = (date - first).num_days();
        days.rem_euclid(i64::from(self.every_days.max(1))) == 0
    }
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
    /// At which stops.
    pub stops: StopChoice,
    /// On every so many dates from the trip's first on, 1 or more.
    pub every_days: u32,
    /// Spread of a day's use, 0 to below 1: one PERT(1−s, 1, 1+s) factor a trial and one a day. A fridge's
    /// use is all the heat of its day.
    pub use_spread: f64,
    /// The inverter it depends on.
    pub inverter: Option<Inverter>,
    /// What it draws when it starts, where that is more than it runs with.
    pub peak: Option<Peak>,
    /// Fuse that its maker asks for.
    pub fuse_a: Option<f64>,
    /// Its turn when things are switched off, 1 first.
    pub shed_order: Option<u32>,
    /// Never proposed for switching off.
    pub keep: bool,
    /// Switched off: it draws nothing.
    pub off: bool,
    /// Never proposed for a change.
    pub fixed: bool,
}
