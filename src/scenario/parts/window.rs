//! Daily time windows in local time, with ends that may depend on the sun.

/// One end of a window.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WindowEnd {
    /// A time of the local clock, minutes after midnight, 0 to 1440 (24:00).
    Clock(ClockTime),
    /// Minutes after (negative: before) sunrise.
    Sunrise(i32),
    /// Minutes after (negative: before) sunset.
    Sunset(i32),
}

/// A time of the local clock: minutes after midnight, 0 to 1440.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct ClockTime(u16);

impl ClockTime {
    /// 00:00.
    pub const MIDNIGHT: Self = Self(0);

    /// Accepts 0 to 1440 minutes.
    #[must_use]
    pub fn new(minutes: u16) -> Option<Self> {
        (minutes <= 1440).then_some(Self(minutes))
    }

    /// Minutes after local midnight.
    #[must_use]
    pub fn minutes(self) -> u16 {
        self.0
    }
}

/// A daily window. May wrap midnight: it then opens on its date and closes on the next.
/// Two equal clock ends are the whole day.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Window {
    /// When it opens.
    pub from: WindowEnd,
    /// When it closes.
    pub to: WindowEnd,
}
