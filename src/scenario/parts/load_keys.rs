//! The `loads` of the file, and what each kind makes of its keys.

use schemars::JsonSchema;
use serde::Deserialize;

use super::section::{key, section, words};
use super::{Appliance, ClockTime, EventMoment, Kept, LoadKind, Power, Spread, Where};
use crate::scenario::check::{Findings, fridge, spreads, windows};
use crate::scenario::file::{AnySpread, HoursPerDay, Minutes, NamedWindow};
use crate::scenario::problem::{both_given, missing, neither_given, not_for_kind};

words! {
    /// What kind of load.
    pub(in crate::scenario) LoadKindWord {
        /// Drawn all the time it is live.
        Steady = "steady",
        /// Drawn a share of the time it is live.
        Duty = "duty",
        /// So many hours a day, spread evenly over its window.
        Hours = "hours",
        /// Now and then, for some minutes.
        Event = "event",
        /// A compressor fridge or freezer.
        Fridge = "fridge",
    }
}

words! {
    /// When an event comes.
    pub(in crate::scenario) OnWord {
        /// From each leg's arrival on.
        Arrive = "arrive",
        /// From each leg's departure on.
        Depart = "depart",
        /// Daily at a local time.
        Daily = "daily",
    }
}

words! {
    /// How a fridge starts.
    pub(in crate::scenario) StartsWord {
        /// At its set point.
        Cold = "cold",
        /// At ambient: it has to pull down.
        Warm = "warm",
    }
}

words! {
    /// When a load is live, in a word.
    pub(in crate::scenario) WhenWord {
        /// Permanently live.
        Always = "always",
        /// While the engine runs.
        Ignition = "ignition",
        /// While it does not.
        Parked = "parked",
    }
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

section! {
    /// The data-sheet point of a fridge.
    file RatedFile {
        /// Mean current at 12.0 V per 12 V of system voltage …
        average_a: f64 [above 0 to 100] must;
        /// … in these surroundings …
        at_ambient_c: f64 [-20 to 60] must;
        /// … with this inside.
        at_inside_c: f64 [-40 to 30] must;
    }
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

section! {
    /// A load.
    file LoadFile {
        /// Unique name: letters, digits, `_` and `-`.
        id: String [id] must;
        /// Id of the bank it draws on.
        bank: String [] must;
        /// What kind of load.
        kind: LoadKindWord [] must;
        /// Constant power while in use. This or `current_a`; not for a fridge.
        power_w: f64 [0 to 50_000] for ["steady", "duty", "hours", "event"];
        /// Constant current while in use. This or `power_w`; not for a fridge.
        current_a: f64 [0 to 5000] for ["steady", "duty", "hours", "event"];
        /// `duty`: share of the live time.
        duty: f64 [0 to 1] for ["duty"];
        /// `hours`: hours of use a day.
        hours_per_day: HoursPerDay [] for ["hours"];
        /// `event`: how long it lasts.
        minutes: Minutes [] for ["event"];
        /// `event`: when it comes.
        on: OnWord [] for ["event"];
        /// `event` on `daily`: the local time, `"HH:MM"`. Any load: the stops, by name or by number from 1, where it
        /// is used, legs to them included.
        at: StopsFile [];
        /// The stops where it is not used, legs to them included.
        not_at: StopsFile [];
        /// Used on every so many dates, the first of the trip included.
        every_days: u32 [1 to 60];
        /// `fridge`: where it stands.
        kept: Kept [] for ["fridge"] ask(in_trailer: bool) or if in_trailer {
            (Kept::Box, "its bank is in the trailer, which warms like a box")
        } else {
            (Kept::Cabin, "inside the vehicle")
        };
        /// `fridge`: power while the compressor runs.
        running_w: f64 [above 0 to 5000] for ["fridge"] ask or (45.0, "3 to 5 A at 12 V while it runs (common practice)");
        /// `fridge`: set point; below -5 it is a freezer.
        set_c: f64 [-30 to 20] for ["fridge"] ask or (4.0, "cold enough for fresh food");
        /// `fridge`: the data-sheet point.
        rated: RatedFile [] for ["fridge"];
        /// `fridge`: door openings a day.
        openings_per_day: f64 [0 to 1000] for ["fridge"] ask or (12.0, "two people, three meals (ours)");
        /// `fridge`: food put in at ambient temperature, a day.
        warm_food_kg_per_day: f64 [0 to 200] for ["fridge"] ask or (1.5, "drinks and left-overs of two people (ours)");
        /// `fridge`: heat that cabinet and contents store.
        contents_wh_per_k: f64 [1 to 1000] for ["fridge"]
            ask or (20.0, "cabinet and some ‹15 kg› of food, at ‹1.16 Wh per kg and K› of water");
        /// `fridge`: `cold` at its set point, or `warm` at ambient.
        starts: StartsWord [] for ["fridge"] ask or (StartsWord::Cold, "cooled down before leaving");
        /// When it is live.
        when: WhenFile [];
        /// Where it is used.
        place("where"): Where [] ask or (Where::Anywhere, "no place named");
        /// Id of the inverter that feeds it.
        inverter: String [];
        /// Current at its start. This or `peak_w`.
        peak_a: f64 [0 to 5000];
        /// Power at its start. This or `peak_a`.
        peak_w: f64 [0 to 50_000];
        /// How long the start lasts, seconds.
        peak_s: f64 [above 0 to 3600] ask or (1.0, "a start is over within a second (common practice)");
        /// What it is, for the start that such a thing usually has where no peak is given.
        appliance: Appliance [];
        /// Fuse that its maker asks for.
        fuse_a: f64 [above 0 to 2000];
        /// A day's use varies by PERT(1−s, 1, 1+s), once a trip and once a day; a fridge's is all the heat of its day,
        /// what leaks in (setting, sun on the box) and what use lets in.
        use_spread: f64 [0 to below 1] ask or (0.15, "habits differ by some 15 % (ours)");
        /// Its turn when things are switched off, 1 first.
        shed_order: u32 [1 to 1000];
        /// Never propose to switch it off.
        keep: bool [] ask or (false, "may be proposed for switching off");
        /// Switched off: it draws nothing, and stays in the file.
        off: bool [];
        /// Never propose to change it.
        fixed: bool [];
    }
}

impl LoadFile {
    /// Its kind, with the keys that belong to it; `at` is the time of day that it gives.
    pub(in crate::scenario) fn meant(
        &self,
        at: Option<&String>,
        (factor, in_trailer): (f64, bool),
        path: &str,
        notes: &mut Findings<'_>,
    ) -> LoadKind {
        match self.kind {
            None => LoadKind::Steady(Power::Watts(0.0)),
            Some(LoadKindWord::Steady) => LoadKind::Steady(self.power(path, notes)),
            Some(LoadKindWord::Duty) => LoadKind::Duty {
                power: self.power(path, notes),
                duty: {
                    let allowed = "a share of the time from 0 to 1";
                    needed(self.duty, &key(path, "duty"), allowed, notes).unwrap_or(1.0)
                },
            },
            Some(LoadKindWord::Hours) => LoadKind::Hours {
                power: self.power(path, notes),
                hours_per_day: {
                    let allowed = "from 0 to 24, or a spread";
                    let path = key(path, "hours_per_day");
                    spread(self.hours_per_day.as_ref(), &path, allowed, notes)
                },
            },
            Some(LoadKindWord::Event) => LoadKind::Event {
                power: self.power(path, notes),
                minutes: {
                    let allowed = "from 0 to 1440, or a spread";
                    spread(self.minutes.as_ref(), &key(path, "minutes"), allowed, notes)
                },
                on: self.moment(at, path, notes),
            },
            Some(LoadKindWord::Fridge) => {
                LoadKind::Fridge(fridge::check(self, factor, in_trailer, path, notes))
            }
        }
    }

    fn power(&self, path: &str, notes: &mut Findings<'_>) -> Power {
        match (self.power_w, self.current_a) {
            (Some(watts), None) => Power::Watts(watts),
            (None, Some(amps)) => Power::Amps(amps),
            (Some(watts), Some(_)) => {
                notes.problem(&key(path, "current_a"), both_given("power_w"));
                Power::Watts(watts)
            }
            (None, None) => {
                let keys = ["power_w", "current_a"];
                if !keys.iter().any(|name| notes.is_spoiled(&key(path, name))) {
                    notes.problem(path, neither_given(keys));
                }
                Power::Watts(0.0)
            }
        }
    }

    fn moment(&self, at: Option<&String>, path: &str, notes: &mut Findings<'_>) -> EventMoment {
        let at_path = key(path, "at");
        let allowed = "`arrive`, `depart` or `daily`";
        let on = match needed(self.on, &key(path, "on"), allowed, notes) {
            Some(OnWord::Arrive) => EventMoment::Arrive,
            Some(OnWord::Depart) => EventMoment::Depart,
            Some(OnWord::Daily) => {
                let default = (8 * 60, "in the morning");
                return EventMoment::Daily(windows::time_or_assumed(at, &at_path, default, notes));
            }
            None => return EventMoment::Daily(ClockTime::MIDNIGHT),
        };
        if let (Some(_), Some(word)) = (at, self.on) {
            notes.problem(&at_path, not_for_kind("event on", word.word(), "`daily`"));
        }
        on
    }
}

/// A key that the kind must have.
fn needed<T>(given: Option<T>, path: &str, allowed: &str, notes: &mut Findings<'_>) -> Option<T> {
    if given.is_none() && !notes.is_spoiled(path) {
        notes.problem(path, missing(allowed));
    }
    given
}

fn spread<S: AnySpread>(
    given: Option<&S>,
    path: &str,
    allowed: &str,
    notes: &mut Findings<'_>,
) -> Spread {
    spreads::required(needed(given, path, allowed, notes), path, notes)
}
