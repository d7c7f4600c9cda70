//! Loads: what draws on a bank, when and where.

use chrono::NaiveDate;

use super::section::words;
use super::{BankId, ClockTime, Kept, Power, Spread, StopChoice, Window};

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

words! {
    /// Where a load is used.
    pub Where {
        /// Everywhere.
        Anywhere = "anywhere",
        /// Parked at a stop.
        Camp = "camp",
        /// While the engine runs.
        Driving = "driving",
    }
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

words! {
    /// What a load is, as far as its start goes.
    pub Appliance {
        /// A diesel or petrol heater, which lights with a glow pin.
        FuelHeater = "fuel-heater",
        /// A compressor fridge or freezer.
        Fridge = "fridge",
        /// A water or fuel pump.
        Pump = "pump",
        /// An air compressor for tyres.
        AirCompressor = "air-compressor",
        /// A fan.
        Fan = "fan",
        /// Anything without a start worth the name.
        Other = "other",
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

    /// Whether it comes now and then, for minutes.
    #[must_use]
    pub fn is_event(&self) -> bool {
        matches!(self, Self::Event { .. })
    }

    /// The fridge, where it is one.
    #[must_use]
    pub fn fridge(&self) -> Option<&Fridge> {
        match self {
            Self::Fridge(fridge) => Some(fridge),
            _ => None,
        }
    }

    /// Use of a load with the key that says how much of its time that is; `None` where there is no such key.
    #[must_use]
    pub fn usage(&self, id: &str) -> Option<Usage> {
        let usage = match *self {
            Self::Steady(_) | Self::Fridge(_) => return None,
            Self::Duty { duty, .. } => Usage {
                key: "duty",
                value: Spread::fixed(duty),
                most: 1.0,
                unit: "",
                rate: "",
                name: Usage::in_words("duty", id).unwrap_or_default(),
                label: format!("Share of the time that {id} runs"),
                room: (0.05, 1.0, 0.05),
            },
            Self::Hours { hours_per_day, .. } => Usage {
                key: "hours_per_day",
                value: hours_per_day,
                most: 24.0,
                unit: "h",
                rate: "h a day",
                name: format!("use of {id}"),
                label: format!("Use of {id}, a day"),
                room: (0.0, 24.0, 0.25),
            },
            Self::Event { minutes, .. } => Usage {
                key: "minutes",
                value: minutes,
                most: 1440.0,
                unit: "min",
                rate: "min",
                name: format!("length of {id}"),
                label: format!("Length of {id}"),
                room: (1.0, 120.0, 1.0),
            },
        };
        Some(usage)
    }

    /// Share of its daily use, or of its draw, that falls on a step of which it is live for a share of `live`, in a
    /// window that is `window_h` long that day.
    #[must_use]
    pub fn used(&self, live: f64, window_h: f64) -> f64 {
        match self {
            Self::Duty { duty, .. } => live * duty,
            Self::Hours { .. } if window_h > 0.0 => live / window_h,
            Self::Hours { .. } => 0.0,
            Self::Steady(_) | Self::Event { .. } | Self::Fridge(_) => live,
        }
    }

    /// Hours of use a day, drawn each day; 1 where its use follows from its live time.
    #[must_use]
    pub fn daily_use(&self) -> Spread {
        match self {
            Self::Hours { hours_per_day, .. } => *hours_per_day,
            _ => Spread::fixed(1.0),
        }
    }

    /// Hours for which it draws, of so many for which it is live, on a trip of so many days and legs; on the high
    /// side.
    #[must_use]
    pub fn drawing_h(&self, live_h: f64, days: f64, legs: f64) -> f64 {
        match self {
            Self::Steady(_) => live_h,
            Self::Duty { duty, .. } => live_h * duty,
            Self::Fridge(_) => live_h * FRIDGE_DUTY,
            Self::Hours { hours_per_day, .. } => live_h.min(hours_per_day.mean() * days),
            Self::Event { minutes, on, .. } => {
                let times = match on {
                    EventMoment::Arrive | EventMoment::Depart => legs,
                    EventMoment::Daily(_) => days,
                };
                times * minutes.mean() / 60.0
            }
        }
    }

    /// Longest that it draws without a pause, min.
    #[must_use]
    pub fn longest_min(&self) -> f64 {
        match self {
            Self::Event { minutes, .. } => minutes.max,
            Self::Hours { hours_per_day, .. } => 60.0 * hours_per_day.max,
            Self::Steady(_) | Self::Duty { .. } | Self::Fridge(_) => f64::INFINITY,
        }
    }

    /// Whether it is a thing that a wider drop of voltage does no harm: one that comes and goes.
    #[must_use]
    pub fn is_coarse(&self) -> bool {
        matches!(self, Self::Event { .. } | Self::Duty { .. })
    }
}

/// Share of the time a fridge's compressor runs; ours, on the high side.
const FRIDGE_DUTY: f64 = 0.5;

/// How much a load is used, beside what it draws.
#[derive(Debug, Clone, PartialEq)]
pub struct Usage {
    /// Its key.
    pub key: &'static str,
    /// What the file gives.
    pub value: Spread,
    /// The most that the file may have.
    pub most: f64,
    /// Its unit; empty for a share.
    pub unit: &'static str,
    /// Its unit with the time that it is of.
    pub rate: &'static str,
    /// What it is, within a sentence.
    pub name: String,
    /// What it is, beside a figure.
    pub label: String,
    /// From where to where one tries it, in steps of what.
    pub room: (f64, f64, f64),
}

impl Usage {
    /// What a key of a load's use is as one figure; `None` for other keys.
    #[must_use]
    pub fn in_words(key: &str, id: &str) -> Option<String> {
        match key {
            "duty" => Some(format!("share of the time that {id} runs")),
            "hours_per_day" => Some(format!("hours a day of {id}")),
            _ => None,
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
