//! What sun, mains and giving banks offer to the banks in a step.
//!
//! One job: which chargers are open, what each bank would take, what each charger draws for it. How
//! a sum is shared out is in `sharing`; the alternator and the booking come in `settling_step`.

use super::alternator_share::{UNLIMITED_A, hold_to_source, input_current};
use super::bank_flow::Feed;
use super::batch::Batch;
use super::lanes::{LANES, Lanes, ONE, ZERO, min, splat, wide};
use super::offering::Offering;
use super::sharing::{ask_output, want};
use crate::scenario::{ChargerSource, EventMoment, Needs};
use crate::timeline::load_schedule::Availability;

impl Batch<'_> {
    #[inline(never)]
    pub(crate) fn open_chargers(&mut self, step: usize) {
        let plant = &self.timeline.plant;
        let drives = &self.drives;
        self.any_open = false;
        for (charger, flow) in plant.chargers.iter().zip(&mut self.chargers) {
            let in_camp =
                self.availabilities[usize::from(charger.trailer)].share(Availability::Camp);
            // `None`: in no trial. The lanes of a charger that is closed are left alone, not written with zeros in every step.
            let availability = match (charger.from, charger.needs) {
                (ChargerSource::Mains, _) => self.timeline.mains[step].then_some(in_camp),
                (ChargerSource::Bank(_), Needs::Always) => Some(&ONE),
                (_, Needs::Towing) => drives.any.then_some(drives.towing()),
                _ => drives.any.then_some(drives.driving()),
            };
            flow.is_open = availability.is_some();
            self.any_open |= flow.is_open;
            if let Some(availability) = availability {
                flow.availability = *availability;
                flow.mean_a = ZERO;
            // Once, as it closes: its last current would be told as today's.
            } else if flow.was_open {
                flow.mean_a = ZERO;
            }
            flow.was_open = flow.is_open;
        }
    }

    /// What a bank would take of sun and chargers; bank-fed chargers draw on their givers.
    #[inline(never)]
    pub(crate) fn offer_bank(&mut self, bank: usize) {
        let timeline = self.timeline;
        let plant = &timeline.plant;
        let constants = &plant.banks[bank];
        let alternator_fed = self.drives.any && !constants.is_house && plant.alternator.is_some();
        let has_sun = self.sun.is_up && !constants.panels.is_empty();
        let has_open = self.any_open && self.open_chargers_of(bank).next().is_some();
        let has_charger = has_open || alternator_fed;
        let flow = &mut self.flows[bank];
        let feed = Feed {
            has_sun,
            has_charger,
        };
        flow.set_feed(feed);
        if !feed.is_any() {
            return;
        }
        let mut source_a = ZERO;
        for index in self.open_chargers_of(bank) {
            let output_a = plant.chargers[index].output_a;
            add_scaled(&mut source_a, &self.chargers[index].availability, output_a);
        }
        let has_more = has_charger && self.drives.any_part;
        if has_more {
            self.ask_more(bank);
        }
        let flow = &mut self.flows[bank];
        // The start bank's offer must not be what limits it: the alternator's own sharing is.
        if alternator_fed {
            add_scaled(&mut source_a, self.drives.driving(), UNLIMITED_A);
        } else if !constants.is_house {
            flow.alternator_a = ZERO;
        }
        Offering {
            plant,
            index: bank,
            bank: &mut self.state.banks[bank],
            flow,
            source_a: has_charger.then_some(&source_a),
            more: has_more.then_some(&self.more),
            offers: has_sun.then_some(&self.offers),
            sun: &mut self.sun,
            panel_w: (self.demand.is_booked).then_some(&mut self.state.panel_w),
            warmth: self.air.warmth(constants.kept, constants.trailer),
        }
        .run();
        if has_open {
            // By priority: the next group sees the room that this one leaves. First each alone, so that one that starves
            // behind its cable takes nothing from the others.
            for group in &constants.charger_groups {
                for &index in group {
                    self.ask_alone(index);
                }
                let away = self.drives.away(constants.trailer);
                let away = self.drives.any_part.then_some(away);
                let flow = &mut self.flows[bank];
                want(plant, group, flow, &mut self.chargers, away);
            }
            for &index in constants.charger_groups.iter().flatten() {
                self.feed_charger(index);
            }
        }
    }

    /// Chargers that may feed a bank in this step.
    fn open_chargers_of(&self, bank: usize) -> impl Iterator<Item = usize> + '_ {
        let all = self.timeline.plant.banks[bank]
            .charger_groups
            .iter()
            .flatten();
        all.copied().filter(|&index| self.chargers[index].is_open)
    }

    /// In a step that is driven in part, room for the alternator is made by the loads of that part, and room for
    /// mains by those of the other: a pump that starts on arrival must not be fed by an engine that has stopped.
    /// This is what they ask in the part that is driven, and in the other, over the mean of the step, W and A.
    fn ask_more(&mut self, bank: usize) {
        const DRIVEN: &[Availability] = &[Availability::Open, Availability::Driving];
        const PARKED: &[Availability] =
            &[Availability::Open, Availability::Parked, Availability::Camp];
        let plant = &self.timeline.plant;
        let driving = self.drives.away(plant.banks[bank].trailer);
        for (more, (driven, holding)) in self.more.iter_mut().zip([(true, DRIVEN), (false, PARKED)])
        {
            self.demand.more_while(bank, holding, driving, more);
            for (event, watts, amps) in &self.active_events {
                let constants = &plant.events[*event];
                if plant.loads[constants.load].bank == bank {
                    let begins = driven == (constants.on == EventMoment::Depart);
                    for (more, asked) in more.iter_mut().zip([watts, amps]) {
                        if driven {
                            add_event::<true>(more, driving, asked, begins);
                        } else {
                            add_event::<false>(more, driving, asked, begins);
                        }
                    }
                }
            }
        }
    }

    /// Voltage of what feeds a charger, where that is not mains. A start bank stands at the alternator's
    /// while the engine runs.
    fn source_v(&self, charger: usize) -> Option<Lanes> {
        let plant = &self.timeline.plant;
        let constants = &plant.chargers[charger];
        let alternator_v = plant.alternator.as_ref().map(|of| of.volts);
        match constants.from {
            ChargerSource::Mains => None,
            ChargerSource::Alternator => Some(splat(alternator_v.unwrap_or(0.0))),
            ChargerSource::Bank(giver) => {
                let mut volts = self.state.banks[giver].volts;
                let is_start = !plant.banks[giver].is_house;
                if let Some(alternator_v) = alternator_v.filter(|_| is_start && self.drives.any) {
                    let is_always = constants.needs == Needs::Always;
                    let driving = self.drives.driving();
                    for lane in 0..LANES {
                        // A charger that works only while driving sees the alternator's voltage all its time; one that always works sees
                        // it for the part that is driven.
                        let is_driven = driving[lane] > 0.0;
                        let share = if is_always { driving[lane] } else { 1.0 };
                        let raised_v = volts[lane] + share * (alternator_v - volts[lane]);
                        volts[lane] = if is_driven { raised_v } else { volts[lane] };
                    }
                }
                Some(volts)
            }
        }
    }

    /// What a charger could give if it were alone: it takes no more of the room than that.
    #[inline(never)]
    fn ask_alone(&mut self, index: usize) {
        if !self.chargers[index].is_open {
            return;
        }
        let constants = &self.timeline.plant.chargers[index];
        if constants.relay.is_some() {
            self.ask_relay(index);
            return;
        }
        let source_v = self.source_v(index);
        let feed_w = match constants.from {
            ChargerSource::Bank(giver) => Some(self.flows[giver].feed_w),
            _ => None,
        };
        let bank = &self.flows[constants.to];
        let box_a = &self.sun.box_a[index];
        let charger = &mut self.chargers[index];
        ask_output(constants, charger, box_a);
        if let Some(source_v) = source_v.as_ref().filter(|_| constants.may_starve) {
            let starved = &mut self.state.chargers[index].starved_h;
            hold_to_source(
                constants,
                charger,
                source_v,
                feed_w.as_ref(),
                &bank.full_v,
                &bank.room_a,
                starved,
            );
        }
    }

    /// The same of a relay, whose circuit says what flows.
    fn ask_relay(&mut self, index: usize) {
        let plant = &self.timeline.plant;
        let bank = plant.chargers[index].to;
        let relay = self.relays.iter_mut().find(|relay| relay.is_of(index));
        let (Some(relay), Some(alternator)) = (relay, &plant.alternator) else {
            return;
        };
        relay.ask(
            alternator.volts,
            &plant.banks[bank],
            &self.state.banks[bank],
            &self.flows[bank],
            &mut self.chargers[index],
            &mut self.state.chargers[index].starved_h,
        );
    }

    /// Works out a charger's input; mains and bank-fed ones are then settled.
    #[inline(never)]
    fn feed_charger(&mut self, index: usize) {
        let plant = &self.timeline.plant;
        let constants = &plant.chargers[index];
        if !self.chargers[index].is_open {
            return;
        }
        if constants.relay.is_some() {
            return;
        }
        let source_v = self.source_v(index);
        let charger = &mut self.chargers[index];
        let full_v = &self.flows[constants.to].full_v;
        let starved = &mut self.state.chargers[index].starved_h;
        if let Some(source_v) = &source_v {
            input_current(constants, charger, source_v, full_v, starved);
        }
        match (constants.from, source_v) {
            (ChargerSource::Bank(giver), Some(source_v)) => {
                let feed = &mut self.flows[giver];
                for lane in 0..LANES {
                    let availability = charger.availability[lane];
                    let asked_w = source_v[lane] * charger.input_a[lane] * availability;
                    let given_w = min(asked_w, feed.feed_w[lane]);
                    let share = if asked_w > 0.0 {
                        given_w / asked_w
                    } else {
                        0.0
                    };
                    feed.feed_w[lane] -= given_w;
                    charger.mean_a[lane] = availability * charger.wanted_a[lane] * share;
                    charger.draw_w_per_a[lane] = if charger.wanted_a[lane] > 0.0 {
                        source_v[lane] * charger.input_a[lane] / charger.wanted_a[lane]
                    } else {
                        0.0
                    };
                    feed.draw_w[lane] += given_w;
                }
            }
            (ChargerSource::Mains, _) => {
                for lane in 0..LANES {
                    charger.mean_a[lane] = charger.availability[lane] * charger.wanted_a[lane];
                }
            }
            _ => {}
        }
    }
}

#[inline(never)]
fn add_scaled(sum: &mut Lanes, part: &Lanes, factor: f64) {
    wide!(|sum, part, factor| for lane in 0..LANES {
        sum[lane] += part[lane] * factor;
    });
}

/// What an event asks in the part of the step that is `DRIVEN`, or is not, over what it asks in the mean, in the
/// trials that drive a part of it: all of it where it begins with that part, else nothing.
#[inline(never)]
fn add_event<const DRIVEN: bool>(more: &mut Lanes, driving: &Lanes, asked: &Lanes, begins: bool) {
    wide!(|more, driving, asked, begins| for lane in 0..LANES {
        let share = if DRIVEN {
            driving[lane]
        } else {
            1.0 - driving[lane]
        };
        let is_part = (share > 0.0) & (share < 1.0);
        let over = if begins {
            1.0 / if is_part { share } else { 1.0 } - 1.0
        } else {
            -1.0
        };
        more[lane] += if is_part { over * asked[lane] } else { 0.0 };
    });
}
