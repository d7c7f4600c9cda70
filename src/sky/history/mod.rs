//! Weather records read from files.
//!
//! One job: the bytes of a file in, a [`Series`] of days out. Drawing runs of days from it is the
//! trials' matter; opening files is the command line's.
//!
//! # Formats
//!
//! | format | told by | time | values |
//! |---|---|---|---|
//! | daily CSV | a header with `date` and no hour | `date` as `2014-07-05` | `ghi_kwh_m2`, or `ghi_mj_m2`, `ghi_wh_m2`, `ghi_kj_m2`, `ghi_j_cm2`, `ghi_w_m2` (the day's mean); `min_c`, `max_c` (or `temp_min_c`, `tmin_c`, `day_min_c` and so on) |
//! | hourly CSV | a header with an hour | `timestamp` (beginning of the hour) or `timestamp_end`, with a zone, or `…_utc`, or the stated offset; or `date` and `hour_ending` (1 to 24; `hour_ending_utc`) | `ghi_wh_m2`, `ghi_w_m2` and so on; `dni_…`, `dhi_…` if known; `air_c` (or `temp_air_c`, `air_temperature_c`, `temp_c`) |
//! | hourly CSV of a typical year | `month`, `day`, `hour_ending` | stated offset, or `hour_ending_utc` | as above |
//! | EPW | `LOCATION,` or the name's ending | local standard time, zone in its head | by field number |
//! | TMY3 | the names in its second line | local standard time, zone in its head | by name, of which letters and digits count |
//!
//! Wind (`wind_m_s`, `wind_speed_m_s`) is known but not used. Other columns are left alone. An empty field, `NA`, `NaN`,
//! `null` or `-` is a value not measured. A row ends with its line and has no values beyond the header's columns.
//!
//! # Rules
//!
//! Up to 3 missing hours in a row take the light of their day; one missing day between two others takes
//! their mean; both are counted. A longer gap ends a stretch. An irradiation above 1.1 times the extraterrestrial
//! (and 25 Wh/m² in the hour or 50 in the day for twilight; the neighbouring hour's or day's sun if that is more) is refused, as is what is negative, repeated or out of order.

mod columns;
mod daily_csv;
mod dates;
mod day_light;
mod epw;
mod error;
mod field;
mod hour_clock;
mod hour_layout;
mod hour_record;
mod hourly_csv;
mod light_days;
mod persistence;
mod read;
mod rows;
mod series;
mod tmy3;

pub use error::{HistoryError, HistoryFault};
pub use read::{ReadOptions, read};
pub use rows::is_utf16;
pub use series::{HistoryDay, Series};
