//! The alternator and the chargers that depend on it, on the mains or on another bank.

use schemars::JsonSchema;
use serde::Deserialize;

use super::{BankId, Buying};

/// The vehicle's alternator.
#[derive(Debug, Clone, PartialEq)]
pub struct Alternator {
    /// Rated output, cold.
    pub rated_a: f64,
    /// Output at idle, cold.
    pub idle_a: f64,
    /// Share of the output left when hot.
    pub hot_derate: f64,
    /// Voltage it stands at.
    pub volts: f64,
    /// What the running vehicle itself takes.
    pub vehicle_load_a: f64,
    /// Share of engine time spent at idle.
    pub idle_share: f64,
    /// Mechanical to electrical, for fuel.
    pub efficiency: f64,
}

/// What feeds a charger.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ChargerSource {
    /// The vehicle's alternator.
    Alternator,
    /// A powered site.
    Mains,
    /// Another bank.
    Bank(BankId),
}

/// When a charger can work.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Needs {
    /// While the engine runs.
    Driving,
    /// On legs only: a trailer left in camp.
    Towing,
    /// At any time (mains: where the stop has it).
    Always,
}

impl Needs {
    /// The word of the scenario file.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Driving => "driving",
            Self::Towing => "towing",
            Self::Always => "always",
        }
    }
}

/// One charger with every default filled in.
#[derive(Debug, Clone, PartialEq)]
pub struct Charger {
    /// Unique id.
    pub id: String,
    /// What feeds it.
    pub from: ChargerSource,
    /// The bank it charges.
    pub to: BankId,
    /// Output current.
    pub output_a: f64,
    /// Output power over input power.
    pub efficiency: f64,
    /// 1 is served first; equal numbers share pro rata.
    pub priority: u32,
    /// Input voltage below which it stops.
    pub min_input_v: f64,
    /// When it can work.
    pub needs: Needs,
    /// Whether the file calls it a dc-dc charger (false: mains).
    pub is_dc_dc: bool,
    /// Mass, if given.
    pub mass_kg: Option<f64>,
    /// Price, if given or worked out.
    pub price: Option<f64>,
    /// Other sizes.
    pub buying: Buying,
}
