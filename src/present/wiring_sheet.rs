//! `wiring.html`: the sheet to work from, two or three sides of A4 in print.
//!
//! One job: picture, schedule from end to end, shopping list, checks before switching on, cautions.
//! What is said of each run is in `wiring_rows`, what to buy in `wiring::shopping`.

use std::fmt::Write as _;

use super::diagram::{wiring_svg, xml};
use super::wiring_rows::{
    LengthUnit, missing_words, piece_words, start_words, wiring_notes, wiring_verdict,
};
use crate::scenario::Parts;
use crate::units::{Amount, Units};
use crate::wiring::schedule::{Schedule, ScheduledRun};

/// What stands at the head of every side.
const EVERY_SIDE: &str = "A plan on paper, not a certificate. Where local codes or licensed practice ask for more, they rule. 230/120 V is for a licensed person.";

/// Checks before the last fuse goes in, in this order; quantities marked as [`Units::sentence`] takes them.
///
/// # Source
/// Common practice, no source.
pub const CHECKS: [&str; 11] = [
    "All fuses out, all switches off, batteries disconnected: the negative last to go on, first to come off.",
    "Every cable is the size of its line here, supported, and kept from edges, heat and moving parts.",
    "Every cable that leaves a battery, bus or alternator has its fuse at that end, within the distance named here.",
    "Every lug is crimped with the tool made for it, covered, and does not turn on its bolt.",
    "Bolts are tightened to the torque that the maker of the part gives; written down and marked.",
    "Continuity: each positive and negative ends where the schedule says; no positive is joined to chassis.",
    "Insulation: with fuses and loads out, no measurable path between positive and negative, nor between positive and chassis.",
    "Polarity, with a meter, at every charger, controller and load before it is connected.",
    "Chargers and controllers are set to the chemistry of their bank; a lithium bank is not charged below ‹0 °C›.",
    "Negative on; then the main fuse, last of all, with every load off; then one circuit after the other.",
    "Under full load for half an hour: no terminal, fuse or plug too hot to hold; the drop is what the schedule says.",
];

/// What stands in the style element of every sheet.
pub const SHEET_STYLE: &str = "\
@page{size:A4 landscape;margin:10mm}\
body{font:13px/1.35 'DejaVu Sans',Verdana,Arial,sans-serif;color:#1c2228;background:#fff;margin:0 auto;max-width:1180px;padding:0 12px}\
h1{font-size:19px;margin:4px 0 2px}h2{font-size:14px;margin:9px 0 3px;break-after:avoid}\
p{margin:3px 0}ul,ol{margin:3px 0;padding-left:18px}li{margin:1px 0;break-inside:avoid}\
table{border-collapse:collapse;width:100%;font-size:11px}th,td{border:1px solid #9aa3aa;padding:2px 5px;text-align:left;vertical-align:top}\
th{background:#eef0f1}td.n,th.n{text-align:right}td.n{white-space:nowrap}tr{break-inside:avoid}thead{display:table-header-group}\
.fails{color:#68142c;font-weight:bold}.picture svg{display:block;width:100%;height:auto}\
.two{columns:2;column-gap:22px}.two>div{break-inside:avoid}.side{break-before:page}\
ol.checks{list-style:none;padding-left:0}ol.checks li{padding-left:20px;text-indent:-20px}\
.every{border-bottom:1px solid #9aa3aa;font-size:11px;padding:2px 0;margin:0 0 4px}\
@media print{body{max-width:none;padding:0;font-size:10.5px}table{font-size:9.5px}.picture svg{max-height:150mm}.every{font-size:9.5px}}";

/// The page, complete in itself.
#[must_use]
pub fn wiring_sheet(scenario: &Parts, schedule: &Schedule, length: LengthUnit) -> String {
    let mut page = String::new();
    let title = xml(&schedule.scenario);
    // Writing to a String cannot fail.
    let _ = write!(
        page,
        "<!doctype html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n<meta name=\"viewport\" content=\"width=device-width\">\n\
         <title>Wiring: {title}</title>\n<style>{SHEET_STYLE}</style>\n</head>\n<body>\n<p class=\"every\">{}</p>\n\
         <h1>Wiring: {title}</h1>\n<p>{}</p>\n",
        xml(EVERY_SIDE),
        xml(&wiring_verdict(schedule))
    );
    if let Some(missing) = missing_words(schedule) {
        let _ = writeln!(page, "<p>{}</p>", xml(&missing));
    }
    let _ = writeln!(
        page,
        "<div class=\"picture\">{}</div>",
        wiring_svg(scenario, schedule)
    );
    side(&mut page);
    runs(&mut page, schedule, length);
    list(&mut page, "What to watch", wiring_notes(schedule));
    side(&mut page);
    buy(&mut page, schedule, length);
    page.push_str(
        "<div class=\"two\">\n<div>\n<h2>Before switching on</h2>\n<ol class=\"checks\">\n",
    );
    for check in CHECKS {
        let _ = writeln!(page, "<li>☐ {}</li>", xml(&schedule.units.sentence(check)));
    }
    page.push_str("</ol>\n</div>\n<div>\n");
    list(
        &mut page,
        "Cautions",
        schedule.cautions.iter().map(ToString::to_string),
    );
    page.push_str("</div>\n</div>\n");
    let _ = writeln!(page, "<p>{}</p>\n</body>\n</html>", xml(&schedule.tool));
    page
}

/// Begins a side, under the sentence that every one of them carries.
fn side(page: &mut String) {
    let _ = writeln!(page, "<p class=\"every side\">{}</p>", xml(EVERY_SIDE));
}

fn list(page: &mut String, title: &str, lines: impl IntoIterator<Item = String>) {
    let items: Vec<String> = lines
        .into_iter()
        .map(|line| format!("<li>{}</li>\n", xml(&line)))
        .collect();
    if !items.is_empty() {
        let _ = writeln!(page, "<h2>{title}</h2>\n<ul>\n{}</ul>", items.concat());
    }
}

fn runs(page: &mut String, schedule: &Schedule, length: LengthUnit) {
    if schedule.runs.is_empty() {
        return;
    }
    let _ = writeln!(
        page,
        "<h2>Runs</h2>\n<table>\n<thead><tr><th>run</th><th>from</th><th>to</th><th class=\"n\">one way {}</th>\
         <th>conductor, + and −</th><th class=\"n\">current A</th><th>fuse</th><th>where it sits</th><th class=\"n\">drop</th></tr></thead>\n<tbody>",
        length.sign()
    );
    for run in &schedule.runs {
        let _ = writeln!(page, "{}", run_row(run, length, schedule.units));
    }
    page.push_str("</tbody>\n</table>\n");
    let failing = schedule.runs.iter().flat_map(|run| {
        run.problems.iter().map(move |problem| {
            format!(
                "{} fails: {}; would do: {}",
                run.id, problem.fails, problem.would_do
            )
        })
    });
    list(page, "What fails", failing);
    let starts = schedule.runs.iter().flat_map(|run| {
        start_words(run)
            .into_iter()
            .map(move |words| format!("{}: {words}", run.id))
    });
    list(page, "Starts", starts);
    list(
        page,
        "Distribution",
        schedule.distribution.iter().map(piece_words),
    );
}

/// The rating of an insulation: `105 °C`.
fn rated(insulation_c: u16, units: Units) -> String {
    units.shown(Amount::Celsius, f64::from(insulation_c), 0)
}

fn run_row(run: &ScheduledRun, length: LengthUnit, units: Units) -> String {
    let fuse = run.fuse.as_ref();
    let fuse_words = fuse.map_or_else(
        || "none fits".to_string(),
        |fuse| format!("{} × {} A {}", fuse.number, fuse.rating_a, fuse.words),
    );
    let places: Vec<&str> = fuse.map_or_else(Vec::new, |fuse| {
        fuse.places
            .iter()
            .map(|place| place.text.as_str())
            .collect()
    });
    let start_a = run
        .starts
        .iter()
        .map(|start| start.current_a)
        .fold(0.0, f64::max);
    let start = if start_a > 0.0 {
        format!(", start {start_a:.0}")
    } else {
        String::new()
    };
    let drop = match (run.drop_v, run.drop_percent) {
        (Some(volts), Some(percent)) => format!("{volts:.2} V, {percent:.1} %"),
        _ => "-".to_string(),
    };
    let fails = if run.pass {
        ""
    } else {
        " <span class=\"fails\">FAILS</span>"
    };
    format!(
        "<tr><td>{}{fails}</td><td>{}</td><td>{}</td><td class=\"n\">{}</td><td>{}, {}</td><td class=\"n\">{:.1}{start}</td>\
         <td>{}</td><td>{}</td><td class=\"n\">{drop}</td></tr>",
        xml(&run.id),
        xml(&run.from),
        xml(&run.to),
        length.number(run.one_way_m),
        xml(run.conductor.as_deref().unwrap_or("none does")),
        rated(run.insulation_c, units),
        run.design_current_a,
        xml(&fuse_words),
        xml(&places.join("; ")),
    )
}

fn buy(page: &mut String, schedule: &Schedule, length: LengthUnit) {
    let shopping = &schedule.shopping;
    page.push_str("<h2>To buy</h2>\n<div class=\"two\">\n<div>\n");
    let _ = writeln!(
        page,
        "<table>\n<thead><tr><th>cable, flexible copper</th><th class=\"n\">positive (red) {0}</th><th class=\"n\">negative (black, or as the code asks) {0}</th><th class=\"n\">lugs</th></tr></thead>\n<tbody>",
        length.sign()
    );
    for cable in &shopping.cable {
        let _ = writeln!(
            page,
            "<tr><td>{}, {}</td><td class=\"n\">{}</td><td class=\"n\">{}</td><td class=\"n\">{}</td></tr>",
            xml(&cable.conductor),
            rated(cable.insulation_c, schedule.units),
            length.number(cable.positive_m),
            length.number(cable.negative_m),
            cable.lugs
        );
    }
    page.push_str("</tbody>\n</table>\n<p>A tenth over the measured lengths. Runs that fail are not counted, nor those without a run in the file.</p>\n</div>\n<div>\n<table>\n<thead><tr><th>fuses, and a spare of each</th><th class=\"n\">number</th></tr></thead>\n<tbody>\n");
    for fuse in &shopping.fuses {
        let _ = writeln!(
            page,
            "<tr><td>{} A {}</td><td class=\"n\">{}</td></tr>",
            fuse.rating_a,
            xml(fuse.words),
            fuse.number
        );
    }
    for holder in &shopping.holders {
        let _ = writeln!(
            page,
            "<tr><td>{}</td><td class=\"n\">{}</td></tr>",
            xml(&holder.words),
            holder.number
        );
    }
    page.push_str("</tbody>\n</table>\n</div>\n</div>\n");
}
