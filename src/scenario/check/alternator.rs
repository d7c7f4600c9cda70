//! The alternator.

use super::super::defaults::{self, Assumption};
use super::super::file::AlternatorFile;
use super::super::problem::{above_other, must_be};
use super::findings::Findings;
use crate::scenario::Alternator;

/// Voltages of an alternator per 12 V of system voltage.
const VOLTS: (f64, f64) = (12.0, 16.0);

/// Checks the alternator, if there is one.
pub(super) fn check(
    file: Option<&AlternatorFile>,
    factor: f64,
    notes: &mut Findings<'_>,
) -> Option<Alternator> {
    let file = file?;
    let rated_a = file.rated_a.unwrap_or(1.0);
    let idle = defaults::IDLE_OVER_RATED;
    let idle = Assumption {
        value: idle.value * rated_a,
        ..idle
    };
    let idle_a = notes.or_assumed("/alternator/idle_a", file.idle_a, idle);
    if idle_a > rated_a && !notes.is_spoiled("/alternator/rated_a") {
        let fault = above_other(idle_a, "rated_a", rated_a);
        notes.problem("/alternator/idle_a", fault);
    }
    let derate = defaults::HOT_DERATE;
    let hot_derate = notes.or_assumed("/alternator/hot_derate", file.hot_derate, derate);
    let volts = Assumption {
        value: defaults::ALTERNATOR_V.value * factor,
        ..defaults::ALTERNATOR_V
    };
    let volts = notes.or_assumed("/alternator/volts", file.volts, volts);
    let (least, most) = (VOLTS.0 * factor, VOLTS.1 * factor);
    if !(least..=most).contains(&volts) && !notes.is_spoiled("/alternator/volts") {
        let system_v = 12.0 * factor;
        let allowed = format!("from {least} to {most} in a {system_v} V system");
        notes.problem("/alternator/volts", must_be(volts, allowed));
    }
    let load = Assumption {
        value: defaults::VEHICLE_LOAD_A.value / factor,
        ..defaults::VEHICLE_LOAD_A
    };
    let vehicle_load_a = notes.or_assumed("/alternator/vehicle_load_a", file.vehicle_load_a, load);
    let share = defaults::IDLE_SHARE;
    let idle_share = notes.or_assumed("/alternator/idle_share", file.idle_share, share);
    let eff = defaults::ALTERNATOR_EFFICIENCY;
    let efficiency = notes.or_assumed("/alternator/efficiency", file.efficiency, eff);
    Some(Alternator {
        rated_a,
        idle_a,
        hot_derate,
        volts,
        vehicle_load_a,
        idle_share,
        efficiency,
    })
}
