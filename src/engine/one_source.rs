//! What a bank would take of one charger or of the alternator itself, beside its panels.
//!
//! One job: the steps of an offer in one go, where no other charger shares the room. Each of them is in
//! `bank_offer`, `sharing` or `alternator_share`.

use super::alternator_share::{UNLIMITED_A, input_current_lanes};
use super::bank_flow::{Flow, Warmth, look_up_voltage};
use super::bank_offer::{Offered, charge_limits, make_offer};
use super::lanes::{LANES, Lanes, ZERO, scale, widest};
use super::sharing::{ChargerFlow, SunScratch, add_room_lanes, leave_room_lanes, share_sun_lanes};
use super::state::BankState;
use super::sun::Offer;
use crate::timeline::plant::{ChargerPlant, Plant};

/// The charger or the alternator.
pub(crate) enum Source<'a> {
    Charger {
        plant: &'a ChargerPlant,
        flow: &'a mut ChargerFlow,
        /// Account of the steps in which its input voltage was too low.
        starved: &'a mut Lanes,
        /// Voltage of the alternator, where it feeds the charger.
        input_v: Option<f64>,
    },
    /// The alternator, straight: it gives what the bank takes, in the share of the step.
    Alternator { driving: &'a Lanes },
}

/// A bank with one source.
pub(crate) struct OneSource<'a> {
    pub(crate) plant: &'a Plant,
    pub(crate) index: usize,
    pub(crate) bank: &'a mut BankState,
    pub(crate) flow: &'a mut Flow,
    pub(crate) source: Source<'a>,
    pub(crate) has_sun: bool,
    pub(crate) offers: &'a [Offer],
    /// The step of its stretch.
    pub(crate) at: usize,
    pub(crate) sun: &'a mut SunScratch,
    /// What the loads ask while the source works over what they ask in the mean, W and A.
    pub(crate) more: Option<&'a [Lanes; 2]>,
    pub(crate) warmth: Warmth<'a>,
}

impl OneSource<'_> {
    /// What the bank would take, and what the charger asks for it.
    #[inline(never)]
    pub(crate) fn offer(&mut self) {
        widest(
            #[inline(always)]
            || self.offer_lanes(),
        );
    }

    #[inline(always)]
    fn offer_lanes(&mut self) {
        let (plant, index, at) = (self.plant, self.index, self.at);
        let constants = &plant.banks[index];
        let (offers, warmth) = (self.offers, self.warmth);
        let Self {
            bank,
            flow,
            source,
            sun,
            ..
        } = self;
        look_up_voltage(constants, bank, &mut flow.open_v);
        charge_limits(constants, bank, flow, warmth);
        let mut source_a = ZERO;
        match source {
            Source::Charger { plant, flow, .. } => scale(&mut source_a, &flow.gate, plant.output_a),
            Source::Alternator { driving } => scale(&mut source_a, driving, UNLIMITED_A),
        }
        let (sun_w, sun_a) = if self.has_sun {
            sun.offered(plant, &constants.panels, offers, at)
        } else {
            (&ZERO, &ZERO)
        };
        let offered = Offered {
            source_a: &source_a,
            sun_w,
            sun_a,
        };
        make_offer(constants, bank, flow, offered);
        if self.has_sun {
            share_sun_lanes(plant, index, bank, flow, offers, at, sun, warmth);
        }
        if let Some([watts, amps]) = self.more {
            add_room_lanes(&mut flow.room_w, &flow.full_v, &bank.on, watts, amps);
        }
        leave_room_lanes(&mut flow.room_a, &flow.room_w, &flow.full_v);
        if let Source::Charger {
            plant,
            flow: charger,
            starved,
            input_v,
        } = source
        {
            want(
                &mut charger.wanted_a,
                &charger.gate,
                &flow.room_a,
                plant.output_a,
            );
            match input_v {
                Some(volts) => {
                    input_current_lanes(plant, charger, &[*volts; LANES], &flow.full_v, starved);
                }
                None => product(&mut charger.mean_a, &charger.gate, &charger.wanted_a),
            }
        }
    }
}

#[inline(always)]
fn product(product: &mut Lanes, a: &Lanes, b: &Lanes) {
    for lane in 0..LANES {
        product[lane] = a[lane] * b[lane];
    }
}

/// What a charger wants in the room that the sun left.
#[inline(always)]
fn want(wanted_a: &mut Lanes, gate: &Lanes, room_a: &Lanes, output_a: f64) {
    for lane in 0..LANES {
        let asked_a = if gate[lane] > 0.0 { output_a } else { 0.0 };
        let room_a = room_a[lane];
        let share = if asked_a > room_a {
            room_a / asked_a
        } else {
            1.0
        };
        wanted_a[lane] = asked_a * share;
    }
}
