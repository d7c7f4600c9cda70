//! The system's constants for one step length, in the order the engine works through them.
//!
//! One job: the scenario's parts as plain numbers with every conversion done. The physics behind
//! them is in `system`; what they do in a step is the engine's.

mod banks;
mod charging;
mod loads;
mod parts;
mod whole;

pub(crate) use charging::may_starve;
pub use parts::{
    AlternatorPlant, BankInverses, BankLimit, BankPlant, ChargerPlant, EventPlant, FridgePlant,
    InverterPlant, LoadPlant, PanelPlant, RETURN_SOC, Standby,
};
pub use whole::Plant;
