//! What a page needs to lay itself out: stops with their times, banks, loads, where the plan is now.

use serde_json::{Value, json};

use crate::command::Failure;
use crate::scenario::{ChargerSource, Place, Role, Scenario};
use crate::study::from_here::local_now;
use crate::timeline::calendar::{NominalCalendar, Plan};

/// Latitude and longitude of a place, degrees.
fn at_of(place: &Place) -> [f64; 2] {
    [place.lat_deg, place.lon_deg]
}

/// The outline of a scenario; with `now`, a local time, also where the plan is then.
pub(super) fn outline(scenario: &Scenario, now: Option<&str>) -> Result<Value, Failure> {
    let plan = NominalCalendar::new(scenario, &Plan::Trip);
    let zone = &scenario.itinerary.zone;
    let local = |utc_s: i64| zone.local(utc_s).format("%Y-%m-%dT%H:%M").to_string();
    let banks = &scenario.banks;
    let bank = |index: usize| banks[index].id.as_str();
    let legs = scenario.itinerary.legs.iter().zip(&plan.legs).enumerate();
    let stops = legs.map(|(at, (leg, times))| {
        let onward = plan.legs.get(at + 1).map(|next| local(next.depart_s));
        json!({
            "name": leg.stop.name, "at": at_of(&leg.stop),
            "leave": local(times.depart_s),
            "arrive": local(times.arrive_s),
            "depart": onward,
            "nights": leg.nights,
            "mains": leg.mains,
        })
    });
    let of_bank = banks.iter().map(|bank| {
        json!({
            "id": bank.id, "name": bank.id, "kind": bank.chemistry.word(),
            "capacity_ah": bank.capacity_ah, "reserve_soc": bank.reserve_soc,
            "is_starter": bank.role == Role::Start,
        })
    });
    let loads = scenario.loads.iter().map(|load| {
        json!({
            "id": load.id, "name": load.id, "bank": bank(load.bank), "off": load.off,
        })
    });
    let chargers = scenario.chargers.iter().map(|charger| {
        let from = match charger.from {
            ChargerSource::Alternator => "alternator",
            ChargerSource::Mains => "mains",
            ChargerSource::Bank(index) => bank(index),
        };
        json!({
            "id": charger.id, "name": charger.id, "bank": bank(charger.to), "from": from,
            "output_a": charger.output_a,
        })
    });
    let panels = scenario.solar.iter().map(|panel| {
        json!({
            "id": panel.id, "name": panel.id, "bank": bank(panel.to), "panel_w": panel.panel_w,
        })
    });
    let mut outline = json!({
        "status": 0,
        "name": scenario.title,
        "seed": scenario.seed.unwrap_or(crate::study::settings::DEFAULT_SEED),
        "aim_chance": scenario.aim_chance,
        "zone": zone.name(),
        "start": local(plan.start_s),
        "end": local(plan.end_s),
        "from": scenario.itinerary.from.name, "from_at": at_of(&scenario.itinerary.from),
        "ends_by_drive": plan.ends_on_arrival.is_some(),
        "stops": stops.collect::<Vec<_>>(),
        "banks": of_bank.collect::<Vec<_>>(),
        "loads": loads.collect::<Vec<_>>(),
        "chargers": chargers.collect::<Vec<_>>(),
        "panels": panels.collect::<Vec<_>>(),
    });
    if let Some(now) = now {
        let now_s = local_now(scenario, now)?;
        let leg = plan.stop_at(now_s);
        let stop = leg.map(|leg| scenario.itinerary.legs[leg].stop.name.as_str());
        let mut drives = plan.drives().into_iter();
        let driving = drives.any(|(from_s, to_s)| (from_s..to_s).contains(&now_s));
        let within = (plan.start_s..plan.end_s).contains(&now_s);
        outline["position"] = json!({
            "stop": stop, "number": leg.map(|leg| leg + 1), "driving": driving, "within": within,
        });
    }
    Ok(outline)
}
