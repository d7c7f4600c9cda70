//! Meter readings of one bank in every trial of a batch, as they stand after a step.
//!
//! One job: sums since the start, in Wh, Ah and hours, of what a bank asked and got, of what each
//! of its sources did, and of what each could have done while it was shut off. Whoever takes the difference of two
//! readings has the account of the time between. The step loop keeps nothing for it.

use super::lanes::{LANES, Lanes, ZERO, max, min};
use super::view::StepView;
use crate::scenario::{ChargerSource, Needs};
use crate::system::panel::max_power_w;
use crate::timeline::load_schedule::Availability;

/// What a bank's own meters say.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum BankMeter {
    /// Asked by its loads, its standby and the chargers that it feeds, whether served or not, Wh.
    AskedWh,
    /// The same, Ah.
    AskedAh,
    /// Of that, asked while its loads were off or its charge at an end, and not supplied, Ah.
    UnservedAh,
    /// Brought by all sources, Ah.
    InAh,
    /// Charge that cold kept out, Ah.
    ColdAh,
    /// Offered by its panels, Wh.
    SunWh,
    /// Kept from its panels by shade, Wh.
    ShadeWh,
    /// Asked beyond what its limits let through, and not supplied, Wh.
    OverLimitWh,
}

/// What a charger's meters say.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum ChargerMeter {
    /// Hours in which it could work.
    OpenH,
    /// Hours in which it gave all it can.
    FullH,
    /// Charge that its alternator or the bank that feeds it could not give, Ah.
    DeniedAh,
    /// Charge that it would have brought in the time it was shut off, Ah.
    AbsentAh,
    /// Charge that it would have brought in the time its input voltage was too low, Ah.
    StarvedAh,
    /// Charge that it brought, Ah.
    GivenAh,
}

/// What a panel's meters say.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum PanelMeter {
    /// Offered, Wh.
    OfferedWh,
    /// What it would have offered in the time it was packed away, Wh.
    PackedWh,
}

const BANK_METERS: usize = 8;
const CHARGER_METERS: usize = 6;
const PANEL_METERS: usize = 2;

/// Which reading stands where: of a bank, its chargers and its panels.
#[derive(Debug, Clone)]
pub(crate) struct Meters {
    pub(crate) bank: usize,
    /// Its chargers, by index in the scenario.
    pub(crate) chargers: Vec<usize>,
    /// Its panels.
    pub(crate) panels: Vec<usize>,
    /// The readings now.
    pub(crate) now: Vec<Lanes>,
    unserved_wh: Lanes,
}

impl Meters {
    pub(crate) fn new(plant: &crate::timeline::plant::Plant, bank: usize) -> Self {
        let constants = &plant.banks[bank];
        let chargers: Vec<usize> = constants.charger_groups.iter().flatten().copied().collect();
        let panels = constants.panels.clone();
        let count = BANK_METERS + CHARGER_METERS * chargers.len() + PANEL_METERS * panels.len();
        Self {
            bank,
            chargers,
            panels,
            now: vec![ZERO; count],
            unserved_wh: ZERO,
        }
    }

    /// Where a reading of the bank stands.
    pub(crate) fn of_bank(meter: BankMeter) -> usize {
        meter as usize
    }

    /// Where a reading of its charger number `position` stands.
    pub(crate) fn of_charger(position: usize, meter: ChargerMeter) -> usize {
        BANK_METERS + CHARGER_METERS * position + meter as usize
    }

    /// Where a reading of its panel number `position` stands.
    pub(crate) fn of_panel(&self, position: usize, meter: PanelMeter) -> usize {
        BANK_METERS
            + CHARGER_METERS * self.chargers.len()
            + PANEL_METERS * position
            + meter as usize
    }

    /// Reads all meters after a step.
    pub(crate) fn read(&mut self, view: &StepView<'_>) {
        self.read_bank(view);
        for position in 0..self.chargers.len() {
            self.read_charger(view, position);
        }
        for position in 0..self.panels.len() {
            self.read_panel(view, position);
        }
    }

    fn read_bank(&mut self, view: &StepView<'_>) {
        let sums = &view.batch.state.banks[self.bank].sums;
        let plant = &view.batch.timeline.plant;
        // What an empty bank left open was booked at the voltage of what it can use.
        let (step_h, usable_v) = (plant.step_h, plant.banks[self.bank].usable_v);
        let [asked_wh, asked_ah, unserved, inward, cold, _, _, over, ..] = &mut self.now[..] else {
            return;
        };
        for lane in 0..LANES {
            over[lane] = step_h * sums.over_limit_wh[lane];
            let unserved_wh = step_h * sums.unserved_wh[lane] - over[lane];
            unserved[lane] += (unserved_wh - self.unserved_wh[lane]) / usable_v;
            self.unserved_wh[lane] = unserved_wh;
            let drawn_ah = step_h * (sums.in_ah[lane] - sums.net_ah[lane]);
            asked_ah[lane] = drawn_ah + unserved[lane];
            asked_wh[lane] = step_h * (sums.out_wh[lane] + sums.unserved_wh[lane]);
            inward[lane] = step_h * sums.in_ah[lane];
            cold[lane] = step_h * sums.cold_ah[lane];
        }
    }

    fn read_charger(&mut self, view: &StepView<'_>, position: usize) {
        let batch = view.batch;
        let timeline = batch.timeline;
        let charger = self.chargers[position];
        let constants = &timeline.plant.chargers[charger];
        let sums = &batch.state.chargers[charger];
        let step_h = timeline.plant.step_h;
        let could_a = min(
            constants.output_a,
            timeline.plant.banks[self.bank].max_charge_a,
        );
        let drives = &batch.drives;
        let camp = batch.availabilities[usize::from(constants.trailer)].share(Availability::Camp);
        let no_post = constants.from == ChargerSource::Mains && !timeline.mains[view.step];
        let left_in_camp = constants.needs == Needs::Towing && drives.any;
        let at = Self::of_charger(position, ChargerMeter::OpenH);
        let [open, full, denied, absent, starved, given] = &mut self.now[at..at + CHARGER_METERS]
        else {
            return;
        };
        for lane in 0..LANES {
            open[lane] = step_h * sums.open_h[lane];
            full[lane] = step_h * sums.full_h[lane];
            denied[lane] = step_h * sums.denied_ah[lane];
            starved[lane] = step_h * could_a * sums.starved_h[lane];
            given[lane] = step_h * sums.ah[lane];
            let shut = if no_post {
                camp[lane]
            } else if left_in_camp {
                drives.driving()[lane] - drives.towing()[lane]
            } else {
                0.0
            };
            absent[lane] += step_h * could_a * shut;
        }
    }

    fn read_panel(&mut self, view: &StepView<'_>, position: usize) {
        let batch = view.batch;
        if !batch.sun.is_up {
            return;
        }
        let timeline = batch.timeline;
        let panel = self.panels[position];
        let constants = &timeline.plant.panels[panel];
        let step_h = timeline.plant.step_h;
        let volts = &batch.state.banks[self.bank].volts;
        let amount = &batch.offers[panel].amount;
        let (drives, air) = (&batch.drives, &batch.air);
        let away = drives.away(constants.trailer);
        let standing = timeline.portable.get(view.step).copied().unwrap_or(0.0);
        let packed = drives.packed(constants.trailer);
        let plane_w_m2 = match constants.plane {
            Some(_) => &batch.offers[panel].plane_w_m2,
            None => &air.flat_parked,
        };
        let light = &batch.draws.light[timeline.sun.slot[view.step] as usize];
        let clear_w_m2 = timeline.sun.horizontal_w_m2[view.step];
        let at = self.of_panel(position, PanelMeter::OfferedWh);
        for lane in 0..LANES {
            let most_w = constants.max_a * volts[lane];
            let watts = if constants.is_pwm {
                amount[lane] * volts[lane]
            } else {
                amount[lane]
            };
            let watts = min(watts, most_w);
            // What the flat loses by shade stands for what any plane loses.
            let open_w_m2 = light.kt[lane] * clear_w_m2;
            let left = if open_w_m2 > 0.0 {
                min(air.flat_parked[lane] / open_w_m2, 1.0)
            } else {
                1.0
            };
            let shaded_w = if left > 0.0 {
                watts * (1.0 / left - 1.0) * (1.0 - away[lane])
            } else {
                0.0
            };
            let lost_w = min(shaded_w, max(most_w - watts, 0.0));
            let packed_w = if constants.portable {
                let shut = 1.0 - standing * (1.0 - packed[lane]);
                let whole_w =
                    constants.keep * max_power_w(constants.panel_w, plane_w_m2[lane], 25.0);
                shut * min(whole_w, most_w)
            } else {
                0.0
            };
            self.now[BankMeter::SunWh as usize][lane] += step_h * watts;
            self.now[BankMeter::ShadeWh as usize][lane] += step_h * lost_w;
            self.now[at][lane] += step_h * watts;
            self.now[at + 1][lane] += step_h * packed_w;
        }
    }
}

impl StepView<'_> {
    /// Trials of the batch in use.
    pub(crate) fn count(&self) -> usize {
        self.batch.draws.count
    }

    /// State of charge of a bank in every trial.
    pub(crate) fn soc(&self, bank: usize) -> &Lanes {
        &self.batch.state.banks[bank].soc
    }

    /// 0 where the loads of a bank are dropped.
    pub(crate) fn loads_on(&self, bank: usize) -> &Lanes {
        &self.batch.state.banks[bank].on
    }

    /// Temperature of a bank's battery at the middle of the step.
    pub(crate) fn battery_c(&self, bank: usize) -> &Lanes {
        let constants = &self.batch.timeline.plant.banks[bank];
        let air = &self.batch.air;
        air.warmth(constants.kept, constants.trailer).battery_c
    }

    /// What could charge a bank in the first trial: whether the sun, the mains or another bank, and what the
    /// engine, A.
    pub(crate) fn could_charge(&self, bank: usize) -> (bool, f64) {
        let plant = &self.batch.timeline.plant;
        let constants = &plant.banks[bank];
        let mut panels = constants.panels.iter();
        let mut is_standing =
            self.batch.sun.is_up && panels.any(|&panel| self.batch.offers[panel].amount[0] > 0.0);
        let mut driven_a = 0.0;
        for &index in constants.charger_groups.iter().flatten() {
            let (flow, charger) = (&self.batch.chargers[index], &plant.chargers[index]);
            let open = if flow.is_open {
                flow.availability[0]
            } else {
                0.0
            };
            if charger.is_driven() {
                driven_a += open * min(charger.output_a, constants.max_charge_a);
            } else {
                is_standing |= open > 0.0;
            }
        }
        (is_standing, driven_a)
    }
}
