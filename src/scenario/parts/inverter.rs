//! Inverters: from a bank to 230/120 V.

use schemars::JsonSchema;
use serde::Deserialize;

use super::BankId;
use super::section::{key, section};
use crate::scenario::check::Entries;

/// Output power over input power of an inverter.
#[derive(Debug, Clone, PartialEq)]
pub enum Efficiency {
    /// Idle power apart: together they make a curve, low at little load and near this at much.
    Constant(f64),
    /// Share of the rated output and efficiency there, idle power included, shares ascending.
    Curve(Vec<(f64, f64)>),
}

/// Efficiency of an inverter.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(untagged)]
pub(in crate::scenario) enum EfficiencyFile {
    /// At any output, idle power apart.
    Constant(#[schemars(range(min = 0.3, max = 1))] f64),
    /// By output, idle power included, as data sheets have it; straight between the points.
    Curve(#[schemars(length(min = 1, max = 20))] Vec<EfficiencyPointFile>),
}

impl From<&EfficiencyFile> for Efficiency {
    fn from(given: &EfficiencyFile) -> Self {
        match given {
            EfficiencyFile::Constant(efficiency) => Self::Constant(*efficiency),
            EfficiencyFile::Curve(points) => Self::Curve(
                points
                    .iter()
                    .map(|point| (point.share.unwrap_or(1.0), point.efficiency.unwrap_or(1.0)))
                    .collect(),
            ),
        }
    }
}

section! {
    /// A point of an efficiency curve.
    file EfficiencyPointFile {
        /// Output over the rated output.
        share: f64 [0.01 to 1] must;
        /// Output power over input power there.
        efficiency: f64 [0.05 to 1] must;
    }
}

section! {
    /// An inverter: the way from a bank to 230/120 V.
    InverterUnit from InverterFile(file, path, notes, entries: &Entries) {
        /// Unique name: letters, digits, `_` and `-`.
        id: String [id] must else String::new();
        /// Id of the bank it draws on.
        bank: String [] must is BankId = entries.bank(file.bank.as_ref(), &key(path, "bank"), notes).unwrap_or(0);
        /// Output that it gives without end.
        rated_w: f64 [above 0 to 50_000] must else f64::INFINITY;
        /// Output that it gives for a moment.
        surge_w: f64 [above 0 to 150_000]
            or (1.5 * rated_w, "for a second or two, one and a half to twice what it is rated for (common practice)");
        /// Drawn while any of its loads is live.
        idle_w: f64 [0 to 1000];
        /// Output power over input power: one number, idle power apart, or the curve of a data sheet.
        efficiency: EfficiencyFile [] is Efficiency = file.efficiency.as_ref().map_or_else(
            || {
                let default = (0.88, "85 to 93 % (common practice)");
                Efficiency::Constant(notes.or_assumed(&key(path, "efficiency"), None, default))
            },
            Efficiency::from,
        );
        /// Drawn while any of its loads is live.
        read idle_w: f64 [] or (8.0, "0.5 to 1.5 A at 12 V are 6 to 18 W (common practice)");
        /// Id of the run that feeds it.
        run: String [];
    }
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
