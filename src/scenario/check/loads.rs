//! Loads: the keys of each kind, and when and where they can be live.

use super::super::defaults;
use super::super::file::{LoadFile, LoadKindWord, OnWord, ScenarioFile, WhenFile, WhenWord};
use super::super::problem::{both_given, neither_given, not_for_kind, short};
use super::super::usual_starts;
use super::calendar::PlannedDays;
use super::entries::Entries;
use super::findings::Findings;
use super::load_stops;
use super::windows::{longest_hours, named_window, time_or_assumed, window};
use super::{fridge, spreads};
use crate::scenario::{
    Appliance, Bank, ClockTime, EventMoment, Load, LoadKind, Peak, Power, When, Where,
};

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
        keys_of_kind(file, kind, stops, path, notes);
    }
    let when = when(file.when.as_ref(), &key("when"), notes);
    let place = file.place.unwrap_or_else(|| {
        notes.assume(&key("where"), &"anywhere", "no place named");
        Where::Anywhere
    });
    let kind = match file.kind {
        Some(LoadKindWord::Fridge) => {
            LoadKind::Fridge(fridge::check(file, factor, in_trailer, path, notes))
        }
        Some(LoadKindWord::Duty) => LoadKind::Duty {
            power: power(file, path, notes),
            duty: file.duty.unwrap_or_else(|| {
                missing(path, "duty", "a share of the time from 0 to 1", notes);
                1.0
            }),
        },
        Some(LoadKindWord::Hours) => LoadKind::Hours {
            power: power(file, path, notes),
            hours_per_day: {
                let given = file.hours_per_day.as_ref();
                needed(
                    given.is_some(),
                    path,
                    "hours_per_day",
                    "from 0 to 24, or a spread",
                    notes,
                );
                spreads::required(given, &key("hours_per_day"), notes)
            },
        },
        Some(LoadKindWord::Event) => LoadKind::Event {
            power: power(file, path, notes),
            minutes: {
                let given = file.minutes.as_ref();
                needed(
                    given.is_some(),
                    path,
                    "minutes",
                    "from 0 to 1440, or a spread",
                    notes,
                );
                spreads::required(given, &key("minutes"), notes)
            },
            on: moment(file, stops, path, notes),
        },
        Some(LoadKindWord::Steady) => LoadKind::Steady(power(file, path, notes)),
        None => LoadKind::Steady(Power::Watts(0.0)),
    };
    let peak = peak(file, kind.running(), factor, path, notes);
    let use_spread = notes.or_assumed(&key("use_spread"), file.use_spread, defaults::USE_SPREAD);
    let keep = notes.or_assumed(&key("keep"), file.keep, defaults::KEEP);
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
            seconds: notes.or_assumed(&key("peak_s"), file.peak_s, defaults::PEAK_S),
            basis: "as given",
        });
    }
    let appliance = file.appliance.or_else(|| {
        if file.kind == Some(LoadKindWord::Fridge) {
            return Some(Appliance::Fridge);
        }
        let named = usual_starts::by_name(file.id.as_deref()?)?;
        usual_starts::usual_start(named, running, factor)?;
        notes.assume(
            &key("appliance"),
            &named.word(),
            defaults::APPLIANCE_BY_NAME,
        );
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

fn missing(path: &str, key: &str, allowed: &str, notes: &mut Findings<'_>) {
    let path = format!("{path}/{key}");
    if !notes.is_spoiled(&path) {
        notes.problem(&path, super::super::problem::missing(allowed));
    }
}

fn needed(given: bool, path: &str, key: &str, allowed: &str, notes: &mut Findings<'_>) {
    if !given {
        missing(path, key, allowed, notes);
    }
}

/// Refuses keys that belong to other kinds.
fn keys_of_kind(
    file: &LoadFile,
    kind: LoadKindWord,
    stops: &[String],
    path: &str,
    notes: &mut Findings<'_>,
) {
    use LoadKindWord::{Duty, Event, Fridge, Hours};
    let not_fridge = "`steady`, `duty`, `hours` and `event`";
    let is_fridge = kind == Fridge;
    let of_fridge = |key, given: bool| (key, given && !is_fridge, "`fridge`");
    let keys = [
        ("power_w", file.power_w.is_some() && is_fridge, not_fridge),
        (
            "current_a",
            file.current_a.is_some() && is_fridge,
            not_fridge,
        ),
        ("duty", file.duty.is_some() && kind != Duty, "`duty`"),
        (
            "hours_per_day",
            file.hours_per_day.is_some() && kind != Hours,
            "`hours`",
        ),
        (
            "minutes",
            file.minutes.is_some() && kind != Event,
            "`event`",
        ),
        ("on", file.on.is_some() && kind != Event, "`event`"),
        (
            "at",
            load_stops::time_of(file, stops).is_some() && kind != Event,
            "`event`",
        ),
        of_fridge("kept", file.kept.is_some()),
        of_fridge("running_w", file.running_w.is_some()),
        of_fridge("set_c", file.set_c.is_some()),
        of_fridge("rated", file.rated.is_some()),
        of_fridge("openings_per_day", file.openings_per_day.is_some()),
        of_fridge("warm_food_kg_per_day", file.warm_food_kg_per_day.is_some()),
        of_fridge("contents_wh_per_k", file.contents_wh_per_k.is_some()),
        of_fridge("starts", file.starts.is_some()),
    ];
    for (key, misplaced, belongs_to) in keys {
        if misplaced {
            let fault = not_for_kind("kind", kind.word(), belongs_to);
            notes.problem(&format!("{path}/{key}"), fault);
        }
    }
}

fn power(file: &LoadFile, path: &str, notes: &mut Findings<'_>) -> Power {
    match (file.power_w, file.current_a) {
        (Some(watts), None) => Power::Watts(watts),
        (None, Some(amps)) => Power::Amps(amps),
        (Some(watts), Some(_)) => {
            notes.problem(&format!("{path}/current_a"), both_given("power_w"));
            Power::Watts(watts)
        }
        (None, None) => {
            let spoiled = ["power_w", "current_a"]
                .iter()
                .any(|key| notes.is_spoiled(&format!("{path}/{key}")));
            if !spoiled {
                notes.problem(path, neither_given(["power_w", "current_a"]));
            }
            Power::Watts(0.0)
        }
    }
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

fn moment(file: &LoadFile, stops: &[String], path: &str, notes: &mut Findings<'_>) -> EventMoment {
    let at = load_stops::time_of(file, stops);
    let at_path = format!("{path}/at");
    let on = match file.on {
        Some(OnWord::Arrive) => EventMoment::Arrive,
        Some(OnWord::Depart) => EventMoment::Depart,
        Some(OnWord::Daily) => {
            let default = defaults::EVENT_AT_MIN;
            return EventMoment::Daily(time_or_assumed(at, &at_path, default, notes));
        }
        None => {
            missing(path, "on", "`arrive`, `depart` or `daily`", notes);
            return EventMoment::Daily(ClockTime::MIDNIGHT);
        }
    };
    if at.is_some() {
        let kind = if on == EventMoment::Arrive {
            "arrive"
        } else {
            "depart"
        };
        notes.problem(&at_path, not_for_kind("event on", kind, "`daily`"));
    }
    on
}

/// Refuses what contradicts itself: an event that never comes where and when it is wanted.
fn can_be_live(load: &Load, path: &str, notes: &mut Findings<'_>) {
    let why = match (load.kind, load.when, load.place) {
        (
            LoadKind::Event {
                on: EventMoment::Arrive,
                ..
            },
            When::Ignition,
            _,
        ) => "the engine stops on arrival",
        (
            LoadKind::Event {
                on: EventMoment::Arrive,
                ..
            },
            _,
            Where::Driving,
        ) => "on arrival the drive is over",
        (
            LoadKind::Event {
                on: EventMoment::Depart,
                ..
            },
            When::Parked,
            _,
        ) => "the engine runs from departure on",
        (
            LoadKind::Event {
                on: EventMoment::Depart,
                ..
            },
            _,
            Where::Camp,
        ) => "on departure camp is over",
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
