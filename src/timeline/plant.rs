//! The system's constants for one step length, in the order the engine works through them.
//!
//! One job: the scenario's parts as plain numbers with every conversion done. The physics behind
//! them is in `system`; what they do in a step is the engine's.

use super::load_schedule::{Gate, gate};
use crate::scenario::{
    Bank, ChargerSource, Chemistry, Controller, EventMoment, Kept, LoadKind, Mount, Needs, Power,
    Role, RunEnd, Scenario, Spread,
};
use crate::system::alternator::spare_a;
use crate::system::charge_acceptance::{LITHIUM_EFFICIENCY, taper_a_per_missing_ah};
use crate::system::fridge::{leak_w_per_k, limit_c, use_w_per_k};
use crate::system::open_circuit_voltage::{Curve, VoltageTable};
use crate::system::panel::{MAX_POWER_V, MPPT_EFFICIENCY};
use crate::system::two_tank::{RATE_PER_H, SHARE_AT_HAND, TwoTankStep, full_over_rated};
use crate::wiring::run_resistance_ohm;

/// Loads return when the state of charge is this far above cut-off.
pub const RETURN_SOC: f64 = 0.05;

/// A battery without resistance is counted as one of a thousandth of a milliohm: its current is the
/// voltage across the resistance over the resistance. Ours; below it the ledger's last digits suffer.
const LEAST_OHM: f64 = 1e-6;

/// Hours of a month in which self-discharge is given.
const MONTH_H: f64 = 30.0 * 24.0;

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
    pub standby_a: f64,
    /// Self-discharge current.
    pub self_a: f64,
    /// Charge efficiency of lithium.
    pub lithium_efficiency: f64,
    /// The ten-hour current.
    pub tenth_hour_a: f64,
    /// Mean taper current over a step per Ah missing.
    pub taper_a_per_ah: f64,
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
    /// Whether the bank it charges stays in camp during local drives.
    pub trailer: bool,
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
    /// On what it hangs; `None`: never live.
    pub gate: Option<Gate>,
    /// Constant power at the bank, inverter and cable counted.
    pub watts: f64,
    /// Constant current at the bank.
    pub amps: f64,
    /// The inverter's idle power while live.
    pub idle_w: f64,
    /// What a day's use is before any factor: hours for `hours` loads, else 1.
    pub daily_use: Spread,
    /// Spread of the use.
    pub use_spread: f64,
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
    /// Compressor power at the bank.
    pub running_w: f64,
    /// Compressor power at the fridge: what cools.
    pub compressor_w: f64,
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
    /// Alternator-fed chargers by priority.
    pub groups: Vec<Vec<usize>>,
}

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
    /// The alternator.
    pub alternator: Option<AlternatorPlant>,
    /// People in the cabin keep it at 20 °C at least.
    pub heated: bool,
}

impl Plant {
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
            panels: scenario
                .solar
                .iter()
                .zip(plane_of_panel)
                .map(|(panel, plane)| {
                    let left = 1.0 - panel.losses;
                    let is_pwm = panel.controller == Controller::Pwm;
                    let gross_v = MAX_POWER_V * scenario.voltage_factor();
                    PanelPlant {
                        to: panel.to,
                        plane: *plane,
                        portable: panel.mount == Mount::Portable,
                        panel_w: panel.panel_w,
                        is_pwm,
                        keep: if is_pwm { left } else { left * MPPT_EFFICIENCY },
                        amps_per_w_m2: panel.panel_w / gross_v / 1000.0 * left,
                        gross_v,
                        max_a: panel.controller_max_a,
                        shares: panel.shares,
                        trailer: scenario.banks[panel.to].trailer,
                    }
                })
                .collect(),
            loads: (0..scenario.loads.len())
                .map(|load| load_plant(scenario, load))
                .collect(),
            fridges: fridges(scenario, step_h),
            events: events(scenario),
            alternator: alternator(scenario),
            heated: scenario.itinerary.heated,
        }
    }
}

fn bank_plant(scenario: &Scenario, index: usize, step_h: f64) -> BankPlant {
    let bank: &Bank = &scenario.banks[index];
    let lead = bank.chemistry.is_lead_acid();
    let curve = match bank.chemistry {
        Chemistry::Lfp => Curve::Lfp,
        Chemistry::Flooded => Curve::Flooded,
        Chemistry::Agm | Chemistry::Gel => Curve::Sealed,
    };
    let full_ah = if lead {
        bank.capacity_ah * full_over_rated(SHARE_AT_HAND, RATE_PER_H, 20.0)
    } else {
        bank.capacity_ah
    };
    let mut order: Vec<usize> = (0..scenario.chargers.len())
        .filter(|&c| scenario.chargers[c].to == index)
        .collect();
    order.sort_by_key(|&c| scenario.chargers[c].priority);
    BankPlant {
        is_house: bank.role == Role::House,
        capacity_ah: bank.capacity_ah,
        full_ah,
        two_tank: lead.then(|| TwoTankStep::new(SHARE_AT_HAND, RATE_PER_H, step_h)),
        voltage: VoltageTable::new(curve, scenario.voltage_factor()),
        ohm: (bank.resistance_mohm / 1000.0).max(LEAST_OHM),
        absorption_v: bank.absorption_v,
        max_charge_a: bank.max_charge_a,
        max_discharge_a: bank.max_discharge_a,
        reserve_soc: bank.reserve_soc,
        cutoff_soc: bank.cutoff_soc,
        standby_a: bank.standby_ma / 1000.0,
        self_a: bank.self_discharge_per_month * bank.capacity_ah / MONTH_H,
        lithium_efficiency: LITHIUM_EFFICIENCY,
        tenth_hour_a: bank.capacity_ah / 10.0,
        taper_a_per_ah: taper_a_per_missing_ah(step_h),
        kept: bank.kept,
        trailer: bank.trailer,
        charger_groups: by_priority(scenario, order),
        panels: (0..scenario.solar.len())
            .filter(|&p| scenario.solar[p].to == index)
            .collect(),
        feeds: (0..scenario.chargers.len())
            .filter(|&c| scenario.chargers[c].from == ChargerSource::Bank(index))
            .collect(),
    }
}

fn by_priority(scenario: &Scenario, sorted: Vec<usize>) -> Vec<Vec<usize>> {
    let mut groups: Vec<Vec<usize>> = Vec::new();
    for charger in sorted {
        let priority = scenario.chargers[charger].priority;
        match groups.last_mut() {
            Some(group) if scenario.chargers[group[0]].priority == priority => group.push(charger),
            _ => groups.push(vec![charger]),
        }
    }
    groups
}

/// Takers before givers, else in file order. The checker has refused cycles.
fn bank_order(scenario: &Scenario) -> Vec<usize> {
    let gives_to = |giver: usize, taker: usize| {
        scenario
            .chargers
            .iter()
            .any(|charger| charger.from == ChargerSource::Bank(giver) && charger.to == taker)
    };
    let count = scenario.banks.len();
    let mut order = Vec::with_capacity(count);
    while order.len() < count {
        let ready = (0..count).find(|&bank| {
            !order.contains(&bank)
                && (0..count).all(|taker| order.contains(&taker) || !gives_to(bank, taker))
        });
        // A ring cannot be: but if it were, file order would still end the loop.
        let next = ready.or_else(|| (0..count).find(|bank| !order.contains(bank)));
        order.extend(next);
    }
    order
}

fn charger_plant(scenario: &Scenario, index: usize) -> ChargerPlant {
    let charger = &scenario.chargers[index];
    ChargerPlant {
        from: charger.from,
        to: charger.to,
        output_a: charger.output_a,
        efficiency: charger.efficiency,
        min_input_v: charger.min_input_v,
        needs: charger.needs,
        input_ohm: feed_ohm(scenario, index),
        trailer: scenario.banks[charger.to].trailer,
    }
}

/// Resistance between a charger and what feeds it: every run that carries it, but the one into the
/// bank it charges. A run shared with others drops for them too: its resistance counts in
/// proportion to all the output it carries.
fn feed_ohm(scenario: &Scenario, index: usize) -> f64 {
    let own_a = scenario.chargers[index].output_a;
    let mut sum = 0.0;
    for (run_index, run) in scenario.runs.iter().enumerate() {
        let carries =
            run.carries.contains(&RunEnd::Charger(index)) || run.to == RunEnd::Charger(index);
        let is_output = run.from == RunEnd::Charger(index)
            || run.to == RunEnd::Bank(scenario.chargers[index].to);
        if carries && !is_output {
            let all_a: f64 = run
                .carries
                .iter()
                .map(|carried| match carried {
                    RunEnd::Charger(other) => scenario.chargers[*other].output_a,
                    _ => 0.0,
                })
                .sum();
            sum += run_resistance_ohm(scenario, run_index) * (all_a / own_a).max(1.0);
        }
    }
    sum
}

fn load_plant(scenario: &Scenario, index: usize) -> LoadPlant {
    let load = &scenario.loads[index];
    let power = match load.kind {
        LoadKind::Steady(power)
        | LoadKind::Duty { power, .. }
        | LoadKind::Hours { power, .. }
        | LoadKind::Event { power, .. } => power,
        // The compressor runs by its own balance: see [`FridgePlant`].
        LoadKind::Fridge(_) => Power::Watts(0.0),
    };
    let (efficiency, idle_w) = load.inverter.map_or((1.0, 0.0), |inverter| {
        (inverter.efficiency, inverter.idle_w)
    });
    let (watts, amps) = match power {
        Power::Watts(watts) => (
            watts * cable_factor(scenario, index, watts) / efficiency,
            0.0,
        ),
        Power::Amps(amps) => (0.0, amps / efficiency),
    };
    LoadPlant {
        bank: load.bank,
        gate: gate(load),
        watts,
        amps,
        idle_w,
        daily_use: match load.kind {
            LoadKind::Hours { hours_per_day, .. } => hours_per_day,
            _ => Spread::fixed(1.0),
        },
        use_spread: load.use_spread,
    }
}

/// What a load of constant power draws more because of the drop in its own run: `1 + R·P/V²`.
fn cable_factor(scenario: &Scenario, index: usize, watts: f64) -> f64 {
    let nominal_v = scenario.system_voltage_v * 1.05;
    let ohm: f64 = (0..scenario.runs.len())
        .filter(|&run| scenario.runs[run].to == RunEnd::Load(index))
        .map(|run| run_resistance_ohm(scenario, run))
        .sum();
    1.0 + ohm * watts / (nominal_v * nominal_v)
}

fn fridges(scenario: &Scenario, step_h: f64) -> Vec<FridgePlant> {
    let mut fridges = Vec::new();
    for (index, load) in scenario.loads.iter().enumerate() {
        let LoadKind::Fridge(fridge) = load.kind else {
            continue;
        };
        let efficiency = load.inverter.map_or(1.0, |inverter| inverter.efficiency);
        let rated_w = fridge.rated_average_a * scenario.system_voltage_v;
        fridges.push(FridgePlant {
            load: index,
            bank: load.bank,
            kept: fridge.kept,
            running_w: fridge.running_w * cable_factor(scenario, index, fridge.running_w)
                / efficiency,
            compressor_w: fridge.running_w,
            set_c: fridge.set_c,
            limit_c: limit_c(fridge.set_c),
            leak_w_per_k: leak_w_per_k(rated_w, fridge.rated_ambient_c, fridge.rated_inside_c),
            use_w_per_k: use_w_per_k(fridge.openings_per_day, fridge.warm_food_kg_per_day),
            store_w_per_k: fridge.contents_wh_per_k / step_h,
            starts_warm: fridge.starts_warm,
        });
    }
    fridges
}

fn events(scenario: &Scenario) -> Vec<EventPlant> {
    let kinds = scenario.loads.iter().enumerate();
    kinds
        .filter_map(|(load, entry)| match entry.kind {
            LoadKind::Event { minutes, on, .. } => Some(EventPlant { load, on, minutes }),
            _ => None,
        })
        .collect()
}

fn alternator(scenario: &Scenario) -> Option<AlternatorPlant> {
    let alternator = scenario.alternator.as_ref()?;
    let spare = |output_a| spare_a(output_a, alternator.hot_derate, alternator.vehicle_load_a);
    let mut fed: Vec<usize> = (0..scenario.chargers.len())
        .filter(|&c| scenario.chargers[c].from == ChargerSource::Alternator)
        .collect();
    fed.sort_by_key(|&c| scenario.chargers[c].priority);
    Some(AlternatorPlant {
        volts: alternator.volts,
        vehicle_load_a: alternator.vehicle_load_a,
        states: [
            (spare(alternator.idle_a), alternator.idle_share),
            (spare(alternator.rated_a), 1.0 - alternator.idle_share),
        ],
        groups: by_priority(scenario, fed),
    })
}
