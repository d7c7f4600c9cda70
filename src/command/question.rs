//! What can be asked of a scenario's trials.

use crate::study::choosing::why::{self, Of};
use crate::study::learning::LearnQuestion;
use crate::study::report::ReportPart;
use crate::study::settings::DEFAULT_TRIALS;

/// A command with the options that are its own.
#[derive(Debug, Clone, PartialEq)]
pub enum Question {
    /// Does this itinerary work?
    Trip,
    /// How many days can we stay parked here?
    Stay {
        /// Days to look ahead, 1 to 366.
        horizon_days: u32,
    },
    /// What does each bank take and get on an average day?
    Budget,
    /// What to switch off first?
    Shed,
    /// Which assumption does the answer depend on?
    Why {
        /// Of what; `None`: of the chance, or of the charge where the chance says nothing.
        of: Option<Of>,
    },
    /// What does each option buy?
    Compare {
        /// `KEY=V1,V2` each.
        vary: Vec<String>,
        /// `NAME:KEY=V,KEY=V` each.
        option: Vec<String>,
    },
    /// Which change makes the trip work?
    Mend {
        /// A size to be solved for alone; `None`: every change is tried.
        of: Option<String>,
    },
    /// What does a meter's log say of the file?
    Learn(Box<LearnQuestion>),
    /// How many hours of driving a day keep the banks topped up?
    Topup {
        /// The size across the picture; `None`: the capacity of the bank that binds.
        against: Option<String>,
    },
    /// Everything in one document.
    Report {
        /// `KEY=V1,V2` each, compared with the file as it is.
        compare: Vec<String>,
        /// One part alone; `None`: all.
        only: Option<ReportPart>,
        /// A log of the trip, and the words that ask for it again.
        log: Option<(Box<LearnQuestion>, String)>,
        /// Name of the scenario file.
        file_name: String,
        /// Date of the document, ISO 8601.
        date: String,
    },
}

impl Question {
    /// Trials where none are given.
    #[must_use]
    pub fn default_trials(&self) -> u64 {
        match self {
            Self::Why { .. } => why::DEFAULT_TRIALS,
            _ => DEFAULT_TRIALS,
        }
    }

    /// Whether runs are compared trial by trial, which needs the same trials in each.
    pub(super) fn compares_runs(&self) -> bool {
        match self {
            Self::Trip | Self::Stay { .. } | Self::Budget => false,
            Self::Report { compare, log, .. } => !compare.is_empty() || log.is_some(),
            Self::Shed
            | Self::Why { .. }
            | Self::Compare { .. }
            | Self::Mend { .. }
            | Self::Learn(_)
            | Self::Topup { .. } => true,
        }
    }
}
