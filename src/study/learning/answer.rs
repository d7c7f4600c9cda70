//! What was learned, as plain data.

use serde::Serialize;

use crate::scenario::Changes;
use crate::study::answer::{Calendar, Chance, Heading, Warning};

/// The answer: `learn.json`, and what pictures need besides.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LearnAnswer {
    /// Head of the result.
    #[serde(flatten)]
    pub heading: Heading,
    /// The log as it was read.
    pub log: LogRead,
    /// When it was driven, and where that is from.
    pub drives: Driven,
    /// Measured against predicted.
    pub fit: Fit,
    /// What the quiet hours of a night cost, by bank.
    pub nights: Vec<NightUse>,
    /// What the log tells.
    pub found: Vec<Found>,
    /// What it does not, and why.
    pub cannot_tell: Vec<CannotTell>,
    /// Keys put right, as `--write` writes them.
    pub changes: Changes,
    /// The chance of no shortfall on the trip, by the file and put right; `None`: nothing is put right.
    pub chance: Option<WasIs>,
    /// Warnings of the file.
    pub warnings: Vec<Warning>,
    /// Lines for the picture, by bank.
    #[serde(skip)]
    pub lines: Vec<BankLine>,
    /// Nights, drives and stops of the picture.
    #[serde(skip)]
    pub calendar: Calendar,
}

/// The log as it was read.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LogRead {
    /// Rows within the trip.
    pub rows: usize,
    /// First, RFC 3339.
    pub from: String,
    /// Last.
    pub to: String,
    /// Times without rows.
    pub gaps: usize,
    /// By bank.
    pub banks: Vec<BankLog>,
}

/// The log of one bank.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct BankLog {
    /// The bank.
    pub bank: String,
    /// Rows within the trip.
    pub rows: usize,
    /// Times without rows.
    pub gaps: usize,
    /// Seconds between two rows, in the middle.
    pub every_s: i64,
    /// What the current is from.
    pub current: &'static str,
    /// Which sign charges by the meter, and how that was found.
    pub sign: String,
    /// What the charge is from.
    pub charge: &'static str,
}

/// When it was driven.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Driven {
    /// Where that is from.
    pub from: &'static str,
    /// Each drive within the log, RFC 3339.
    pub each: Vec<DrivenOnce>,
}

/// One drive.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct DrivenOnce {
    /// Departure.
    pub from: String,
    /// Arrival.
    pub to: String,
    /// Why one of them is not sure; `None`: the log shows both.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub unsure: Option<&'static str>,
}

/// Measured against predicted.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Fit {
    /// Each day of each bank.
    pub days: Vec<FitDay>,
    /// Root mean square of measured less predicted median, points of charge.
    pub rms_points: f64,
    /// The same by the scenario put right.
    pub rms_points_put_right: Option<f64>,
    /// Days that fell into the band of 8 in 10, with the interval that so few allow.
    pub inside: Chance,
}

/// One day.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct FitDay {
    /// The bank.
    pub bank: String,
    /// The date of the morning.
    pub date: String,
    /// Charge on the next morning, measured.
    pub measured_soc: f64,
    /// The same as predicted from this morning's charge.
    pub p10: f64,
    /// Half above.
    pub p50: f64,
    /// 9 in 10 below.
    pub p90: f64,
    /// Whether the measured lies from `p10` to `p90`.
    pub inside: bool,
}

/// The quiet hours of a mean night.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct NightUse {
    /// The bank.
    pub bank: String,
    /// Measured, Ah.
    pub measured_ah: f64,
    /// The same hours by the file, Ah.
    pub by_file_ah: f64,
}

/// A quantity that the log tells.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Found {
    /// Key of the scenario, or of what the file has no key for.
    pub key: String,
    /// What the file has, given or by default.
    pub was: f64,
    /// What the log says.
    pub is: f64,
    /// 8 in 10 such intervals hold the truth.
    pub low: f64,
    /// Its upper end.
    pub high: f64,
    /// Unit; empty: a share, `1`: a bare number.
    pub unit: &'static str,
    /// Hours of the log that it rests on.
    pub from_hours: f64,
    /// How it was found.
    pub how: String,
    /// Whether the file's value lies outside the interval.
    pub differs: bool,
    /// Whether the file has a key for it.
    pub is_key: bool,
}

/// A quantity that the log does not tell.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct CannotTell {
    /// Key of the scenario.
    pub key: String,
    /// Why.
    pub why: String,
}

/// A figure by the file and put right.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct WasIs {
    /// By the file.
    pub was: Chance,
    /// Put right.
    pub is: Chance,
}

/// Lines of a bank for the picture.
#[derive(Debug, Clone, PartialEq)]
pub struct BankLine {
    /// The bank.
    pub bank: String,
    /// UTC seconds of the points.
    pub utc_s: Vec<i64>,
    /// Measured; NaN in gaps.
    pub measured: Vec<f64>,
    /// Predicted from each morning, 9 in 10 above.
    pub p10: Vec<f64>,
    /// Half above.
    pub p50: Vec<f64>,
    /// 1 in 10 above.
    pub p90: Vec<f64>,
    /// Half above, put right; empty where nothing is.
    pub put_right: Vec<f64>,
    /// Reserve.
    pub reserve_soc: f64,
}
