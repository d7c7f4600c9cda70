//! The `runs` of the file.

use schemars::JsonSchema;
use serde::Deserialize;

use super::Note;
use crate::scenario::{Kept, PointKind};

/// A bus, fuse block, plug or switch between banks and consumers.
#[derive(Debug, Clone, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(in crate::scenario) struct PointFile {
    /// Free text for the reader; ignored.
    #[expect(dead_code, reason = "notes are accepted and ignored")]
    pub(in crate::scenario) note: Option<Note>,
    /// Unique name: letters, digits, `_` and `-`.
    #[schemars(required, regex(pattern = "^[A-Za-z0-9_-]{1,60}$"))]
    pub(in crate::scenario) id: Option<String>,
    /// What it is.
    #[schemars(required)]
    pub(in crate::scenario) kind: Option<PointKind>,
    /// Current that it carries.
    #[schemars(range(max = 5000), extend("exclusiveMinimum" = 0))]
    pub(in crate::scenario) rated_a: Option<f64>,
    /// Resistance of its contacts, both poles together, mΩ.
    #[schemars(range(min = 0, max = 1000))]
    pub(in crate::scenario) contact_mohm: Option<f64>,
    /// Largest conductor that its terminals take, mm².
    #[schemars(range(min = 0.2, max = 400))]
    pub(in crate::scenario) largest_mm2: Option<f64>,
}

/// One cable pair from a source to a consumer, with its fuse.
#[derive(Debug, Clone, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(in crate::scenario) struct RunFile {
    /// Free text for the reader; ignored.
    #[expect(dead_code, reason = "notes are accepted and ignored")]
    pub(in crate::scenario) note: Option<Note>,
    /// Unique name: letters, digits, `_` and `-`.
    #[schemars(required, regex(pattern = "^[A-Za-z0-9_-]{1,60}$"))]
    pub(in crate::scenario) id: Option<String>,
    /// `alternator`, or the id of the bank, charger, panel, load or part of `distribution` where it begins.
    #[schemars(required)]
    pub(in crate::scenario) from: Option<String>,
    /// `alternator`, or the id of the bank, charger, panel, load or part of `distribution` where it ends.
    #[schemars(required)]
    pub(in crate::scenario) to: Option<String>,
    /// Length one way.
    #[schemars(required, range(max = 200), extend("exclusiveMinimum" = 0))]
    pub(in crate::scenario) one_way_m: Option<f64>,
    /// Ids of the chargers, panels and loads whose current it carries.
    #[schemars(length(max = 200))]
    pub(in crate::scenario) carries: Option<Vec<String>>,
    /// Allowed voltage drop, share of the system voltage.
    #[schemars(range(max = 0.2), extend("exclusiveMinimum" = 0))]
    pub(in crate::scenario) drop_limit: Option<f64>,
    /// Conductor already chosen: IEC 60228 class 5 copper.
    #[schemars(range(min = 0.2, max = 400))]
    pub(in crate::scenario) mm2: Option<f64>,
    /// Fuse already chosen.
    #[schemars(range(max = 2000), extend("exclusiveMinimum" = 0))]
    pub(in crate::scenario) fuse_a: Option<f64>,
    /// Temperature rating of the insulation, °C.
    #[schemars(extend("enum" = [60, 75, 80, 90, 105, 125, 200]))]
    pub(in crate::scenario) insulation_c: Option<u16>,
    /// Temperature of the air around the cable, °C.
    #[schemars(range(min = -40, max = 100))]
    pub(in crate::scenario) ambient_c: Option<f64>,
    /// Number of loaded conductors lying together.
    #[schemars(range(min = 1, max = 100))]
    pub(in crate::scenario) bundled: Option<u32>,
    /// Largest conductor that the terminals at its ends take, mm².
    #[schemars(range(min = 0.2, max = 400))]
    pub(in crate::scenario) largest_mm2: Option<f64>,
    /// Through where it goes.
    #[serde(rename = "where")]
    pub(in crate::scenario) place: Option<Kept>,
}
