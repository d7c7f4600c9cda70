//! Words of the cable and fuse schedule, for the screen, the sheet and the report.
//!
//! One job: what is said of each run. Its table is in `tables`.

use crate::units::{Amount, Units};
use crate::wiring::distribution::Piece;
use crate::wiring::schedule::{Problem, Schedule, ScheduledRun};

/// Up to so many runs are named in a note.
const NAMED: usize = 6;

/// A length in the unit of a land, to two decimals at most.
#[must_use]
pub fn length_figure(metres: f64, length: Units) -> String {
    let value = length.value(Amount::Metres, metres);
    format!("{}", (value * 100.0).round() / 100.0)
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

/// What fails, and what would do.
pub(super) fn failing_words(problems: &[Problem]) -> impl Iterator<Item = String> {
    let problems = problems.iter();
    problems.map(|it| format!("fails: {}; would do: {}", it.fails, it.would_do))
}

/// What fails anywhere, with the run or piece that it is about.
#[must_use]
pub fn all_failing(schedule: &Schedule) -> Vec<String> {
    let runs = schedule.runs.iter().map(|run| (&run.id, &run.problems));
    let pieces = schedule.distribution.iter();
    let pieces = pieces.map(|piece| (&piece.id, &piece.problems));
    runs.chain(pieces)
        .flat_map(|(id, problems)| failing_words(problems).map(move |it| format!("{id} {it}")))
        .collect()
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

/// Where the fuses of a run stand.
pub(super) fn fuse_places(run: &ScheduledRun, between: &str) -> String {
    let places = run.fuse.iter().flat_map(|fuse| &fuse.places);
    let places: Vec<&str> = places.map(|place| place.text.as_str()).collect();
    places.join(between)
}

/// The largest current with which anything on a run starts, A; `None` where nothing has a start of its own.
pub(super) fn most_start_a(run: &ScheduledRun) -> Option<f64> {
    let starts = run.starts.iter().map(|start| start.current_a);
    starts.reduce(f64::max)
}

/// The fuse of a run in words, with where it stands; `None` where none fits.
#[must_use]
pub fn fuse_words(run: &ScheduledRun) -> Option<String> {
    let fuse = run.fuse.as_ref()?;
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
        fuse_places(run, " and ")
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
