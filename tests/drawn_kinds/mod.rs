//! Whether the random scenarios hold every kind of part there is.
//!
//! One job: a word for each kind, and that all of them are drawn. The scenarios come from
//! `random_scenario`; what must hold in them is in `laws.rs`.

use std::collections::BTreeSet;

use super::random_scenario::{checked, text};
use serde_json::Value;
use tideover::scenario::{
    ChargerSource, Chemistry, Climate, Controller, DayPersistence, EventMoment, Kept, LoadKind,
    Mount, Needs, Power, Role, Scenario, Senses, Shade, When, Where, WindowEnd, json_schema,
};

/// Words for all that was drawn. Each match is exhaustive: a new kind does not compile until it has
/// a word here, and fails below until it is drawn.
#[expect(clippy::too_many_lines, reason = "one list of all kinds")]
fn kinds(scenario: &Scenario) -> Vec<&'static str> {
    let mut seen = Vec::new();
    seen.push(match &scenario.climate {
        Climate::BuiltIn { .. } => "built-in",
        Climate::Monthly { .. } => "monthly",
        Climate::History(_) => "history",
    });
    if let Climate::BuiltIn { persistence } | Climate::Monthly { persistence, .. } =
        &scenario.climate
    {
        seen.push(if *persistence == DayPersistence::default() {
            "usual persistence"
        } else {
            "own persistence"
        });
    }
    for bank in &scenario.banks {
        seen.push(match bank.chemistry {
            Chemistry::Lfp => "lfp",
            Chemistry::Agm => "agm",
            Chemistry::Gel => "gel",
            Chemistry::Flooded => "flooded",
        });
        seen.push(match bank.role {
            Role::House => "house",
            Role::Start => "start",
        });
        seen.push(match bank.kept {
            Kept::Cabin => "cabin",
            Kept::Box => "box",
            Kept::EngineBay => "engine-bay",
        });
        seen.push(if bank.trailer { "trailer" } else { "vehicle" });
    }
    for charger in &scenario.chargers {
        seen.push(match charger.from {
            ChargerSource::Alternator => "from alternator",
            ChargerSource::Mains => "from mains",
            ChargerSource::Bank(_) => "from bank",
        });
        if let Some(relay) = charger.relay {
            seen.push(match relay.senses {
                Senses::Voltage => "relay by voltage",
                Senses::Ignition => "relay by ignition",
            });
        }
        seen.push(match charger.needs {
            Needs::Driving => "driving",
            Needs::Towing => "towing",
            Needs::Always => "always",
        });
    }
    for panel in &scenario.solar {
        seen.push(match panel.mount {
            Mount::Flat => "flat",
            Mount::Portable => "portable",
            Mount::Tilted { .. } => "tilted",
        });
        seen.push(match panel.controller {
            Controller::Mppt => "mppt",
            Controller::Pwm => "pwm",
        });
        seen.push(if panel.shares.is_some() {
            "shared"
        } else {
            "own"
        });
    }
    for load in &scenario.loads {
        let power = |power: Power| match power {
            Power::Watts(_) => "watts",
            Power::Amps(_) => "amps",
        };
        seen.push(match load.kind {
            LoadKind::Event { on, .. } => match on {
                EventMoment::Arrive => "arrive",
                EventMoment::Depart => "depart",
                EventMoment::Daily(_) => "daily",
            },
            LoadKind::Fridge(fridge) if fridge.starts_warm => "warm",
            LoadKind::Fridge(_) => "cold",
            kind => power(kind.running()),
        });
        seen.push(match load.when {
            When::Always => "when always",
            When::Ignition => "ignition",
            When::Parked => "parked",
            When::Window(window) => match window.from {
                WindowEnd::Clock(_) => "clock",
                WindowEnd::Sunrise(_) => "sunrise",
                WindowEnd::Sunset(_) => "sunset",
            },
        });
        seen.push(match load.place {
            Where::Anywhere => "anywhere",
            Where::Camp => "camp",
            Where::Driving => "on the road",
        });
        seen.push(if load.inverter.is_some() {
            "inverter"
        } else {
            "direct"
        });
    }
    for leg in &scenario.itinerary.legs {
        seen.push(match leg.shade {
            Shade::Constant(_) => "constant shade",
            Shade::Slots(_) => "shade list",
        });
        seen.push(if leg.mains {
            "powered site"
        } else {
            "no mains"
        });
    }
    seen.push(if scenario.system_voltage_v > 18.0 {
        "24 V"
    } else {
        "12 V"
    });
    seen.push(if scenario.runs.is_empty() {
        "no runs"
    } else {
        "runs"
    });
    seen
}

/// The kinds of loads are those of the schema.
#[test]
fn law_the_generator_draws_every_kind_of_load() {
    let schema = json_schema();
    let words = schema["$defs"]["LoadFile"]["properties"]["kind"]["oneOf"].as_array();
    let words = words.expect("words with their meanings").iter();
    let wanted: BTreeSet<String> = words.map(|word| word["const"].to_string()).collect();
    let kinds = (0..100).flat_map(|seed| {
        let file: Value = serde_json::from_str(&text(seed)).expect("JSON");
        let loads = file["loads"].as_array().cloned().unwrap_or_default();
        loads.into_iter().map(|load| load["kind"].to_string())
    });
    assert_eq!(kinds.collect::<BTreeSet<_>>(), wanted);
}

#[test]
fn law_the_generator_draws_every_kind() {
    let mut drawn: Vec<&str> = (0..400)
        .flat_map(|seed| kinds(&checked(&text(seed))))
        .collect();
    drawn.sort_unstable();
    drawn.dedup();
    let wanted = [
        "12 V",
        "24 V",
        "agm",
        "always",
        "amps",
        "anywhere",
        "arrive",
        "box",
        "built-in",
        "cabin",
        "camp",
        "clock",
        "cold",
        "constant shade",
        "daily",
        "depart",
        "direct",
        "driving",
        "engine-bay",
        "flat",
        "flooded",
        "from alternator",
        "from bank",
        "from mains",
        "gel",
        "history",
        "house",
        "ignition",
        "inverter",
        "lfp",
        "monthly",
        "mppt",
        "no mains",
        "no runs",
        "on the road",
        "own",
        "own persistence",
        "parked",
        "portable",
        "powered site",
        "pwm",
        "relay by ignition",
        "relay by voltage",
        "runs",
        "shade list",
        "shared",
        "start",
        "sunset",
        "tilted",
        "towing",
        "trailer",
        "usual persistence",
        "vehicle",
        "warm",
        "watts",
        "when always",
    ];
    assert_eq!(drawn, wanted);
}
