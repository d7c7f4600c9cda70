//! Relays and isolators that join a bank to the alternator's side.
//!
//! One job: the keys of that kind of charger, and what they mean. The circuit itself is in
//! `system::relay_circuit`.

use super::super::parts::{ChargerFile, ChargerKind};
use super::super::problem::{above_other, missing, must_be, not_for_kind};
use super::alternator::fits_system;
use super::chargers::{Site, no_alternator};
use super::findings::Findings;
use crate::scenario::{Bank, Buying, Charger, ChargerSource, Relay, Role, Senses};
use crate::system::alternator::spare_a;

/// Refuses a second relay to the same bank: their circuits would be one.
pub(super) fn one_a_bank(chargers: &[Charger], banks: &[Bank], notes: &mut Findings<'_>) {
    for (number, charger) in chargers.iter().enumerate() {
        let path = format!("/chargers/{number}/to");
        let joins = |other: &Charger| other.relay.is_some() && other.to == charger.to;
        let is_second = joins(charger) && chargers[..number].iter().any(joins);
        if is_second && !notes.is_spoiled(&path) {
            let id = banks.get(charger.to).map_or("", |bank| bank.id.as_str());
            let found = format_args!("`{id}`");
            notes.problem(&path, must_be(found, "a bank that no other relay joins"));
        }
    }
}

impl Site<'_> {
    pub(super) fn relay(
        &self,
        file: &ChargerFile,
        path: &str,
        notes: &mut Findings<'_>,
    ) -> Charger {
        let key = |name: &str| format!("{path}/{name}");
        self.relay_source(file, path, notes);
        let to = self.entries.bank(file.to.as_ref(), &key("to"), notes);
        let bank = to.and_then(|bank| self.banks.get(bank));
        if let Some(bank) = bank.filter(|bank| bank.role == Role::Start) {
            let allowed = "a house bank: the starting battery is on the alternator already";
            let found = format_args!("`{}`", bank.id);
            notes.problem(&key("to"), must_be(found, allowed));
        }
        let senses = file.senses(path, notes);
        let rated_a = file.rated_a.unwrap_or_else(|| {
            if !notes.is_spoiled(&key("rated_a")) {
                notes.problem(&key("rated_a"), missing("above 0, at most 2000"));
            }
            1.0
        });
        let (joins_v, parts_v) = self.thresholds(file, senses, path, notes);
        let spare = self
            .alternator
            .map(|of| spare_a(of.rated_a, 1.0, of.vehicle_load_a));
        let takes_a = bank.map_or(rated_a, |bank| bank.max_charge_a);
        Charger {
            id: file.id.clone().unwrap_or_default(),
            from: ChargerSource::Alternator,
            to: to.unwrap_or(0),
            output_a: takes_a.min(spare.unwrap_or(takes_a)).max(0.1),
            efficiency: 1.0,
            priority: 1,
            min_input_v: 0.0,
            needs: self.needs(file, ChargerSource::Alternator, to, path, notes),
            kind: ChargerKind::Relay.word(),
            relay: Some(Relay {
                senses,
                joins_v,
                parts_v,
                rated_a,
            }),
            mass_kg: file.mass_kg,
            price: file.price,
            // There is no other size of it: its rating does not limit.
            buying: Buying {
                fixed: true,
                ..Buying::default()
            },
        }
    }

    /// It joins the bank to what the alternator charges: the starting battery is the same place.
    fn relay_source(&self, file: &ChargerFile, path: &str, notes: &mut Findings<'_>) {
        let from_path = format!("{path}/from");
        if !self.has_alternator && !notes.is_spoiled(&from_path) {
            notes.problem(path, no_alternator());
        }
        let is_start = |id: &str| {
            let bank = self.entries.known_bank(id);
            bank.and_then(|bank| self.banks.get(bank))
                .is_some_and(|bank| bank.role == Role::Start)
        };
        match file.from.as_deref() {
            None => notes.assume(
                &from_path,
                &"alternator",
                "a relay joins the bank to its side",
            ),
            Some("alternator") => {}
            Some(id) if is_start(id) => {}
            Some(other) => {
                let found = format_args!("`{other}`");
                let fault = must_be(found, "`alternator` or the starting battery");
                notes.problem(&from_path, fault);
            }
        }
    }

    /// The voltages from which a relay joins and below which it parts; 0 and 0 by ignition.
    fn thresholds(
        &self,
        file: &ChargerFile,
        senses: Senses,
        path: &str,
        notes: &mut Findings<'_>,
    ) -> (f64, f64) {
        let key = |name: &str| format!("{path}/{name}");
        if senses == Senses::Ignition {
            let given = [("joins_v", file.joins_v), ("parts_v", file.parts_v)];
            for (name, _) in given.iter().filter(|(_, given)| given.is_some()) {
                let fault = not_for_kind("relay that senses", senses.word(), "`voltage`");
                notes.problem(&key(name), fault);
            }
            return (0.0, 0.0);
        }
        let joins_v = file.joins_v(path, notes, self.factor);
        let parts_v = file.parts_v(path, notes, self.factor);
        for (name, volts) in [("joins_v", joins_v), ("parts_v", parts_v)] {
            fits_system(volts, (10.0, 16.0), self.factor, &key(name), notes);
        }
        if parts_v > joins_v {
            let name = if file.parts_v.is_some() {
                "parts_v"
            } else {
                "joins_v"
            };
            notes.problem(&key(name), above_other(parts_v, "joins_v", joins_v));
        }
        (joins_v, parts_v)
    }
}
