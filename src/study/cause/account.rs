//! The account of a bank between the last time it was full and its deepest shortage in one night.
//!
//! One job: watch a batch and keep, for every trial that is short in that night, what the meters went
//! through in between. What that makes the cause is in `decide`.

use crate::engine::{BankMeter, LANES, Lanes, Meters, Observer, StepView};
use crate::system::battery_temperature::CapacityTable;
use crate::timeline::plant::BankPlant;
use crate::timeline::{NightMark, Timeline};

/// Full enough: within so much of full.
const NEAR_FULL_SOC: f64 = 0.97;

/// What a trial went through.
#[derive(Debug, Clone)]
pub(super) struct Window {
    /// Steps done when the bank was last full, or 0: the start.
    pub(super) from: usize,
    /// Steps done at the deepest shortage.
    pub(super) to: usize,
    /// Steps done when by plan a source could last work.
    pub(super) gap_from: usize,
    /// What was missing, Ah: charge below the reserve and what was not supplied.
    pub(super) missing_ah: f64,
    /// What its limits did not let through since the night began, Wh, and what was asked since then.
    pub(super) over_limit_wh: f64,
    pub(super) asked_wh: f64,
    /// Share of a lead-acid bank that the cold puts out of reach, if its loads are off.
    pub(super) out_of_reach: f64,
    /// Temperature of the battery.
    pub(super) battery_c: f64,
    /// Readings of the window.
    pub(super) since_full: Vec<f64>,
    /// Readings of the time without a chance to charge.
    pub(super) since_gap: Vec<f64>,
}

/// Watches one bank.
pub(super) struct Account<'a> {
    bank: usize,
    plant: &'a BankPlant,
    night: NightMark,
    chances: &'a [bool],
    meters: Meters,
    capacity: CapacityTable,
    volts: f64,
    /// Readings when the night began.
    begin: Vec<Lanes>,
    full: Vec<Lanes>,
    full_at: [usize; LANES],
    gap: Vec<Lanes>,
    gap_at: usize,
    found: Vec<Option<Window>>,
}

impl<'a> Account<'a> {
    pub(super) fn new(
        timeline: &'a Timeline,
        chances: &'a [bool],
        bank: usize,
        night: usize,
    ) -> Self {
        let plant = &timeline.plant.banks[bank];
        let meters = Meters::new(&timeline.plant, bank);
        Self {
            bank,
            plant,
            night: timeline.nights[night],
            chances,
            capacity: CapacityTable::default(),
            volts: plant.voltage.volts(0.5),
            begin: meters.now.clone(),
            full: meters.now.clone(),
            full_at: [0; LANES],
            gap: meters.now.clone(),
            gap_at: 0,
            found: vec![None; LANES],
            meters,
        }
    }

    /// What the trials that were short went through, in their order.
    pub(super) fn windows(self, count: usize) -> impl Iterator<Item = Window> {
        self.found.into_iter().take(count).flatten()
    }

    fn missing_ah(&self, soc: f64, lane: usize) -> f64 {
        let unserved = Meters::of_bank(BankMeter::UnservedAh);
        let unserved_ah = self.meters.now[unserved][lane] - self.full[unserved][lane];
        let below = (self.plant.reserve_soc - soc).max(0.0);
        below * self.plant.capacity_ah + unserved_ah
    }

    /// A reading of the bank since the night began.
    fn in_night(&self, meter: BankMeter, lane: usize) -> f64 {
        let at = Meters::of_bank(meter);
        self.meters.now[at][lane] - self.begin[at][lane]
    }

    fn window(&self, view: &StepView<'_>, missing_ah: f64, lane: usize) -> Window {
        let since = |then: &[Lanes]| {
            let readings = self.meters.now.iter().zip(then);
            readings.map(|(now, then)| now[lane] - then[lane]).collect()
        };
        let battery_c = view.battery_c(self.bank)[lane];
        let is_cut = self.plant.two_tank.is_some() && view.loads_on(self.bank)[lane] <= 0.0;
        Window {
            from: self.full_at[lane],
            to: view.step() + 1,
            gap_from: self.gap_at,
            missing_ah,
            over_limit_wh: self.in_night(BankMeter::OverLimitWh, lane),
            asked_wh: self.in_night(BankMeter::AskedWh, lane),
            out_of_reach: if is_cut {
                1.0 - self.capacity.share(battery_c)
            } else {
                0.0
            },
            battery_c,
            since_full: since(&self.full),
            since_gap: since(&self.gap),
        }
    }
}

impl Observer for Account<'_> {
    fn after_step(&mut self, view: &StepView<'_>) {
        let step = view.step();
        if step >= self.night.end_step {
            return;
        }
        if step == self.night.first_step {
            self.begin.clone_from(&self.meters.now);
        }
        self.meters.read(view);
        if self.chances.get(step) == Some(&true) {
            self.gap.clone_from(&self.meters.now);
            self.gap_at = step + 1;
        }
        for lane in 0..view.count() {
            let soc = view.soc(self.bank)[lane];
            if soc >= NEAR_FULL_SOC {
                for (full, now) in self.full.iter_mut().zip(&self.meters.now) {
                    full[lane] = now[lane];
                }
                self.full_at[lane] = step + 1;
            }
            if step < self.night.first_step {
                continue;
            }
            let missing_ah = self.missing_ah(soc, lane);
            let over_limit_wh = self.in_night(BankMeter::OverLimitWh, lane);
            let deepest_ah = self.found[lane].as_ref().map_or(0.0, |found| {
                found.missing_ah + found.over_limit_wh / self.volts
            });
            if missing_ah + over_limit_wh / self.volts > deepest_ah {
                self.found[lane] = Some(self.window(view, missing_ah, lane));
            }
        }
    }
}
