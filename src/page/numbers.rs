//! The numbers of a file that one would try, each with the room that a stepper needs.
//!
//! One job: keys with what they are and sensible ends. What may stand in a file is for the checker to say.

use serde::Serialize;

use crate::scenario::{Power, Scenario, Shade};

/// A number to try.
#[derive(Debug, Serialize)]
pub(super) struct Number {
    key: String,
    label: String,
    unit: &'static str,
    value: f64,
    min: f64,
    max: f64,
    step: f64,
    /// Whether the file gives it; else it is the default.
    given: bool,
}

/// From where to where in steps of what.
type Room = (f64, f64, f64);

struct Numbers<'a> {
    scenario: &'a Scenario,
    list: Vec<Number>,
}

impl Numbers<'_> {
    fn add(&mut self, key: String, label: String, unit: &'static str, value: f64, room: Room) {
        let (min, max, step) = room;
        let given = self.scenario.given(&key).is_ok_and(|found| found.is_some());
        self.list.push(Number {
            key,
            label,
            unit,
            value,
            min: min.min(value),
            max: max.max(value),
            step,
            given,
        });
    }

    /// A draw in its own unit: up to four times what it is.
    fn draw(&mut self, id: &str, power: Power) {
        let (name, unit, value, _) = power.as_key();
        let step = match value {
            value if value < 2.0 => 0.1,
            value if value < 20.0 => 1.0,
            value if value < 200.0 => 5.0,
            _ => 50.0,
        };
        let most = (4.0 * value / step).ceil() * step;
        self.add(
            format!("loads.{id}.{name}"),
            format!("Draw of {id}"),
            unit,
            value,
            (step, most, step),
        );
    }
}

/// The numbers, in the order of the file.
pub(super) fn numbers(scenario: &Scenario) -> Vec<Number> {
    let mut list = Numbers {
        scenario,
        list: Vec::new(),
    };
    of_legs(&mut list);
    of_parts(&mut list);
    of_loads(&mut list);
    list.list
}

fn of_legs(list: &mut Numbers<'_>) {
    let scenario = list.scenario;
    for (at, leg) in scenario.itinerary.legs.iter().enumerate() {
        let key = |name: &str| format!("itinerary.legs.{}.{name}", at + 1);
        let stop = &leg.stop.name;
        let is_given = |name: &str| {
            scenario
                .given(&key(name))
                .is_ok_and(|found| found.is_some())
        };
        if is_given("drive_hours") {
            let hours = leg.drive_hours.likely;
            let label = format!("Driving to {stop}");
            list.add(key("drive_hours"), label, "h", hours, (0.25, 14.0, 0.25));
        }
        let nights = f64::from(leg.nights);
        let label = format!("Nights at {stop}");
        list.add(key("nights"), label, "", nights, (0.0, 30.0, 1.0));
        if leg.nights > 1 || is_given("local_drive_hours") {
            let hours = leg.local_drive_hours.likely;
            let label = format!("Driving about at {stop}, a day");
            list.add(
                key("local_drive_hours"),
                label,
                "h",
                hours,
                (0.0, 8.0, 0.25),
            );
        }
        if let Shade::Constant(share) = leg.shade {
            let label = format!("Shade at {stop}");
            list.add(key("shade"), label, "share", share, (0.0, 1.0, 0.05));
        }
    }
}

fn of_parts(list: &mut Numbers<'_>) {
    let scenario = list.scenario;
    for bank in &scenario.banks {
        let key = |name: &str| format!("banks.{}.{name}", bank.id);
        let id = &bank.id;
        let label = format!("Capacity of {id}");
        list.add(
            key("capacity_ah"),
            label,
            "Ah",
            bank.capacity_ah,
            (10.0, 1000.0, 10.0),
        );
        let label = format!("Charge of {id} at the start");
        list.add(
            key("start_soc"),
            label,
            "share",
            bank.start_soc.likely,
            (0.0, 1.0, 0.05),
        );
        let label = format!("Reserve of {id}");
        let room = (bank.cutoff_soc, 0.9, 0.05);
        list.add(key("reserve_soc"), label, "share", bank.reserve_soc, room);
    }
    if let Some(alternator) = &scenario.alternator {
        let key = "alternator.rated_a".to_owned();
        let label = "Rated output of the alternator".to_owned();
        list.add(key, label, "A", alternator.rated_a, (20.0, 400.0, 10.0));
    }
    let sized = scenario.chargers.iter();
    for charger in sized.filter(|charger| charger.relay.is_none()) {
        let key = format!("chargers.{}.output_a", charger.id);
        let label = format!("Output of {}", charger.id);
        list.add(key, label, "A", charger.output_a, (5.0, 150.0, 5.0));
    }
    for panel in &scenario.solar {
        let key = format!("solar.{}.panel_w", panel.id);
        let label = format!("Panel {}", panel.id);
        list.add(key, label, "W", panel.panel_w, (10.0, 1500.0, 10.0));
    }
}

fn of_loads(list: &mut Numbers<'_>) {
    let scenario = list.scenario;
    for load in scenario.loads.iter().filter(|load| !load.off) {
        let key = |name: &str| format!("loads.{}.{name}", load.id);
        let id = &load.id;
        if let Some(fridge) = load.kind.fridge() {
            let label = format!("Set point of {id}");
            list.add(key("set_c"), label, "°C", fridge.set_c, (-22.0, 10.0, 1.0));
            let label = format!("Rated mean current of {id}");
            let mean_a = fridge.rated_average_a;
            list.add(key("rated.average_a"), label, "A", mean_a, (0.2, 6.0, 0.1));
        } else {
            list.draw(id, load.kind.running());
        }
        if let Some(usage) = load.kind.usage(id) {
            let unit = if usage.unit.is_empty() {
                "share"
            } else {
                usage.unit
            };
            let value = usage.value.likely;
            list.add(key(usage.key), usage.label, unit, value, usage.room);
        }
    }
}
