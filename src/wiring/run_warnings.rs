//! What to watch about a run that may pass all the same.
//!
//! One job: the warnings of a line of the schedule. What fails is in [`super::faults`].

use super::conductors::{Series, shop_diameter_trap_mm2};
use super::distribution::derived_mains_of;
use super::fuses::{Duty, FuseType, Status};
use super::schedule::{Breaking, ScheduledFuse, ScheduledRun};
use super::short_circuit::VERY_LARGE_A;
use super::sizing::{LEAST_MM2, RunDemand};
use crate::scenario::{Parts, Run, RunEnd};

/// The warnings of a run.
#[must_use]
pub fn warnings(
    scenario: &Parts,
    run: &Run,
    demand: &RunDemand,
    line: &ScheduledRun,
) -> Vec<String> {
    let mut told = Vec::new();
    if let Some(area) = line.mm2 {
        if demand.series == Series::Metric
            && let Some(copper) = shop_diameter_trap_mm2(area)
        {
            let limit_v = run.drop_limit * scenario.system_voltage_v;
            let fuse_a = line.fuse.as_ref().map_or(0.0, |fuse| fuse.rating_a);
            let would_fail = demand.around.ampacity_a(copper).unwrap_or(0.0) < fuse_a
                || demand.drop_v(copper) > limit_v;
            told.push(format!(
                "a shop's \"{area} mm\" vehicle cable is an overall diameter and holds about {copper} mm² of copper: ask for {area} mm²{}",
                if would_fail { "; the shop's would not do here" } else { "" }
            ));
        }
        if area < LEAST_MM2 && demand.around.ampacity_a(area).is_some() {
            told.push(format!("‹{area} mm²› is below AWG 16: in a sheath with others only, never as a single conductor"));
        }
    }
    if demand.around.engine_space && run.insulation.rating_c() <= 60 {
        told.push("insulation rated ‹60 °C› does not belong in an engine space: small-craft practice forbids it; take ‹105 °C›".to_string());
    }
    for end in [run.from, run.to] {
        if let RunEnd::Load(index) = end
            && let Some(its) = scenario.loads[index].inverter
        {
            let unit = &scenario.inverters[its.unit].id;
            told.push(format!(
                "{} is fed by the inverter {unit}: this is taken as the inverter's direct-current side; end the run at {unit}",
                scenario.loads[index].id
            ));
        }
    }
    for bank in derived_mains_of(scenario, run) {
        told.push(format!(
            "the file does not say how the current of {bank} is distributed: taken from a bus or block behind a main fuse, which is listed"
        ));
    }
    if let Some(fuse) = &line.fuse {
        fuse_warnings(demand, fuse, &mut told);
    }
    if let Some(p99) = line.simulated_p99_a
        && p99 > line.design_current_a * 1.001
    {
        told.push(format!(
            "the 99th percentile of the trials, {p99:.1} A, is above the design current of {:.1} A",
            line.design_current_a
        ));
    }
    told
}

fn fuse_warnings(demand: &RunDemand, fuse: &ScheduledFuse, told: &mut Vec<String>) {
    if fuse.breaking == Breaking::BehindMainFuse {
        told.push(format!(
            "a short circuit can reach some {:.0} A at the block, more than this fuse breaks by itself: the main fuse at the bank has to be there",
            fuse.prospective_a
        ));
    }
    if let Some(kind) = fuse.kind {
        let (can_a, status) = kind.breaking_capacity_a(demand.system_voltage_v);
        if status == Status::Memory {
            told.push(format!(
                "the breaking capacity of a {} fuse, {can_a:.0} A, is quoted from memory: read it on the fuse's data sheet",
                kind.short_words()
            ));
        }
        if fuse.prospective_a > VERY_LARGE_A && !matches!(demand.duty, Duty::BehindMain) {
            told.push(format!(
                "the estimate of {:.0} A is above the 20 kA that any fuse here is sold with: ask the battery's maker for its figure, or give each battery of the bank a fuse of its own",
                fuse.prospective_a
            ));
        }
        if kind == FuseType::ClassT && fuse.prospective_a > can_a {
            told.push("above 10 kA: take a class T fuse whose data sheet says 20 kA".to_string());
        }
    }
}
