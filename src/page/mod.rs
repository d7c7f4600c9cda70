//! The page: the same engine in one file, in the hand, without signal.
//!
//! One job: one JSON question of a page's script to one JSON answer. What the answers hold comes from
//! [`command`](crate::command), as on the command line. The interface of the module is in `module.rs`, the
//! scripts and the style are in `web/`.

#[cfg(feature = "cli")]
mod document;
mod engine;
mod found_places;
mod given;
mod numbers;
#[cfg(feature = "cli")]
mod opening;
mod outline;
mod scenario_file;

#[cfg(feature = "cli")]
pub use document::{MODULE, Page, PageScenario};
pub use engine::{Engine, ask};
#[cfg(feature = "cli")]
pub use opening::{AnsweredBefore, Opening, PlannedMoment, opening};
