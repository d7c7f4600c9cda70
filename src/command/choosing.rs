//! The commands that choose: what helps, what each option buys, what to switch off.

use super::answered::{Answered, Told};
use super::{Asked, Failure};
use crate::present::charts::{compare_svg, mend_svg, shed_svg, topup_svg, why_svg};
use crate::present::tables::{
    compare_table, compare_tables, mend_tables, shed_file, shed_tables, topup_file, topup_tables,
    why_file, why_tables,
};
use crate::present::words::{
    Screen, compare_verdict, mend_verdict, shed_verdict, solve_verdict, topup_verdict, why_verdict,
};
use crate::scenario::Scenario;
use crate::study::choosing::ChoosingError;
use crate::study::choosing::compare::compare as compare_study;
use crate::study::choosing::options::{Choice, choices};
use crate::study::choosing::shed::shed as shed_study;
use crate::study::choosing::topup::{DrivingBy, TopupResult, topup as topup_study};
use crate::study::choosing::topup_map::{Rows, size_rows, topup_map};
use crate::study::choosing::why::{Of, why as why_study};
use crate::study::mending::{mend as mend_study, solve};
use crate::study::settings::Settings;

/// The scenario of a choice, checked. `option` is the option it came with.
pub(super) fn chosen(
    asked: &Asked<'_>,
    option: &'static str,
    choice: &Choice,
) -> Result<Scenario, Failure> {
    let made = asked.scenario.with_files(&choice.set, asked.files);
    made.map_err(|error| ChoosingError::of_change(option, &choice.name, error).into())
}

pub(super) fn shed(asked: &Asked<'_>, settings: &Settings) -> Result<Answered, Failure> {
    let result = shed_study(asked.scenario, settings, asked.progress)?;
    let told = Told::new(asked, Screen::Trip, &result.heading, &result.warnings);
    let mut answered = told.answered(shed_verdict(&result), shed_tables(&result), &result)?;
    if asked.with_files {
        answered.add("shed.svg", shed_svg(&result));
        answered.add_table("shed.csv", &shed_file(&result))?;
        answered.add_json("shed.json");
    }
    Ok(answered)
}

pub(super) fn why(
    of: Option<Of>,
    asked: &Asked<'_>,
    settings: &Settings,
) -> Result<Answered, Failure> {
    let result = why_study(asked.scenario, of, settings, asked.progress)?;
    let told = Told::new(asked, Screen::Trip, &result.heading, &result.warnings);
    let mut answered = told.answered(why_verdict(&result), why_tables(&result), &result)?;
    if asked.with_files {
        answered.add("why.svg", why_svg(&result));
        answered.add_table("why.csv", &why_file(&result))?;
        answered.add_json("why.json");
    }
    Ok(answered)
}

pub(super) fn compare(
    vary: &[String],
    option: &[String],
    asked: &Asked<'_>,
    settings: &Settings,
) -> Result<Answered, Failure> {
    let choices = choices(vary, option)?;
    let word = if vary.is_empty() {
        "--option"
    } else {
        "--vary"
    };
    let scenarios = choices.iter().map(|choice| chosen(asked, word, choice));
    let scenarios = scenarios.collect::<Result<Vec<_>, _>>()?;
    let result = compare_study(&choices, &scenarios, settings, asked.progress)?;
    let told = Told::new(asked, Screen::Trip, &result.heading, &result.warnings);
    let mut answered = told.answered(compare_verdict(&result), compare_tables(&result), &result)?;
    if asked.with_files {
        answered.add("compare.svg", compare_svg(&result));
        answered.add_table("compare.csv", &compare_table(&result))?;
        answered.add_json("compare.json");
    }
    Ok(answered)
}

pub(super) fn mend(asked: &Asked<'_>, settings: &Settings) -> Result<Answered, Failure> {
    let result = mend_study(asked.scenario, settings, asked.progress)?;
    let told = Told::new(asked, Screen::Trip, &result.heading, &result.warnings);
    let mut answered = told.answered(mend_verdict(&result), mend_tables(&result), &result)?;
    answered.is_no = !(result.meets_aim || result.mends.iter().any(|mend| mend.meets_aim));
    if asked.with_files {
        if let Some(svg) = mend_svg(&result) {
            answered.add("mend.svg", svg);
        }
        answered.add_json("mend.json");
    }
    Ok(answered)
}

/// One size alone.
pub(super) fn mend_of(
    key: &str,
    asked: &Asked<'_>,
    settings: &Settings,
) -> Result<Answered, Failure> {
    let result = solve(asked.scenario, key, settings, asked.progress)?;
    let told = Told::new(asked, Screen::Trip, &result.heading, &result.warnings);
    let mut answered = told.answered(solve_verdict(&result), Vec::new(), &result)?;
    answered.is_no = result.bought.is_none();
    if asked.with_files {
        answered.add_json("mend-of.json");
    }
    Ok(answered)
}

pub(super) fn topup(
    against: Option<&str>,
    asked: &Asked<'_>,
    settings: &Settings,
) -> Result<Answered, Failure> {
    let scenario = asked.scenario;
    let rows = against.map(|key| size_rows(scenario, key)).transpose()?;
    let mut result = topup_study(scenario, settings, asked.progress)?;
    let (against, rows) = match (rows, against) {
        (Some(rows), Some(key)) => (key.to_owned(), rows),
        _ => capacity_rows(scenario, &result)?,
    };
    let way = result
        .driving_by
        .ok_or(ChoosingError::Nothing("there is nothing to drive"))?;
    let in_camp = result
        .hours_per_camp_day
        .filter(|_| way == DrivingBy::LocalDrives);
    let about = result.hours_per_day.map(|hours| {
        let middle = in_camp.unwrap_or(hours.value);
        (middle.max(0.3), result.now.per_day)
    });
    let map = topup_map(&against, &rows, way, about, settings, asked.progress)?;
    result.map = Some(map);
    let told = Told::new(asked, Screen::Trip, &result.heading, &result.warnings);
    let mut answered = told.answered(topup_verdict(&result), topup_tables(&result), &result)?;
    answered.is_no = result.hours_per_day.is_none();
    if asked.with_files {
        answered.add("topup.svg", topup_svg(&result));
        answered.add_table("topup.csv", &topup_file(&result))?;
        answered.add_json("topup.json");
    }
    Ok(answered)
}

/// The capacity of the bank that binds, else of the first house bank.
fn capacity_rows(scenario: &Scenario, result: &TopupResult) -> Result<(String, Rows), Failure> {
    let binding = result.binds.as_ref().map(|binds| binds.bank.clone());
    let first = result.banks.first().map(|bank| bank.id.clone());
    let bank = binding.or(first).unwrap_or_default();
    let key = format!("banks.{bank}.capacity_ah");
    match size_rows(scenario, &key) {
        Ok(rows) => Ok((key, rows)),
        // Limits given beside the capacity may forbid other sizes: then the map has one row.
        Err(ChoosingError::Broken { .. }) => {
            let capacity = scenario.banks.iter().find(|known| known.id == bank);
            let size = capacity.map_or(0.0, |bank| bank.capacity_ah);
            Ok((key, vec![(size, scenario.clone())]))
        }
        Err(other) => Err(other.into()),
    }
}
