//! The `climate` of the file.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::Deserialize;

use super::Note;

/// Where the weather comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub(in crate::scenario) enum ClimateKind {
    /// The world climate in the program.
    BuiltIn,
    /// A table of the months in this file.
    Monthly,
    /// A weather file.
    History,
}

/// Where the weather comes from, and what that source needs.
#[derive(Debug, Clone, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(in crate::scenario) struct ClimateFile {
    /// Free text for the reader; ignored.
    #[expect(dead_code, reason = "notes are accepted and ignored")]
    pub(in crate::scenario) note: Option<Note>,
    /// Which source.
    #[schemars(required)]
    pub(in crate::scenario) kind: Option<ClimateKind>,
    /// `monthly`: every month the trip touches.
    #[schemars(length(min = 1, max = 12))]
    pub(in crate::scenario) months: Option<Vec<MonthFile>>,
    /// `built-in`, `monthly`: autocorrelation of the days' clearness at a lag of 1 day, 2 days and so on, all
    /// year. A day is taken as a standard normal deviate by its rank among the days of its season.
    #[schemars(length(min = 1, max = 10), inner(range(min = -1, max = 1)))]
    pub(in crate::scenario) kt_autocorrelation: Option<Vec<f64>>,
    /// `history`: the weather file, relative to this file.
    #[schemars(length(min = 1, max = 1000))]
    pub(in crate::scenario) file: Option<String>,
    /// `history`: degrees north of the station. Without it the record counts as that of each stop.
    #[schemars(range(min = -90, max = 90))]
    pub(in crate::scenario) lat: Option<f64>,
    /// `history`: degrees east of the station.
    #[schemars(range(min = -180, max = 180))]
    pub(in crate::scenario) lon: Option<f64>,
    /// `history`: length of the runs of consecutive days drawn.
    #[schemars(range(min = 1, max = 366))]
    pub(in crate::scenario) block_days: Option<u32>,
    /// `history`: runs begin within so many days of the date, of any year.
    #[schemars(range(min = 1, max = 183))]
    pub(in crate::scenario) season_days: Option<u32>,
    /// `history`: use this very year, without chance.
    #[schemars(range(min = 1900, max = 2150))]
    pub(in crate::scenario) replay: Option<i32>,
    /// `history`: hours of the file's clock ahead of UTC, where its times have no zone.
    #[schemars(range(min = -14, max = 14))]
    pub(in crate::scenario) utc_offset_hours: Option<f64>,
    /// `history`: names of the file's own columns.
    pub(in crate::scenario) columns: Option<BTreeMap<String, String>>,
}

/// One month of the user's own table: means over its days.
#[derive(Debug, Clone, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(in crate::scenario) struct MonthFile {
    /// Free text for the reader; ignored.
    #[expect(dead_code, reason = "notes are accepted and ignored")]
    pub(in crate::scenario) note: Option<Note>,
    /// 1 for January to 12.
    #[schemars(required, range(min = 1, max = 12))]
    pub(in crate::scenario) month: Option<u32>,
    /// Peak sun hours: kWh/m² a day on the flat. This or `kt`.
    #[schemars(range(min = 0, max = 12))]
    pub(in crate::scenario) sun_hours: Option<f64>,
    /// Mean daily clearness index. This or `sun_hours`.
    #[schemars(range(min = 0, max = 1))]
    pub(in crate::scenario) kt: Option<f64>,
    /// Mean daily minimum of the air temperature.
    #[schemars(required, range(min = -60, max = 50))]
    pub(in crate::scenario) day_min_c: Option<f64>,
    /// Mean daily maximum of the air temperature.
    #[schemars(required, range(min = -60, max = 60))]
    pub(in crate::scenario) day_max_c: Option<f64>,
    /// Standard deviation of the daily clearness index; left out, that of the built-in climate there.
    #[schemars(range(min = 0, max = 0.4))]
    pub(in crate::scenario) kt_sd: Option<f64>,
}
