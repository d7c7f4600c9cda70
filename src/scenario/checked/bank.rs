//! Banks: one battery or several in parallel, with one state of charge.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::{Buying, Spread};
use crate::system::open_circuit_voltage::{Curve, VoltageTable};

/// Index of a bank in [`super::Parts::banks`].
pub type BankId = usize;

/// What a bank is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Role {
    /// Feeds the loads one lives with; the headline chance is of these.
    House,
    /// Cranks the engine.
    Start,
}

impl Role {
    /// The word of the scenario file.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::House => "house",
            Self::Start => "start",
        }
    }
}

/// Cell chemistry.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Chemistry {
    /// Lithium iron phosphate.
    Lfp,
    /// Lead-acid, absorbent glass mat.
    Agm,
    /// Lead-acid, gelled electrolyte.
    Gel,
    /// Lead-acid, liquid electrolyte.
    Flooded,
}

impl Chemistry {
    /// Open-circuit voltage by state of charge, of a system of 12 V times `voltage_factor`.
    #[must_use]
    pub fn voltage(self, voltage_factor: f64) -> VoltageTable {
        let curve = match self {
            Self::Lfp => Curve::Lfp,
            Self::Flooded => Curve::Flooded,
            Self::Agm | Self::Gel => Curve::Sealed,
        };
        VoltageTable::new(curve, voltage_factor)
    }

    /// Every chemistry, for tests and tables that must not miss one.
    pub const ALL: [Self; 4] = [Self::Lfp, Self::Agm, Self::Gel, Self::Flooded];

    /// The word of the scenario file.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Lfp => "lfp",
            Self::Agm => "agm",
            Self::Gel => "gel",
            Self::Flooded => "flooded",
        }
    }

    /// Whether the two-tank model applies.
    #[must_use]
    pub fn is_lead_acid(self) -> bool {
        self != Self::Lfp
    }
}

/// Surroundings in which a bank or a fridge stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Kept {
    /// In the cabin with the people.
    Cabin,
    /// In a canopy, trailer or outside locker.
    Box,
    /// Beside the engine.
    EngineBay,
}

impl Kept {
    /// The word of the scenario file.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Cabin => "cabin",
            Self::Box => "box",
            Self::EngineBay => "engine-bay",
        }
    }
}

/// One bank with every default filled in.
#[derive(Debug, Clone, PartialEq)]
pub struct Bank {
    /// Unique id.
    pub id: String,
    /// House or start.
    pub role: Role,
    /// Cell chemistry.
    pub chemistry: Chemistry,
    /// Rated capacity; lead-acid at the 20 h rate and 25 °C.
    pub capacity_ah: f64,
    /// State of charge at the start, each value 0 to 1.
    pub start_soc: Spread,
    /// State of charge the user does not want to go below.
    pub reserve_soc: f64,
    /// State of charge at which the loads are dropped; at most `reserve_soc`.
    pub cutoff_soc: f64,
    /// Greatest charge current.
    pub max_charge_a: f64,
    /// Greatest discharge current.
    pub max_discharge_a: f64,
    /// Ohmic resistance of the whole bank.
    pub resistance_mohm: f64,
    /// Absorption voltage: charge tapers so that the terminals stay at or below it.
    pub absorption_v: f64,
    /// Self-discharge, share of the rated capacity a month of 30 days.
    pub self_discharge_per_month: f64,
    /// Where it stands.
    pub kept: Kept,
    /// In a trailer: its loads and panels stay in camp during local drives.
    pub trailer: bool,
    /// Draw of the monitor and the protection circuit.
    pub standby_ma: f64,
    /// Mass, if given or worked out.
    pub mass_kg: Option<f64>,
    /// Price in the user's own money, if given or worked out.
    pub price: Option<f64>,
    /// Other sizes.
    pub buying: Buying,
}
