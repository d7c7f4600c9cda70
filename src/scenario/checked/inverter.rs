//! Inverters: from a bank to 230/120 V.

use super::BankId;

/// One inverter with every default filled in.
#[derive(Debug, Clone, PartialEq)]
pub struct InverterUnit {
    /// Unique id.
    pub id: String,
    /// The bank it draws on.
    pub bank: BankId,
    /// Output that it gives without end.
    pub rated_w: f64,
    /// Output that it gives for a moment.
    pub surge_w: f64,
    /// Drawn while any of its loads is live.
    pub idle_w: f64,
    /// Output power over input power, idle power apart: together they make its curve, low at little
    /// load and near this at much.
    pub efficiency: f64,
}

impl InverterUnit {
    /// Power that it takes from the bank for an output, W.
    ///
    /// # Source
    /// A constant and a proportional loss, as efficiency curves of inverters are usually fitted.
    #[must_use]
    pub fn input_w(&self, output_w: f64) -> f64 {
        self.idle_w + output_w / self.efficiency
    }
}
