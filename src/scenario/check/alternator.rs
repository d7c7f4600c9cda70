//! The alternator.

use super::super::parts::AlternatorFile;
use super::super::problem::{above_other, must_be};
use super::findings::Findings;
use crate::scenario::Alternator;

/// Checks the alternator, if there is one.
pub(super) fn check(
    file: Option<&AlternatorFile>,
    factor: f64,
    notes: &mut Findings<'_>,
) -> Option<Alternator> {
    let alternator = Alternator::read(file?, "/alternator", notes, factor);
    let Alternator {
        rated_a,
        idle_a,
        volts,
        ..
    } = alternator;
    if idle_a > rated_a && !notes.is_spoiled("/alternator/rated_a") {
        let fault = above_other(idle_a, "rated_a", rated_a);
        notes.problem("/alternator/idle_a", fault);
    }
    fits_system(volts, (12.0, 16.0), factor, "/alternator/volts", notes);
    Some(alternator)
}

/// Refuses a voltage outside what there is, given per 12 V of system voltage.
pub(super) fn fits_system(
    volts: f64,
    (least, most): (f64, f64),
    factor: f64,
    path: &str,
    notes: &mut Findings<'_>,
) {
    let (least, most) = (least * factor, most * factor);
    if !(least..=most).contains(&volts) && !notes.is_spoiled(path) {
        let system_v = 12.0 * factor;
        let allowed = format!("from {least} to {most} in a {system_v} V system");
        notes.problem(path, must_be(volts, allowed));
    }
}
