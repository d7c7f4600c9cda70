//! What every answer begins and ends with.
//!
//! One job: the heading of a result and its warnings. What stands between them is in `trip`, `stay`
//! and `budget`.

use serde::Serialize;

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
    /// Beginning, RFC 3339 with the local offset.
    pub start: String,
    /// End, RFC 3339 with the local offset.
    pub end: String,
}

/// Something the reader of an answer should know.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Warning {
    /// JSON path in the scenario file.
    pub path: String,
    /// One or two sentences.
    pub text: String,
}
