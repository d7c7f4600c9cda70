//! Starter scenarios for `new`, commented by `note`s.
//!
//! One job: the texts, and the itinerary of a GPX file in them. Each is a whole scenario that `check` accepts.

mod gpx;

pub use gpx::{GpxProblem, LIKELY_KMH, guessed_way, with_gpx};

/// A starter scenario.
#[derive(Debug, Clone, Copy)]
pub struct Template {
    /// What it is called by.
    pub name: &'static str,
    /// What it is for, in a line.
    pub summary: &'static str,
    /// The scenario file.
    pub text: &'static str,
}

/// Every template, the simplest first.
pub const TEMPLATES: [Template; 7] = [
    Template {
        name: "weekend",
        summary: "one lithium bank charged while driving, a fridge and lights, two nights",
        text: include_str!("weekend.json"),
    },
    Template {
        name: "two-banks",
        summary: "a cabin bank and a box bank, two chargers, a solar panel, six nights",
        text: include_str!("two-banks.json"),
    },
    Template {
        name: "trailer",
        summary: "a trailer with its own bank, charged through the plug while towing",
        text: include_str!("trailer.json"),
    },
    Template {
        name: "van-lead-acid",
        summary: "a van on AGM with a mains charger for powered sites",
        text: include_str!("van-lead-acid.json"),
    },
    Template {
        name: "relay-van",
        summary: "an older van: a relay joins its AGM bank to the alternator, cables given",
        text: include_str!("relay-van.json"),
    },
    Template {
        name: "truck-24v",
        summary: "a 24 V truck on flooded lead-acid, solar, an inverter, seven nights",
        text: include_str!("truck-24v.json"),
    },
    Template {
        name: "three-banks",
        summary: "cabin, canopy and trailer bank, three chargers on one alternator, eight nights",
        text: include_str!("three-banks.json"),
    },
];
