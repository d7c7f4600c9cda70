//! The itinerary: places, times and legs.

use super::super::file::{AnySpread as _, WindowFile};
use super::super::parts::{
    DEPART_MIN, DelayFile, ItineraryFile, LOCAL_DEPART_MIN, LegFile, PlaceFile, ShadeFile,
};
use super::super::problem::{
    Fault, both_given, did_you_mean, escaped, missing_beside, must_be, nearest, neither_given,
    short, typed_date_time, typed_zone,
};
use super::calendar::PlannedDays;
use super::findings::Findings;
use super::spreads;
use super::time_words::{date, local_date_time};
use super::whereabouts::{self, Whereabouts};
use super::windows::{named_window, time_or_assumed, window};
use crate::scenario::{
    Delay, Itinerary, Leg, LocalInstant, Place, Shade, ShadeSlot, Spread, Window, Zone,
};

/// Nights, and days, that a trip may have in all.
pub(super) const DAY_LIMIT: u32 = 366;

/// The cure for more.
const TOO_LONG: &str = "cut the trip into parts";

/// Checks the itinerary; `None` where start, zone or places could not be read.
pub(super) fn check(file: &ItineraryFile, notes: &mut Findings<'_>) -> Option<Itinerary> {
    let from = file.from.as_ref().and_then(|file| from(file, notes));
    let zone = match &file.time_zone {
        Some(name) => zone(name, notes),
        None => from
            .as_ref()
            .and_then(|from| whereabouts::zone_of(from, notes)),
    };
    let start = file
        .start
        .as_ref()
        .and_then(|text| start(text, zone.as_ref(), notes));
    let mut before = from.as_ref().map(|from| (from.lat_deg, from.lon_deg));
    let mut legs: Vec<Leg> = Vec::new();
    for (number, file) in file.legs.iter().flatten().enumerate() {
        let leg = leg(file, before, &format!("/itinerary/legs/{number}"), notes);
        before = leg
            .as_ref()
            .map(|leg| (leg.stop.lat_deg, leg.stop.lon_deg))
            .or(before);
        legs.extend(leg);
    }
    let nights: u32 = legs.iter().map(|leg| leg.nights).sum();
    if nights > DAY_LIMIT {
        let text = format!("have {nights} nights together, but may have {DAY_LIMIT}");
        notes.problem("/itinerary/legs", Fault::from(text).hint(TOO_LONG));
        return None;
    }
    let no_later_than = (file.no_later_than.as_ref()).and_then(|text| last_date(text, notes));
    let lived_in = file
        .lived_in
        .as_ref()
        .and_then(|given| lived_in(given, notes));
    let heated = file.heated("/itinerary", notes);
    Some(Itinerary {
        start: start?,
        zone: zone?,
        from: from?,
        legs: (!legs.is_empty()).then_some(legs)?,
        no_later_than,
        lived_in,
        heated,
    })
}

fn lived_in(given: &WindowFile, notes: &mut Findings<'_>) -> Option<Window> {
    let path = "/itinerary/lived_in";
    match given {
        WindowFile::Ends(ends) => Some(window(ends, path, notes)),
        WindowFile::Named(named) => named_window(named, path, notes),
    }
}

fn zone(name: &str, notes: &mut Findings<'_>) -> Option<Zone> {
    // An abbreviation may be the name of a zone too, one without summer time.
    let found = Zone::find(name).filter(|_| typed_zone(name).is_none());
    if found.is_none() {
        let name_shown = escaped(name, 40);
        let meant = typed_zone(&name_shown).map(|zone| {
            format!("write \"{zone}\", or leave `time_zone` out for that of the place where the trip begins")
        });
        let hint = meant.or_else(|| did_you_mean(nearest(name, &Zone::names())));
        let text =
            format!("is `{name_shown}`, but must be an IANA time zone such as `Africa/Gaborone`");
        notes.problem("/itinerary/time_zone", Fault::new(text, hint));
    }
    found
}

fn start(
    text: &str,
    zone: Option<&Zone>,
    notes: &mut Findings<'_>,
) -> Option<chrono::NaiveDateTime> {
    let path = "/itinerary/start";
    let Some(start) = local_date_time(text) else {
        let found = escaped(text, 40);
        let hint = typed_date_time(&found);
        let text = format!(
            "is `{found}`, but must be a local date and time such as `2027-07-03T07:30`, from the year 1950 to 2150"
        );
        notes.problem(path, Fault::new(text, hint));
        return None;
    };
    if let Some((zone, LocalInstant::Skipped { change_s })) =
        zone.map(|zone| (zone, zone.resolve(start)))
    {
        let text = format!(
            "is `{text}`, which does not exist in {}: the clocks jump to {}",
            zone.name(),
            zone.local(change_s).format("%H:%M")
        );
        notes.problem(path, text);
    }
    Some(start)
}

fn last_date(text: &str, notes: &mut Findings<'_>) -> Option<chrono::NaiveDate> {
    let found = date(text);
    if found.is_none() {
        let allowed = "a date such as `2027-07-19`, from the year 1950 to 2150";
        let fault = must_be(format_args!("`{}`", escaped(text, 40)), allowed);
        notes.problem("/itinerary/no_later_than", fault);
    }
    found
}

/// A delay that can be a day at least, in some trips at least.
fn delay(file: Option<&DelayFile>, path: &str, notes: &mut Findings<'_>) -> Option<Delay> {
    let file = file?;
    let delay = Delay {
        chance: file.chance.unwrap_or(0.0),
        days: spreads::required(file.days.as_ref(), &format!("{path}/days"), notes),
    };
    (delay.chance > 0.0 && delay.most_days() > 0).then_some(delay)
}

fn from(file: &PlaceFile, notes: &mut Findings<'_>) -> Option<Place> {
    let given = Whereabouts {
        name: (file.name.as_deref()?, "name"),
        lat: file.lat,
        lon: file.lon,
        near: file.near.as_deref(),
        km: file.km,
        bearing: file.bearing.as_ref(),
        height_m: file.height_m,
    };
    given.place(None, "/itinerary/from", notes)
}

fn leg(
    file: &LegFile,
    before: Option<(f64, f64)>,
    path: &str,
    notes: &mut Findings<'_>,
) -> Option<Leg> {
    let stop = file.to.as_deref().and_then(|to| {
        let given = Whereabouts {
            name: (to, "to"),
            lat: file.lat,
            lon: file.lon,
            near: file.near.as_deref(),
            km: file.km,
            bearing: file.bearing.as_ref(),
            height_m: file.height_m,
        };
        given.place(before, path, notes)
    });
    let key = |name: &str| format!("{path}/{name}");
    let depart = time_or_assumed(file.depart.as_ref(), &key("depart"), DEPART_MIN, notes);
    let depart_spread_min = file.depart_spread_min(path, notes);
    let drive_hours = drive_hours(file, path, notes);
    let delay = delay(file.delay.as_ref(), &key("delay"), notes);
    let nights = file.nights(path, notes);
    let none = (
        0.0,
        "on the safe side: the vehicle stays parked on days without a leg",
    );
    let given = file.local_drive_hours.as_ref();
    let local_drive_hours = notes.spread_or_assumed(&key("local_drive_hours"), given, none);
    let local_depart = if local_drive_hours.max > 0.0 || file.local_depart.is_some() {
        let given = file.local_depart.as_ref();
        time_or_assumed(given, &key("local_depart"), LOCAL_DEPART_MIN, notes)
    } else {
        // Nobody drives about: no default worth a line in `check`.
        crate::scenario::ClockTime::new(LOCAL_DEPART_MIN.0)?
    };
    let shade = shade(file.shade.as_ref(), &key("shade"), notes);
    let mains = file.mains(path, notes);
    Some(Leg {
        stop: stop?,
        depart,
        depart_spread_min,
        drive_hours,
        delay,
        nights,
        local_drive_hours,
        local_depart,
        shade,
        mains,
        mains_possible: file.mains_possible.unwrap_or(false),
    })
}

/// Hours at the wheel: as given, or the way over its speed, end by end of the spread.
fn drive_hours(file: &LegFile, path: &str, notes: &mut Findings<'_>) -> Spread {
    let key = |name: &str| format!("{path}/{name}");
    let speed = file.speed_kmh.as_ref();
    let speed = speed.map(|speed| spreads::in_order(speed.to_spread(), &key("speed_kmh"), notes));
    match (&file.drive_hours, file.distance_km, speed) {
        (None, Some(km), Some(speed)) => Spread {
            min: km / speed.max,
            likely: km / speed.likely,
            max: km / speed.min,
        },
        (None, Some(_), None) => lacks("speed_kmh", "distance_km", path, notes),
        (None, None, Some(_)) => lacks("distance_km", "speed_kmh", path, notes),
        (None, None, None) => {
            let names = ["drive_hours", "distance_km"];
            if !names.iter().any(|name| notes.is_spoiled(&key(name))) {
                notes.problem(path, neither_given(names));
            }
            Spread::fixed(1.0)
        }
        (Some(hours), km, speed) => {
            for (name, is_given) in [
                ("distance_km", km.is_some()),
                ("speed_kmh", speed.is_some()),
            ] {
                if is_given {
                    notes.problem(&key(name), both_given("drive_hours"));
                }
            }
            spreads::required(Some(hours), &key("drive_hours"), notes)
        }
    }
}

fn lacks(key: &str, given: &str, path: &str, notes: &mut Findings<'_>) -> Spread {
    let key = format!("{path}/{key}");
    if !notes.is_spoiled(&key) {
        notes.problem(&key, missing_beside(given));
    }
    Spread::fixed(1.0)
}

fn shade(given: Option<&ShadeFile>, path: &str, notes: &mut Findings<'_>) -> Shade {
    match given {
        Some(ShadeFile::Share(share)) => Shade::Constant(*share),
        Some(ShadeFile::Slots(slots)) => Shade::Slots(
            slots
                .iter()
                .enumerate()
                .filter_map(|(number, slot)| {
                    let path = format!("{path}/{number}/window");
                    Some(ShadeSlot {
                        window: window(slot.window.as_ref()?, &path, notes),
                        share: slot.shade?,
                    })
                })
                .collect(),
        ),
        None => Shade::Constant(notes.or_assumed(path, None, (0.0, "open ground"))),
    }
}

/// Checks the length of the whole trip.
pub(super) fn check_length(
    itinerary: &Itinerary,
    calendar: &PlannedDays<'_>,
    notes: &mut Findings<'_>,
) {
    let last = itinerary.no_later_than;
    if let Some(last) = last.filter(|last| *last < calendar.ends) {
        let text = format!(
            "is ‹{last}›, but the trip ends on ‹{}› by its own plan",
            calendar.ends
        );
        notes.warn("/itinerary/no_later_than", text);
    }
    if calendar.length_days > f64::from(DAY_LIMIT) {
        // Rounded up: 366.04 days are more than 366.
        let days = short((calendar.length_days * 10.0).ceil() / 10.0);
        let text = format!("make a trip of {days} days, but it may have {DAY_LIMIT}");
        notes.problem("/itinerary/legs", Fault::from(text).hint(TOO_LONG));
    }
}
