//! Tables of `topup`, `shed` and `why`.
//!
//! One job: the figures under those verdicts, on the report and in their files.

use super::part::{Part, note};
use crate::present::plain_text::shortened;
use crate::present::table::{NAME_LIMIT, Table, Value};
use crate::present::words::chance::{compact, percent, soc};
use crate::present::words::compare_verdict::{points, signed};
use crate::present::words::duration::{Horizon, lasting, short_date};
use crate::present::words::shed_verdict::days_gained;
use crate::present::words::topup_verdict::idling_lines;
use crate::present::words::why_verdict::{ends, shares_with_intervals};
use crate::study::choosing::paired::Difference;
use crate::study::choosing::shed::{Shed, ShedResult};
use crate::study::choosing::topup::TopupResult;
use crate::study::choosing::why::{InputAnswer, SHOWN, WhyResult};

/// How to read the table of `topup`.
const TOPUP_SAYS: &str = "With that much driving: the chance with its 95 % interval; asked for, sun and chargers are means a day at the \
    bank, driving charges at most what its engine-driven chargers put out together.";

/// The table of `topup` with the lines about like days and idling.
#[must_use]
pub fn topup_tables(result: &TopupResult) -> Vec<Part> {
    let level = |share: Option<f64>| share.map_or_else(|| "–".to_owned(), soc);
    let table = Table::of(&result.banks, result.heading.units)
        .name("", "bank", |bank| bank.id.clone())
        .chance("", "no shortfall", |bank| bank.chance_no_shortfall)
        .shown("first day", |bank| {
            let mark = if bank.settles_at.is_some() { " *" } else { "" };
            level(bank.first_soc) + mark
        })
        .shown("last day", |bank| level(bank.last_soc))
        .figure("", "asked for, Wh a day", |bank| {
            Value::Number(bank.asked_wh_per_day)
        })
        .figure("", "sun", |bank| Value::Number(bank.sun_wh_per_day))
        .figure("", "chargers", |bank| {
            Value::Number(bank.charger_wh_per_day)
        })
        .figure("", "driving charges at most, W", |bank| {
            Value::Number(bank.charger_limit_w)
        });
    let table = table.done().titled("", TOPUP_SAYS);
    let mut parts = Vec::from(Part::with_says(table));
    if let Some(like) = &result.like_days {
        let line = format!(
            "First and last day: median charge at the end of the {} days of {} and {}. A bank is kept up where the last \
             is no more than two points below the first; losses inside the bank are in what is asked for.",
            like.kind,
            short_date(&like.first, result.heading.units),
            short_date(&like.last, result.heading.units)
        );
        parts.push(note(line));
    }
    if result.banks.iter().any(|bank| bank.settles_at.is_some()) {
        parts.push(note(
            "* Lead-acid takes less near full: it falls from its start to a level that it then holds, and is judged \
             from there.",
        ));
    }
    let lines = idling_lines(result);
    if !lines.is_empty() {
        parts.push(note(lines.join("\n")));
    }
    parts
}

/// The cells of the heat map: size, hours of driving a day, chance.
#[must_use]
pub fn topup_file(result: &TopupResult) -> Table {
    let mut cells = Vec::new();
    if let Some(map) = &result.map {
        for (size, row) in map.sizes.iter().zip(&map.chance) {
            let row = map.hours_per_day.iter().zip(row);
            cells.extend(row.map(|(hours, chance)| (&map.against, [*size, *hours], *chance)));
        }
    }
    Table::of(&cells, result.heading.units)
        .filed("against", |cell| Value::Text(cell.0.clone()))
        .filed("size", |cell| Value::Number(cell.1[0]))
        .filed("hours_per_day", |cell| Value::Number(cell.1[1]))
        .filed("chance_no_shortfall", |cell| Value::Chance(cell.2))
        .done()
}

/// The tables of `shed`.
#[must_use]
pub fn shed_tables(result: &ShedResult) -> Vec<Part> {
    let alone: Vec<_> = result.alone.iter().map(|shed| ("alone", shed)).collect();
    let alone = shed_table(result, "without", &alone).titled("", "Each line alone off.");
    let tables = [alone, shed_steps(result)].into_iter();
    tables.flat_map(Part::with_says).collect()
}

/// What to switch off one after the other.
pub(in crate::present) fn shed_steps(result: &ShedResult) -> Table {
    let steps: Vec<_> = result.steps.iter().map(|shed| ("steps", shed)).collect();
    let begin = match result.heading.from {
        Some(_) => "now",
        None => "the file's start",
    };
    let mut says = format!(
        "Each line with those above it off too. Days: parked at {} without driving, from the charge of {begin}, \
         at most {}. Chances: of the trip. Gains: against everything on.",
        shortened(&result.stop, 40),
        result.horizon_days
    );
    if !result.kept.is_empty() {
        let kept = result.kept.iter().map(|load| shortened(load, NAME_LIMIT));
        let kept = kept.collect::<Vec<_>>().join(", ");
        says = format!("{says} Never proposed: {kept}.");
    }
    shed_table(result, "then also without", &steps).titled("Switch off in this order.", &says)
}

/// One row a load alone, then one a step: `shed.csv`.
#[must_use]
pub fn shed_file(result: &ShedResult) -> Table {
    let alone = result.alone.iter().map(|shed| ("alone", shed));
    let steps = result.steps.iter().map(|shed| ("steps", shed));
    shed_table(result, "load", &alone.chain(steps).collect::<Vec<_>>())
}

fn shed_table(result: &ShedResult, title: &str, rows: &[(&str, &Shed)]) -> Table {
    let horizon = Horizon::Days(result.horizon_days);
    let bounds = |it: Difference| Some([it.value, it.low, it.high]);
    Table::of(rows, result.heading.units)
        .filed("list", |row| Value::Text(row.0.to_owned()))
        .name("load", title, |row| row.1.load.clone())
        .figure("wh_per_day", "asked for, Wh a day", |row| {
            Value::Number(row.1.wh_per_day)
        })
        .figure("days_p10", "9 in 10 last", |row| {
            Value::Told(lasting(row.1.days_p10, horizon), row.1.days_p10.value)
        })
        .shown("gain in days", |row| days_gained(row.1))
        .bounds("gain_days_p10", |row| bounds(row.1.gain_days_p10))
        .shown("no shortfall", |row| compact(row.1.chance_no_shortfall))
        .filed("chance_no_shortfall", |row| {
            Value::Chance(row.1.chance_no_shortfall.value)
        })
        .shown("gain in chance", |row| points(row.1.gain_chance))
        .bounds("gain_chance", |row| bounds(row.1.gain_chance))
        .done()
}

/// How to read the table of `why`.
const WHY_SAYS: &str = "Each input alone at its lower and its upper end, all others as in the file: the answer there, and the swing from \
    the lower to the upper; none clear where its 95 % interval holds zero.";

/// The tables of `why`.
#[must_use]
pub fn why_tables(result: &WhyResult) -> Vec<Part> {
    let shown = &result.inputs[..result.inputs.len().min(SHOWN)];
    let table = why_table(result, shown).titled("", WHY_SAYS);
    let mut parts = Vec::from(Part::with_says(table));
    if let Some(shares) = &result.shares {
        parts.push(Part::Lines(format!(
            "Where the spread of the lowest state of charge comes from, with 95 % intervals from {} trials: {}.",
            shares.trials,
            shares_with_intervals(shares)
        )));
    }
    parts
}

/// One row an input: `why.csv`.
#[must_use]
pub fn why_file(result: &WhyResult) -> Table {
    why_table(result, &result.inputs)
}

fn why_table(result: &WhyResult, inputs: &[InputAnswer]) -> Table {
    let told = |share: f64| Value::Told(percent(share), Some(share));
    Table::of(inputs, result.heading.units)
        .filed("input", |row| Value::Text(row.path.clone()))
        .name("name", "input", |row| row.name.clone())
        .limited(40)
        .name("", "key", |row| row.path.clone())
        .limited(44)
        .filed("unit", |row| Value::Text(row.unit.to_owned()))
        .filed("low", |row| Value::Number(row.low))
        .filed("high", |row| Value::Number(row.high))
        .shown("from, to", ends)
        .filed("is_spread", |row| Value::flag(row.is_spread))
        .shown("moved by", |row| {
            if row.is_spread {
                "its spread"
            } else {
                "±20 %"
            }
            .to_owned()
        })
        .figure("at_low", "at the lower", |row| told(row.at_low))
        .figure("at_high", "at the upper", |row| told(row.at_high))
        .shown("swing, points", |row| {
            if row.difference.clear {
                signed(row.swing)
            } else {
                "none clear".to_owned()
            }
        })
        .bounds("swing", |row| {
            Some([row.swing, row.difference.low, row.difference.high])
        })
        .done()
}
