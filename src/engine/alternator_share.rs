//! Chargers on the alternator: their input, their shares of it, and the books of any charger.
//!
//! One job: what a charger draws and gets. What a bank has room for is `sharing`.

use super::drives::DriveTrack;
use super::lanes::{LANES, Lanes, ONE, ZERO, max, min, share_of, splat, wide};
use super::relays::Joined;
use super::sharing::ChargerFlow;
use super::state::{BankState, State};
use super::totals::ChargerTotals;
use crate::scenario::ChargerSource;
use crate::system::alternator::share_taken;
use crate::system::charger_input::input_v_if_carried;
use crate::timeline::plant::{AlternatorPlant, ChargerPlant};

/// As much as a start bank takes: the alternator's own limit comes when it is shared out.
pub(super) const UNLIMITED_A: f64 = 1e3;

/// Input current of a charger at its wanted output: behind its cable, 0 where the voltage left is
/// below its least. Books the starved share.
#[inline(never)]
pub(crate) fn input_current(
    plant: &ChargerPlant,
    charger: &mut ChargerFlow,
    source_v: &Lanes,
    full_v: &Lanes,
    starved: &mut Lanes,
) {
    wide!(|plant, charger, source_v, full_v, starved| {
        let ohm = plant.input_ohm;
        for lane in 0..LANES {
            let power_w = full_v[lane] * charger.wanted_a[lane] / plant.efficiency;
            let source_v = source_v[lane];
            let (input_v, carries) = input_v_if_carried(source_v, ohm, power_w);
            let works = carries & (input_v >= plant.min_input_v);
            let is_starved = !works & (charger.wanted_a[lane] > 0.0);
            starved[lane] += if is_starved {
                charger.availability[lane]
            } else {
                0.0
            };
            charger.input_a[lane] = if works { power_w / input_v } else { 0.0 };
            charger.wanted_a[lane] = if works { charger.wanted_a[lane] } else { 0.0 };
        }
    });
}

/// Holds what a charger asks to what its source can give, were it alone in the room that is left: nothing
/// where the voltage behind its cable would be too low, and no more than `feed_w`, what a giving bank can
/// spare. So it takes no room that another could use. Books the starved share.
#[inline(never)]
pub(crate) fn hold_to_source(
    plant: &ChargerPlant,
    charger: &mut ChargerFlow,
    source_v: &Lanes,
    feed_w: Option<&Lanes>,
    full_v: &Lanes,
    room_a: &Lanes,
    starved: &mut Lanes,
) {
    let asked_a = charger.wanted_a;
    for lane in 0..LANES {
        charger.wanted_a[lane] = min(asked_a[lane], room_a[lane]);
    }
    let alone_a = charger.wanted_a;
    input_current(plant, charger, source_v, full_v, starved);
    for lane in 0..LANES {
        let works = (charger.wanted_a[lane] > 0.0) | (alone_a[lane] <= 0.0);
        charger.wanted_a[lane] = if works { asked_a[lane] } else { 0.0 };
    }
    let Some(feed_w) = feed_w else { return };
    for lane in 0..LANES {
        let asked_w = source_v[lane] * charger.input_a[lane] * charger.availability[lane];
        if asked_w > feed_w[lane] {
            charger.wanted_a[lane] = alone_a[lane] * (feed_w[lane] / asked_w);
        }
    }
}

/// Shares out the alternator: the start bank first, then chargers by priority, pro rata within
/// one; idle and cruise each on its own. `start_a` is what the start bank wants and becomes what
/// it gets (mean over the step).
#[inline(never)]
pub(crate) fn share_alternator(
    alternator: &AlternatorPlant,
    mut joined: Option<Joined<'_>>,
    drives: &DriveTrack<'_>,
    start_a: &mut Lanes,
    chargers: &mut [ChargerFlow],
    state: &mut State,
) {
    let joined = &mut joined;
    wide!(|alternator, joined, drives, start_a, chargers, state| {
        let (driving, towing) = (drives.driving(), drives.towing());
        let mut total_a = *start_a;
        for charger in chargers_of(alternator, chargers) {
            total_a += &charger.input_a;
        }
        if let Some(joined) = &*joined {
            joined.add_asked(&mut total_a, chargers);
        }
        for &index in alternator.groups.iter().flatten() {
            chargers[index].mean_a = ZERO;
        }
        // Idle and cruise are two alternators in turn, not one of their mean: at idle chargers may go short that have
        // more than enough at speed.
        let (mut start_share, mut gets) = (ZERO, ZERO);
        let idle = idle_share(alternator, driving, towing);
        let mut cruise = ONE;
        cruise -= &idle;
        for (&(spare_a, _), time_share) in alternator.states.iter().zip([&idle, &cruise]) {
            // What a sum of shares misses by rounding is not over.
            let over_a = spare_a * (1.0 + 1e-12);
            let mut left_a = ZERO;
            for lane in 0..LANES {
                let is_over = total_a[lane] > over_a;
                state.oversubscribed[lane] += if is_over {
                    driving[lane] * time_share[lane]
                } else {
                    0.0
                };
                let start_gets = min(start_a[lane], spare_a);
                gets[lane] = share_of(start_a[lane], start_gets);
                left_a[lane] = spare_a - start_gets;
            }
            if let Some(joined) = joined.as_mut() {
                let on_it = joined.share(
                    spare_a,
                    time_share,
                    &total_a,
                    start_a,
                    chargers,
                    &mut state.chargers,
                );
                (gets, left_a) = on_it;
            }
            for lane in 0..LANES {
                start_share[lane] += time_share[lane] * gets[lane];
            }
            for group in &alternator.groups {
                share_group(group, time_share, &mut left_a, chargers);
            }
        }
        for lane in 0..LANES {
            start_a[lane] *= start_share[lane] * driving[lane];
            let asked_a = if driving[lane] > 0.0 {
                total_a[lane] + alternator.vehicle_load_a
            } else {
                0.0
            };
            // Of what is asked, not of what is given: it is what the alternator would have to be made for.
            state.peak_a[lane] = max(state.peak_a[lane], asked_a);
            state.driven[lane] += driving[lane];
        }
    });
}

/// Share of the engine time at idle: that of legs, and that of drives about from a stop.
#[inline(always)]
fn idle_share(alternator: &AlternatorPlant, driving: &Lanes, towing: &Lanes) -> Lanes {
    let (of_leg, of_local) = (alternator.states[0].1, alternator.local_idle_share);
    let mut idle = splat(of_leg);
    for lane in 0..LANES {
        let local = driving[lane] - towing[lane];
        if local > 0.0 {
            idle[lane] += (of_local - of_leg) * local / driving[lane];
        }
    }
    idle
}

/// Open chargers on the alternator.
#[inline(always)]
fn chargers_of<'a>(
    alternator: &'a AlternatorPlant,
    chargers: &'a [ChargerFlow],
) -> impl Iterator<Item = &'a ChargerFlow> {
    let all = alternator.groups.iter().flatten();
    all.map(|&index| &chargers[index])
        .filter(|charger| charger.is_open)
}

/// Gives the chargers of one priority what is left, pro rata, for a share of the engine's time.
#[inline(always)]
fn share_group(
    group: &[usize],
    time_share: &Lanes,
    left_a: &mut Lanes,
    chargers: &mut [ChargerFlow],
) {
    let mut open = group.iter().filter(|&&index| chargers[index].is_open);
    if let (Some(&only), None) = (open.next(), open.next()) {
        let ChargerFlow {
            input_a,
            availability,
            wanted_a,
            mean_a,
            ..
        } = &mut chargers[only];
        give_one(time_share, left_a, input_a, availability, wanted_a, mean_a);
        return;
    }
    let mut asked_a = ZERO;
    for &index in group {
        let charger = &chargers[index];
        if charger.is_open {
            asked_a += &charger.input_a;
        }
    }
    let mut share = ZERO;
    for lane in 0..LANES {
        share[lane] = time_share[lane] * share_taken(asked_a[lane], &mut left_a[lane]);
    }
    for &index in group {
        let charger = &mut chargers[index];
        if charger.is_open {
            for lane in 0..LANES {
                charger.mean_a[lane] +=
                    share[lane] * charger.availability[lane] * charger.wanted_a[lane];
            }
        }
    }
}

/// The same where but one of them works.
#[inline(always)]
fn give_one(
    time_share: &Lanes,
    left_a: &mut Lanes,
    input_a: &Lanes,
    availability: &Lanes,
    wanted_a: &Lanes,
    mean_a: &mut Lanes,
) {
    for lane in 0..LANES {
        let share = time_share[lane] * share_taken(input_a[lane], &mut left_a[lane]);
        mean_a[lane] += share * availability[lane] * wanted_a[lane];
    }
}

/// Books a charger's step: power out, what it could not get, what was lost in the cable. What is lost
/// in the charger itself is a fixed share, which `closing` books.
#[inline(never)]
pub(crate) fn book_charger(
    constants: &ChargerPlant,
    charger: &ChargerFlow,
    account: &mut ChargerTotals<Lanes>,
    bank: &mut BankState,
) {
    wide!(|constants, charger, account, bank| {
        let is_alternator = constants.from == ChargerSource::Alternator;
        let full_a = match constants.relay {
            Some(_) => f64::INFINITY,
            None => 0.98 * constants.output_a,
        };
        for lane in 0..LANES {
            let mean_a = charger.mean_a[lane];
            let out_w = mean_a * bank.volts[lane];
            let availability = charger.availability[lane];
            account.wh[lane] += out_w;
            account.ah[lane] += mean_a;
            account.open_h[lane] += availability;
            account.full_h[lane] += if charger.wanted_a[lane] >= full_a {
                availability
            } else {
                0.0
            };
            account.denied_ah[lane] += max(availability * charger.wanted_a[lane] - mean_a, 0.0);
        }
        if constants.relay.is_some() {
            bank.sums.conversion_wh += &charger.lost_w;
        } else if is_alternator && constants.input_ohm > 0.0 {
            // The cable's loss while it works: input current squared times resistance.
            for lane in 0..LANES {
                let wanted_a = charger.wanted_a[lane];
                let input_a = charger.input_a[lane];
                // It works at its full input for this share of the time, rather than at a part of it all the time: the loss is
                // square in the current.
                let share = charger.mean_a[lane] / if wanted_a > 0.0 { wanted_a } else { 1.0 };
                bank.sums.conversion_wh[lane] += share * constants.input_ohm * input_a * input_a;
            }
        }
    });
}
