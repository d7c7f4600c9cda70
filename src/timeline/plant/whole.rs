//! All constants of the system together.
//!
//! One job: to gather the parts for one step length. What each part is made of is in `banks`,
//! `charging` and `loads`.

use super::banks::{bank_order, bank_plant};
use super::charging::{alternator, charger_plant, panel_plants};
use super::loads::{events, fridges, inverters, load_plant};
use super::parts::{
    AlternatorPlant, BankPlant, ChargerPlant, EventPlant, FridgePlant, InverterPlant, LoadPlant,
    PanelPlant,
};
use crate::scenario::Scenario;

/// All constants.
#[derive(Debug, Clone, PartialEq)]
pub struct Plant {
    /// Step length, hours.
    pub step_h: f64,
    /// Banks in file order.
    pub banks: Vec<BankPlant>,
    /// Order in which banks are worked out: takers before givers.
    pub bank_order: Vec<usize>,
    /// Chargers in file order.
    pub chargers: Vec<ChargerPlant>,
    /// Panels in file order.
    pub panels: Vec<PanelPlant>,
    /// Loads in file order.
    pub loads: Vec<LoadPlant>,
    /// Fridges.
    pub fridges: Vec<FridgePlant>,
    /// Event loads.
    pub events: Vec<EventPlant>,
    /// Inverters that can be asked for more than they give while something runs now and then.
    pub inverters: Vec<InverterPlant>,
    /// The alternator.
    pub alternator: Option<AlternatorPlant>,
    /// People in the cabin keep it at 20 °C at least.
    pub heated: bool,
}

impl Plant {
    /// The fridges on a bank, with their number.
    pub(crate) fn fridges_of(&self, bank: usize) -> impl Iterator<Item = (usize, &FridgePlant)> {
        let all = self.fridges.iter().enumerate();
        all.filter(move |(_, fridge)| fridge.bank == bank)
    }

    /// Constants for steps of `step_h` hours; `plane_of_panel` is the sun's.
    #[must_use]
    pub fn new(scenario: &Scenario, plane_of_panel: &[Option<usize>], step_h: f64) -> Self {
        let banks = (0..scenario.banks.len()).map(|bank| bank_plant(scenario, bank, step_h));
        Self {
            step_h,
            banks: banks.collect(),
            bank_order: bank_order(scenario),
            chargers: (0..scenario.chargers.len())
                .map(|c| charger_plant(scenario, c))
                .collect(),
            panels: panel_plants(scenario, plane_of_panel),
            loads: (0..scenario.loads.len())
                .map(|load| load_plant(scenario, load))
                .collect(),
            fridges: fridges(scenario, step_h),
            events: events(scenario),
            inverters: inverters(scenario),
            alternator: alternator(scenario),
            heated: scenario.itinerary.heated,
        }
    }
}
