//! Where the weather comes from.

use std::collections::BTreeMap;
use std::sync::Arc;

use super::section::{section, words};
pub use crate::sky::day_persistence::DayPersistence;
use crate::sky::history::Series;
pub use crate::sky::monthly::MonthRow;

/// A weather record to draw runs of days from.
#[derive(Debug, Clone, PartialEq)]
pub struct History {
    /// The days read from the file.
    pub series: Arc<Series>,
    /// Length of the blocks of days drawn; `None`: chosen from the series' own persistence.
    pub block_days: Option<u32>,
    /// Blocks begin within so many days of the date, of any year.
    pub season_days: u32,
    /// Replays this very year, without chance.
    pub replay: Option<i32>,
}

impl Climate {
    /// Whether two climates are one; the days of a record are not compared, only whether they are the
    /// same record.
    #[must_use]
    pub fn is_same(&self, other: &Self) -> bool {
        match (self, other) {
            (Self::History(one), Self::History(other)) => {
                let of =
                    |history: &History| (history.block_days, history.season_days, history.replay);
                Arc::ptr_eq(&one.series, &other.series) && of(one) == of(other)
            }
            _ => self == other,
        }
    }
}

/// Source of the weather.
#[derive(Debug, Clone, PartialEq)]
pub enum Climate {
    /// The world climate in the crate.
    BuiltIn {
        /// How a day's clearness depends on the days before.
        persistence: DayPersistence,
    },
    /// The user's own table.
    Monthly {
        /// At least one row, months ascending and distinct.
        rows: Vec<MonthRow>,
        /// How a day's clearness depends on the days before.
        persistence: DayPersistence,
    },
    /// A weather file.
    History(History),
}

words! {
    /// Where the weather comes from.
    pub(in crate::scenario) ClimateKind {
        /// The world climate in the program.
        BuiltIn = "built-in",
        /// A table of the months in this file.
        Monthly = "monthly",
        /// A weather file.
        History = "history",
    }
}

section! {
    /// Where the weather comes from, and what that source needs.
    file ClimateFile {
        /// Which source.
        kind: ClimateKind [] must;
        /// `monthly`: every month the trip touches.
        months: Vec<MonthFile> [1 to 12 long] for ["monthly"];
        /// `built-in`, `monthly`: autocorrelation of the days' clearness at a lag of 1 day, 2 days and so on, all
        /// year. A day is taken as a standard normal deviate by its rank among the days of its season.
        kt_autocorrelation: Vec<f64> [1 to 10 long, each -1 to 1] for ["built-in", "monthly"];
        /// `history`: the weather file, relative to this file.
        file: String [1 to 1000 long] for ["history"];
        /// `history`: degrees north of the station. Without it the record counts as that of each stop.
        lat: f64 [-90 to 90] for ["history"];
        /// `history`: degrees east of the station.
        lon: f64 [-180 to 180] for ["history"];
        /// `history`: length of the runs of consecutive days drawn.
        block_days: u32 [1 to 366] for ["history"];
        /// `history`: runs begin within so many days of the date, of any year.
        season_days: u32 [1 to 183] for ["history"]
            ask or (20, "near enough to the date to be its season, wide enough to give many runs of days");
        /// `history`: use this very year, without chance.
        replay: i32 [1900 to 2150] for ["history"];
        /// `history`: hours of the file's clock ahead of UTC, where its times have no zone.
        utc_offset_hours: f64 [-14 to 14] for ["history"];
        /// `history`: names of the file's own columns.
        columns: BTreeMap<String, String> [] for ["history"];
    }
}

section! {
    /// One month of the user's own table: means over its days.
    file MonthFile {
        /// 1 for January to 12.
        month: u32 [1 to 12] must;
        /// Peak sun hours: kWh/m² a day on the flat. This or `kt`.
        sun_hours: f64 [0 to 12];
        /// Mean daily clearness index. This or `sun_hours`.
        kt: f64 [0 to 1];
        /// Mean daily minimum of the air temperature.
        day_min_c: f64 [-60 to 50] must;
        /// Mean daily maximum of the air temperature.
        day_max_c: f64 [-60 to 60] must;
        /// Standard deviation of the daily clearness index; left out, that of the built-in climate there.
        kt_sd: f64 [0 to 0.4];
    }
}
