//! The cable and fuse schedule: its table, what is said of each run, `wiring.csv`.
//!
//! One job: the figures under the verdict. What is said in words is in `wiring_rows`.

use super::part::Part;
use crate::present::plain_text::neutral;
use crate::present::table::{Align, Cell, NAME_LIMIT, Table, Value};
use crate::present::wiring_rows::{
    failing_words, fuse_places, fuse_words, length_figure, missing_words, most_start_a,
    piece_words, start_words, wiring_notes,
};
use crate::units::{Amount, Units};
use crate::wiring::conductors::Awg;
use crate::wiring::schedule::{ChosenBy, Schedule, ScheduledFuse, ScheduledRun};

type Field = fn(&ScheduledRun) -> String;

/// Columns of the file in order: a key with its unit, and the field.
const FILED: [(&str, Field); 34] = [
    ("run", |r| r.id.clone()),
    ("from", |r| r.from.clone()),
    ("to", |r| r.to.clone()),
    ("carries", |r| r.carries.join(" ")),
    ("one_way_m", |r| number(r.one_way_m)),
    ("design_current_a", |r| fixed(Some(r.design_current_a), 2)),
    ("current_basis", |r| r.current_basis.clone()),
    ("continuous", |r| yes_no(r.continuous)),
    ("start_a", |r| fixed(most_start_a(r), 2)),
    ("start_s", |r| {
        let most = r.starts.iter().map(|start| start.seconds).reduce(f64::max);
        fixed(most, 2)
    }),
    ("simulated_p99_a", |r| fixed(r.simulated_p99_a, 2)),
    ("insulation_c", |r| r.insulation_c.to_string()),
    ("ambient_c", |r| number(r.ambient_c)),
    ("bundled", |r| r.bundled.to_string()),
    ("where", |r| r.place.to_string()),
    ("by_ampacity_mm2", |r| {
        r.by_ampacity_mm2.map_or_else(String::new, number)
    }),
    ("by_drop_mm2", |r| {
        r.by_drop_mm2.map_or_else(String::new, number)
    }),
    ("ruled_by", |r| ruled_by(r).to_string()),
    ("mm2", |r| r.mm2.map_or_else(String::new, number)),
    ("conductor", |r| r.conductor.clone().unwrap_or_default()),
    ("awg", |r| r.awg.clone().unwrap_or_default()),
    ("ampacity_a", |r| fixed(r.ampacity_a, 1)),
    ("resistance_mohm", |r| fixed(r.resistance_mohm, 3)),
    ("drop_v", |r| fixed(r.drop_v, 3)),
    ("drop_percent", |r| fixed(r.drop_percent, 2)),
    ("far_end_v", |r| fixed(r.far_end_v, 2)),
    ("heat_w", |r| fixed(r.heat_w, 2)),
    ("heat_wh_trip", |r| fixed(r.heat_wh_trip, 1)),
    ("fuse_a", |r| of_fuse(r, |fuse| number(fuse.rating_a))),
    ("fuse_type", |r| of_fuse(r, |fuse| fuse.words.clone())),
    ("fuses", |r| of_fuse(r, |fuse| fuse.number.to_string())),
    ("fuse_places", |r| fuse_places(r, "; ")),
    ("pass", |r| yes_no(r.pass)),
    ("remarks", remarks),
];

/// Headings of the cells of [`row`], with their units.
const HEADINGS: [&str; 13] = [
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

/// Columns of words, at the left; all others are figures.
const WORDS: [&str; 2] = ["run", "ruled by"];

/// The schedule of every run, for people and files.
pub(in crate::present) fn runs_table(schedule: &Schedule, length: Units) -> Table {
    let runs = schedule.runs.iter();
    let rows: Vec<(&ScheduledRun, Vec<String>)> = runs.map(|run| (run, row(run, length))).collect();
    let mut columns =
        Table::of(&rows, schedule.units).filed("row", |_| Value::Text("run".to_owned()));
    for (key, field) in FILED {
        columns = columns.filed(key, |(run, _)| Value::Written(field(run)));
    }
    for (at, heading) in headings(schedule, length).iter().enumerate() {
        let is_words = WORDS.contains(&HEADINGS[at]);
        let align = if is_words { Align::Left } else { Align::Right };
        columns = columns
            .column("", heading, align, |(_, cells)| {
                Value::Told(cells[at].clone(), None)
            })
            .limited(NAME_LIMIT);
    }
    let table = columns.done().titled(
        "Cable and fuse schedule.",
        "Lengths are one way. The larger of the two sizes, by current and by voltage drop, wins. Drop and far-end \
         voltage are at the design current.",
    );
    table.in_blocks(1, vec![1; HEADINGS.len() - 1])
}

/// The whole of `wiring.csv`. A row begins with what it is, `run` or `caution`; a caution stands in `remarks`.
#[must_use]
pub fn wiring_file(schedule: &Schedule) -> Table {
    let mut table = runs_table(schedule, schedule.units);
    let place = |key: &str| table.columns.iter().position(|column| column.key == key);
    let (first, last) = (place("row"), place("remarks"));
    for caution in &schedule.cautions {
        let mut cells = vec![Cell::default(); table.columns.len()];
        for (at, text) in [(first, "caution"), (last, caution.as_str())] {
            if let Some(at) = at {
                text.clone_into(&mut cells[at].filed);
            }
        }
        table.rows.push(cells);
    }
    table
}

/// What stands under the verdict: the table, then what is said of runs and pieces.
#[must_use]
pub fn wiring_tables(schedule: &Schedule, length: Units) -> Vec<Part> {
    let mut parts = Vec::new();
    if !schedule.runs.is_empty() {
        parts.extend(Part::with_says(runs_table(schedule, length)));
    }
    parts.extend(missing_words(schedule).map(Part::Note));
    for run in &schedule.runs {
        let head = format!(
            "{} ({} to {}): {}",
            run.id, run.from, run.to, run.current_basis
        );
        let lines = [head].into_iter().chain(failing_words(&run.problems));
        let lines = lines.chain(start_words(run)).chain(fuse_words(run));
        parts.push(Part::Note(lines.collect::<Vec<_>>().join("\n")));
    }
    let pieces = schedule.distribution.iter().flat_map(|piece| {
        [piece_words(piece)]
            .into_iter()
            .chain(failing_words(&piece.problems))
    });
    parts.extend(pieces.chain(wiring_notes(schedule)).map(Part::Note));
    parts
}

/// [`HEADINGS`] with the unit of length and the series of the conductors.
fn headings(schedule: &Schedule, length: Units) -> Vec<String> {
    let named = |heading: &str| match heading {
        "one way m" => format!("one way {}", length.symbol(Amount::Metres)),
        "take mm²" if schedule.cable == "awg" => "take AWG".to_string(),
        other => other.to_string(),
    };
    HEADINGS.iter().map(|heading| named(heading)).collect()
}

/// The cells of a run.
fn row(run: &ScheduledRun, length: Units) -> Vec<String> {
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
    let id = neutral(&run.id);
    let name = if run.pass {
        id.into_owned()
    } else {
        format!("{id}\nFAILS")
    };
    vec![
        name,
        format!("{:.1}", run.design_current_a),
        decimals(most_start_a(run).filter(|start_a| *start_a > 0.0), 0),
        length_figure(run.one_way_m, length),
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

/// What ruled the conductor, in words.
fn ruled_by(run: &ScheduledRun) -> &'static str {
    use crate::wiring::sizing::RuledBy;
    match run.ruled_by {
        RuledBy::Ampacity => "current",
        RuledBy::Drop => "drop",
        RuledBy::LeastSize => "least size",
    }
}

fn remarks(run: &ScheduledRun) -> String {
    let warnings = run.warnings.iter().map(|w| format!("note: {w}"));
    let remarks = failing_words(&run.problems).chain(warnings);
    remarks.collect::<Vec<_>>().join(" | ")
}

fn of_fuse(run: &ScheduledRun, field: fn(&ScheduledFuse) -> String) -> String {
    run.fuse.as_ref().map_or_else(String::new, field)
}

fn yes_no(value: bool) -> String {
    if value { "yes" } else { "no" }.to_string()
}

fn number(value: f64) -> String {
    if value.is_finite() {
        value.to_string()
    } else {
        String::new()
    }
}

fn fixed(value: Option<f64>, decimals: usize) -> String {
    match value {
        Some(value) if value.is_finite() => format!("{value:.decimals$}"),
        _ => String::new(),
    }
}
