//! The cause of one trial's shortfall: the first kind that holds.
//!
//! One job: from readings to a kind with its figures. The order is that of `CauseKind`.

use super::account::Window;
use super::reference::Reference;
use crate::engine::{BankMeter, ChargerMeter, Meters, PanelMeter};
use crate::scenario::ChargerSource;
use crate::study::answer::{Away, CauseKind};
use crate::timeline::Timeline;
use crate::units::Whole;

/// Hours driven that are worth a word, h. Ours.
const NOTABLE_H: f64 = 0.25;

/// One trial's cause.
#[derive(Debug, Clone)]
pub(super) struct Found {
    pub(super) kind: CauseKind,
    pub(super) source: Option<(Source, Option<Away>)>,
    pub(super) needed_wh: f64,
    pub(super) had_wh: f64,
    pub(super) missing_ah: f64,
    /// The figures of the kind, as `Why` has them.
    pub(super) figures: [f64; 3],
}

/// A charger or a panel, by index in the scenario.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Source {
    Charger(usize),
    Panel(usize),
}

/// Holds a trial's window against the trip as planned.
pub(super) struct Judge<'a> {
    pub(super) timeline: &'a Timeline,
    pub(super) reference: &'a Reference,
    pub(super) bank: usize,
    pub(super) volts: f64,
    /// What each charger and each panel brings by plan.
    pub(super) brings_ah: (Vec<f64>, Vec<f64>),
}

impl Judge<'_> {
    pub(super) fn judge(&self, meters: &Meters, window: &Window) -> Found {
        let bank = |meter| window.since_full[Meters::of_bank(meter)];
        let missing_ah = window.missing_ah;
        let missing_wh = missing_ah * self.volts;
        let asked_wh = bank(BankMeter::AskedWh);
        let found = |kind, figures| Found {
            kind,
            source: None,
            needed_wh: asked_wh,
            had_wh: (asked_wh - missing_wh).max(0.0),
            missing_ah,
            figures,
        };
        if let Some(limit) = self.limit(window) {
            return limit;
        }
        if let Some((source, away, would_ah)) = self.absent(meters, window, missing_ah) {
            return Found {
                source: Some((source, Some(away))),
                ..found(CauseKind::SourceAbsent, [would_ah, 0.0, 0.0])
            };
        }
        let refused_ah = bank(BankMeter::ColdAh);
        let constants = &self.timeline.plant.banks[self.bank];
        let usable_ah = (1.0 - constants.cutoff_soc) * constants.capacity_ah;
        let out_of_reach_ah = window.out_of_reach * usable_ah;
        if refused_ah.max(out_of_reach_ah) > missing_ah {
            let figures = [refused_ah, window.out_of_reach, window.battery_c];
            return found(CauseKind::TooCold, figures);
        }
        if let Some(small) = self.too_small(window, missing_ah) {
            return small;
        }
        let chargers = 0..meters.chargers.len();
        let of = |at: usize, meter| window.since_full[Meters::of_charger(at, meter)];
        let plant = &self.timeline.plant;
        let is_driven = |at: &usize| plant.chargers[meters.chargers[*at]].is_driven();
        let withheld = chargers
            .clone()
            .filter(|&at| plant.chargers[meters.chargers[at]].from == ChargerSource::Alternator);
        let withheld_ah: f64 = withheld.map(|at| of(at, ChargerMeter::DeniedAh)).sum();
        if withheld_ah > missing_ah {
            return found(CauseKind::Alternator, [withheld_ah, 0.0, 0.0]);
        }
        // Of several chargers the one that worked longest tells the hours.
        let planned = |at: usize| {
            self.reference.open_h[window.to][at] - self.reference.open_h[window.from][at]
        };
        let output_a = |at: usize| plant.chargers[meters.chargers[at]].output_a;
        let driven = || chargers.clone().filter(is_driven);
        let driven_h = driven()
            .map(|at| of(at, ChargerMeter::OpenH))
            .fold(0.0, f64::max);
        let planned_h = driven().map(planned).fold(0.0, f64::max);
        let not_driven_ah: f64 = driven()
            .map(|at| (planned(at) - of(at, ChargerMeter::OpenH)) * output_a(at))
            .sum();
        let driving = || found(CauseKind::Driving, [driven_h, planned_h, 0.0]);
        if not_driven_ah > missing_ah {
            return driving();
        }
        let sum = |meter| -> f64 { chargers.clone().map(|at| of(at, meter)).sum() };
        let full_h = sum(ChargerMeter::FullH);
        if full_h > NOTABLE_H && full_h > 0.5 * sum(ChargerMeter::OpenH) {
            let busiest = chargers
                .clone()
                .max_by(|&a, &b| of(a, ChargerMeter::FullH).total_cmp(&of(b, ChargerMeter::FullH)));
            let at = busiest.unwrap_or(0);
            let figures = [
                of(at, ChargerMeter::FullH),
                of(at, ChargerMeter::OpenH),
                0.0,
            ];
            return Found {
                source: Some((Source::Charger(meters.chargers[at]), None)),
                ..found(CauseKind::Charger, figures)
            };
        }
        if driven_h > NOTABLE_H {
            return driving();
        }
        let between = |sums: &[f64]| sums[window.to] - sums[window.from];
        let (sun_wh, mean_wh) = (bank(BankMeter::SunWh), between(&self.reference.sun_wh));
        if mean_wh - sun_wh > missing_wh {
            return found(CauseKind::Sky, [sun_wh, mean_wh, 0.0]);
        }
        let lost_wh = bank(BankMeter::ShadeWh);
        if lost_wh > missing_wh {
            return found(CauseKind::Shade, [lost_wh, 0.0, 0.0]);
        }
        let mean_wh = between(&self.reference.asked_wh);
        if asked_wh - mean_wh > missing_wh {
            return found(CauseKind::Use, [asked_wh, mean_wh, 0.0]);
        }
        let days = self.days(window.from, window.to).max(1e-9);
        let out_ah = bank(BankMeter::AskedAh) / days;
        found(
            CauseKind::Balance,
            [out_ah, bank(BankMeter::InAh) / days, 0.0],
        )
    }

    /// Whether its own limits kept more from the loads than it lacked charge for.
    fn limit(&self, window: &Window) -> Option<Found> {
        let (asked_wh, over_wh) = (window.asked_wh, window.over_limit_wh);
        (over_wh > window.missing_ah * self.volts).then(|| Found {
            kind: CauseKind::Limit,
            source: None,
            needed_wh: asked_wh,
            had_wh: asked_wh - over_wh,
            missing_ah: over_wh / self.volts,
            figures: [asked_wh, over_wh, 0.0],
        })
    }

    /// The source that would have brought most while it was shut off, if that is more than was missing
    /// and more than it brought: a source that works most of the time is not away. Nor is one that the
    /// bank does not live on: only what brings most by plan is missed.
    fn absent(
        &self,
        meters: &Meters,
        window: &Window,
        missing_ah: f64,
    ) -> Option<(Source, Away, f64)> {
        let plant = &self.timeline.plant;
        let (by_charger, by_panel) = &self.brings_ah;
        let most_ah = by_charger
            .iter()
            .chain(by_panel)
            .copied()
            .fold(0.0, f64::max);
        let chargers = meters.chargers.iter().enumerate();
        let chargers = chargers
            .filter(|(at, _)| by_charger[*at] >= most_ah)
            .map(|(at, &index)| {
                let of = |meter| window.since_full[Meters::of_charger(at, meter)];
                let charger = &plant.chargers[index];
                let shut_ah = of(ChargerMeter::AbsentAh);
                let (away, would_ah) = match charger.from {
                    ChargerSource::Mains => (Away::NoMains, shut_ah),
                    ChargerSource::Bank(_) if of(ChargerMeter::DeniedAh) > shut_ah => {
                        (Away::GiverEmpty, of(ChargerMeter::DeniedAh))
                    }
                    _ if of(ChargerMeter::StarvedAh) > shut_ah => {
                        (Away::LowInput, of(ChargerMeter::StarvedAh))
                    }
                    _ => (Away::NotTowed, shut_ah),
                };
                (
                    Source::Charger(index),
                    away,
                    would_ah,
                    of(ChargerMeter::GivenAh),
                )
            });
        let panels = meters.panels.iter().enumerate();
        let panels = panels
            .filter(|(at, _)| by_panel[*at] >= most_ah)
            .map(|(at, &index)| {
                let of = |meter| window.since_full[meters.of_panel(at, meter)] / self.volts;
                let (would_ah, gave_ah) = (of(PanelMeter::PackedWh), of(PanelMeter::OfferedWh));
                (Source::Panel(index), Away::Packed, would_ah, gave_ah)
            });
        chargers
            .chain(panels)
            .filter(|&(_, _, would_ah, gave_ah)| would_ah > missing_ah && would_ah > gave_ah)
            .max_by(|a, b| a.2.total_cmp(&b.2))
            .map(|(source, away, would_ah, _)| (source, away, would_ah))
    }

    /// Whether the time between two chances to charge asks more than a full bank has: either it was
    /// full when that time began, or it would not have been enough had it been.
    fn too_small(&self, window: &Window, missing_ah: f64) -> Option<Found> {
        let constants = &self.timeline.plant.banks[self.bank];
        let of = |meter| window.since_gap[Meters::of_bank(meter)];
        let asked_ah = of(BankMeter::AskedAh);
        let holds_ah = (1.0 - constants.reserve_soc) * constants.capacity_ah;
        let began_full = window.from > 0 && window.from >= window.gap_from;
        if !began_full && asked_ah <= holds_ah {
            return None;
        }
        let has_ah = if asked_ah > holds_ah {
            holds_ah
        } else {
            asked_ah - missing_ah
        };
        let nights = self.midnights(window.gap_from, window.to).max(1.0);
        Some(Found {
            kind: CauseKind::TooSmall,
            source: None,
            needed_wh: of(BankMeter::AskedWh),
            had_wh: has_ah * self.volts,
            missing_ah,
            figures: [nights, asked_ah, has_ah],
        })
    }

    fn days(&self, from: usize, to: usize) -> f64 {
        (self.timeline.utc_s(to) - self.timeline.utc_s(from)).real() / 86_400.0
    }

    /// Local midnights between two steps: nights gone by.
    fn midnights(&self, from: usize, to: usize) -> f64 {
        let between = self.timeline.utc_s(from)..self.timeline.utc_s(to);
        let days = self.timeline.days.iter();
        let passed = days.filter(|day| between.contains(&day.midnight_s)).count();
        f64::from(u32::try_from(passed).unwrap_or(0))
    }
}
