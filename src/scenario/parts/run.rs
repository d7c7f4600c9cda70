//! Cable runs: one pair from a source to a consumer, with its fuse.

use super::Kept;
use super::section::section;

/// Temperature rating of a conductor's insulation, one of 60, 75, 80, 90, 105, 125, 200 °C.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Insulation(u16);

impl Insulation {
    /// The ratings of 33 CFR 183.425, Table 5.
    pub const ALL: [u16; 7] = [60, 75, 80, 90, 105, 125, 200];

    /// Accepts one of [`Self::ALL`].
    #[must_use]
    pub fn new(rating_c: u16) -> Option<Self> {
        Self::ALL.contains(&rating_c).then_some(Self(rating_c))
    }

    /// The rating in °C.
    #[must_use]
    pub fn rating_c(self) -> u16 {
        self.0
    }
}

/// What a run begins or ends at.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RunEnd {
    /// The alternator's output.
    Alternator,
    /// A bank, by index.
    Bank(usize),
    /// A charger, by index.
    Charger(usize),
    /// A panel with its controller, by index.
    Panel(usize),
    /// A load, by index.
    Load(usize),
    /// An inverter, by index.
    Inverter(usize),
    /// A bus, fuse block, plug or switch, by index.
    Point(usize),
}

section! {
    /// One cable pair from a source to a consumer, with its fuse.
    file RunFile {
        /// Unique name: letters, digits, `_` and `-`.
        id: String [id] must;
        /// `alternator`, or the id of the bank, charger, panel, load or part of `distribution` where it begins.
        from: String [] must;
        /// `alternator`, or the id of the bank, charger, panel, load or part of `distribution` where it ends.
        to: String [] must;
        /// Length one way.
        one_way_m: f64 [above 0 to 200] must;
        /// Ids of the chargers, panels and loads whose current it carries.
        carries: Vec<String> [to 200 long];
        /// Allowed voltage drop, share of the system voltage.
        drop_limit: f64 [above 0 to 0.2] ask or (0.03, "3 % for chargers, fridges and electronics (common practice)");
        /// Conductor already chosen: IEC 60228 class 5 copper.
        mm2: f64 [0.2 to 400];
        /// Fuse already chosen.
        fuse_a: f64 [above 0 to 2000];
        /// Temperature rating of the insulation, °C.
        insulation_c: u16 [one of 60, 75, 80, 90, 105, 125, 200] ask or (105, "the usual rating of vehicle cable");
        /// Temperature of the air around the cable, °C.
        ambient_c: f64 [-40 to 100] ask(place: Kept) or if place == Kept::EngineBay {
            (50.0, "engine spaces (33 CFR 183.425)")
        } else {
            (40.0, "a closed vehicle in the sun")
        };
        /// Number of loaded conductors lying together.
        bundled: u32 [1 to 100] ask or (2, "the two conductors of the run itself");
        /// Largest conductor that the terminals at its ends take, mm².
        largest_mm2: f64 [0.2 to 400];
        /// Through where it goes.
        place("where"): Kept [] ask(touches_engine_bay: bool) or if touches_engine_bay {
            (Kept::EngineBay, "one of its ends is in the engine bay")
        } else {
            (Kept::Cabin, "none of its ends is in the engine bay")
        };
    }
}

/// One run with every default filled in.
#[derive(Debug, Clone, PartialEq)]
pub struct Run {
    /// Unique id.
    pub id: String,
    /// Where it begins.
    pub from: RunEnd,
    /// Where it ends.
    pub to: RunEnd,
    /// Length one way.
    pub one_way_m: f64,
    /// Chargers, panels and loads whose current it carries.
    pub carries: Vec<RunEnd>,
    /// Allowed voltage drop, share of the system voltage, above 0 up to 0.2.
    pub drop_limit: f64,
    /// A conductor already chosen.
    pub mm2: Option<f64>,
    /// Largest conductor that the terminals at its ends take, if given.
    pub largest_mm2: Option<f64>,
    /// A fuse already chosen.
    pub fuse_a: Option<f64>,
    /// Insulation rating.
    pub insulation: Insulation,
    /// Ambient temperature, as given or by default (50 in the engine bay, else 40).
    pub ambient_c: f64,
    /// Whether the file gave `ambient_c` itself.
    pub ambient_given: bool,
    /// Number of loaded conductors lying together.
    pub bundled: u32,
    /// Through where it goes.
    pub place: Kept,
}

impl Run {
    /// Both ends.
    #[must_use]
    pub fn ends(&self) -> [RunEnd; 2] {
        [self.from, self.to]
    }

    /// Where it leads from one of its ends; `None`: it does not touch that.
    #[must_use]
    pub fn other_end(&self, end: RunEnd) -> Option<RunEnd> {
        if self.from == end {
            Some(self.to)
        } else {
            (self.to == end).then_some(self.from)
        }
    }

    /// Whether it begins or ends at a bus, block, plug or switch.
    #[must_use]
    pub fn has_point(&self) -> bool {
        self.ends()
            .iter()
            .any(|end| matches!(end, RunEnd::Point(_)))
    }
}
