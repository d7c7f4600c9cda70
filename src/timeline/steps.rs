//! The steps of a plan on the clock.

/// Steps of one length, one after the other.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Steps {
    /// Beginning of the first, UTC seconds.
    pub(crate) start_s: i64,
    /// Length, s.
    pub(crate) step_s: i64,
    /// How many.
    pub(crate) count: usize,
}

impl Steps {
    /// Beginning of a step, UTC seconds.
    pub(crate) fn begin_s(&self, step: usize) -> i64 {
        self.start_s + i64::try_from(step).unwrap_or(0) * self.step_s
    }

    /// Its middle.
    pub(crate) fn middle_s(&self, step: usize) -> i64 {
        self.begin_s(step) + self.step_s / 2
    }
}
