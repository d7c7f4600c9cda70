//! At which stops a load is used.

/// At which stops a load is used. A leg belongs to the stop it leads to; the time before the first departure to
/// none.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum StopChoice {
    /// Wherever the trip goes.
    Everywhere,
    /// Nowhere but there, by the number of the leg from 0.
    Only(Vec<usize>),
    /// Everywhere but there.
    Except(Vec<usize>),
}

impl StopChoice {
    /// Whether a stop is one of them; `None`: before the first departure.
    #[must_use]
    pub fn holds(&self, stop: Option<usize>) -> bool {
        let is_in = |stops: &[usize]| stop.is_some_and(|stop| stops.contains(&stop));
        match self {
            Self::Everywhere => true,
            Self::Only(stops) => is_in(stops),
            Self::Except(stops) => !is_in(stops),
        }
    }
}
