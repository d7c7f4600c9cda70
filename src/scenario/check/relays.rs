//! Relays and isolators that join a bank to the alternator's side.
//!
//! One job: the keys of that kind of charger, and what they mean. The circuit itself is in
//! `system::relay_circuit`.

use super::super::defaults::{self, Assumption};
use super::super::file::{ChargerFile, ChargerKind};
use super::super::problem::{above_other, missing, must_be, not_for_kind};
use super::chargers::{Site, no_alternator};
use super::findings::Findings;
use crate::scenario::{Bank, Buying, Charger, ChargerSource, Relay, Role, Senses};
use crate::system::alternator::spare_a;

/// Refuses keys that belong to other kinds.
pub(super) fn keys_of_kind(
    file: &ChargerFile,
    kind: ChargerKind,
    path: &str,
    notes: &mut Findings<'_>,
) {
    let is_relay = kind == ChargerKind::Relay;
    let chargers = "`dc-dc` and `mains`";
    let keys = [
        ("output_a", is_relay && file.output_a.is_some(), chargers),
        (
            "efficiency",
            is_relay && file.efficiency.is_some(),
            chargers,
        ),
        ("priority", is_relay && file.priority.is_some(), chargers),
        (
            "min_input_v",
            is_relay && file.min_input_v.is_some(),
            chargers,
        ),
        (
            "price_per_a",
            is_relay && file.price_per_a.is_some(),
            chargers,
        ),
        ("sizes", is_relay && file.sizes.is_some(), chargers),
        ("senses", !is_relay && file.senses.is_some(), "`relay`"),
        ("joins_v", !is_relay && file.joins_v.is_some(), "`relay`"),
        ("parts_v", !is_relay && file.parts_v.is_some(), "`relay`"),
        ("rated_a", !is_relay && file.rated_a.is_some(), "`relay`"),
    ];
    for (key, is_misplaced, belongs_to) in keys {
        if is_misplaced {
            let fault = not_for_kind("kind", kind.word(), belongs_to);
            notes.problem(&format!("{path}/{key}"), fault);
        }
    }
}

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
        let senses =
            notes.word_or_assumed(&key("senses"), file.senses, defaults::SENSES, Senses::word);
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
        let per_system = |of: Assumption<f64>| Assumption {
            value: of.value * self.factor,
            ..of
        };
        let joins_v = per_system(defaults::JOINS_V);
        let joins_v = notes.or_assumed(&key("joins_v"), file.joins_v, joins_v);
        let parts_v = per_system(defaults::PARTS_V);
        let parts_v = notes.or_assumed(&key("parts_v"), file.parts_v, parts_v);
        let (least, most) = (10.0 * self.factor, 16.0 * self.factor);
        for (name, volts) in [("joins_v", joins_v), ("parts_v", parts_v)] {
            if !(least..=most).contains(&volts) && !notes.is_spoiled(&key(name)) {
                let system_v = 12.0 * self.factor;
                let allowed = format!("from {least} to {most} in a {system_v} V system");
                notes.problem(&key(name), must_be(volts, allowed));
            }
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
