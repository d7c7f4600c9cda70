//! `wiring.csv`: the cable and fuse schedule for a spreadsheet.
//!
//! One job: the schedule's fields as rows, the cautions as rows at the foot. The table for the
//! screen is in `wiring_table`.

use super::csv_cell::safe_cell;
use crate::wiring::schedule::{Schedule, ScheduledRun};

type Cell = fn(&ScheduledRun) -> String;

/// Columns in order: a key with its unit, and the field.
const COLUMNS: [(&str, Cell); 34] = [
    ("run", |r| r.id.clone()),
    ("from", |r| r.from.clone()),
    ("to", |r| r.to.clone()),
    ("carries", |r| r.carries.join(" ")),
    ("one_way_m", |r| number(r.one_way_m)),
    ("design_current_a", |r| fixed(Some(r.design_current_a), 2)),
    ("current_basis", |r| r.current_basis.clone()),
    ("continuous", |r| yes_no(r.continuous)),
    ("start_a", |r| {
        let most = r
            .starts
            .iter()
            .map(|start| start.current_a)
            .reduce(f64::max);
        fixed(most, 2)
    }),
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
    ("fuse_a", |r| {
        r.fuse
            .as_ref()
            .map_or_else(String::new, |f| number(f.rating_a))
    }),
    ("fuse_type", |r| {
        r.fuse
            .as_ref()
            .map_or_else(String::new, |f| f.words.clone())
    }),
    ("fuses", |r| {
        r.fuse
            .as_ref()
            .map_or_else(String::new, |f| f.number.to_string())
    }),
    ("fuse_places", |r| {
        r.fuse.as_ref().map_or_else(String::new, |f| {
            let places: Vec<&str> = f.places.iter().map(|place| place.text.as_str()).collect();
            places.join("; ")
        })
    }),
    ("pass", |r| yes_no(r.pass)),
    ("remarks", remarks),
];

/// What ruled the conductor, in words.
#[must_use]
pub fn ruled_by(run: &ScheduledRun) -> &'static str {
    use crate::wiring::sizing::RuledBy;
    match run.ruled_by {
        RuledBy::Ampacity => "current",
        RuledBy::Drop => "drop",
        RuledBy::LeastSize => "least size",
    }
}

fn remarks(run: &ScheduledRun) -> String {
    let problems = run
        .problems
        .iter()
        .map(|p| format!("fails: {}; would do: {}", p.fails, p.would_do));
    let warnings = run.warnings.iter().map(|w| format!("note: {w}"));
    problems.chain(warnings).collect::<Vec<_>>().join(" | ")
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

/// The whole file. A row begins with what it is, `run` or `caution`; a caution stands in `remarks`.
///
/// # Errors
/// Those of the CSV writer; writing to memory has none in practice.
pub fn wiring_csv(schedule: &Schedule) -> Result<String, csv::Error> {
    let units = schedule.units;
    let keys = COLUMNS.map(|(key, _)| units.key(key));
    let mut writer = csv::Writer::from_writer(Vec::new());
    writer.write_record(std::iter::once("row").chain(keys.iter().map(String::as_str)))?;
    for run in &schedule.runs {
        let texts = COLUMNS
            .iter()
            .map(|(key, cell)| units.as_written(key, &cell(run), 6).1);
        let cells = texts.map(|text| safe_cell(&text).to_string());
        writer.write_record(std::iter::once("run".to_string()).chain(cells))?;
    }
    for caution in &schedule.cautions {
        let blanks = std::iter::repeat_n("", COLUMNS.len() - 1);
        writer.write_record(
            std::iter::once("caution")
                .chain(blanks)
                .chain([caution.as_str()]),
        )?;
    }
    let bytes = writer
        .into_inner()
        .map_err(|error| csv::Error::from(error.into_error()))?;
    Ok(String::from_utf8_lossy(&bytes).into_owned())
}
