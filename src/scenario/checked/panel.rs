//! Solar panels with their controllers.

use schemars::JsonSchema;
use serde::Deserialize;

use super::{BankId, Buying};

/// How a panel stands.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Mount {
    /// Flat on the roof.
    Flat,
    /// Set up in camp, tilted at the sun's noon height.
    Portable,
    /// Fixed to the parked vehicle.
    Tilted {
        /// From the horizontal, 0 to 90.
        tilt_deg: f64,
        /// Clockwise from true north, as the vehicle is parked.
        azimuth_deg: f64,
    },
}

/// The kind of controller.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Controller {
    /// Maximum power point tracking.
    Mppt,
    /// Pulse width modulation: the panel is held at the bank's voltage.
    Pwm,
}

impl Controller {
    /// The word of the scenario file.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Mppt => "mppt",
            Self::Pwm => "pwm",
        }
    }
}

/// One panel (or several alike) with its controller.
#[derive(Debug, Clone, PartialEq)]
pub struct Panel {
    /// Unique id.
    pub id: String,
    /// The bank it charges.
    pub to: BankId,
    /// Rated power at standard test conditions.
    pub panel_w: f64,
    /// How it stands.
    pub mount: Mount,
    /// The kind of controller.
    pub controller: Controller,
    /// Output limit of the controller.
    pub controller_max_a: f64,
    /// Share lost to dirt, wiring and mismatch.
    pub losses: f64,
    /// Index of the charger in whose box it sits: the two have that charger's `output_a` together.
    pub shares: Option<usize>,
    /// Mass, if given.
    pub mass_kg: Option<f64>,
    /// Price, if given or worked out.
    pub price: Option<f64>,
    /// Other sizes.
    pub buying: Buying,
}
