//! Which parts of the system are in the vehicle and which in the trailer.
//!
//! One job: the band of each box, from the banks outwards.

use crate::scenario::{Mount, Parts, PointKind, RunEnd};

/// Where a box stands, from top to bottom: the vehicle, the plug to the trailer, the trailer, and
/// what stands outside of either.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Band {
    /// Outside, joined to the vehicle.
    BesideVehicle,
    /// In the vehicle.
    Vehicle,
    /// Between the two.
    Between,
    /// In the trailer.
    Trailer,
    /// Outside, joined to the trailer.
    BesideTrailer,
}

impl Band {
    /// Every band, from the top.
    pub const ALL: [Self; 5] = [
        Self::BesideVehicle,
        Self::Vehicle,
        Self::Between,
        Self::Trailer,
        Self::BesideTrailer,
    ];

    /// The band in which a line from this to another one passes columns.
    #[must_use]
    pub fn of_line_to(self, other: Self) -> Self {
        let is_inside = |band: &Self| matches!(band, Self::Vehicle | Self::Trailer);
        [self, other].into_iter().find(is_inside).unwrap_or(other)
    }
}

/// The band of each part, as the lists of the scenario.
pub(super) struct Bands {
    pub(super) chargers: Vec<Band>,
    pub(super) panels: Vec<Band>,
    pub(super) points: Vec<Band>,
}

/// The band of what belongs to a bank.
pub(super) fn band_of(in_trailer: bool) -> Band {
    if in_trailer {
        Band::Trailer
    } else {
        Band::Vehicle
    }
}

impl Bands {
    pub(super) fn of(scenario: &Parts) -> Self {
        let is_plug = |end: &RunEnd| match *end {
            RunEnd::Point(index) => scenario.distribution[index].kind == PointKind::Plug,
            _ => false,
        };
        // A charger stands beside its bank, unless its output goes through the plug.
        let chargers: Vec<Band> = (0..scenario.chargers.len())
            .map(|index| {
                let this = RunEnd::Charger(index);
                let leads_out = scenario
                    .runs
                    .iter()
                    .any(|run| run.from == this && is_plug(&run.to));
                band_of(scenario.banks[scenario.chargers[index].to].trailer && !leads_out)
            })
            .collect();
        let panels = scenario.solar.iter().map(|panel| {
            let beside = panel.shares.map_or_else(
                || band_of(scenario.banks[panel.to].trailer),
                |charger| chargers[charger],
            );
            match (panel.mount, beside) {
                (Mount::Portable, Band::Trailer) => Band::BesideTrailer,
                (Mount::Portable, _) => Band::BesideVehicle,
                _ => beside,
            }
        });
        let points = (0..scenario.distribution.len()).map(|index| {
            if scenario.distribution[index].kind == PointKind::Plug {
                Band::Between
            } else {
                band_of(is_in_trailer(scenario, &chargers, RunEnd::Point(index)))
            }
        });
        Self {
            panels: panels.collect(),
            points: points.collect(),
            chargers: chargers.clone(),
        }
    }
}

/// Whether anything that runs join to this end, plugs apart, is in the trailer.
fn is_in_trailer(scenario: &Parts, chargers: &[Band], end: RunEnd) -> bool {
    let (mut open, mut seen) = (vec![end], Vec::new());
    while let Some(end) = open.pop() {
        let found = match end {
            RunEnd::Alternator => false,
            RunEnd::Bank(bank) => scenario.banks[bank].trailer,
            RunEnd::Charger(charger) => chargers[charger] == Band::Trailer,
            RunEnd::Panel(panel) => scenario.banks[scenario.solar[panel].to].trailer,
            RunEnd::Inverter(unit) => scenario.banks[scenario.inverters[unit].bank].trailer,
            RunEnd::Load(load) => scenario.banks[scenario.loads[load].bank].trailer,
            RunEnd::Point(point) => {
                let is_plug = scenario.distribution[point].kind == PointKind::Plug;
                if !is_plug && !seen.contains(&point) {
                    seen.push(point);
                    for run in &scenario.runs {
                        if run.from == end {
                            open.push(run.to);
                        } else if run.to == end {
                            open.push(run.from);
                        }
                    }
                }
                false
            }
        };
        if found {
            return true;
        }
    }
    false
}
