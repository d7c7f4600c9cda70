//! The cable and fuse schedule.

use super::Failure;
use super::answered::Answered;
use crate::present::diagram::wiring_svg;
use crate::present::plain_text::json_text;
use crate::present::tables::{wiring_file, wiring_tables};
use crate::present::wiring_rows::wiring_verdict;
use crate::present::wiring_sheet::wiring_sheet;
use crate::scenario::Scenario;
use crate::units::Units;
use crate::wiring::conductors::Series;
use crate::wiring::{schedule_in, schedule_shown};

/// How a schedule is shown.
#[derive(Debug, Clone, Copy, Default)]
pub struct WiringQuestion {
    /// Series of the conductors; `None`: that of the scenario's units.
    pub series: Option<Series>,
    /// Unit of lengths; `None`: that of the scenario's units.
    pub length: Option<Units>,
}

/// The schedule of every run, with its diagram, sheet and spreadsheet. The JSON is in units of the program, and of
/// metric sizes unless a series is asked for.
///
/// # Errors
/// [`Failure::Csv`] and [`Failure::Json`], in practice none.
pub fn wiring(
    scenario: &Scenario,
    question: WiringQuestion,
    with_files: bool,
) -> Result<Answered, Failure> {
    let WiringQuestion { series, length } = question;
    let length = length.unwrap_or(scenario.units);
    let schedule = schedule_shown(scenario, series);
    let for_programs = schedule_in(scenario, series.unwrap_or_default(), None);
    let mut answered = Answered {
        is_no: !schedule.pass,
        verdict: wiring_verdict(&schedule),
        body: wiring_tables(&schedule, length),
        cautions: schedule.cautions.clone(),
        json: json_text(&for_programs).map_err(Failure::Json)?,
        ..Answered::default()
    };
    if with_files {
        answered.add_table("wiring.csv", &wiring_file(&schedule))?;
        answered.add("wiring.svg", wiring_svg(scenario, &schedule));
        answered.add("wiring.html", wiring_sheet(scenario, &schedule, length));
        answered.add_json("wiring.json");
    }
    Ok(answered)
}
