//! Loads: when and where they can be live, and how they start.

use super::super::file::ScenarioFile;
use super::super::parts::{LoadFile, LoadKindWord, WhenFile, WhenWord};
use super::super::problem::{both_given, neither_given, not_for_kind, short};
use super::super::usual_starts;
use super::calendar::PlannedDays;
use super::entries::Entries;
use super::findings::Findings;
use super::kinds;
use super::load_stops;
use super::windows::{longest_hours, named_window, window};
use crate::scenario::{Appliance, Bank, EventMoment, Load, LoadKind, Peak, Power, When, Where};

/// Rounding of a window's length, hours: the sun of the checks is good to some minutes.
const WINDOW_ROUNDING_HOURS: f64 = 0.25;

/// Checks every load.
pub(super) fn check(
    file: &ScenarioFile,
    entries: &Entries,
    banks: &[Bank],
    calendar: Option<&PlannedDays<'_>>,
    factor: f64,
    notes: &mut Findings<'_>,
) -> Vec<Load> {
    let loads = file.loads.as_deref().unwrap_or_default();
    let legs = file
        .itinerary
        .iter()
        .flat_map(|it| it.legs.iter().flatten());
    let stops: Vec<String> = legs.map(|leg| leg.to.clone().unwrap_or_default()).collect();
    loads
        .iter()
        .enumerate()
        .map(|(number, file)| {
            let path = format!("/loads/{number}");
            let bank = entries.bank(file.bank.as_ref(), &format!("{path}/bank"), notes);
            let in_trailer = bank
                .and_then(|bank| banks.get(bank))
                .is_some_and(|bank| bank.trailer);
            let mut load = load(file, &stops, factor, in_trailer, &path, notes);
            load.bank = bank.unwrap_or(0);
            can_be_live(&load, &path, notes);
            if let Some(calendar) = calendar {
                fits_window(&load, calendar, &path, notes);
            }
            load
        })
        .collect()
}

fn load(
    file: &LoadFile,
    stops: &[String],
    factor: f64,
    in_trailer: bool,
    path: &str,
    notes: &mut Findings<'_>,
) -> Load {
    let key = |name: &str| format!("{path}/{name}");
    if let Some(kind) = file.kind {
        kinds::refuse_others(file, kind.word(), path, notes);
        if kind != LoadKindWord::Event && load_stops::time_of(file, stops).is_some() {
            let fault = not_for_kind("kind", kind.word(), "`event`");
            notes.problem(&key("at"), fault);
        }
    }
    let when = when(file.when.as_ref(), &key("when"), notes);
    let place = file.place(path, notes);
    let at = load_stops::time_of(file, stops);
    let kind = file.meant(at, (factor, in_trailer), path, notes);
    let peak = peak(file, kind.running(), factor, path, notes);
    let use_spread = file.use_spread(path, notes);
    let keep = file.keep(path, notes);
    Load {
        id: file.id.clone().unwrap_or_default(),
        bank: 0,
        kind,
        when,
        place,
        stops: load_stops::choice(file, stops, path, notes),
        every_days: file.every_days.unwrap_or(1),
        use_spread,
        inverter: None,
        peak,
        fuse_a: file.fuse_a,
        shed_order: file.shed_order,
        keep,
        off: file.off.unwrap_or(false),
        fixed: file.fixed.unwrap_or(false),
    }
}

/// What the load draws at its start: as given, or as its kind usually does.
fn peak(
    file: &LoadFile,
    running: Power,
    factor: f64,
    path: &str,
    notes: &mut Findings<'_>,
) -> Option<Peak> {
    let key = |name: &str| format!("{path}/{name}");
    let given = match (file.peak_w, file.peak_a) {
        (Some(_), Some(_)) => {
            notes.problem(&key("peak_a"), both_given("peak_w"));
            return None;
        }
        (Some(watts), None) => Some(Power::Watts(watts)),
        (None, Some(amps)) => Some(Power::Amps(amps)),
        (None, None) => None,
    };
    if let Some(power) = given {
        let volts = 12.0 * factor;
        let name = if file.peak_w.is_some() {
            "peak_w"
        } else {
            "peak_a"
        };
        if power.current_a(volts) < running.current_a(volts) {
            let text = "is below what it draws while it runs: it changes nothing".to_owned();
            notes.warn(&key(name), text);
            return None;
        }
        return Some(Peak {
            power,
            seconds: file.peak_s(path, notes),
            basis: "as given",
        });
    }
    let appliance = file.appliance.or_else(|| {
        if file.kind == Some(LoadKindWord::Fridge) {
            return Some(Appliance::Fridge);
        }
        let named = usual_starts::by_name(file.id.as_deref()?)?;
        usual_starts::usual_start(named, running, factor)?;
        let reason = "read from its id; sets what it draws at its start (common practice): give `appliance` or a peak";
        notes.assume(&key("appliance"), &named, reason);
        Some(named)
    });
    let usual = appliance.and_then(|it| usual_starts::usual_start(it, running, factor));
    if usual.is_none() && file.peak_s.is_some() {
        notes.problem(path, neither_given(["peak_w", "peak_a"]));
    }
    usual.map(|usual| Peak {
        seconds: file.peak_s.unwrap_or(usual.seconds),
        ..usual
    })
}

fn when(given: Option<&WhenFile>, path: &str, notes: &mut Findings<'_>) -> When {
    match given {
        Some(WhenFile::Word(WhenWord::Always)) => When::Always,
        Some(WhenFile::Word(WhenWord::Ignition)) => When::Ignition,
        Some(WhenFile::Word(WhenWord::Parked)) => When::Parked,
        Some(WhenFile::Ends(ends)) => When::Window(window(ends, path, notes)),
        Some(WhenFile::Named(named)) => {
            named_window(named, path, notes).map_or(When::Always, When::Window)
        }
        None => {
            notes.assume(path, &"always", "on the safe side: permanently live");
            When::Always
        }
    }
}

/// Refuses what contradicts itself: an event that never comes where and when it is wanted.
fn can_be_live(load: &Load, path: &str, notes: &mut Findings<'_>) {
    let LoadKind::Event { on, .. } = load.kind else {
        return;
    };
    let why = match (on, load.when, load.place) {
        (EventMoment::Arrive, When::Ignition, _) => "the engine stops on arrival",
        (EventMoment::Arrive, _, Where::Driving) => "on arrival the drive is over",
        (EventMoment::Depart, When::Parked, _) => "the engine runs from departure on",
        (EventMoment::Depart, _, Where::Camp) => "on departure camp is over",
        _ => return,
    };
    notes.problem(path, format!("can never be live: {why}"));
}

fn fits_window(load: &Load, calendar: &PlannedDays<'_>, path: &str, notes: &mut Findings<'_>) {
    let (LoadKind::Hours { hours_per_day, .. }, When::Window(window)) = (load.kind, load.when)
    else {
        return;
    };
    let hours_path = format!("{path}/hours_per_day");
    if notes.is_spoiled(&hours_path) || notes.is_spoiled(&format!("{path}/when")) {
        return;
    }
    let window_hours = longest_hours(window, calendar);
    let is_clock = matches!(
        (window.from, window.to),
        (
            crate::scenario::WindowEnd::Clock(_),
            crate::scenario::WindowEnd::Clock(_)
        )
    );
    let rounding = if is_clock {
        1e-9
    } else {
        WINDOW_ROUNDING_HOURS
    };
    let hours = hours_per_day.max;
    if hours > window_hours + rounding {
        let (hours, window_hours) = (short(hours), short(window_hours));
        let text =
            format!("is up to {hours} h a day, but its window holds {window_hours} h at most");
        notes.problem(&hours_path, text);
    }
}
