//! The constants of each part of the system.
//!
//! One job: the shapes. How they are made from the scenario is in `banks`, `charging` and `loads`;
//! what they do in a step is the engine's.

use crate::scenario::{ChargerSource, EventMoment, Kept, Needs, Relay, Spread};
use crate::system::fridge::Compressor;
use crate::system::open_circuit_voltage::VoltageTable;
use crate::system::two_tank::TwoTankStep;
use crate::timeline::load_schedule::Availability;

/// Loads return when the state of charge is this far above cut-off.
pub const RETURN_SOC: f64 = 0.05;

/// One bank's constants.
#[derive(Debug, Clone, PartialEq)]
pub struct BankPlant {
    /// House (true) or start bank.
    pub is_house: bool,
    /// Rated capacity: the scale of the state of charge.
    pub capacity_ah: f64,
    /// Charge in the full battery, both tanks.
    pub full_ah: f64,
    /// The step of the two tanks; `None` for lithium.
    pub two_tank: Option<TwoTankStep>,
    /// Open-circuit voltage.
    pub voltage: VoltageTable,
    /// Its mean from full to reserve: charge that is asked of an empty bank counts at that.
    pub usable_v: f64,
    /// Resistance.
    pub ohm: f64,
    /// Absorption voltage.
    pub absorption_v: f64,
    /// Greatest charge current.
    pub max_charge_a: f64,
    /// Greatest discharge current.
    pub max_discharge_a: f64,
    /// Reserve.
    pub reserve_soc: f64,
    /// Cut-off.
    pub cutoff_soc: f64,
    /// Standby current.
    pub standby: Standby,
    /// Self-discharge current.
    pub self_a: f64,
    /// Charge efficiency of lithium.
    pub lithium_efficiency: f64,
    /// The ten-hour current.
    pub tenth_hour_a: f64,
    /// Mean taper current over a step per Ah missing.
    pub taper_a_per_ah: f64,
    /// What divisions by these come to.
    pub over: BankInverses,
    /// Where it stands.
    pub kept: Kept,
    /// In a trailer.
    pub trailer: bool,
    /// Chargers that feed it, by priority: groups of equal priority.
    pub charger_groups: Vec<Vec<usize>>,
    /// Panels that feed it.
    pub panels: Vec<usize>,
    /// Bank-fed chargers that it feeds.
    pub feeds: Vec<usize>,
}

/// What limits the power that a bank gives.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum BankLimit {
    /// Its discharge limit, A.
    Current(f64),
    /// Its resistance: the most that any current brings to its terminals, W.
    Resistance(f64),
}

impl BankPlant {
    /// The lower of its limits, half full: its resistance lets half of what it would at a short through at
    /// the most power, `V²/4R`.
    #[must_use]
    pub fn limit(&self) -> BankLimit {
        let open_v = self.voltage.volts(0.5);
        if 0.5 * open_v < self.max_discharge_a * self.ohm {
            BankLimit::Resistance(0.25 * open_v * open_v / self.ohm)
        } else {
            BankLimit::Current(self.max_discharge_a)
        }
    }
}

/// What monitor and protection of a bank draw, until it is empty.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Standby {
    /// The current.
    pub amps: f64,
    /// At this state of charge or below nothing is drawn.
    pub ends_soc: f64,
}

impl Standby {
    /// The current at a state of charge.
    #[must_use]
    #[inline]
    pub fn amps_at(&self, soc: f64) -> f64 {
        if soc > self.ends_soc { self.amps } else { 0.0 }
    }
}

/// Inverses of a bank's constants: the step loop multiplies.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BankInverses {
    /// Of the resistance.
    pub ohm: f64,
    /// Of the step's length.
    pub step_h: f64,
    /// Of the rated capacity.
    pub capacity_ah: f64,
    /// Of the ten-hour current.
    pub tenth_hour_a: f64,
    /// Of the charge efficiency of lithium.
    pub lithium_efficiency: f64,
}

/// One charger's constants.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ChargerPlant {
    /// What feeds it.
    pub from: ChargerSource,
    /// The bank it charges.
    pub to: usize,
    /// Output current.
    pub output_a: f64,
    /// Efficiency.
    pub efficiency: f64,
    /// Input voltage below which it stops.
    pub min_input_v: f64,
    /// When it can work.
    pub needs: Needs,
    /// Resistance of the cable that feeds it, both ways; 0 without a run.
    pub input_ohm: f64,
    /// Whether its source may ever give less than it asks: a bank, or an alternator behind a cable on
    /// which the voltage falls below `min_input_v` at full output.
    pub may_starve: bool,
    /// Whether the bank it charges stays in camp during local drives.
    pub trailer: bool,
    /// What joins the bank to the alternator's side in place of a charger: `input_ohm` is then all of its
    /// run.
    pub relay: Option<Relay>,
}

impl ChargerPlant {
    /// Whether it works with the engine only.
    #[must_use]
    pub fn is_driven(&self) -> bool {
        self.from != ChargerSource::Mains && self.needs != Needs::Always
    }
}

/// One panel's constants.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PanelPlant {
    /// The bank it charges.
    pub to: usize,
    /// Its plane in the sun steps; `None`: flat.
    pub plane: Option<usize>,
    /// Works in camp only.
    pub portable: bool,
    /// Rated power.
    pub panel_w: f64,
    /// Held at the bank's voltage.
    pub is_pwm: bool,
    /// Delivered over gross: losses and controller (tracking), losses only (PWM).
    pub keep: f64,
    /// Current per W/m² (PWM only), losses counted.
    pub amps_per_w_m2: f64,
    /// Nominal voltage of the gross power (PWM only).
    pub gross_v: f64,
    /// Output limit.
    pub max_a: f64,
    /// Charger in whose box it sits.
    pub shares: Option<usize>,
    /// Stays in camp during local drives.
    pub trailer: bool,
}

/// One load's constants.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LoadPlant {
    /// The bank it draws on.
    pub bank: usize,
    /// On what it depends; `None`: never live.
    pub availability: Option<Availability>,
    /// Constant power at the bank, inverter and cable counted.
    pub watts: f64,
    /// Constant current at the bank.
    pub amps: f64,
    /// Drawn all the time it is live, whatever its use: the inverter's idle power, and a long start spread
    /// over the window that it opens.
    pub idle_w: f64,
    /// What a day's use is before any factor: hours for `hours` loads, else 1.
    pub daily_use: Spread,
    /// Spread of the use.
    pub use_spread: f64,
    /// Must never be left without.
    pub keep: bool,
}

/// One fridge's constants.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FridgePlant {
    /// Index of the load.
    pub load: usize,
    /// The bank it draws on.
    pub bank: usize,
    /// Where it stands.
    pub kept: Kept,
    /// Stays in camp during local drives.
    pub trailer: bool,
    /// Compressor power at the bank.
    pub running_w: f64,
    /// What cools, by its power at the fridge.
    pub compressor: Compressor,
    /// Set point.
    pub set_c: f64,
    /// Limit above which food is in doubt.
    pub limit_c: f64,
    /// Heat leak.
    pub leak_w_per_k: f64,
    /// Heat let in by use.
    pub use_w_per_k: f64,
    /// Stored heat per kelvin over a step.
    pub store_w_per_k: f64,
    /// Has to pull down first.
    pub starts_warm: bool,
}

/// One event load.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct EventPlant {
    /// Index of the load.
    pub load: usize,
    /// When it comes.
    pub on: EventMoment,
    /// How long it lasts.
    pub minutes: Spread,
    /// What a long start draws at the bank over the running draw, W, and for how long, s.
    pub start: (f64, f64),
}

/// An inverter that can be asked for more than it gives.
#[derive(Debug, Clone, PartialEq)]
pub struct InverterPlant {
    /// Index of the inverter.
    pub unit: usize,
    /// The bank it draws on.
    pub bank: usize,
    /// Output that it gives.
    pub rated_w: f64,
    /// Its loads, by index, and what each draws of it while it runs, W.
    pub loads: Vec<(usize, f64)>,
}

/// The alternator's constants.
#[derive(Debug, Clone, PartialEq)]
pub struct AlternatorPlant {
    /// Voltage it stands at.
    pub volts: f64,
    /// What the vehicle takes.
    pub vehicle_load_a: f64,
    /// Current to spare and share of the engine time: idle, then cruise.
    pub states: [(f64, f64); 2],
    /// Share of the engine time at idle on drives about from a stop.
    pub local_idle_share: f64,
    /// Alternator-fed chargers by priority.
    pub groups: Vec<Vec<usize>>,
    /// Of each of them the voltage of the alternator below which it stands still, beside its number.
    pub least_v: Vec<(usize, f64)>,
    /// Relays, which no priority concerns: they share by their resistances.
    pub relays: Vec<usize>,
}
