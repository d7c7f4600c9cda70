//! The parts of a scenario: each key of the file declared once, and what the rest of the program works with.
//!
//! Every default is filled in and every rule of the format held, so nothing downstream checks again:
//! that is what a [`Scenario`](super::Scenario) around these parts stands for. Quantities are in the unit that
//! ends their name; shares run from 0 to 1; azimuths are clockwise from true north; charge
//! into a bank is positive.

mod alternator;
mod bank;
mod buying;
mod charger;
mod climate;
mod distribution;
mod inverter;
mod itinerary;
mod kept;
mod load;
mod load_keys;
mod panel;
mod power;
mod run;
pub(super) mod section;
mod spread;
mod stop_choice;
mod window;

pub use alternator::Alternator;
pub(super) use alternator::AlternatorFile;
pub(super) use bank::BankFile;
pub use bank::{Bank, BankId, Chemistry, Role};
pub use buying::Buying;
pub use charger::{Charger, ChargerSource, Needs, Relay, Senses};
pub(super) use charger::{ChargerFile, ChargerKind};
pub use climate::{Climate, DayPersistence, History, MonthRow};
pub(super) use climate::{ClimateFile, ClimateKind, MonthFile};
pub(super) use distribution::PointFile;
pub use distribution::{Point, PointKind};
pub(super) use inverter::InverterFile;
pub use inverter::{Efficiency, InverterUnit};
pub(super) use itinerary::{
    BearingFile, DEPART_MIN, DelayFile, ItineraryFile, LOCAL_DEPART_MIN, LegFile, PlaceFile,
    ShadeFile,
};
pub use itinerary::{Delay, Itinerary, Leg, Place, Shade, ShadeSlot};
pub use kept::Kept;
pub use load::{
    Appliance, EventMoment, Fridge, Inverter, Load, LoadKind, Peak, Usage, When, Where,
};
pub(super) use load_keys::{
    LoadFile, LoadKindWord, StartsWord, StopFile, StopsFile, WhenFile, WhenWord,
};
pub(super) use panel::PanelFile;
pub use panel::{Controller, Mount, Panel};
pub use power::Power;
pub(super) use run::RunFile;
pub use run::{Insulation, Run, RunEnd};
pub(super) use section::Kinds;
pub use spread::Spread;
pub use stop_choice::StopChoice;
pub use window::{ClockTime, Window, WindowEnd};

use super::check::{Assumed, Warning};
use crate::units::Units;

/// What a scenario says, part by part.
#[derive(Debug, Clone, PartialEq)]
pub struct Parts {
    /// The user's title.
    pub title: String,
    /// 12 or 24.
    pub system_voltage_v: f64,
    /// The seed of the file, if it names one.
    pub seed: Option<u64>,
    /// Currency of the prices, three capital letters.
    pub currency: Option<String>,
    /// Units of what is shown.
    pub units: Units,
    /// The confidence that `compare`, `topup`, `stay` and `--strict` aim at, above 0 and below 1.
    pub aim_chance: f64,
    /// Where the trip goes and when.
    pub itinerary: Itinerary,
    /// Where the weather comes from.
    pub climate: Climate,
    /// House and start banks, in file order.
    pub banks: Vec<Bank>,
    /// The vehicle's alternator, if there is one.
    pub alternator: Option<Alternator>,
    /// Chargers, in file order.
    pub chargers: Vec<Charger>,
    /// Solar panels with their controllers, in file order.
    pub solar: Vec<Panel>,
    /// Loads, in file order.
    pub loads: Vec<Load>,
    /// Inverters, in file order.
    pub inverters: Vec<InverterUnit>,
    /// Buses, fuse blocks, plugs and switches, in file order.
    pub distribution: Vec<Point>,
    /// Cable runs, in file order.
    pub runs: Vec<Run>,
    /// What is legal but doubtful, in file order.
    pub warnings: Vec<Warning>,
    /// What the file leaves to the defaults, in the order of the scenario's parts.
    pub assumed: Vec<Assumed>,
}

impl Parts {
    /// Voltage classes of 12 V: 1 or 2. Battery voltages of a 12 V bank are multiplied by it.
    #[must_use]
    pub fn voltage_factor(&self) -> f64 {
        self.system_voltage_v / 12.0
    }

    /// Indices of the house banks.
    #[must_use]
    pub fn house_banks(&self) -> Vec<usize> {
        indices(&self.banks, |bank| bank.role == Role::House)
    }

    /// Index of the start bank that the alternator feeds: the first.
    #[must_use]
    pub fn start_bank(&self) -> Option<usize> {
        let mut banks = self.banks.iter();
        banks.position(|bank| bank.role == Role::Start)
    }

    /// Indices of the chargers that something feeds.
    #[must_use]
    pub fn fed_from(&self, source: ChargerSource) -> Vec<usize> {
        indices(&self.chargers, |charger| charger.from == source)
    }
}

/// Indices of the parts that are meant, in file order.
pub fn indices<T>(parts: &[T], is_meant: impl Fn(&T) -> bool) -> Vec<usize> {
    let places = 0..parts.len();
    places.filter(|&place| is_meant(&parts[place])).collect()
}
