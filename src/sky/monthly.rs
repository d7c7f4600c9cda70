//! A user's own table of the months.

/// One month of a user's own table.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MonthRow {
    /// 1 to 12.
    pub month: u32,
    /// Peak sun hours: kWh/m² a day on the flat. Given, or else `kt`.
    pub sun_hours: Option<f64>,
    /// Mean daily clearness index, 0 to 1. Given, or else `sun_hours`.
    pub kt: Option<f64>,
    /// Mean daily minimum temperature.
    pub day_min_c: f64,
    /// Mean daily maximum temperature.
    pub day_max_c: f64,
    /// Standard deviation of the daily clearness index, if known.
    pub kt_sd: Option<f64>,
}
