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
    /// Output power over input power.
    pub efficiency: Efficiency,
}

/// Output power over input power of an inverter.
#[derive(Debug, Clone, PartialEq)]
pub enum Efficiency {
    /// Idle power apart: together they make a curve, low at little load and near this at much.
    Constant(f64),
    /// Share of the rated output and efficiency there, idle power included, shares ascending.
    Curve(Vec<(f64, f64)>),
}

impl InverterUnit {
    /// Power that it takes from the bank for an output, W.
    ///
    /// # Source
    /// A constant and a proportional loss, as efficiency curves of inverters are usually fitted.
    #[must_use]
    pub fn input_w(&self, output_w: f64) -> f64 {
        self.idle_w + output_w / self.efficiency_at(output_w)
    }

    /// Output over what it takes beyond its idle power. A curve is straight between its points, beside
    /// them like the nearest.
    #[must_use]
    pub fn efficiency_at(&self, output_w: f64) -> f64 {
        let points = match &self.efficiency {
            Efficiency::Constant(efficiency) => return *efficiency,
            Efficiency::Curve(points) => points,
        };
        let share = output_w / self.rated_w;
        let above = points.partition_point(|(at, _)| *at < share);
        let whole = match (
            above.checked_sub(1).map(|below| points[below]),
            points.get(above),
        ) {
            (Some((from, low)), Some((to, high))) => {
                low + (share - from) / (to - from) * (high - low)
            }
            (Some((_, last)), None) => last,
            (None, Some((_, first))) => *first,
            (None, None) => 1.0,
        };
        // What the sheet counts as loss holds the idle power too.
        let beyond_idle_w = (output_w / whole - self.idle_w).max(output_w);
        if output_w > 0.0 {
            output_w / beyond_idle_w
        } else {
            whole
        }
    }
}
