//! `wiring.html`: the sheet to work from, three or four sides of A4 in print.
//!
//! One job: picture, schedule from end to end, shopping list, checks before switching on, cautions.
//! What is said of each run is in `wiring_rows`, what to buy in `wiring::shopping`.

use super::diagram::paper_svgs;
use super::html::{list_html, table_html};
use super::plain_text::{markup, neutral};
use super::table::{Align, Table, Value};
use super::wiring_rows::{
    all_failing, fuse_places, length_figure, missing_words, most_start_a, piece_words, start_words,
    wiring_notes, wiring_verdict,
};
use crate::scenario::Parts;
use crate::units::{Amount, Units};
use crate::wiring::schedule::Schedule;
use crate::wiring::shopping::Shopping;

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
th{background:#eef0f1}.figure{text-align:right}td.figure{white-space:nowrap}tbody th{background:none}tr{break-inside:avoid}thead{display:table-header-group}\
.fails{color:#68142c;font-weight:bold}.picture svg{display:block;width:100%;height:auto}\
.two{columns:2;column-gap:22px}.two>div{break-inside:avoid}.side{break-before:page}\
ul.checks{list-style:none;padding-left:0}ul.checks li{padding-left:20px;text-indent:-20px}\
.every{border-bottom:1px solid #9aa3aa;font-size:11px;padding:2px 0;margin:0 0 4px}\
@media print{body{max-width:none;padding:0;font-size:10.5px}table{font-size:9.5px}.picture svg{max-height:150mm}.every{font-size:9.5px}}";

/// The page, complete in itself.
#[must_use]
pub fn wiring_sheet(scenario: &Parts, schedule: &Schedule, length: Units) -> String {
    let title = markup(&schedule.scenario);
    let shopping = &schedule.shopping;
    let missing = missing_words(schedule).map(|words| paragraph("", &words));
    let starts = schedule.runs.iter().flat_map(|run| {
        let words = start_words(run).into_iter();
        words.map(|words| format!("{}: {words}", run.id))
    });
    let pieces = schedule.distribution.iter().map(piece_words);
    let runs = [
        titled("Runs", table_html(&runs(schedule, length), "")),
        titled("What fails", list_html(all_failing(schedule))),
        titled("Starts", list_html(starts)),
        titled("Distribution", list_html(pieces)),
    ];
    let cables = table_html(&cables(schedule, length), "") + &paragraph("", TENTH);
    let names = ["fuses, and a spare of each", "number"];
    let fuses = table_html(&Table::shown(&names, 1, fuses(shopping)), "");
    let checks = CHECKS.map(|check| format!("☐ {}", schedule.units.sentence(check)));
    let next_side = paragraph(" class=\"every side\"", EVERY_SIDE);
    let pictures = paper_svgs(scenario, schedule).into_iter();
    let pictures: Vec<String> = pictures
        .map(|(_, svg)| format!("<div class=\"picture\">{svg}</div>\n"))
        .collect();
    let parts = [
        format!(
            "<!doctype html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n<meta name=\"viewport\" content=\"width=device-width\">\n\
             <title>Wiring: {title}</title>\n<style>{SHEET_STYLE}</style>\n</head>\n<body>\n"
        ),
        paragraph(" class=\"every\"", EVERY_SIDE),
        format!("<h1>Wiring: {title}</h1>\n"),
        paragraph("", &wiring_verdict(schedule)),
        missing.unwrap_or_default(),
        pictures.join(&next_side),
        next_side.clone(),
        if schedule.runs.is_empty() {
            String::new()
        } else {
            runs.concat()
        },
        titled("What to watch", list_html(wiring_notes(schedule))),
        next_side,
        "<h2>To buy</h2>\n".to_owned(),
        side_by_side(&cables, &fuses),
        side_by_side(
            &titled("Before switching on", list_html(checks))
                .replace("<ul>", "<ul class=\"checks\">"),
            &titled("Cautions", list_html(&schedule.cautions)),
        ),
        paragraph("", &schedule.tool),
        "</body>\n</html>\n".to_owned(),
    ];
    parts.concat()
}

/// Under the table of cables.
const TENTH: &str = "A tenth over the measured lengths. Runs that fail are not counted, nor those without a run in the file.";

fn paragraph(class: &str, text: &str) -> String {
    format!("<p{class}>{}</p>\n", markup(text))
}

/// What stands below a heading; neither where there is nothing.
fn titled(title: &str, body: String) -> String {
    if body.is_empty() {
        return body;
    }
    format!("<h2>{title}</h2>\n{body}")
}

fn side_by_side(left: &str, right: &str) -> String {
    format!("<div class=\"two\">\n<div>\n{left}</div>\n<div>\n{right}</div>\n</div>\n")
}

/// The rating of an insulation: `105 °C`.
fn rated(insulation_c: u16, units: Units) -> String {
    units.shown(Amount::Celsius, f64::from(insulation_c), 0)
}

fn runs(schedule: &Schedule, length: Units) -> Table {
    let units = schedule.units;
    Table::of(&schedule.runs, units)
        .column("", "run", Align::Left, |run| {
            let fails = if run.pass { "" } else { "\nFAILS" };
            Value::Told(format!("{}{fails}", neutral(&run.id)), None)
        })
        .words("from", |run| run.from.clone())
        .words("to", |run| run.to.clone())
        .shown(
            &format!("one way {}", length.symbol(Amount::Metres)),
            |run| length_figure(run.one_way_m, length),
        )
        .words("conductor, + and −", |run| {
            let conductor = run.conductor.as_deref().unwrap_or("none does");
            format!("{conductor}, {}", rated(run.insulation_c, units))
        })
        .shown("current A", |run| {
            let start_a = most_start_a(run).filter(|start_a| *start_a > 0.0);
            let start = start_a.map_or_else(String::new, |it| format!(", start {it:.0}"));
            format!("{:.1}{start}", run.design_current_a)
        })
        .words("fuse", |run| {
            let fuse = run.fuse.as_ref();
            let words = fuse.map(|it| format!("{} × {} A {}", it.number, it.rating_a, it.words));
            words.unwrap_or_else(|| "none fits".to_owned())
        })
        .words("where it sits", |run| fuse_places(run, "; "))
        .shown("drop", |run| match (run.drop_v, run.drop_percent) {
            (Some(volts), Some(percent)) => format!("{volts:.2} V, {percent:.1} %"),
            _ => "-".to_owned(),
        })
        .done()
}

fn cables(schedule: &Schedule, length: Units) -> Table {
    let sign = length.symbol(Amount::Metres);
    Table::of(&schedule.shopping.cable, schedule.units)
        .words("cable, flexible copper", |cable| {
            format!(
                "{}, {}",
                cable.conductor,
                rated(cable.insulation_c, schedule.units)
            )
        })
        .shown(&format!("positive (red) {sign}"), |cable| {
            length_figure(cable.positive_m, length)
        })
        .shown(
            &format!("negative (black, or as the code asks) {sign}"),
            |cable| length_figure(cable.negative_m, length),
        )
        .shown("lugs", |cable| cable.lugs.to_string())
        .done()
}

fn fuses(shopping: &Shopping) -> Vec<Vec<String>> {
    let fuses = shopping.fuses.iter();
    let fuses = fuses.map(|it| {
        vec![
            format!("{} A {}", it.rating_a, it.words),
            it.number.to_string(),
        ]
    });
    let holders = shopping.holders.iter();
    let holders = holders.map(|holder| vec![holder.words.clone(), holder.number.to_string()]);
    fuses.chain(holders).collect()
}
