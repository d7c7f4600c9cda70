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

/// What a relay goes by.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Senses {
    /// The voltage of the alternator's side.
    Voltage,
    /// The ignition, whatever the voltage.
    Ignition,
}

impl Senses {
    /// The word of the scenario file.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Voltage => "voltage",
            Self::Ignition => "ignition",
        }
    }
}

/// A relay or isolator that joins a house bank to the alternator's side, without any control of the
/// current.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Relay {
    /// What it goes by.
    pub senses: Senses,
    /// Voltage from which it joins; by ignition 0.
    pub joins_v: f64,
    /// Voltage below which it parts; by ignition 0.
    pub parts_v: f64,
    /// The current that it is built for.
    pub rated_a: f64,
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
    /// Output current; of a relay the most that its bank takes and the alternator has to spare, cold.
    pub output_a: f64,
    /// Output power over input power.
    pub efficiency: f64,
    /// 1 is served first; equal numbers share pro rata.
    pub priority: u32,
    /// Input voltage below which it stops.
    pub min_input_v: f64,
    /// When it can work.
    pub needs: Needs,
    /// Its kind, as the file has it.
    pub kind: &'static str,
    /// What joins the bank to the alternator's side, where that is a relay in place of a charger.
    pub relay: Option<Relay>,
    /// Mass, if given.
    pub mass_kg: Option<f64>,
    /// Price, if given or worked out.
    pub price: Option<f64>,
    /// Other sizes.
    pub buying: Buying,
}
