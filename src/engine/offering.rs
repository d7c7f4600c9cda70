//! What a bank would take of sun and chargers in a step.
//!
//! One job: the order of an offer's parts, gone through in one go. Each of them is in `bank_offer` or
//! `sun_share`; what the chargers then want in the room that is left is in `sharing`.

use super::bank_flow::{Flow, Warmth, look_up_voltage};
use super::bank_offer::{Offered, charge_limits, make_offer};
use super::cold::book_cold;
use super::lanes::{LANES, Lanes, ZERO, max, min, widest};
use super::state::BankState;
use super::sun::Offer;
use super::sun_share::{SunScratch, share_sun};
use crate::system::terminal_voltage::most_load_w;
use crate::timeline::plant::Plant;

/// A bank that sources offer something.
pub(super) struct Offering<'a> {
    pub(super) plant: &'a Plant,
    pub(super) index: usize,
    pub(super) bank: &'a mut BankState,
    pub(super) flow: &'a mut Flow,
    /// The most that chargers and the alternator could bring over the step, A.
    pub(super) source_a: Option<&'a Lanes>,
    /// What the loads ask over what they ask in the mean, W and A: while the engine runs, and while the
    /// vehicle is parked.
    pub(super) more: Option<&'a [[Lanes; 2]; 2]>,
    /// What the panels could deliver, with the sun up.
    pub(super) offers: Option<&'a Vec<Offer>>,
    pub(super) sun: &'a mut SunScratch,
    /// Power of each panel into its bank, summed; `None`: nothing is booked.
    pub(super) panel_w: Option<&'a mut [Lanes]>,
    pub(super) warmth: Warmth<'a>,
}

impl Offering<'_> {
    /// Works out the bank's room, gives it to the sun first and leaves the rest for chargers.
    #[inline(never)]
    pub(super) fn run(&mut self) {
        widest(
            #[inline(always)]
            || {
                let (plant, index, warmth) = (self.plant, self.index, self.warmth);
                let constants = &plant.banks[index];
                let Self {
                    bank,
                    flow,
                    sun,
                    panel_w,
                    ..
                } = self;
                // Of a bank that feeds others it is known already.
                if constants.feeds.is_empty() {
                    look_up_voltage(constants, bank, &mut flow.open_v);
                }
                charge_limits(constants, bank, flow, warmth);
                let (sun_w, sun_a) = match self.offers {
                    Some(offers) => sun.offered(plant, &constants.panels, offers),
                    None => (&ZERO, &ZERO),
                };
                let offered = Offered {
                    source_a: self.source_a.unwrap_or(&ZERO),
                    sun_w,
                    sun_a,
                };
                make_offer(constants, bank, flow, offered);
                if panel_w.is_some() {
                    book_cold(constants, bank, flow, offered, warmth);
                }
                // Sun before chargers: it is free and cannot wait; what a charger leaves stays in the tank or on the mains.
                if let Some(offers) = self.offers {
                    let panel_w = panel_w.as_deref_mut();
                    share_sun(plant, index, bank, flow, offers, sun, panel_w);
                }
                if self.source_a.is_none() {
                    return;
                }
                if let Some([[watts, amps], [parked_watts, parked_amps]]) = self.more {
                    let held = (&bank.on, &flow.load_w, &flow.open_v, constants.over.ohm);
                    let mut parked_w = flow.room_w;
                    add_room(&mut parked_w, &flow.full_v, held, parked_watts, parked_amps);
                    leave_room(&mut flow.parked_room_a, &parked_w, &flow.full_v);
                    add_room(&mut flow.room_w, &flow.full_v, held, watts, amps);
                    leave_room(&mut flow.room_a, &flow.room_w, &flow.full_v);
                } else {
                    leave_room(&mut flow.room_a, &flow.room_w, &flow.full_v);
                    flow.parked_room_a = flow.room_a;
                }
            },
        );
    }
}

/// Adds what loads ask more to the room for sources: like what they ask in the mean no more than bank and sources
/// hold together. `held`: whether the loads are on, the power that they ask in the mean, the open-circuit voltage
/// and the inverse of the resistance.
#[inline(always)]
fn add_room(
    room_w: &mut Lanes,
    full_v: &Lanes,
    (on, load_w, open_v, per_ohm): (&Lanes, &Lanes, &Lanes, f64),
    watts: &Lanes,
    amps: &Lanes,
) {
    for lane in 0..LANES {
        let on = on[lane];
        let most_w = most_load_w(open_v[lane], per_ohm);
        let mean_w = min(on * load_w[lane], most_w);
        let part_w = min(on * (load_w[lane] + watts[lane]), most_w);
        let more_w = part_w - mean_w + on * amps[lane] * full_v[lane];
        room_w[lane] = max(room_w[lane] + more_w, 0.0);
    }
}

/// Current that chargers may bring, once the sun is in.
#[inline(always)]
fn leave_room(room_a: &mut Lanes, room_w: &Lanes, full_v: &Lanes) {
    for lane in 0..LANES {
        room_a[lane] = room_w[lane] / full_v[lane];
    }
}
