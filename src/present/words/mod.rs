//! Words: the verdict of each command, warnings and cautions.
//!
//! One job: plain sentences for a tired reader. Tables and pictures take their wording of
//! chances, times and figures from here, so that all say the same.

pub mod budget_verdict;
pub mod cause;
pub mod caution;
pub mod chance;
pub mod compare_verdict;
mod delays;
pub mod duration;
pub mod figure;
pub mod from_here;
pub mod learn_verdict;
pub mod mend_verdict;
pub mod outage;
pub mod shed_verdict;
pub mod stay_verdict;
pub mod topup_verdict;
pub mod trip_verdict;
pub mod warning;
pub mod why_verdict;

pub use budget_verdict::{bank_line, budget_verdict};
pub use caution::{Contents, Screen, cautions};
pub use compare_verdict::compare_verdict;
pub use from_here::from_line;
pub use learn_verdict::learn_verdict;
pub use mend_verdict::{mend_verdict, solve_verdict};
pub use shed_verdict::shed_verdict;
pub use stay_verdict::stay_verdict;
pub use topup_verdict::topup_verdict;
pub use trip_verdict::trip_verdict;
pub use warning::warning_lines;
pub use why_verdict::why_verdict;
