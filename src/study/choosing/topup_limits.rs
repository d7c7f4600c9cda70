//! Why no number of hours tops a bank up.
//!
//! One job: the reason in a sentence: a start below the reserve, a trailer that stays in camp, a trip
//! without nights; else the bank's day and the limits of its chargers and of the alternator.

use super::topup_banks::{charging_v, engine_fed};
use super::topup_driving::DrivingBy;
use super::topup_search::Tried;
use crate::scenario::{Needs, Scenario};
use crate::timeline::here::Here;

/// The reason, at the most driving.
pub(super) fn why_not(
    scenario: &Scenario,
    here: Option<&Here>,
    way: DrivingBy,
    tried: &Tried,
) -> String {
    if let Some(reason) = starts_below_reserve(scenario, here) {
        return reason;
    }
    let bound = tried.binds.as_ref().map(|binds| &binds.bank);
    let index = scenario
        .banks
        .iter()
        .position(|bank| Some(&bank.id) == bound);
    let Some(index) = index else {
        return "the chance stays below the aim".to_owned();
    };
    if let Some(reason) = stays_in_camp(scenario, way, index) {
        return reason;
    }
    let limits = limits(scenario, tried, index);
    if scenario.itinerary.legs.iter().all(|leg| leg.nights == 0) {
        return format!(
            "the trip has no night, so its legs are all that can be driven, and {limits}"
        );
    }
    limits
}

/// A bank that is short before the engine runs: by the file at the departure, by its meter from here on.
fn starts_below_reserve(scenario: &Scenario, here: Option<&Here>) -> Option<String> {
    let starts_at = |index: usize| match here {
        Some(here) => here.reading(index).map(|reading| reading.high),
        None => Some(scenario.banks[index].start_soc.mean()),
    };
    let houses = scenario.house_banks().into_iter();
    let mut low = houses.filter_map(|index| Some((&scenario.banks[index], starts_at(index)?)));
    let (bank, soc) = low.find(|(bank, soc)| *soc < bank.reserve_soc)?;
    let (starts, until) = match here {
        Some(_) => (
            "is",
            "charge it first, and ask again with what its meter shows then",
        ),
        None => (
            "starts",
            "charge it before you leave, or give `start_soc` what it is then",
        ),
    };
    Some(format!(
        "bank {} {starts} at {:.0} %, below its reserve of {:.0} %, so it is short before the engine runs; {until}",
        bank.id,
        100.0 * soc,
        100.0 * bank.reserve_soc
    ))
}

/// Where only legs charge the bank, and drives were added in camp.
fn stays_in_camp(scenario: &Scenario, way: DrivingBy, index: usize) -> Option<String> {
    let mut own = engine_fed(scenario)
        .filter(|charger| charger.to == index)
        .peekable();
    own.peek()?;
    let bank = &scenario.banks[index];
    let stays = own.all(|charger| charger.needs == Needs::Towing || bank.trailer);
    (stays && way == DrivingBy::LocalDrives).then(|| {
        format!(
            "bank {} stays in camp while you drive about: its charger works on legs only, so no drive from camp \
             reaches it; longer legs, sun on it or a charger that works in camp would",
            bank.id
        )
    })
}

/// The charger's and the alternator's limits in plain figures.
fn limits(scenario: &Scenario, tried: &Tried, index: usize) -> String {
    let id = &scenario.banks[index].id;
    let Some(bank) = tried.banks.iter().find(|bank| bank.id == *id) else {
        return "the chance stays below the aim".to_owned();
    };
    let charger = if bank.charger_limit_w > 0.0 {
        format!(
            "its chargers give at most {:.0} A, about {:.0} W, while the engine runs",
            bank.charger_limit_w / charging_v(scenario),
            bank.charger_limit_w
        )
    } else {
        "no charger feeds it while the engine runs".to_owned()
    };
    let alternator = scenario
        .alternator
        .as_ref()
        .map_or_else(String::new, |alternator| {
            format!(
                "; the alternator has {:.0} A to spare at cruise and {:.0} A at idle",
                alternator.spare_a(alternator.rated_a),
                alternator.spare_a(alternator.idle_a)
            )
        });
    // Sums of nothing may be a negative zero.
    let wh = |energy_wh: f64| energy_wh.max(0.0) + 0.0;
    format!(
        "even at {:.1} h of driving a day bank {id} asks for {:.0} Wh a day and gets {:.0} Wh from sun and {:.0} Wh \
         from chargers: {charger}{alternator}",
        tried.driven.per_day,
        wh(bank.asked_wh_per_day),
        wh(bank.sun_wh_per_day),
        wh(bank.charger_wh_per_day)
    )
}
