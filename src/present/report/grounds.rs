//! What the figures rest on: assumptions, climate, published methods.
//!
//! One job: so that another can judge the report and repeat it.

use super::parts::{Passage, Section};
use crate::present::assumed::assumed_sections;
use crate::present::table::Table;
use crate::scenario::Parts;
use crate::study::climate_ground::ClimateGround;
use crate::study::report::ReportAnswer;
use crate::units::Units;
use crate::wiring::fuses::Status;
use crate::wiring::schedule::Schedule;

/// Methods of the simulation with their publications.
const METHODS: [&str; 11] = [
    "Position of the sun: I. Reda and A. Andreas, Solar Position Algorithm, NREL/TP-560-34302, revised 2008.",
    "Clearness from day to day: V. A. Graham, K. G. T. Hollands and T. E. Unny, Solar Energy 40 (1988); its \
     distribution: K. G. T. Hollands and R. G. Huget, Solar Energy 30 (1983), where the source has no \
     percentiles of its own.",
    "Clearness from hour to hour: V. A. Graham and K. G. T. Hollands, Solar Energy 44 (1990).",
    "Diffuse light: D. G. Erbs, S. A. Klein and J. A. Duffie, Solar Energy 28 (1982); on a tilted panel: \
     J. E. Hay and J. A. Davies (1980).",
    "Temperature of solar cells: D. Faiman, Progress in Photovoltaics 16 (2008).",
    "Lead-acid banks: two tanks by J. F. Manwell and J. G. McGowan, Solar Energy 50 (1993); charge efficiency by \
     J. B. Copetti, E. Lorenzo and F. Chenlo, Progress in Photovoltaics 1 (1993); capacity by temperature with \
     the factors of IEEE 485.",
    "Lithium banks: one tank, open-circuit voltage by state of charge, charge efficiency 0.99, no charge below ‹0 °C›.",
    "Spreads of a least, likeliest and greatest value: the PERT distribution (D. G. Malcolm et al., Operations \
     Research 7, 1959).",
    "Intervals of chances: E. B. Wilson, Journal of the American Statistical Association 22 (1927); of \
     percentiles: order statistics.",
    "Fridges: a cabinet with a steady heat leak and a compressor of 0.35 of the ideal efficiency, set to the \
     data-sheet point; ours.",
    "Closed cabin in the sun: ‹24 °C above› the air at 1000 W/m², after 20 minutes two thirds of it; ours, fitted to \
     published measurements of parked cars.",
];

/// The section.
pub(super) fn section(scenario: &Parts, answer: &ReportAnswer) -> Section {
    let mut parts = vec![Passage::sub("assumed", "What was assumed")];
    parts.extend(assumed(scenario, answer));
    parts.push(Passage::sub("climate", "The climate"));
    parts.extend(climate(&answer.climate, scenario.units));
    parts.push(Passage::sub("methods", "Methods and sources"));
    parts.push(Passage::list(
        METHODS.map(|method| scenario.units.sentence(method)),
    ));
    if let Some(schedule) = &answer.wiring_shown {
        parts.push(Passage::sub(
            "wiring-sources",
            "Sources of the wiring figures",
        ));
        parts.push(Passage::list(wiring_sources(schedule)));
    }
    Section {
        id: "grounds",
        title: "What the figures rest on",
        parts,
    }
}

fn assumed(scenario: &Parts, answer: &ReportAnswer) -> Vec<Passage> {
    if answer.assumed.is_empty() {
        return vec![Passage::text(
            "Nothing: the scenario file gives every value itself.",
        )];
    }
    let sections = assumed_sections(scenario, &answer.assumed);
    let rows = sections.into_iter().flat_map(|section| section.rows);
    let table = Table::shown(&["what", "value", "why"], 3, rows.map(Vec::from)).titled(
        "Values that the scenario file does not give.",
        "Each can be given in the file by its key; what is alike shares a line, what is doubtful stands first.",
    );
    vec![table.into()]
}

fn climate(ground: &ClimateGround, units: Units) -> Vec<Passage> {
    let mut parts = vec![Passage::text(&ground.kind)];
    if !ground.remarks.is_empty() {
        parts.push(Passage::list(
            ground.remarks.iter().map(|it| it.in_units(units)),
        ));
    }
    if !ground.places.is_empty() {
        let rows = ground.places.iter().map(|(place, sentences)| {
            let sentences = sentences.iter().map(|it| it.in_units(units));
            vec![place.clone(), sentences.collect::<Vec<_>>().join("; ")]
        });
        let table = Table::shown(&["place", "sun, temperature, cells"], 2, rows)
            .titled(
                "What the climate of each place rests on.",
                "Which measurements sun and temperature come from, how far off they were made, and how well they bear the place.",
            );
        parts.push(table.into());
    }
    if !ground.notices.is_empty() {
        parts.push(Passage::text("Credits of the climate data:"));
        parts.push(Passage::list(&ground.notices));
    }
    parts
}

fn wiring_sources(schedule: &Schedule) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for ground in schedule.runs.iter().flat_map(|run| &run.grounds) {
        let status = match ground.status {
            Status::Verified => "read in the publication",
            Status::Computed => "computed",
            Status::VerifiedSecondhand => "read in a transcription",
            Status::Memory => "from memory",
            Status::CommonPractice => "common practice",
        };
        let line = format!("{}: {} ({status}).", ground.what, ground.source);
        if !lines.contains(&line) {
            lines.push(line);
        }
    }
    lines
}
