//! The step loop and the ledger of a batch of trials.
//!
//! A batch runs [`LANES`] trials side by side: every quantity that a trial changes is an array
//! with one entry a trial, so that the compiler works on several at once. A trial's figures
//! depend on its own lane alone. The engine knows nothing of chance: what was drawn comes in as
//! [`Draws`], what happened goes out as an [`Outcome`].
//!
//! Currents and powers into a bank are positive.

#![expect(
    clippy::inline_always,
    clippy::needless_bitwise_bool,
    reason = "loops over lanes walk through many arrays side by side and must not branch"
)]

mod air;
mod alternator_share;
mod availabilities;
mod bank_flow;
mod bank_offer;
mod bank_solve;
mod bank_step;
mod batch;
mod carried;
mod closing;
mod cold;
mod cooling;
mod curve_lines;
mod day_book;
mod demand;
mod demand_sums;
mod draws;
mod drives;
mod drop_out;
mod lanes;
mod loads_step;
mod meters;
mod offering;
mod outcome;
mod overload;
mod relays;
mod run;
mod settling_step;
mod sharing;
mod sources_step;
mod state;
mod sun;
mod sun_share;
mod totals;
mod track;
mod unserved;
mod view;

pub use carried::{Carried, CarriedBank};
pub use draws::{Draws, Drive, EventTimes, Light};
pub(crate) use lanes::widest;
pub use lanes::{LANES, Lanes};
pub(crate) use meters::{BankMeter, ChargerMeter, Meters, PanelMeter};
pub use outcome::{BankOutcome, NightOutcome, Outcome, Overload, SAMPLE_LEVELS, SampleLevels};
pub use run::{Figures, MeasuredSoc, carry_batch, first_shortfall_s, follow_batch, run_batch};
pub use totals::{ChargerTotals, Ledger, LoadTotals, PanelTotals, Totals};
pub use view::{Observer, StepView, Unobserved};
