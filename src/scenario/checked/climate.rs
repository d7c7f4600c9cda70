//! Where the weather comes from.

use std::sync::Arc;

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
