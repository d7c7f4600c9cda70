//! Solar panels with their controllers.

use schemars::JsonSchema;
use serde::Deserialize;

use super::section::{key, section, words};
use super::{BankId, Buying};
use crate::scenario::check::Entries;
use crate::scenario::file::Size;

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

words! {
    /// The kind of controller.
    pub Controller {
        /// Maximum power point tracking.
        Mppt = "mppt",
        /// Pulse width modulation: the panel is held at the bank's voltage.
        Pwm = "pwm",
    }
}

words! {
    /// How a panel stands, in a word.
    pub(in crate::scenario) MountWord {
        /// Flat on the roof.
        Flat = "flat",
        /// Set up in camp, tilted at the sun's noon height.
        Portable = "portable",
    }
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

impl From<&MountFile> for Mount {
    fn from(given: &MountFile) -> Self {
        match given {
            MountFile::Word(MountWord::Flat) => Self::Flat,
            MountFile::Word(MountWord::Portable) => Self::Portable,
            MountFile::Tilted(tilted) => Self::Tilted {
                tilt_deg: tilted.tilt_deg.unwrap_or(0.0),
                azimuth_deg: tilted.azimuth_deg.unwrap_or(0.0).rem_euclid(360.0),
            },
        }
    }
}

section! {
    /// Tilt and heading of a fixed panel.
    file TiltFile {
        /// From the horizontal.
        tilt_deg: f64 [0 to 90] must;
        /// Clockwise from true north, as the vehicle is parked.
        azimuth_deg: f64 [-180 to 360] must;
    }
}

section! {
    /// A panel, or several alike, with its controller.
    Panel from PanelFile(file, path, notes, entries: &Entries, factor: f64) {
        /// Unique name: letters, digits, `_` and `-`.
        id: String [id] must else String::new();
        /// Id of the bank it charges.
        to: String [] must is BankId = entries.bank(file.to.as_ref(), &key(path, "to"), notes).unwrap_or(0);
        /// Rated power at standard test conditions.
        panel_w: f64 [0 to 100_000] must else 100.0;
        /// How it stands.
        mount: MountFile [] is Mount = file.mount.as_ref().map_or_else(
            || {
                let reason = "flat on the roof: the most usual mount, and on the safe side";
                notes.assume(&key(path, "mount"), &MountWord::Flat, reason);
                Mount::Flat
            },
            Mount::from,
        );
        /// The kind of controller.
        controller: Controller [] or (Controller::Mppt, "the usual choice today (common practice)");
        /// Output limit of the controller.
        controller_max_a: f64 [above 0 to 10_000]
            or ((panel_w / (12.0 * factor)).ceil().max(1.0), "large enough never to limit this panel");
        /// Share lost to dirt, wiring and mismatch.
        losses: f64 [0 to below 1] or (0.1, "dirt, wiring and mismatch (common practice)");
        /// Id of the charger in whose box it sits, with one output limit for both.
        shares: String [] is Option<usize> = entries.charger(file.shares.as_ref(), &key(path, "shares"), notes);
        /// Mass.
        mass_kg: f64 [0 to 100_000] is Option<f64> = Buying::amount(file.mass_kg, file.mass_kg_per_w, panel_w);
        /// Price, in your own money.
        price: f64 [0 to 1e9] is Option<f64> = Buying::amount(file.price, file.price_per_w, panel_w);
        /// Price of one W more, in your own money: what another power costs follows.
        price_per_w: f64 [0 to 1e6];
        /// Mass of one W more: what another power weighs follows.
        mass_kg_per_w: f64 [0 to 1000];
        /// Sizes that can be bought, W.
        sizes: Vec<Size> [1 to 100 long];
        /// Never propose to change it.
        fixed: bool [];
        /// Other sizes.
        own buying: Buying = Buying::new(file.price_per_w, file.mass_kg_per_w, file.sizes.as_deref(), file.fixed);
    }
}
