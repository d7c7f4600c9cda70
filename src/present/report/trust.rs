//! How far to trust a report.
//!
//! One job: what the figures can and cannot say.

use super::parts::{Passage, Section};
use crate::present::words::chance::{interval, is_rough};
use crate::present::words::figure::whole;
use crate::study::report::ReportAnswer;
use crate::units::Whole as _;

/// What holds for every report.
const LIMITS: [&str; 7] = [
    "Garbage in, garbage out: the loads’ power and hours decide most. Measure a day at home with a meter, and put \
     what you read into the scenario.",
    "The weather is drawn from a climate. It says what may come, not what will; a forecast for the next days beats it.",
    "A battery ages. Give the capacity it has left, not the one on its label.",
    "A bank’s temperature follows its surroundings and is not warmed by its own current.",
    "A monitor’s state of charge drifts. Let the bank get full now and then before you trust a reading.",
    "Faults are not in it: a blown fuse, a shaded panel you forgot, a fridge door left ajar.",
    "The wiring schedule is a check on paper. Terminations, routing and protection are judged on the vehicle.",
];

/// The section.
pub(super) fn section(answer: &ReportAnswer) -> Section {
    let result = &answer.trip.result;
    let chance = result.chance_no_shortfall;
    let trials = result.heading.trials;
    let count = whole(trials.real());
    let sampling = if result.heading.typical {
        "One trip without surprises was worked out: there is no chance in this report.".to_owned()
    } else {
        let rough = if is_rough(chance) {
            " That is rough: more trials narrow it."
        } else {
            ""
        };
        let drawn = if trials == 1 {
            "trip was"
        } else {
            "trips were"
        };
        format!(
            "{count} {drawn} drawn. The chance of no shortfall lies within {} from drawing alone.{rough} That \
             interval knows nothing of wrong inputs.",
            interval(chance)
        )
    };
    Section {
        id: "trust",
        title: "How far to trust it",
        parts: vec![
            Passage::text(&sampling),
            Passage::list(LIMITS),
            Passage::text(
                "Do not use it where a life depends on a battery, nor instead of a licensed person’s judgement.",
            ),
        ],
    }
}
