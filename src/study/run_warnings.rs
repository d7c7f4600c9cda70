//! What a run found that its reader should know.

use super::answer::Warning;
use super::simulation::Simulation;
use crate::scenario::{Scenario, Topic, lithium_behind_relay};
use crate::timeline::plant::BankLimit;
use crate::units::Whole;
use crate::wiring::inverter_output::inverter_problems;
use crate::wiring::relays::{relay_current, relay_problem};

/// Charge kept out by cold that is worth a word, Ah a day. Ours.
const WORTH_AH_PER_DAY: f64 = 0.1;

/// An alternator that is asked too much is worth a word from this many hours a trip on, or from
/// this share of the hours driven. Ours.
const OVERSUBSCRIBED_H: f64 = 0.5;
const OVERSUBSCRIBED_SHARE: f64 = 0.05;

/// Warnings that only the trials could tell, each with what it is about.
#[must_use]
pub fn run_warnings(run: &Simulation) -> Vec<(Topic, Warning)> {
    let (scenario, timeline, ensemble) = (&run.scenario, &run.timeline, &run.ensemble);
    let mut warnings = Vec::new();
    let mut warn = |topic: Topic, path: String, text: String| {
        warnings.push((topic, Warning::new(path, text)));
    };
    let days = run.days();
    let trials = ensemble.trials.real();
    if ensemble.overruns > 0 {
        let a_trip = ensemble.overruns.real() / trials;
        warn(
            Topic::Other,
            "/itinerary/legs".to_owned(),
            format!(
                "a drive overran the next departure {a_trip:.2} times a trip on average: that leg \
                 then left on arrival"
            ),
        );
    }
    for (index, bank) in scenario.banks.iter().enumerate() {
        let ledger = &ensemble.totals.banks[index];
        let (cold_h, cold_ah) = (ledger.cold_h / days, ledger.cold_ah / days);
        if cold_ah > WORTH_AH_PER_DAY {
            warn(
                Topic::ColdCharge(index),
                format!("/banks/{index}"),
                format!(
                    "bank {} was too cold for {cold_h:.1} h a day for what its sources would have brought: \
                     {cold_ah:.1} Ah a day stayed out, since lithium takes no charge below ‹0 °C› and less \
                     up to ‹5 °C›",
                    bank.id
                ),
            );
        }
        if ledger.over_limit_wh > 0.0 {
            let (key, limit) = limit_in_words(timeline.plant.banks[index].limit());
            warn(
                Topic::Discharge(index),
                format!("/banks/{index}/{key}"),
                format!(
                    "loads on bank {} asked more than {limit}: {:.1} Wh a day were not supplied",
                    bank.id,
                    ledger.over_limit_wh / days
                ),
            );
        }
    }
    let chargers = 0..scenario.chargers.len();
    for (path, text) in chargers.filter_map(|index| starved(run, index)) {
        warn(Topic::Other, path, text);
    }
    if ensemble.oversubscribed_h / trials > OVERSUBSCRIBED_H
        || ensemble.oversubscribed_h > OVERSUBSCRIBED_SHARE * ensemble.totals.driven_h
    {
        warn(
            Topic::Alternator,
            "/alternator".to_owned(),
            format!(
                "more was asked of the alternator than it had for {:.1} of {:.1} h driven: {}",
                ensemble.oversubscribed_h / trials,
                ensemble.totals.driven_h / trials,
                if scenario
                    .chargers
                    .iter()
                    .any(|charger| charger.relay.is_some())
                {
                    "its voltage fell until what relays and starting battery drew fitted, chargers beside them shared by priority"
                } else {
                    "chargers shared what there was by priority"
                }
            ),
        );
    }
    for (index, fridge) in timeline.plant.fridges.iter().enumerate() {
        let hours: f64 = ensemble.fridge_above_h[index]
            .iter()
            .map(|&h| f64::from(h))
            .sum();
        if hours / trials > 1.0 {
            warn(
                Topic::Other,
                format!("/loads/{}", fridge.load),
                format!(
                    "load {} was above ‹{} °C:0› for {:.1} h a trip on average: food in it may spoil",
                    scenario.loads[fridge.load].id,
                    fridge.limit_c,
                    hours / trials
                ),
            );
        }
    }
    warnings.extend(overloads(scenario));
    for index in 0..scenario.chargers.len() {
        warnings.extend(of_relay(scenario, index));
    }
    warnings
}

/// A charger that stood still, or a relay that was parted, for want of voltage: path and text of a warning.
fn starved(run: &Simulation, index: usize) -> Option<(String, String)> {
    let charger = &run.scenario.chargers[index];
    let of = &run.ensemble.totals.chargers[index];
    let starved_h = of.starved_h;
    if starved_h <= 0.01 * of.open_h.max(1e-9) {
        return None;
    }
    let a_trip_h = starved_h / run.ensemble.trials.real();
    let path = format!("/chargers/{index}");
    Some(match charger.relay {
        Some(relay) => (
            path,
            format!(
                "relay {} was parted for {a_trip_h:.1} h a trip with the engine running: the \
                 alternator's voltage was below the {} V at which it joins or the {} V at which it parts",
                charger.id, relay.joins_v, relay.parts_v
            ),
        ),
        None => (
            format!("{path}/min_input_v"),
            format!(
                "charger {} stood still for {a_trip_h:.1} h a trip because its input was below {} V: \
                 see `wiring` for a heavier cable",
                charger.id, charger.min_input_v
            ),
        ),
    })
}

/// A relay through which lithium draws more than the alternator is rated for, or more than the relay is.
fn of_relay(scenario: &Scenario, index: usize) -> Vec<(Topic, Warning)> {
    let charger = &scenario.chargers[index];
    let bank = &scenario.banks[charger.to];
    let (Some(of), Some(alternator)) = (relay_current(scenario, index), &scenario.alternator)
    else {
        return Vec::new();
    };
    let is_lithium = !bank.chemistry.is_lead_acid();
    let drawn = (is_lithium && of.circuit_a > of.alternator_a).then(|| {
        let text = lithium_behind_relay(&bank.id, of.circuit_a, alternator, "with its cable");
        (Topic::Relay(index), format!("relay {} {text}", charger.id))
    });
    let overload = relay_problem(&charger.id, &of).map(|problem| {
        let text = format!("{}; would do: {}", problem.fails, problem.would_do);
        (Topic::Other, text)
    });
    let path = format!("/chargers/{index}");
    let both = drawn.into_iter().chain(overload);
    both.map(|(topic, text)| (topic, Warning::new(path.as_str(), text)))
        .collect()
}

/// Inverters that can be asked for more than they give, by everything that can be on together.
fn overloads(scenario: &Scenario) -> impl Iterator<Item = (Topic, Warning)> {
    (0..scenario.inverters.len()).flat_map(|index| {
        inverter_problems(scenario, index)
            .into_iter()
            .map(move |problem| {
                let path = format!("/inverters/{index}");
                let text = format!("{}; would do: {}", problem.fails, problem.would_do);
                (Topic::Other, Warning::new(path, text))
            })
    })
}

/// The key of a bank's limit, and what it is.
fn limit_in_words(limit: BankLimit) -> (&'static str, String) {
    match limit {
        BankLimit::Current(limit_a) => ("max_discharge_a", format!("its {limit_a} A")),
        BankLimit::Resistance(most_w) => (
            "resistance_mohm",
            format!("the {most_w:.1} W that its resistance lets through at most"),
        ),
    }
}

#[cfg(test)]
mod tests {
    use crate::scenario::read;
    use crate::study::settings::Settings;
    use crate::study::trip::trip;
    use crate::trials::Silent;

    #[test]
    fn an_alternator_is_warned_of_when_it_lacks_long_enough_to_matter() {
        let desert = include_str!("../../scenarios/desert-crossing.json");
        let plateau = include_str!("../../scenarios/plateau-camp.json");
        for (text, warns) in [(desert, true), (plateau, false)] {
            let reading = read(text, "trip.json", &|_| Err("none".to_owned()));
            let scenario = reading.expect("sound").scenario;
            let mut settings = Settings::default();
            settings.run.trials = 64;
            let answer = trip(&scenario, &settings, &Silent).expect("has a climate");
            let result = answer.result;
            assert!(result.alternator.expect("has one").oversubscribed_hours > 0.0);
            let warned = result
                .warnings
                .iter()
                .any(|warning| warning.path == "/alternator");
            assert_eq!(warned, warns, "{}", result.heading.scenario);
        }
    }
}
