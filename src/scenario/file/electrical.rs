//! Banks, alternator, chargers and panels of the file.

use schemars::JsonSchema;
use serde::Deserialize;

use super::{Note, ShareSpread};
use crate::scenario::{Chemistry, Controller, Kept, Needs, Role, Senses};

/// One battery, or several in parallel.
#[derive(Debug, Clone, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(in crate::scenario) struct BankFile {
    /// Free text for the reader; ignored.
    #[expect(dead_code, reason = "notes are accepted and ignored")]
    pub(in crate::scenario) note: Option<Note>,
    /// Unique name: letters, digits, `_` and `-`.
    #[schemars(required, regex(pattern = "^[A-Za-z0-9_-]{1,60}$"))]
    pub(in crate::scenario) id: Option<String>,
    /// `house` feeds the loads, `start` cranks the engine.
    pub(in crate::scenario) role: Option<Role>,
    /// Cell chemistry.
    #[schemars(required)]
    pub(in crate::scenario) chemistry: Option<Chemistry>,
    /// Rated capacity; lead-acid at the 20 h rate.
    #[schemars(required, range(min = 0.1, max = 100_000))]
    pub(in crate::scenario) capacity_ah: Option<f64>,
    /// State of charge at the start.
    pub(in crate::scenario) start_soc: Option<ShareSpread>,
    /// State of charge not to go below.
    #[schemars(range(min = 0, max = 1))]
    pub(in crate::scenario) reserve_soc: Option<f64>,
    /// State of charge at which the loads are dropped; they return 5 points higher.
    #[schemars(range(min = 0, max = 0.95))]
    pub(in crate::scenario) cutoff_soc: Option<f64>,
    /// Greatest charge current.
    #[schemars(range(max = 10_000), extend("exclusiveMinimum" = 0))]
    pub(in crate::scenario) max_charge_a: Option<f64>,
    /// Greatest discharge current.
    #[schemars(range(max = 10_000), extend("exclusiveMinimum" = 0))]
    pub(in crate::scenario) max_discharge_a: Option<f64>,
    /// Ohmic resistance of the whole bank.
    #[schemars(range(min = 0, max = 10_000))]
    pub(in crate::scenario) resistance_mohm: Option<f64>,
    /// Where it stands; `box` is a canopy, trailer or outside locker.
    pub(in crate::scenario) kept: Option<Kept>,
    /// In a trailer: its loads and panels stay in camp during local drives.
    pub(in crate::scenario) trailer: Option<bool>,
    /// Draw of the monitor and the protection circuit.
    #[schemars(range(min = 0, max = 100_000))]
    pub(in crate::scenario) standby_ma: Option<f64>,
    /// Mass.
    #[schemars(range(min = 0, max = 100_000))]
    pub(in crate::scenario) mass_kg: Option<f64>,
    /// Price, in your own money.
    #[schemars(range(min = 0, max = 1e9))]
    pub(in crate::scenario) price: Option<f64>,
    /// Price of one Ah more, in your own money: what another capacity costs follows.
    #[schemars(range(min = 0, max = 1e6))]
    pub(in crate::scenario) price_per_ah: Option<f64>,
    /// Mass of one Ah more: what another capacity weighs follows.
    #[schemars(range(min = 0, max = 1000))]
    pub(in crate::scenario) mass_kg_per_ah: Option<f64>,
    /// Sizes that can be bought, Ah.
    #[schemars(length(min = 1, max = 100))]
    pub(in crate::scenario) sizes: Option<Vec<Size>>,
    /// Never propose to change it.
    pub(in crate::scenario) fixed: Option<bool>,
}

/// A size that can be bought.
#[derive(Debug, Clone, Copy, Deserialize, JsonSchema)]
#[serde(transparent)]
pub(in crate::scenario) struct Size(
    #[schemars(range(max = 100_000), extend("exclusiveMinimum" = 0))] pub(in crate::scenario) f64,
);

/// The vehicle's alternator.
#[derive(Debug, Clone, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(in crate::scenario) struct AlternatorFile {
    /// Free text for the reader; ignored.
    #[expect(dead_code, reason = "notes are accepted and ignored")]
    pub(in crate::scenario) note: Option<Note>,
    /// Rated output, cold.
    #[schemars(required, range(max = 2000), extend("exclusiveMinimum" = 0))]
    pub(in crate::scenario) rated_a: Option<f64>,
    /// Output at idle, cold.
    #[schemars(range(min = 0, max = 2000))]
    pub(in crate::scenario) idle_a: Option<f64>,
    /// Share of the output left when hot.
    #[schemars(range(max = 1), extend("exclusiveMinimum" = 0))]
    pub(in crate::scenario) hot_derate: Option<f64>,
    /// Voltage it stands at: 12 to 16 per 12 V of system voltage.
    #[schemars(range(min = 12, max = 32))]
    pub(in crate::scenario) volts: Option<f64>,
    /// What the running vehicle itself takes.
    #[schemars(range(min = 0, max = 2000))]
    pub(in crate::scenario) vehicle_load_a: Option<f64>,
    /// Share of engine time spent at idle.
    #[schemars(range(min = 0, max = 1))]
    pub(in crate::scenario) idle_share: Option<f64>,
    /// Mechanical to electrical, for fuel.
    #[schemars(range(max = 1), extend("exclusiveMinimum" = 0))]
    pub(in crate::scenario) efficiency: Option<f64>,
}

/// The kind of charger.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub(in crate::scenario) enum ChargerKind {
    /// From the alternator or another bank.
    DcDc,
    /// From a powered site.
    Mains,
    /// No charger: a relay or isolator that joins the bank to the alternator's side while the engine runs.
    Relay,
}

impl ChargerKind {
    /// The word of the file.
    pub(in crate::scenario) fn word(self) -> &'static str {
        match self {
            Self::DcDc => "dc-dc",
            Self::Mains => "mains",
            Self::Relay => "relay",
        }
    }
}

/// A charger.
#[derive(Debug, Clone, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(in crate::scenario) struct ChargerFile {
    /// Free text for the reader; ignored.
    #[expect(dead_code, reason = "notes are accepted and ignored")]
    pub(in crate::scenario) note: Option<Note>,
    /// Unique name: letters, digits, `_` and `-`.
    #[schemars(required, regex(pattern = "^[A-Za-z0-9_-]{1,60}$"))]
    pub(in crate::scenario) id: Option<String>,
    /// The kind of charger.
    #[schemars(required)]
    pub(in crate::scenario) kind: Option<ChargerKind>,
    /// `alternator`, `mains` or the id of the bank that feeds it.
    pub(in crate::scenario) from: Option<String>,
    /// Id of the bank it charges.
    #[schemars(required)]
    pub(in crate::scenario) to: Option<String>,
    /// Output current; not for a relay, whose current follows from voltages and resistances.
    #[schemars(range(max = 2000), extend("exclusiveMinimum" = 0))]
    pub(in crate::scenario) output_a: Option<f64>,
    /// `relay`: `voltage`, or `ignition` for one that is switched with it.
    pub(in crate::scenario) senses: Option<Senses>,
    /// `relay` by voltage: it joins from this voltage of the alternator's side on.
    #[schemars(range(min = 10, max = 32))]
    pub(in crate::scenario) joins_v: Option<f64>,
    /// `relay` by voltage: it parts below this.
    #[schemars(range(min = 10, max = 32))]
    pub(in crate::scenario) parts_v: Option<f64>,
    /// `relay`: the current that it is built for. It does not limit: more is an overload.
    #[schemars(range(max = 2000), extend("exclusiveMinimum" = 0))]
    pub(in crate::scenario) rated_a: Option<f64>,
    /// Output power over input power.
    #[schemars(range(min = 0.3, max = 1))]
    pub(in crate::scenario) efficiency: Option<f64>,
    /// 1 is served first; equal numbers share pro rata.
    #[schemars(range(min = 1, max = 1000))]
    pub(in crate::scenario) priority: Option<u32>,
    /// Input voltage below which it stops.
    #[schemars(range(min = 0, max = 32))]
    pub(in crate::scenario) min_input_v: Option<f64>,
    /// `driving`: any engine time; `towing`: legs only; `always`: at any time.
    pub(in crate::scenario) needs: Option<Needs>,
    /// Mass.
    #[schemars(range(min = 0, max = 100_000))]
    pub(in crate::scenario) mass_kg: Option<f64>,
    /// Price, in your own money.
    #[schemars(range(min = 0, max = 1e9))]
    pub(in crate::scenario) price: Option<f64>,
    /// Price of one A more, in your own money: what another output costs follows.
    #[schemars(range(min = 0, max = 1e6))]
    pub(in crate::scenario) price_per_a: Option<f64>,
    /// Sizes that can be bought, A.
    #[schemars(length(min = 1, max = 100))]
    pub(in crate::scenario) sizes: Option<Vec<Size>>,
    /// Never propose to change it.
    pub(in crate::scenario) fixed: Option<bool>,
}

/// How a panel stands, in a word.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub(in crate::scenario) enum MountWord {
    /// Flat on the roof.
    Flat,
    /// Set up in camp, tilted at the sun's noon height.
    Portable,
}

/// How a panel stands.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(untagged)]
pub(in crate::scenario) enum MountFile {
    /// `flat` or `portable`.
    Word(MountWord),
    /// Fixed to the parked vehicle.
    Tilted(TiltFile),
}

/// Tilt and heading of a fixed panel.
#[derive(Debug, Clone, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(in crate::scenario) struct TiltFile {
    /// Free text for the reader; ignored.
    #[expect(dead_code, reason = "notes are accepted and ignored")]
    pub(in crate::scenario) note: Option<Note>,
    /// From the horizontal.
    #[schemars(required, range(min = 0, max = 90))]
    pub(in crate::scenario) tilt_deg: Option<f64>,
    /// Clockwise from true north, as the vehicle is parked.
    #[schemars(required, range(min = -180, max = 360))]
    pub(in crate::scenario) azimuth_deg: Option<f64>,
}

/// A panel, or several alike, with its controller.
#[derive(Debug, Clone, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(in crate::scenario) struct PanelFile {
    /// Free text for the reader; ignored.
    #[expect(dead_code, reason = "notes are accepted and ignored")]
    pub(in crate::scenario) note: Option<Note>,
    /// Unique name: letters, digits, `_` and `-`.
    #[schemars(required, regex(pattern = "^[A-Za-z0-9_-]{1,60}$"))]
    pub(in crate::scenario) id: Option<String>,
    /// Id of the bank it charges.
    #[schemars(required)]
    pub(in crate::scenario) to: Option<String>,
    /// Rated power at standard test conditions.
    #[schemars(required, range(min = 0, max = 100_000))]
    pub(in crate::scenario) panel_w: Option<f64>,
    /// How it stands.
    pub(in crate::scenario) mount: Option<MountFile>,
    /// The kind of controller.
    pub(in crate::scenario) controller: Option<Controller>,
    /// Output limit of the controller.
    #[schemars(range(max = 10_000), extend("exclusiveMinimum" = 0))]
    pub(in crate::scenario) controller_max_a: Option<f64>,
    /// Share lost to dirt, wiring and mismatch.
    #[schemars(range(min = 0), extend("exclusiveMaximum" = 1))]
    pub(in crate::scenario) losses: Option<f64>,
    /// Id of the charger in whose box it sits, with one output limit for both.
    pub(in crate::scenario) shares: Option<String>,
    /// Mass.
    #[schemars(range(min = 0, max = 100_000))]
    pub(in crate::scenario) mass_kg: Option<f64>,
    /// Price, in your own money.
    #[schemars(range(min = 0, max = 1e9))]
    pub(in crate::scenario) price: Option<f64>,
    /// Price of one W more, in your own money: what another power costs follows.
    #[schemars(range(min = 0, max = 1e6))]
    pub(in crate::scenario) price_per_w: Option<f64>,
    /// Mass of one W more: what another power weighs follows.
    #[schemars(range(min = 0, max = 1000))]
    pub(in crate::scenario) mass_kg_per_w: Option<f64>,
    /// Sizes that can be bought, W.
    #[schemars(length(min = 1, max = 100))]
    pub(in crate::scenario) sizes: Option<Vec<Size>>,
    /// Never propose to change it.
    pub(in crate::scenario) fixed: Option<bool>,
}
