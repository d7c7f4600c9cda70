//! The parts of the electrical system, each as pure functions of plain numbers.
//!
//! A part knows nothing of trials, steps or files. Charge into a battery and current into it are
//! positive; powers are in W, currents in A, charge in Ah, energy in Wh, temperatures in °C.

pub mod alternator;
pub mod battery_temperature;
pub mod charge_acceptance;
pub mod charger_input;
pub mod fridge;
pub mod open_circuit_voltage;
pub mod panel;
pub mod relay_circuit;
pub mod surroundings;
pub mod terminal_voltage;
pub mod two_tank;
