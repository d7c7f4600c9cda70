//! The chargers that depend on the alternator, on the mains or on another bank.

use super::section::{section, words};
use super::{BankId, Buying};
use crate::scenario::file::Size;

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

words! {
    /// When a charger can work.
    pub Needs {
        /// While the engine runs.
        Driving = "driving",
        /// On legs only: a trailer left in camp.
        Towing = "towing",
        /// At any time (mains: where the stop has it).
        Always = "always",
    }
}

words! {
    /// What a relay goes by.
    pub Senses {
        /// The voltage of the alternator's side.
        Voltage = "voltage",
        /// The ignition, whatever the voltage.
        Ignition = "ignition",
    }
}

words! {
    /// The kind of charger.
    pub(in crate::scenario) ChargerKind {
        /// From the alternator or another bank.
        DcDc = "dc-dc",
        /// From a powered site.
        Mains = "mains",
        /// No charger: a relay or isolator that joins the bank to the alternator's side while the engine runs.
        Relay = "relay",
    }
}

section! {
    /// A charger.
    file ChargerFile {
        /// Unique name: letters, digits, `_` and `-`.
        id: String [id] must;
        /// The kind of charger.
        kind: ChargerKind [] must;
        /// `alternator`, `mains` or the id of the bank that feeds it.
        from: String [];
        /// Id of the bank it charges.
        to: String [] must;
        /// Output current; not for a relay, whose current follows from voltages and resistances.
        output_a: f64 [above 0 to 2000] for ["dc-dc", "mains"];
        /// `relay`: `voltage`, or `ignition` for one that is switched with it.
        senses: Senses [] for ["relay"] ask or (Senses::Voltage, "a voltage-sensing relay, the usual kind (common practice)");
        /// `relay` by voltage: it joins from this voltage of the alternator's side on.
        joins_v: f64 [10 to 32] for ["relay"] ask(factor: f64) or (13.3 * factor, "the usual setting (common practice)");
        /// `relay` by voltage: it parts below this.
        parts_v: f64 [10 to 32] for ["relay"] ask(factor: f64) or (12.8 * factor, "the usual setting (common practice)");
        /// `relay`: the current that it is built for. It does not limit: more is an overload.
        rated_a: f64 [above 0 to 2000] for ["relay"];
        /// Output power over input power.
        efficiency: f64 [0.3 to 1] for ["dc-dc", "mains"] ask(is_dc_dc: bool) or if is_dc_dc {
            (0.92, "DC-DC charger at its rating (common practice)")
        } else {
            (0.9, "mains charger at its rating (common practice)")
        };
        /// 1 is served first; equal numbers share pro rata.
        priority: u32 [1 to 1000] for ["dc-dc", "mains"] ask or (1, "all chargers alike share pro rata");
        /// Input voltage below which it stops.
        min_input_v: f64 [0 to 32] for ["dc-dc", "mains"] ask(from: ChargerSource, factor: f64) or match from {
            ChargerSource::Alternator => (13.0 * factor, "below it the engine is taken as off (common practice)"),
            ChargerSource::Bank(_) => (11.0 * factor, "a DC-DC charger works from 11 to 16 V (common practice)"),
            ChargerSource::Mains => (0.0, "does not apply to a mains charger"),
        };
        /// `driving`: any engine time; `towing`: legs only; `always`: at any time.
        needs: Needs [] ask(from: ChargerSource, to_trailer: bool) or match from {
            ChargerSource::Mains => (Needs::Always, "works where a stop has `mains`"),
            _ if to_trailer => (Needs::Towing, "the bank is in the trailer, which stays in camp on local drives"),
            ChargerSource::Alternator => (Needs::Driving, "the alternator turns with the engine"),
            ChargerSource::Bank(_) => (Needs::Always, "a bank feeds it at any time, down to its own reserve"),
        };
        /// Mass.
        mass_kg: f64 [0 to 100_000];
        /// Price, in your own money.
        price: f64 [0 to 1e9];
        /// Price of one A more, in your own money: what another output costs follows.
        price_per_a: f64 [0 to 1e6] for ["dc-dc", "mains"];
        /// Sizes that can be bought, A.
        sizes: Vec<Size> [1 to 100 long] for ["dc-dc", "mains"];
        /// Never propose to change it.
        fixed: bool [];
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
