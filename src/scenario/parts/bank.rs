//! Banks: one battery or several in parallel, with one state of charge.

use super::section::{key, section, words};
use super::{Buying, Kept};
use crate::scenario::defaults;
use crate::scenario::file::{ShareSpread, Size};
use crate::system::open_circuit_voltage::{Curve, VoltageTable};

/// Index of a bank in [`super::Parts::banks`].
pub type BankId = usize;

words! {
    /// What a bank is for.
    pub Role {
        /// Feeds the loads one lives with; the headline chance is of these.
        House = "house",
        /// Cranks the engine.
        Start = "start",
    }
}

words! {
    /// Cell chemistry.
    pub Chemistry {
        /// Lithium iron phosphate.
        Lfp = "lfp",
        /// Lead-acid, absorbent glass mat.
        Agm = "agm",
        /// Lead-acid, gelled electrolyte.
        Gel = "gel",
        /// Lead-acid, liquid electrolyte.
        Flooded = "flooded",
    }
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

    /// Whether the two-tank model applies.
    #[must_use]
    pub fn is_lead_acid(self) -> bool {
        self != Self::Lfp
    }
}

/// A default of so much an Ah, times what makes it a value of its own; three decimals.
fn times((per, reason): defaults::Assumption<f64>, factor: f64) -> defaults::Assumption<f64> {
    ((per * factor * 1000.0).round() / 1000.0, reason)
}

section! {
    /// One battery, or several in parallel.
    Bank from BankFile(file, path, notes, factor: f64) {
        /// Unique name: letters, digits, `_` and `-`.
        id: String [id] must else String::new();
        /// `house` feeds the loads, `start` cranks the engine.
        role: Role [] or (Role::House, "a bank feeds loads unless it says `start`");
        /// Cell chemistry.
        chemistry: Chemistry [] must else Chemistry::Lfp;
        /// Rated capacity; lead-acid at the 20 h rate.
        capacity_ah: f64 [0.1 to 100_000] must else 100.0;
        /// State of charge at the start.
        start_soc: ShareSpread [] spread or (1.0, "one leaves with full banks");
        /// State of charge not to go below.
        reserve_soc: f64 [0 to 1] or match file.cutoff_soc {
            Some(cutoff) if cutoff > defaults::reserve_soc(chemistry).0 => (cutoff, "no lower than the cut-off given"),
            _ => defaults::reserve_soc(chemistry),
        };
        /// State of charge at which the loads are dropped; they return 5 points higher.
        cutoff_soc: f64 [0 to 0.95] or match defaults::cutoff_soc(chemistry) {
            (cutoff, _) if reserve_soc < cutoff => (reserve_soc.min(0.95), "no higher than the reserve given"),
            of_chemistry => of_chemistry,
        };
        /// Greatest charge current.
        max_charge_a: f64 [above 0 to 10_000] or times(defaults::max_charge_c(chemistry), capacity_ah);
        /// Greatest discharge current.
        max_discharge_a: f64 [above 0 to 10_000] or times(defaults::max_discharge_c(chemistry), capacity_ah);
        /// Ohmic resistance of the whole bank.
        resistance_mohm: f64 [0 to 10_000] or times(defaults::resistance_ohm_ah(chemistry), factor * 1000.0 / capacity_ah);
        /// Where it stands; `box` is a canopy, trailer or outside locker.
        kept: Kept [];
        /// In a trailer: its loads and panels stay in camp during local drives.
        trailer: bool [] or (false, "in the towing vehicle");
        /// Where it stands.
        read kept: Kept [] or defaults::bank_kept(role, trailer);
        /// Draw of the monitor and the protection circuit.
        standby_ma: f64 [0 to 100_000] or defaults::standby_ma(role, chemistry);
        /// Absorption voltage: charge tapers so that the terminals stay at or below it.
        own absorption_v: f64 = {
            let (volts, reason) = defaults::absorption_v(chemistry);
            notes.assume(&key(path, "chemistry"), &format!("{} V", volts * factor), reason);
            volts * factor
        };
        /// Self-discharge, share of the rated capacity a month of 30 days.
        own self_discharge_per_month: f64 = {
            let (share, reason) = defaults::self_discharge_per_month(chemistry);
            notes.assume(&key(path, "chemistry"), &format!("{} % a month", share * 100.0), reason);
            share
        };
        /// Mass.
        mass_kg: f64 [0 to 100_000] is Option<f64> = Buying::amount(file.mass_kg, file.mass_kg_per_ah, capacity_ah);
        /// Price, in your own money.
        price: f64 [0 to 1e9] is Option<f64> = Buying::amount(file.price, file.price_per_ah, capacity_ah);
        /// Price of one Ah more, in your own money: what another capacity costs follows.
        price_per_ah: f64 [0 to 1e6];
        /// Mass of one Ah more: what another capacity weighs follows.
        mass_kg_per_ah: f64 [0 to 1000];
        /// Sizes that can be bought, Ah.
        sizes: Vec<Size> [1 to 100 long];
        /// Never propose to change it.
        fixed: bool [];
        /// Other sizes.
        own buying: Buying = Buying::new(file.price_per_ah, file.mass_kg_per_ah, file.sizes.as_deref(), file.fixed);
    }
}
