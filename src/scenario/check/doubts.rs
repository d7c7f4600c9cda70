//! Warnings: what is legal but doubtful.
//!
//! One job: say so before a trial is run. What only trials can show (a drive that overruns the
//! next departure, a load beyond the bank's limit for minutes) is said by the studies.

use super::calendar::calendar;
use super::findings::Findings;
use super::itinerary::DAY_LIMIT;
use crate::scenario::defaults::{max_charge_c, max_discharge_c, resistance_ohm_ah};
use crate::scenario::{
    Alternator, Bank, ChargerSource, Chemistry, Climate, Kept, Load, LoadKind, Mount, Needs, Parts,
    Relay, Role, Senses, Topic, When, Where,
};
use crate::system::relay_circuit::RelayCircuit;

/// Mean nightly minimum below which some night may stop lithium from taking charge, °C: a
/// usual spread of 3 K below it reaches the freezing point.
const COLD_NIGHT_C: f64 = 3.0;

/// Share of what the chargers ask, over all engine time, that idling may withhold unsaid: at
/// idle nearly every alternator gives less than is asked.
const NOTABLE_SHARE: f64 = 0.1;

/// Writes down every doubt about a scenario without problems.
pub(super) fn doubt(scenario: &Parts, nights: u32, notes: &mut Findings<'_>) {
    camping(scenario, nights, notes);
    for (number, bank) in scenario.banks.iter().enumerate() {
        bank_doubts(scenario, number, bank, notes);
    }
    if let Some(alternator) = &scenario.alternator {
        oversubscribed(scenario, alternator, notes);
    }
    charger_doubts(scenario, notes);
    for (number, panel) in scenario.solar.iter().enumerate() {
        if panel.mount == Mount::Portable && nights == 0 {
            let text = "is portable, but the trip has no camp to set it up in".to_owned();
            notes.warn(&format!("/solar/{number}/mount"), text);
        }
        let bank = scenario.banks.get(panel.to);
        let gives_a = panel
            .controller_max_a
            .min(panel.panel_w / scenario.system_voltage_v);
        if let Some(bank) = bank.filter(|bank| gives_a > bank.max_charge_a) {
            let text = format!(
                "may give {gives_a:.0} A, but `{}` takes {} A at most",
                bank.id, bank.max_charge_a
            );
            notes.warn(&format!("/solar/{number}/panel_w"), text);
        }
    }
    for (number, load) in scenario.loads.iter().enumerate() {
        load_doubts(scenario, load, &format!("/loads/{number}"), notes);
    }
}

fn camping(scenario: &Parts, nights: u32, notes: &mut Findings<'_>) {
    let itinerary = &scenario.itinerary;
    if nights > 0 && itinerary.lived_in.is_none() {
        let text = if itinerary.heated {
            "is given without `lived_in`, so that it heats nothing"
        } else {
            "says nothing of `lived_in` or `heated`: in camp the cabin counts as closed and empty, \
             warm in the sun and as cold as the air at night"
        };
        let path = if itinerary.heated {
            "/itinerary/heated"
        } else {
            "/itinerary"
        };
        notes.warn(path, text.to_owned());
    }
}

/// Times or parts of what chemistry and capacity give from which a figure is doubted. Ours: makers differ
/// by two or three, a slip of the decimal point or of the unit by ten or a thousand.
const FAR: f64 = 6.0;

/// Resistance and greatest currents that are far from those of its chemistry and capacity.
fn unusual(scenario: &Parts, number: usize, bank: &Bank, notes: &mut Findings<'_>) {
    let (chemistry, capacity_ah) = (bank.chemistry, bank.capacity_ah);
    let ohm_ah = resistance_ohm_ah(chemistry).0 * scenario.voltage_factor();
    let charge_a = max_charge_c(chemistry).0 * capacity_ah;
    let discharge_a = max_discharge_c(chemistry).0 * capacity_ah;
    for (key, value, usual, unit) in [
        (
            "resistance_mohm",
            bank.resistance_mohm,
            1000.0 * ohm_ah / capacity_ah,
            "mΩ",
        ),
        ("max_charge_a", bank.max_charge_a, charge_a, "A"),
        ("max_discharge_a", bank.max_discharge_a, discharge_a, "A"),
    ] {
        if value > FAR * usual || value * FAR < usual {
            let digits = usize::from(usual < 10.0);
            let text = format!(
                "is {value} {unit}, and {capacity_ah} Ah of {} usually have about {usual:.digits$} \
                 {unit}: is it a slip?",
                chemistry.word()
            );
            notes.warn(&format!("/banks/{number}/{key}"), text);
        }
    }
}

fn bank_doubts(scenario: &Parts, number: usize, bank: &Bank, notes: &mut Findings<'_>) {
    let path = format!("/banks/{number}");
    unusual(scenario, number, bank, notes);
    if bank.start_soc.min < bank.reserve_soc {
        let text = format!(
            "may be {} at the start, below the reserve of {}: that is a shortfall at 0 days",
            bank.start_soc.min, bank.reserve_soc
        );
        notes.warn(&format!("{path}/start_soc"), text);
    }
    let from_alternator = bank.role == Role::Start && scenario.alternator.is_some();
    let charged = from_alternator
        || scenario.chargers.iter().any(|charger| charger.to == number)
        || scenario.solar.iter().any(|panel| panel.to == number);
    if !charged {
        let text = "is never charged: no charger and no panel feeds it".to_owned();
        notes.warn(&path, text);
    }
    if bank.chemistry == Chemistry::Lfp && bank.kept == Kept::EngineBay {
        let text = "stands beside the engine, where lithium gets hotter than its makers usually \
                    allow (common practice)";
        notes.warn(&format!("{path}/kept"), text.to_owned());
    }
    if let Some(coldest_c) = coldest_night_c(scenario)
        && charged
        && bank.chemistry == Chemistry::Lfp
        && bank.kept != Kept::EngineBay
        && coldest_c < COLD_NIGHT_C
    {
        let text = format!(
            "may get too cold to charge: lithium takes nothing below ‹0 °C› of the battery itself \
             and less up to ‹5 °C›, and nights fall to ‹{coldest_c} °C› on average"
        );
        notes.warn_of(Topic::ColdCharge(number), &path, text);
    }
}

/// Lowest mean nightly minimum of the months that the trip touches, by the user's own table.
fn coldest_night_c(scenario: &Parts) -> Option<f64> {
    let Climate::Monthly { rows, .. } = &scenario.climate else {
        return None;
    };
    let months = calendar(&scenario.itinerary, DAY_LIMIT).months();
    rows.iter()
        .filter(|row| months.contains(&row.month))
        .map(|row| row.day_min_c)
        .min_by(f64::total_cmp)
}

/// Input current of every charger on the alternator against what it has to give.
fn oversubscribed(scenario: &Parts, alternator: &Alternator, notes: &mut Findings<'_>) {
    let asked_a: f64 = scenario
        .chargers
        .iter()
        .filter(|charger| charger.from == ChargerSource::Alternator && charger.relay.is_none())
        .filter_map(|charger| {
            let bank = scenario.banks.get(charger.to)?;
            let output_a = charger.output_a.min(bank.max_charge_a);
            Some(output_a * bank.absorption_v / (charger.efficiency * alternator.volts))
        })
        .sum();
    let (cruise_a, idle_a) = (
        alternator.spare_a(alternator.rated_a),
        alternator.spare_a(alternator.idle_a),
    );
    let missing_share = alternator.idle_share * (1.0 - idle_a / asked_a.max(idle_a));
    if asked_a > cruise_a {
        let text = format!(
            "is oversubscribed: its chargers ask for {asked_a:.0} A together, and hot it has \
             {cruise_a:.0} A left at cruise and {idle_a:.0} A at idle"
        );
        notes.warn_of(Topic::Alternator, "/alternator", text);
    } else if missing_share > NOTABLE_SHARE {
        let text = format!(
            "is oversubscribed at idle: its chargers ask for {asked_a:.0} A together, and hot it \
             has {idle_a:.0} A left then ({cruise_a:.0} A at cruise)"
        );
        notes.warn_of(Topic::Alternator, "/alternator", text);
    }
}

fn charger_doubts(scenario: &Parts, notes: &mut Findings<'_>) {
    let has_site = scenario.itinerary.legs.iter().any(|leg| leg.mains);
    for (number, charger) in scenario.chargers.iter().enumerate() {
        let path = format!("/chargers/{number}");
        let Some(bank) = scenario.banks.get(charger.to) else {
            continue;
        };
        if let (Some(relay), Some(alternator)) = (charger.relay, &scenario.alternator) {
            relay_doubts(scenario, number, relay, alternator, notes);
            continue;
        }
        if charger.output_a > bank.max_charge_a {
            let text = format!(
                "gives {} A, but `{}` takes {} A at most",
                charger.output_a, bank.id, bank.max_charge_a
            );
            notes.warn(&format!("{path}/output_a"), text);
        }
        if charger.from == ChargerSource::Mains && !has_site {
            let text = "never works: no stop has `\"mains\": true`".to_owned();
            notes.warn(&path, text);
        }
        if let ChargerSource::Bank(giver) = charger.from
            && let Some(giver) = scenario.banks.get(giver)
            && giver.role == Role::Start
            && charger.needs == Needs::Always
        {
            let text = format!(
                "takes from the starting battery `{}` with the engine off, down to its reserve",
                giver.id
            );
            notes.warn(&format!("{path}/from"), text);
        }
    }
}

/// What a relay does without any control of current or voltage.
fn relay_doubts(
    scenario: &Parts,
    number: usize,
    relay: Relay,
    alternator: &Alternator,
    notes: &mut Findings<'_>,
) {
    let path = format!("/chargers/{number}");
    let bank = &scenario.banks[scenario.chargers[number].to];
    let circuit = RelayCircuit {
        open_v: bank
            .chemistry
            .voltage(scenario.voltage_factor())
            .volts(bank.reserve_soc),
        bank_ohm: (bank.resistance_mohm / 1000.0).max(1e-4),
        run_ohm: 0.0,
        beside_a: 0.0,
        beside_w: 0.0,
    };
    let drawn_a = circuit.current_a(alternator.volts);
    if bank.chemistry == Chemistry::Lfp && drawn_a > alternator.rated_a {
        notes.warn_of(
            Topic::Relay(number),
            &path,
            lithium_behind_relay(&bank.id, drawn_a, alternator, "but for its cable"),
        );
    }
    if bank.chemistry.is_lead_acid() && alternator.volts < bank.absorption_v - 1e-9 {
        let text = format!(
            "charges `{}` at the alternator's {:.1} V at most, below the {:.1} V that its kind is charged \
             to: it may hardly ever get full on the road",
            bank.id, alternator.volts, bank.absorption_v
        );
        notes.warn(&path, text);
    }
    if relay.senses == Senses::Ignition {
        let text = format!(
            "joins `{}` to the starting battery whenever the ignition is on, the engine running or not: \
             either may then empty the other, which is not reckoned with here",
            bank.id
        );
        notes.warn(&format!("{path}/senses"), text);
        return;
    }
    if alternator.volts < relay.joins_v {
        let text = format!(
            "never joins: the alternator stands at {:.1} V",
            alternator.volts
        );
        notes.warn(&format!("{path}/joins_v"), text);
    }
    if scenario
        .solar
        .iter()
        .any(|panel| panel.to == scenario.chargers[number].to)
    {
        let text = format!(
            "is taken to sense the alternator's side alone: one that senses both sides also joins, the \
             engine off, while the sun lifts `{}`, and then shares its sun with the starting battery",
            bank.id
        );
        notes.warn(&path, text);
    }
}

/// That lithium asks more through a relay than an alternator has.
#[must_use]
pub fn lithium_behind_relay(
    bank: &str,
    drawn_a: f64,
    alternator: &Alternator,
    reckoned: &str,
) -> String {
    format!(
        "lets lithium draw on the alternator without a limit: `{bank}` low, voltages and resistances let \
         {drawn_a:.0} A through ({reckoned}), and the alternator is rated {} A. It may overheat at full \
         output; a DC-DC charger in its place limits the current",
        alternator.rated_a
    )
}

fn load_doubts(scenario: &Parts, load: &Load, path: &str, notes: &mut Findings<'_>) {
    let Some(bank) = scenario.banks.get(load.bank) else {
        return;
    };
    match (load.when, load.place) {
        (When::Ignition, Where::Camp) => {
            let text = "is never live: in camp the engine is off".to_owned();
            notes.warn(path, text);
        }
        (When::Parked, Where::Driving) => {
            let text = "is never live: while driving it is not parked".to_owned();
            notes.warn(path, text);
        }
        (When::Ignition, _) | (_, Where::Driving) => {}
        _ if bank.role == Role::Start && !matches!(load.kind, LoadKind::Event { .. }) => {
            let text = format!(
                "draws on the starting battery `{}` with the engine off: it may not start again",
                bank.id
            );
            notes.warn(&format!("{path}/bank"), text);
        }
        _ => {}
    }
    let current_a = peak_a(load, scenario.system_voltage_v);
    if current_a > bank.max_discharge_a {
        let text = format!(
            "asks for about {current_a:.0} A, but `{}` gives {} A at most: the rest is not supplied",
            bank.id, bank.max_discharge_a
        );
        notes.warn_of(Topic::Discharge(load.bank), path, text);
    }
}

/// Current of a load while it runs, at the nominal voltage.
fn peak_a(load: &Load, volts: f64) -> f64 {
    let current_a = load.kind.running().current_a(volts);
    match load.inverter {
        Some(inverter) => current_a / inverter.efficiency + inverter.idle_w / volts,
        None => current_a,
    }
}
