//! Inputs of a scenario that `why` moves.
//!
//! One job: the list, each with its key, its two ends and what it is in words. Spreads go from their
//! least to their greatest value; sizes and powers 20 % down and up.

use crate::scenario::{Scenario, Shade, Spread};

/// How far a value without a spread is moved.
const AROUND: f64 = 0.2;

/// One input.
pub(super) struct Input {
    /// Its key, as `compare --vary` takes it.
    pub(super) key: String,
    /// What it is.
    pub(super) name: String,
    /// Unit of its ends; empty for a share.
    pub(super) unit: &'static str,
    pub(super) low: f64,
    pub(super) high: f64,
    pub(super) is_spread: bool,
}

/// The inputs being listed.
#[derive(Default)]
struct Inputs(Vec<Input>);

impl Inputs {
    /// A quantity that the file gives as a spread; one without chance is left out.
    fn spread(&mut self, key: String, name: String, unit: &'static str, spread: Spread) {
        if !spread.is_fixed() {
            self.0.push(Input {
                key,
                name,
                unit,
                low: spread.min,
                high: spread.max,
                is_spread: true,
            });
        }
    }

    /// A quantity that the file gives as a number, at most `most`.
    fn around(&mut self, key: String, name: String, unit: &'static str, value: f64, most: f64) {
        if value > 0.0 {
            self.0.push(Input {
                key,
                name,
                unit,
                low: value * (1.0 - AROUND),
                high: (value * (1.0 + AROUND)).min(most),
                is_spread: false,
            });
        }
    }
}

/// The inputs, in the order of the file.
pub(super) fn inputs(scenario: &Scenario) -> Vec<Input> {
    let mut list = Inputs::default();
    let unlimited = f64::INFINITY;
    for (at, leg) in scenario.itinerary.legs.iter().enumerate() {
        let key = |name: &str| format!("itinerary.legs.{}.{name}", at + 1);
        let stop = &leg.stop.name;
        let name = format!("drive to {stop}");
        list.spread(key("drive_hours"), name, "h", leg.drive_hours);
        if leg.nights > 1 {
            let name = format!("local drives at {stop}");
            let hours = leg.local_drive_hours;
            list.spread(key("local_drive_hours"), name, "h", hours);
        }
        if let Shade::Constant(share) = leg.shade {
            list.around(key("shade"), format!("shade at {stop}"), "", share, 1.0);
        }
    }
    for bank in &scenario.banks {
        let key = |name: &str| format!("banks.{}.{name}", bank.id);
        let name = format!("charge of {} at the start", bank.id);
        list.spread(key("start_soc"), name, "", bank.start_soc);
        let name = format!("capacity of {}", bank.id);
        list.around(key("capacity_ah"), name, "Ah", bank.capacity_ah, unlimited);
    }
    if let Some(alternator) = &scenario.alternator {
        let name = "rated output of the alternator".to_owned();
        let rated_a = alternator.rated_a;
        list.around(
            "alternator.rated_a".to_owned(),
            name,
            "A",
            rated_a,
            unlimited,
        );
    }
    let sized = scenario.chargers.iter();
    for charger in sized.filter(|charger| charger.relay.is_none()) {
        let key = format!("chargers.{}.output_a", charger.id);
        let name = format!("output of {}", charger.id);
        list.around(key, name, "A", charger.output_a, unlimited);
    }
    for panel in &scenario.solar {
        let key = format!("solar.{}.panel_w", panel.id);
        let name = format!("panel {}", panel.id);
        list.around(key, name, "W", panel.panel_w, unlimited);
    }
    for load in scenario.loads.iter().filter(|load| !load.off) {
        let key = |name: &str| format!("loads.{}.{name}", load.id);
        if let Some(fridge) = load.kind.fridge() {
            // A compressor cannot run more than all the time.
            let most = fridge.running_w / (12.0 * scenario.voltage_factor());
            let name = format!("rated mean current of {}", load.id);
            let key = key("rated.average_a");
            list.around(key, name, "A", fridge.rated_average_a, most);
        } else {
            let (name, unit, value, _) = load.kind.running().as_key();
            let draw = format!("draw of {}", load.id);
            list.around(key(name), draw, unit, value, unlimited);
        }
        if let Some(usage) = load.kind.usage(&load.id) {
            list.spread(key(usage.key), usage.name, usage.rate, usage.value);
        }
    }
    list.0
}
