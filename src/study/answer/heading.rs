//! What every answer begins and ends with.
//!
//! One job: the heading of a result and its warnings. What stands between them is in `trip`, `stay`
//! and `budget`.

use serde::Serialize;

use crate::units::{Sentence, Units};

/// Version of the JSON results.
pub const FORMAT: u32 = 1;

/// What every result begins with.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Heading {
    /// [`FORMAT`].
    pub format: u32,
    /// `tideover` and its version.
    pub tool: String,
    /// The scenario's title.
    pub scenario: String,
    /// Seed of the random streams.
    pub seed: u64,
    /// Number of trials.
    pub trials: u64,
    /// Step of the engine.
    pub step_minutes: u32,
    /// Currency of the prices, where the file names it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub currency: Option<String>,
    /// Units of what is shown; figures and sentences of the JSON are in those of the program.
    #[serde(skip)]
    pub units: Units,
    /// Whether it is one trip without chance.
    #[serde(skip)]
    pub typical: bool,
    /// Beginning, RFC 3339 with the local offset.
    pub start: String,
    /// End, RFC 3339 with the local offset.
    pub end: String,
    /// From where on it goes; `None`: from the departure, as the file has it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub from: Option<FromHere>,
}

/// What an answer begins with that begins on the way.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct FromHere {
    /// The moment, RFC 3339 with the local offset.
    pub now: String,
    /// The stop where the vehicle stands; `None` on the road and before the departure.
    pub stop: Option<String>,
    /// What the meters show, by bank; banks that are not there begin with what the itinerary brings.
    #[serde(serialize_with = "by_bank")]
    pub soc: Vec<MeterShows>,
    /// Nights still spent there.
    pub nights: Option<u32>,
}

/// What the meter of a bank shows, 0 to 1.
#[derive(Debug, Clone, PartialEq)]
pub struct MeterShows {
    /// The bank's id.
    pub bank: String,
    /// Least.
    pub low: f64,
    /// Greatest.
    pub high: f64,
    /// Below what it is short, 0 to 1; `None`: a start bank, whose reserve no chance asks for.
    pub reserve: Option<f64>,
    /// Whether it is below that in every trial from the first moment.
    pub is_short: bool,
}

/// Something the reader of an answer should know.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Warning {
    /// JSON path in the scenario file.
    pub path: String,
    /// One or two sentences.
    pub text: Sentence,
}

impl Warning {
    /// With the path of what it is about; quantities in its text are marked as [`Sentence::new`] takes them.
    #[must_use]
    pub fn new(path: impl Into<String>, text: impl Into<Sentence>) -> Self {
        Self {
            path: path.into(),
            text: text.into(),
        }
    }

    /// Whether it tells no more than where the weather comes from: a note, no doubt.
    #[must_use]
    pub fn is_note(&self) -> bool {
        self.path == "/climate"
    }
}

/// `{"main": 0.62, "trailer": {"low": 0.4, "high": 0.5}}`.
fn by_bank<S: serde::Serializer>(shown: &[MeterShows], serializer: S) -> Result<S::Ok, S::Error> {
    #[derive(Serialize)]
    #[serde(untagged)]
    enum Soc {
        Sure(f64),
        Between { low: f64, high: f64 },
    }
    serializer.collect_map(shown.iter().map(|shows| {
        let (low, high) = (shows.low, shows.high);
        let soc = if low < high {
            Soc::Between { low, high }
        } else {
            Soc::Sure(low)
        };
        (&shows.bank, soc)
    }))
}
