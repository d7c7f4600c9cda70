//! "From here on", read from words: the moment, the stop, what the meters show, nights, a forecast.
//!
//! One job: what a person says of a moment of the trip, to a checked [`Here`]. Every refusal is one
//! sentence. What a moment makes of the itinerary is in `timeline::here`.

use std::fmt;
use std::sync::Arc;

use chrono::{NaiveDate, NaiveDateTime, TimeDelta};

use super::settings::Settings;
use crate::scenario::{Climate, LocalInstant, Scenario};
use crate::timeline::calendar::{NominalCalendar, Plan};
use crate::timeline::here::{Here, MeterReading, SkyWord, Turn};

/// The most days from the start of a trip to its end.
const MOST_DAYS: i64 = 366;

/// A stop that was named may be reached so long after the planned end of the trip, days.
const LATE_DAYS: i64 = 31;

/// What a person says; nothing said: the trip from its beginning.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct HereWords {
    /// Local time now, such as `2027-07-05T18:00`.
    pub now: Option<String>,
    /// The stop, by name or by number from 1.
    pub at: Option<String>,
    /// `BANK=S` each: `main=0.62`, `main=62%`, `main=58..66%`.
    pub soc: Vec<String>,
    /// Nights still to spend at the stop.
    pub nights: Option<u32>,
    /// `DATE=W` each: `2027-07-06=dull`, `2027-07-06=0.41`.
    pub sky: Vec<String>,
}

/// Words that do not fit the scenario.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Misread {
    /// Of what: the option of the command line.
    pub option: &'static str,
    /// As it was said.
    pub found: String,
    /// What is wrong with it and what would do, in one sentence.
    pub allowed: String,
}

impl fmt::Display for Misread {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let given = format!("{} {}", self.option, self.found);
        write!(f, "`{}`: {}", given.trim_end(), self.allowed)
    }
}

impl std::error::Error for Misread {}

fn misread(option: &'static str, found: &str, allowed: String) -> Misread {
    Misread {
        option,
        found: found.chars().take(80).collect(),
        allowed,
    }
}

/// What is said of a moment, for a run with these settings; `None` where it is the departure and nothing
/// else is known, so that the plain trip is the answer. A stop without a time means the planned arrival there.
///
/// # Errors
/// [`Misread`]: a time or a date outside the trip, a stop that is not there or comes twice, a bank that is
/// not there or comes twice, a charge that is no share of 1 and has no per cent sign, nights beyond what a
/// trip may have, a forecast of a day that is past.
pub fn from_here(
    scenario: &Scenario,
    settings: &Settings,
    words: &HereWords,
) -> Result<Option<Arc<Here>>, Misread> {
    if *words == HereWords::default() {
        return Ok(None);
    }
    let plan = NominalCalendar::new(scenario, &Plan::Trip);
    let stop = words
        .at
        .as_deref()
        .map(|at| find_stop(scenario, at))
        .transpose()?;
    let here = here_at(scenario, words, &plan, stop)?;
    let step_s = i64::from(settings.step_minutes) * 60;
    let is_plain = stop.is_none()
        && here.nights.is_none()
        && here.sky.is_empty()
        && here.readings.iter().all(Option::is_none)
        && here.now_s < plan.departure_s + step_s;
    Ok((!is_plain).then(|| Arc::new(here)))
}

/// What is said of a moment at a stop: by name, else where the itinerary is at that time, else the first
/// with a night. `stay` asks so.
///
/// # Errors
/// As [`from_here`].
pub fn from_stop(scenario: &Scenario, words: &HereWords) -> Result<Arc<Here>, Misread> {
    let plan = NominalCalendar::new(scenario, &Plan::Trip);
    let legs = &scenario.itinerary.legs;
    let named = words.at.as_deref().map(|at| find_stop(scenario, at));
    let stop = match (named.transpose()?, &words.now) {
        (Some(stop), _) => stop,
        (None, Some(now)) => {
            let now_s = local_now(scenario, now)?;
            plan.stop_at(now_s).unwrap_or(0)
        }
        (None, None) => legs.iter().position(|leg| leg.nights > 0).unwrap_or(0),
    };
    here_at(scenario, words, &plan, Some(stop)).map(Arc::new)
}

fn here_at(
    scenario: &Scenario,
    words: &HereWords,
    plan: &NominalCalendar,
    stop: Option<usize>,
) -> Result<Here, Misread> {
    let now_s = match (&words.now, stop) {
        (Some(now), _) => {
            let now_s = local_now(scenario, now)?;
            within_trip(scenario, plan, now, now_s, stop.is_some())?;
            now_s
        }
        (None, Some(stop)) => plan.legs[stop].arrive_s,
        (None, None) => plan.start_s,
    };
    let mut here = Here {
        stop,
        nights: words.nights,
        ..Here::at(now_s)
    };
    here.readings = readings(scenario, &words.soc)?;
    let end_s = end_with_nights(scenario, plan, &here)?;
    here.sky = forecast(scenario, &words.sky, now_s, end_s)?;
    Ok(here)
}

/// The index of the leg to a stop, by its name or by its number from 1.
///
/// # Errors
/// [`Misread`]: there is none, or there are several.
pub fn find_stop(scenario: &Scenario, at: &str) -> Result<usize, Misread> {
    let legs = &scenario.itinerary.legs;
    let named: Vec<usize> = (0..legs.len())
        .filter(|&leg| legs[leg].stop.name == at)
        .collect();
    match named.as_slice() {
        [only] => return Ok(*only),
        [] => {}
        several => {
            let numbers: Vec<String> = several.iter().map(|leg| (leg + 1).to_string()).collect();
            let numbers = numbers.join(" or ");
            let text = format!("several stops have this name: give the number, {numbers}");
            return Err(misread("--at", at, text));
        }
    }
    let number = at.parse::<usize>().ok();
    if let Some(number) = number.filter(|number| (1..=legs.len()).contains(number)) {
        return Ok(number - 1);
    }
    let names: Vec<&str> = legs.iter().map(|leg| leg.stop.name.as_str()).collect();
    let text = format!(
        "must be a stop ({}) or its number, 1 to {}",
        names.join(", "),
        legs.len()
    );
    Err(misread("--at", at, text))
}

/// The instant of a local time, UTC seconds; the earlier one where the clocks go back.
///
/// # Errors
/// [`Misread`]: no local time, or one that the clocks jump over.
pub fn local_now(scenario: &Scenario, now: &str) -> Result<i64, Misread> {
    let zone = &scenario.itinerary.zone;
    let forms = ["%Y-%m-%dT%H:%M", "%Y-%m-%dT%H:%M:%S", "%Y-%m-%d %H:%M"];
    let local = forms
        .iter()
        .find_map(|form| NaiveDateTime::parse_from_str(now, form).ok());
    match local.map(|local| zone.resolve(local)) {
        Some(LocalInstant::Once(utc_s) | LocalInstant::Twice { first_s: utc_s, .. }) => Ok(utc_s),
        Some(LocalInstant::Skipped { .. }) => {
            let text = format!("the clocks of {} jump over this time", zone.name());
            Err(misread("--now", now, text))
        }
        None => {
            let text = "must be a local time such as 2027-07-05T18:00";
            Err(misread("--now", now, text.to_owned()))
        }
    }
}

/// A moment must lie within the trip; somebody who says where they stand may be late.
fn within_trip(
    scenario: &Scenario,
    plan: &NominalCalendar,
    now: &str,
    now_s: i64,
    is_named: bool,
) -> Result<(), Misread> {
    let late_s = if is_named { LATE_DAYS * 86_400 } else { 0 };
    if (plan.start_s..plan.end_s + late_s).contains(&now_s) {
        return Ok(());
    }
    let at = |utc_s: i64| {
        let local = scenario.itinerary.zone.local(utc_s);
        local.format("%Y-%m-%dT%H:%M").to_string()
    };
    let text = format!(
        "must be within the trip, from {} to {}",
        at(plan.start_s),
        at(plan.end_s)
    );
    Err(misread("--now", now, text))
}

/// What the meters show, bank by bank.
fn readings(scenario: &Scenario, given: &[String]) -> Result<Vec<Option<MeterReading>>, Misread> {
    let mut readings = vec![None; scenario.banks.len()];
    for text in given {
        let (bank, reading) = bank_soc(scenario, text)?;
        if readings[bank].replace(reading).is_some() {
            let text_of = format!("bank {} is given twice", scenario.banks[bank].id);
            return Err(misread("--soc", text, text_of));
        }
    }
    Ok(readings)
}

/// The index of a bank and the charge that its meter shows, from `BANK=S`: `main=0.62`, `main=62%` or
/// `main=58..66%`.
///
/// # Errors
/// [`Misread`]: there is no such bank, or it is no charge; a hint where per cent and share are confused.
pub fn bank_soc(scenario: &Scenario, given: &str) -> Result<(usize, MeterReading), Misread> {
    let ids: Vec<&str> = scenario.banks.iter().map(|bank| bank.id.as_str()).collect();
    let Some((id, charge)) = given.split_once('=') else {
        let text = format!(
            "must be BANK=SOC with a bank ({}) and its charge, such as {}=62%",
            ids.join(", "),
            ids[0]
        );
        return Err(misread("--soc", given, text));
    };
    let Some(bank) = ids.iter().position(|known| *known == id) else {
        let text = format!("there is no bank `{id}`: the banks are {}", ids.join(", "));
        return Err(misread("--soc", given, text));
    };
    let reading = meter_reading(id, charge).map_err(|text| misread("--soc", given, text))?;
    Ok((bank, reading))
}

/// The charge that the meter of a bank shows, or what is wrong with it.
fn meter_reading(id: &str, charge: &str) -> Result<MeterReading, String> {
    let text = charge.trim();
    let no_number = || format!("the charge must be like {id}=0.62, {id}=62% or {id}=58..66%");
    let (low, high) = text.split_once("..").unwrap_or((text, text));
    let is_percent = high.ends_with('%');
    let number = |text: &str| {
        let text = text.trim().trim_end_matches('%').trim_end();
        text.parse::<f64>()
            .ok()
            .filter(|number| number.is_finite())
            .ok_or_else(no_number)
    };
    if !is_percent && low.ends_with('%') {
        return Err(no_number());
    }
    let (low, high) = (number(low)?, number(high)?);
    if low > high {
        return Err("the lower charge comes first".to_owned());
    }
    if low < 0.0 || high > 100.0 {
        return Err("the charge must be from 0 to 100 %".to_owned());
    }
    if is_percent && high > 0.0 && high < 1.0 {
        let share = charge.replace('%', "");
        return Err(format!("is less than 1 %: write {id}={share} for a share"));
    }
    if !is_percent && high > 1.0 {
        return Err(format!(
            "a share goes from 0 to 1: write {id}={charge}% for per cent"
        ));
    }
    let scale = if is_percent { 100.0 } else { 1.0 };
    Ok(MeterReading {
        low: low / scale,
        high: high / scale,
    })
}

/// The end of the trip as it goes on from there, UTC seconds.
fn end_with_nights(
    scenario: &Scenario,
    plan: &NominalCalendar,
    here: &Here,
) -> Result<i64, Misread> {
    let nights = here
        .nights
        .map_or_else(String::new, |nights| nights.to_string());
    let turn = Turn::new(&scenario.itinerary, plan, here);
    if here.nights.is_some() && turn.leg.is_none() {
        let text = "counts nights at a stop, but the trip has not left yet: say where with --at";
        return Err(misread("--nights", &nights, text.to_owned()));
    }
    let onward = NominalCalendar::new(scenario, &Plan::Onward(Arc::new(here.clone())));
    let days = (onward.end_s - plan.start_s) / 86_400;
    if days > MOST_DAYS {
        let text = format!("the trip would have {days} days, but it may have {MOST_DAYS}");
        return Err(misread("--nights", &nights, text));
    }
    if onward.end_s <= here.now_s && here.nights.is_some() {
        let text = "with no night at the last stop nothing of the trip is left".to_owned();
        return Err(misread("--nights", &nights, text));
    }
    Ok(onward.end_s)
}

/// What is said of the sky, by date.
fn forecast(
    scenario: &Scenario,
    given: &[String],
    now_s: i64,
    end_s: i64,
) -> Result<Vec<(NaiveDate, SkyWord)>, Misread> {
    let zone = &scenario.itinerary.zone;
    let (first, last) = (zone.local(now_s).date(), zone.local(end_s).date());
    let mut sky: Vec<(NaiveDate, SkyWord)> = Vec::new();
    for text in given {
        let refuse = |allowed: String| Err(misread("--sky", text, allowed));
        if matches!(&scenario.climate, Climate::History(history) if history.replay.is_some()) {
            return refuse("the scenario replays the weather of one year".to_owned());
        }
        let Some((date, word)) = text.split_once('=') else {
            return refuse("must be DATE=SKY, such as 2027-07-06=dull".to_owned());
        };
        let Ok(date) = date.trim().parse::<NaiveDate>() else {
            return refuse("the date must be like 2027-07-06".to_owned());
        };
        if date < first {
            return refuse(format!("this day is past: now is {first}"));
        }
        if date > last {
            return refuse(format!("the trip ends on {last}"));
        }
        if sky.iter().any(|(known, _)| *known == date) {
            return refuse("this date is given twice".to_owned());
        }
        let Some(word) = sky_word(word.trim()) else {
            let text = "the sky must be bright, mixed, dull or a clearness index from 0.02 to 0.85";
            return refuse(text.to_owned());
        };
        sky.push((date, word));
    }
    Ok(sky)
}

fn sky_word(word: &str) -> Option<SkyWord> {
    match word {
        "bright" => Some(SkyWord::BRIGHT),
        "mixed" => Some(SkyWord::MIXED),
        "dull" => Some(SkyWord::DULL),
        number => number
            .parse::<f64>()
            .ok()
            .filter(|kt| (0.02..=0.85).contains(kt))
            .map(SkyWord::Kt),
    }
}

/// Nights that the plan has left at the stop where somebody stands at a moment.
#[must_use]
pub fn nights_left_here(scenario: &Scenario, here: &Here) -> Option<u32> {
    let itinerary = &scenario.itinerary;
    let plan = NominalCalendar::new(scenario, &Plan::Trip);
    let turn = Turn::new(itinerary, &plan, here);
    let leg = turn.leg?;
    let onward = NominalCalendar::new(scenario, &Plan::Onward(Arc::new(here.clone())));
    let leave_s = turn.leave_s.unwrap_or_else(|| {
        let next = onward.legs.get(leg + 1);
        next.map_or(onward.end_s, |next| next.scheduled_s)
    });
    let from = if turn.is_on_road {
        itinerary.zone.local(onward.legs[leg].arrive_s).date()
    } else {
        turn.evening
    };
    let nights = (itinerary.zone.local(leave_s).date() - from).max(TimeDelta::zero());
    u32::try_from(nights.num_days()).ok()
}
