//! What a bank of a chemistry is taken to be where the file does not say, with its reason.
//!
//! One job: the defaults that follow from chemistry and role. All others stand with their keys, in `parts`.
//! Reasons name a source where there is one; "common practice" has none.

use super::{Chemistry, Kept, Role};

/// An assumed value and why it is assumed.
pub type Assumption<T> = (T, &'static str);

/// `reserve_soc` by chemistry.
#[must_use]
pub fn reserve_soc(chemistry: Chemistry) -> Assumption<f64> {
    if chemistry.is_lead_acid() {
        (
            0.5,
            "deeper discharge shortens the life of lead-acid (common practice)",
        )
    } else {
        (
            0.1,
            "lithium may use 80 to 90 % of its capacity (common practice)",
        )
    }
}

/// `cutoff_soc` by chemistry.
#[must_use]
pub fn cutoff_soc(chemistry: Chemistry) -> Assumption<f64> {
    if chemistry.is_lead_acid() {
        (
            0.2,
            "a low-voltage disconnect saves lead-acid from deep discharge (common practice)",
        )
    } else {
        (
            0.02,
            "the battery's own protection disconnects it when nearly empty",
        )
    }
}

/// `max_charge_a` per Ah of capacity, 1/h.
#[must_use]
pub fn max_charge_c(chemistry: Chemistry) -> Assumption<f64> {
    match chemistry {
        Chemistry::Lfp => (0.5, "0.5 C, lithium (common practice)"),
        Chemistry::Agm => (
            0.25,
            "0.25 C, AGM (common practice: lead-acid 0.1 to 0.25 C)",
        ),
        Chemistry::Gel => (0.2, "0.2 C, gel (common practice: lead-acid 0.1 to 0.25 C)"),
        Chemistry::Flooded => (
            0.2,
            "0.2 C, flooded (common practice: lead-acid 0.1 to 0.25 C)",
        ),
    }
}

/// `max_discharge_a` per Ah of capacity, 1/h.
#[must_use]
pub fn max_discharge_c(chemistry: Chemistry) -> Assumption<f64> {
    if chemistry.is_lead_acid() {
        (
            1.0,
            "1 C; what lead-acid gives at it is limited by its available tank",
        )
    } else {
        (
            1.0,
            "1 C, what the protection of a lithium battery usually allows (common practice)",
        )
    }
}

/// `resistance_mohm` times capacity and divided by 12 V blocks in series, Ω·Ah.
#[must_use]
pub fn resistance_ohm_ah(chemistry: Chemistry) -> Assumption<f64> {
    match chemistry {
        Chemistry::Lfp => (
            0.8,
            "0.8 Ω·Ah per 12 V block, with protection and terminals",
        ),
        Chemistry::Agm => (0.7, "0.7 Ω·Ah per 12 V block of AGM"),
        Chemistry::Gel => (0.8, "0.8 Ω·Ah per 12 V block of gel"),
        Chemistry::Flooded => (1.0, "1.0 Ω·Ah per 12 V block of flooded cells"),
    }
}

/// Absorption voltage per 12 V of system voltage; the file has no key for it.
///
/// # Source
/// Data sheets: lithium 14.2 to 14.6 V, flooded 14.8 V, AGM 14.1 to 14.4 V; gel common practice.
#[must_use]
pub fn absorption_v(chemistry: Chemistry) -> Assumption<f64> {
    match chemistry {
        Chemistry::Lfp | Chemistry::Agm => (14.4, "absorption voltage of a 12 V block"),
        Chemistry::Gel => (14.2, "absorption voltage of a 12 V block"),
        Chemistry::Flooded => (14.8, "absorption voltage of a 12 V block"),
    }
}

/// Self-discharge, share a month of 30 days; the file has no key for it. Common practice.
#[must_use]
pub fn self_discharge_per_month(chemistry: Chemistry) -> Assumption<f64> {
    match chemistry {
        Chemistry::Flooded => (0.05, "self-discharge of flooded cells (common practice)"),
        _ => (0.03, "self-discharge (common practice)"),
    }
}

/// `kept` of a bank.
#[must_use]
pub fn bank_kept(role: Role, trailer: bool) -> Assumption<Kept> {
    match (trailer, role) {
        (true, _) => (Kept::Box, "a trailer warms like a box"),
        (_, Role::Start) => (Kept::EngineBay, "where most vehicles have it"),
        (_, Role::House) => (Kept::Cabin, "inside the vehicle"),
    }
}

/// `standby_ma` of a bank.
#[must_use]
pub fn standby_ma(role: Role, chemistry: Chemistry) -> Assumption<f64> {
    match (role, chemistry) {
        (Role::Start, _) => (
            30.0,
            "electronics of the parked vehicle take 20 to 50 mA (common practice)",
        ),
        (Role::House, Chemistry::Lfp) => (
            5.0,
            "protection circuit; a monitor comes on top (from memory: 1 to 20 mA)",
        ),
        (Role::House, _) => (
            0.0,
            "lead-acid has no protection circuit; give a monitor's draw",
        ),
    }
}
