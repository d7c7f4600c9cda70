//! What a bank would take of one charger or of the alternator itself, with one panel beside it or none.
//!
//! One job: the same as `sharing` does for any number of sources, in one go, where there is nobody to
//! share with.

use super::alternator_share::input_current_lanes;
use super::bank_flow::{Flow, OnePanel, Tables, Warmth, look_up_voltage};
use super::bank_offer::{Offered, Room, charge_limits, make_offer};
use super::lanes::{LANES, Lanes, ZERO, greater, lesser, widest};
use super::sharing::{ChargerFlow, book_cold, leave_room_lanes};
use super::sources_step::add_room_lanes;
use super::state::BankState;
use crate::timeline::plant::{BankPlant, ChargerPlant};

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

/// A panel in the sun.
pub(crate) struct Sunny<'a> {
    pub(crate) panel: OnePanel,
    pub(crate) amount: &'a Lanes,
    /// What the bank takes of it, W.
    pub(crate) kept: &'a mut Lanes,
}

/// A bank with one source.
pub(crate) struct OneSource<'a> {
    pub(crate) plant: &'a BankPlant,
    pub(crate) bank: &'a mut BankState,
    pub(crate) flow: &'a mut Flow,
    pub(crate) source: Source<'a>,
    pub(crate) sunny: Option<Sunny<'a>>,
    /// What the loads ask while the source works over what they ask in the mean, W and A.
    pub(crate) more: Option<&'a [Lanes; 2]>,
    pub(crate) tables: &'a Tables,
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
        let Self {
            plant,
            bank,
            flow,
            source,
            sunny,
            more,
            tables,
            warmth,
        } = self;
        look_up_voltage(plant, bank, &mut flow.open_v);
        charge_limits(plant, bank, flow, tables, *warmth);
        let mut source_a = ZERO;
        match source {
            Source::Charger { plant, flow, .. } => scale(&mut source_a, &flow.gate, plant.output_a),
            Source::Alternator { driving } => scale(&mut source_a, driving, UNLIMITED_A),
        }
        let sun_w = sunny.as_ref().map_or(&ZERO, |sunny| sunny.amount);
        let offered = Offered {
            source_a: &source_a,
            sun_w,
            sun_a: &ZERO,
        };
        make_offer(plant, bank, flow, offered);
        if let Some(sunny) = sunny {
            take_sun(bank, flow, sunny.panel.max_a, sunny.amount, sunny.kept);
            book_cold(plant, bank, sunny.amount, *warmth);
        }
        if let Some([watts, amps]) = more {
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

/// As much as a bank takes: the alternator's own limit comes when it is shared out.
pub(super) const UNLIMITED_A: f64 = 1e3;

#[inline(always)]
fn scale(scaled: &mut Lanes, lanes: &Lanes, factor: f64) {
    for lane in 0..LANES {
        scaled[lane] = lanes[lane] * factor;
    }
}

#[inline(always)]
fn product(product: &mut Lanes, a: &Lanes, b: &Lanes) {
    for lane in 0..LANES {
        product[lane] = a[lane] * b[lane];
    }
}

/// The sun comes first; what is left over is curtailed.
#[inline(always)]
fn take_sun(bank: &mut BankState, flow: &mut Flow, max_a: f64, amount: &Lanes, kept: &mut Lanes) {
    for lane in 0..LANES {
        let offered_w = amount[lane];
        let full_v = flow.full_v[lane];
        let sun_w = lesser(offered_w, max_a * full_v);
        let room = Room {
            full_v,
            room_w: flow.room_w[lane],
        };
        let share = room.share_of(sun_w);
        flow.sun_w[lane] = sun_w;
        flow.sun_share[lane] = share;
        flow.room_w[lane] = greater(room.room_w - sun_w, 0.0);
        bank.curtailed_w[lane] += greater(offered_w - share * sun_w, 0.0);
        kept[lane] = sun_w * share;
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
