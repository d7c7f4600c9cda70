//! The answers: what a study found, as the screens, pictures and JSON show it.
//!
//! One job: the shapes. Every figure on a screen is a field here; nothing downstream computes.
//! The `Serialize` types are the JSON results; pictures take the other types.

mod bank_figures;
mod budget;
mod cause;
mod heading;
mod outage;
mod percentiles;
mod pictures;
mod stay;
mod trip;

pub use crate::timeline::plant::BankLimit;
pub use bank_figures::{Named, Night, PerDayWh, WeakNight};
pub use budget::{
    BudgetBank, BudgetDay, BudgetLoad, BudgetResult, BudgetSource, DayFlow, Live, PerDay,
};
pub use cause::{Away, Cause, CauseKind, Why};
pub use heading::{FORMAT, FromHere, Heading, MeterShows, Warning};
pub use outage::{BankOutages, ColdReach, InverterOverload, LoadOutage, LoadWithout, Outage};
pub use percentiles::{AutonomyDays, Chance, DawnSoc, Days, P50P90, SocPercentiles};
pub use pictures::{Calendar, SocBand, Span, SurvivalCurve};
pub use stay::{NextDrive, RestRow, StayAnswer, StayBank, StayNight, StayResult};
pub use trip::{
    AlternatorUse, Delays, FridgeUse, Late, MendHint, TripAnswer, TripBank, TripResult, WeakPoint,
};
