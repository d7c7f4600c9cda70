//! Banks: limits against each other, and the defaults of each chemistry.

use super::super::defaults::{self, Assumption};
use super::super::file::{BankFile, ScenarioFile, Size};
use super::super::problem::{Fault, above_other};
use super::findings::Findings;
use super::spreads;
use crate::scenario::{Bank, Buying, Chemistry, Kept, Role};

/// Checks every bank. What the structure refused stands in as a placeholder, so that the
/// places in the list stay true.
pub(super) fn check(file: &ScenarioFile, factor: f64, notes: &mut Findings<'_>) -> Vec<Bank> {
    let files = file.banks.as_deref().unwrap_or_default();
    let banks: Vec<Bank> = files
        .iter()
        .enumerate()
        .map(|(number, file)| bank(file, &format!("/banks/{number}"), factor, notes))
        .collect();
    let role_unknown =
        (0..files.len()).any(|number| notes.is_spoiled(&format!("/banks/{number}/role")));
    let has_house = banks.iter().any(|bank| bank.role == Role::House);
    if !banks.is_empty() && !has_house && !role_unknown {
        let fault = Fault::from("has start banks only, but must have at least one house bank");
        notes.problem(
            "/banks",
            fault.hint("`role` is `house` unless it says `start`"),
        );
    }
    banks
}

fn bank(file: &BankFile, path: &str, factor: f64, notes: &mut Findings<'_>) -> Bank {
    let key = |name: &str| format!("{path}/{name}");
    let chemistry = file.chemistry.unwrap_or(Chemistry::Lfp);
    let capacity_ah = file.capacity_ah.unwrap_or(100.0);
    let role = notes.word_or_assumed(&key("role"), file.role, defaults::ROLE, Role::word);
    let start_soc = file.start_soc.as_ref();
    let start_soc = spreads::or_assumed(start_soc, &key("start_soc"), defaults::START_SOC, notes);
    let (reserve_soc, cutoff_soc) = limits(file, chemistry, path, notes);
    let charge = times(defaults::max_charge_c(chemistry), capacity_ah);
    let max_charge_a = notes.or_assumed(&key("max_charge_a"), file.max_charge_a, charge);
    let discharge = times(defaults::max_discharge_c(chemistry), capacity_ah);
    let max_discharge_a =
        notes.or_assumed(&key("max_discharge_a"), file.max_discharge_a, discharge);
    let resistance = defaults::resistance_ohm_ah(chemistry);
    let resistance = times(resistance, factor * 1000.0 / capacity_ah);
    let resistance_mohm =
        notes.or_assumed(&key("resistance_mohm"), file.resistance_mohm, resistance);
    let trailer = notes.or_assumed(&key("trailer"), file.trailer, defaults::TRAILER);
    let kept = defaults::bank_kept(role, trailer);
    let kept = notes.word_or_assumed(&key("kept"), file.kept, kept, Kept::word);
    let standby = defaults::standby_ma(role, chemistry);
    let standby_ma = notes.or_assumed(&key("standby_ma"), file.standby_ma, standby);
    let absorption = defaults::absorption_v(chemistry);
    let absorption_v = absorption.value * factor;
    let of_chemistry = format!("{path}/chemistry");
    notes.assume(
        &of_chemistry,
        &format!("{absorption_v} V"),
        absorption.reason,
    );
    let self_discharge = defaults::self_discharge_per_month(chemistry);
    let per_cent = self_discharge.value * 100.0;
    notes.assume(
        &of_chemistry,
        &format!("{per_cent} % a month"),
        self_discharge.reason,
    );
    Bank {
        id: file.id.clone().unwrap_or_default(),
        role,
        chemistry,
        capacity_ah,
        start_soc,
        reserve_soc,
        cutoff_soc,
        max_charge_a,
        max_discharge_a,
        resistance_mohm,
        absorption_v,
        self_discharge_per_month: self_discharge.value,
        kept,
        trailer,
        standby_ma,
        mass_kg: Buying::amount(file.mass_kg, file.mass_kg_per_ah, capacity_ah),
        price: Buying::amount(file.price, file.price_per_ah, capacity_ah),
        buying: Buying {
            price_per_unit: file.price_per_ah,
            mass_kg_per_unit: file.mass_kg_per_ah,
            sizes: sizes(file.sizes.as_deref()),
            fixed: file.fixed.unwrap_or(false),
        },
    }
}

/// Sizes that can be bought, ascending.
pub(super) fn sizes(file: Option<&[Size]>) -> Vec<f64> {
    let mut sizes: Vec<f64> = file.unwrap_or_default().iter().map(|size| size.0).collect();
    sizes.sort_by(f64::total_cmp);
    sizes.dedup();
    sizes
}

/// A default per Ah, times what makes it a value of its own; three decimals.
fn times(per: Assumption<f64>, factor: f64) -> Assumption<f64> {
    Assumption {
        value: (per.value * factor * 1000.0).round() / 1000.0,
        reason: per.reason,
    }
}

/// Reserve and cut-off: the reserve is never below the cut-off.
fn limits(
    file: &BankFile,
    chemistry: Chemistry,
    path: &str,
    notes: &mut Findings<'_>,
) -> (f64, f64) {
    let reserve_path = format!("{path}/reserve_soc");
    let cutoff_path = format!("{path}/cutoff_soc");
    let mut reserve = defaults::reserve_soc(chemistry);
    if let Some(cutoff) = file.cutoff_soc
        && cutoff > reserve.value
    {
        reserve = Assumption {
            value: cutoff,
            reason: "no lower than the cut-off given",
        };
    }
    let reserve_soc = notes.or_assumed(&reserve_path, file.reserve_soc, reserve);
    let mut cutoff = defaults::cutoff_soc(chemistry);
    if reserve_soc < cutoff.value {
        cutoff = Assumption {
            value: reserve_soc.min(0.95),
            reason: "no higher than the reserve given",
        };
    }
    let cutoff_soc = notes.or_assumed(&cutoff_path, file.cutoff_soc, cutoff);
    if cutoff_soc > reserve_soc && !notes.is_spoiled(&reserve_path) {
        let fault = above_other(cutoff_soc, "reserve_soc", reserve_soc);
        notes.problem(&cutoff_path, fault);
    }
    (reserve_soc, cutoff_soc)
}
