//! How long a touring vehicle's batteries last: an energy budget and autonomy simulator.
//!
//! Data flows one way: [`scenario`] → [`timeline`] → engine → trials → [`study`] → [`present`] → `command` → `page`.
//! [`places`], [`sky`], [`system`], [`units`] and [`wiring`] are shelves of functions that the stages take
//! from.
//!
//! A scenario comes from the text of its file, checked, and is changed by its keys, checked again. A
//! [`Simulation`] runs it through its trials; the studies ask their questions of that.
//!
//! ```
//! use tideover::{Changes, Settings, Silent, read, trip};
//!
//! let text = include_str!("../scenarios/weekend.json");
//! let scenario = read(text, "weekend.json", &|_| Err("no weather file".to_owned()))?.scenario;
//! let mut settings = Settings::default();
//! settings.run.trials = 200;
//!
//! let answer = trip(&scenario, &settings, &Silent)?;
//! let larger = scenario.with(&Changes::one("banks.house.capacity_ah", 200))?;
//! let with_more = trip(&larger, &settings, &Silent)?;
//! let chance = |answer: &tideover::TripAnswer| answer.result.chance_no_shortfall.value;
//! assert!(chance(&with_more) >= chance(&answer));
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

#![forbid(unsafe_code)]
// A part of the file with forty keys is taken apart in some hundred and sixty steps.
#![recursion_limit = "512"]

pub mod command;
// What runs a trial is open to the tests and benches of this crate, and promises nothing to others.
#[doc(hidden)]
pub mod engine;
pub mod log;
pub mod page;
pub mod places;
pub mod present;
pub mod scenario;
pub mod sky;
pub mod study;
pub mod system;
pub mod timeline;
#[doc(hidden)]
pub mod trials;
pub mod units;
pub mod wiring;

pub use scenario::{Changes, Scenario, read};
pub use study::answer::{BudgetResult, StayAnswer, TripAnswer};
pub use study::budget::budget;
pub use study::settings::Settings;
pub use study::simulation::Simulation;
pub use study::stay::{StayQuestion, stay};
pub use study::trip::trip;
pub use trials::{Progress, RunSettings, Silent};
