//! Words and cells of the cable and fuse schedule, for the screen and the report.
//!
//! One job: what is said of each run. Laying it out is in `wiring_table` and in `report`; the
//! spreadsheet's columns are in `wiring_csv`.

use super::wiring_csv::ruled_by;
use crate::wiring::schedule::{ChosenBy, Schedule, ScheduledRun};

/// Up to so many runs are named in a note.
const NAMED: usize = 6;

/// Headings of the cells of [`row`], with their units.
pub const HEADINGS: [&str; 13] = [
    "run",
    "design A",
    "one way m",
    "by amps mm²",
    "by drop mm²",
    "take mm²",
    "AWG",
    "ruled by",
    "fuse A",
    "drop V",
    "drop %",
    "far end V",
    "heat W",
];

/// The verdict in a sentence.
#[must_use]
pub fn wiring_verdict(schedule: &Schedule) -> String {
    let total = schedule.runs.len();
    let failing: Vec<&str> = schedule
        .runs
        .iter()
        .filter(|run| !run.pass)
        .map(|run| run.id.as_str())
        .collect();
    match (total, failing.len()) {
        (0, _) => {
            "The scenario has no runs yet: `wiring --suggest` proposes those that the system needs."
                .to_string()
        }
        (1, 0) => "The one run passes on paper; read the cautions.".to_string(),
        (_, 0) => format!("All {total} runs pass on paper; read the cautions."),
        (_, 1) => format!("1 of {total} runs fails: {}.", failing[0]),
        (_, many) => format!("{many} of {total} runs fail: {}.", failing.join(", ")),
    }
}

/// The cells of a run.
#[must_use]
pub fn row(run: &ScheduledRun) -> Vec<String> {
    let size =
        |mm2: Option<f64>| mm2.map_or_else(|| "none does".to_string(), |mm2| mm2.to_string());
    let yours = |by: ChosenBy| if by == ChosenBy::User { " yours" } else { "" };
    let gauge = run
        .awg
        .as_deref()
        .map_or("over 4/0", |awg| awg.trim_start_matches("AWG "));
    let fuse = run.fuse.as_ref().map_or_else(
        || "none fits".to_string(),
        |fuse| {
            let number = if fuse.number > 1 {
                format!("{} × ", fuse.number)
            } else {
                String::new()
            };
            format!("{number}{}{}", fuse.rating_a, yours(fuse.chosen_by))
        },
    );
    let decimals = |value: Option<f64>, places: usize| {
        value.map_or_else(|| "-".to_string(), |v| format!("{v:.places$}"))
    };
    let name = if run.pass {
        run.id.clone()
    } else {
        format!("{}\nFAILS", run.id)
    };
    vec![
        name,
        format!("{:.1}", run.design_current_a),
        run.one_way_m.to_string(),
        size(run.by_ampacity_mm2),
        size(run.by_drop_mm2),
        format!("{}{}", size(run.mm2), yours(run.chosen_by)),
        if run.mm2.is_some() {
            gauge.to_string()
        } else {
            "-".to_string()
        },
        ruled_by(run).to_string(),
        fuse,
        decimals(run.drop_v, 2),
        decimals(run.drop_percent, 1),
        decimals(run.far_end_v, 2),
        decimals(run.heat_w, 1),
    ]
}

/// The fuse of a run in words, with where it stands; `None` where none fits.
#[must_use]
pub fn fuse_words(run: &ScheduledRun) -> Option<String> {
    let fuse = run.fuse.as_ref()?;
    let places: Vec<&str> = fuse
        .places
        .iter()
        .map(|place| place.text.as_str())
        .collect();
    let short_circuit = if fuse.prospective_a > 0.0 {
        format!(
            "; a short circuit there could reach some {:.0} A",
            fuse.prospective_a
        )
    } else {
        String::new()
    };
    Some(format!(
        "fuse: {}, {}{short_circuit}",
        fuse.words,
        places.join(" and ")
    ))
}

/// Each note once, with the runs that it is about.
#[must_use]
pub fn wiring_notes(schedule: &Schedule) -> Vec<String> {
    let mut notes: Vec<(&str, Vec<&str>)> = Vec::new();
    for run in &schedule.runs {
        for warning in &run.warnings {
            match notes.iter_mut().find(|(text, _)| text == warning) {
                Some((_, runs)) => runs.push(&run.id),
                None => notes.push((warning, vec![&run.id])),
            }
        }
    }
    notes
        .iter()
        .map(|(text, runs)| {
            let about = if runs.len() > NAMED {
                format!("{} runs", runs.len())
            } else {
                runs.join(", ")
            };
            format!("{about}: {text}")
        })
        .collect()
}
