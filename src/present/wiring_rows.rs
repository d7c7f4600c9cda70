//! Words and cells of the cable and fuse schedule, for the screen and the report.
//!
//! One job: what is said of each run. Laying it out is in `wiring_table` and in `report`; the
//! spreadsheet's columns are in `wiring_csv`.

use super::wiring_csv::ruled_by;
use crate::units::{Amount, Units};
use crate::wiring::conductors::Awg;
use crate::wiring::distribution::Piece;
use crate::wiring::schedule::{ChosenBy, Schedule, ScheduledRun};

/// Up to so many runs are named in a note.
const NAMED: usize = 6;

/// Headings of the cells of [`row`], with their units.
pub const HEADINGS: [&str; 13] = [
    "run",
    "design A",
    "start A",
    "one way m",
    "by amps",
    "by drop",
    "take mm²",
    "or AWG",
    "ruled by",
    "fuse A",
    "drop V",
    "drop %",
    "far end V",
];

/// Unit in which lengths are shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum LengthUnit {
    /// Metres.
    #[default]
    Metres,
    /// Feet.
    Feet,
}

impl LengthUnit {
    /// That of the land.
    #[must_use]
    pub fn of(units: Units) -> Self {
        match units {
            Units::Si => Self::Metres,
            Units::Us => Self::Feet,
        }
    }

    fn units(self) -> Units {
        match self {
            Self::Metres => Units::Si,
            Self::Feet => Units::Us,
        }
    }

    /// Sign of the unit.
    #[must_use]
    pub fn sign(self) -> &'static str {
        self.units().symbol(Amount::Metres)
    }

    /// A length in it, to two decimals at most.
    #[must_use]
    pub fn number(self, metres: f64) -> String {
        let value = self.units().value(Amount::Metres, metres);
        format!("{}", (value * 100.0).round() / 100.0)
    }
}

/// [`HEADINGS`] with the unit of length and the series of the conductors.
#[must_use]
pub fn headings(schedule: &Schedule, length: LengthUnit) -> Vec<String> {
    let named = |heading: &str| match heading {
        "one way m" => format!("one way {}", length.sign()),
        "take mm²" if schedule.cable == "awg" => "take AWG".to_string(),
        other => other.to_string(),
    };
    HEADINGS.iter().map(|heading| named(heading)).collect()
}

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
    let pieces: Vec<&str> = schedule
        .distribution
        .iter()
        .filter(|piece| !piece.problems.is_empty())
        .map(|piece| piece.id.as_str())
        .collect();
    if failing.is_empty() && !pieces.is_empty() {
        return format!(
            "The runs pass on paper, but not what they lead through: {}.",
            pieces.join(", ")
        );
    }
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
pub fn row(run: &ScheduledRun, length: LengthUnit) -> Vec<String> {
    let area = |mm2: Option<f64>| {
        mm2.map_or_else(
            || "none does".to_string(),
            |mm2| {
                Awg::of_area(mm2).map_or_else(|| mm2.to_string(), |gauge| bare(&gauge.to_string()))
            },
        )
    };
    let yours = |by: ChosenBy| match by {
        ChosenBy::User => " yours",
        ChosenBy::Maker => " maker's",
        ChosenBy::Schedule => "",
    };
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
    let start_a = run
        .starts
        .iter()
        .map(|start| start.current_a)
        .fold(0.0, f64::max);
    vec![
        name,
        format!("{:.1}", run.design_current_a),
        decimals((start_a > 0.0).then_some(start_a), 0),
        length.number(run.one_way_m),
        area(run.by_ampacity_mm2),
        area(run.by_drop_mm2),
        format!(
            "{}{}",
            bare(run.conductor.as_deref().unwrap_or("none does")),
            yours(run.chosen_by)
        ),
        bare(run.awg.as_deref().unwrap_or("-")),
        ruled_by(run).to_string(),
        fuse,
        decimals(run.drop_v, 2),
        decimals(run.drop_percent, 1),
        decimals(run.far_end_v, 2),
    ]
}

/// A size without its series, which stands in the heading.
fn bare(conductor: &str) -> String {
    let size = conductor.trim_start_matches("AWG ");
    size.trim_end_matches(" mm²").to_string()
}

/// Each short start of a run, in words.
#[must_use]
pub fn start_words(run: &ScheduledRun) -> Vec<String> {
    run.starts
        .iter()
        .map(|start| {
            let drop = start
                .drop_v
                .map_or_else(String::new, |drop_v| format!(", a drop of {drop_v:.2} V"));
            format!(
                "start of {}: {:.1} A for {} s{drop} ({})",
                start.id, start.current_a, start.seconds, start.basis
            )
        })
        .collect()
}

/// A piece of the distribution in a line.
#[must_use]
pub fn piece_words(piece: &Piece) -> String {
    let whose = if piece.derived { "derived" } else { "as given" };
    let rating = piece
        .rating_a
        .map_or_else(String::new, |rating_a| match piece.kind {
            "main-fuse" => format!("{rating_a} A, "),
            _ if piece.derived => format!("at least {rating_a} A, "),
            _ => format!("{rating_a} A, "),
        });
    let cable = piece
        .conductor
        .as_ref()
        .map_or_else(String::new, |cable| format!(", on {cable}"));
    format!(
        "{} ({}, {whose}): {rating}{:.1} A flow; {}{cable}",
        piece.id,
        piece.kind.replace('-', " "),
        piece.current_a,
        piece.words
    )
}

/// Joints that the system needs and for which the file gives no run, in a sentence; `None` where
/// nothing is missing.
#[must_use]
pub fn missing_words(schedule: &Schedule) -> Option<String> {
    let missing = &schedule.not_given;
    let first: Vec<&str> = missing.iter().take(NAMED).map(String::as_str).collect();
    let more = match missing.len().saturating_sub(NAMED) {
        0 => String::new(),
        more => format!(" and {more} more"),
    };
    (!missing.is_empty()).then(|| {
        format!(
            "Without a run in the file, and so without cable and fuse here: {}{more}. `wiring --suggest` writes them with lengths to edit.",
            first.join(", ")
        )
    })
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
