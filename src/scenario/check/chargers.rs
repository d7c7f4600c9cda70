//! Chargers: what feeds them, what they charge, when they work.

use super::super::file::ScenarioFile;
use super::super::parts::{ChargerFile, ChargerKind};
use super::super::problem::{Fault, missing, must_be, no_such};
use super::entries::Entries;
use super::findings::Findings;
use super::{kinds, relays};
use crate::scenario::{Alternator, Bank, Buying, Charger, ChargerSource, Needs};

/// Checks every charger.
pub(super) fn check(
    file: &ScenarioFile,
    entries: &Entries,
    banks: &[Bank],
    alternator: Option<&Alternator>,
    factor: f64,
    notes: &mut Findings<'_>,
) -> Vec<Charger> {
    let chargers = file.chargers.as_deref().unwrap_or_default();
    let has_alternator = file.alternator.is_some() || notes.is_given("/alternator");
    let site = Site {
        entries,
        banks,
        alternator,
        factor,
        has_alternator,
    };
    let all = chargers.iter().enumerate();
    let all: Vec<Charger> = all
        .map(|(number, file)| site.charger(file, &format!("/chargers/{number}"), notes))
        .collect();
    relays::one_a_bank(&all, banks, notes);
    all
}

/// What a charger is checked against.
pub(super) struct Site<'a> {
    pub(super) entries: &'a Entries,
    pub(super) banks: &'a [Bank],
    pub(super) alternator: Option<&'a Alternator>,
    pub(super) factor: f64,
    pub(super) has_alternator: bool,
}

impl Site<'_> {
    fn charger(&self, file: &ChargerFile, path: &str, notes: &mut Findings<'_>) -> Charger {
        let key = |name: &str| format!("{path}/{name}");
        if let Some(kind) = file.kind {
            kinds::refuse_others(file, kind.word(), path, notes);
        }
        if file.kind == Some(ChargerKind::Relay) {
            return self.relay(file, path, notes);
        }
        let is_dc_dc = file.kind.is_none_or(|kind| kind == ChargerKind::DcDc);
        let kind_known = file.kind.is_some();
        let from = self.source(file, is_dc_dc, kind_known, path, notes);
        let to = self.entries.bank(file.to.as_ref(), &key("to"), notes);
        let efficiency = file.efficiency(path, notes, is_dc_dc);
        let priority = file.priority(path, notes);
        let min_input_v = if from == ChargerSource::Mains && file.min_input_v.is_none() {
            0.0
        } else {
            file.min_input_v(path, notes, from, self.factor)
        };
        let needs = self.needs(file, from, to, path, notes);
        let output_a = file.output_a.unwrap_or_else(|| {
            if kind_known && !notes.is_spoiled(&key("output_a")) {
                notes.problem(&key("output_a"), missing("above 0, at most 2000"));
            }
            1.0
        });
        Charger {
            id: file.id.clone().unwrap_or_default(),
            from,
            to: to.unwrap_or(0),
            output_a,
            efficiency,
            priority,
            min_input_v,
            needs,
            kind: file.kind.map_or("dc-dc", ChargerKind::word),
            relay: None,
            mass_kg: file.mass_kg,
            price: Buying::amount(file.price, file.price_per_a, output_a),
            buying: Buying::new(file.price_per_a, None, file.sizes.as_deref(), file.fixed),
        }
    }

    fn source(
        &self,
        file: &ChargerFile,
        is_dc_dc: bool,
        kind_known: bool,
        path: &str,
        notes: &mut Findings<'_>,
    ) -> ChargerSource {
        let from_path = format!("{path}/from");
        let wrong = |kind: &str, allowed: &str, found: &str| {
            format!("is `{found}`, but a {kind} charger is fed from {allowed}")
        };
        match (file.from.as_deref(), is_dc_dc) {
            (None | Some("mains"), false) => {
                if file.from.is_none() {
                    notes.assume(&from_path, &"mains", "a mains charger");
                }
                ChargerSource::Mains
            }
            (None | Some("alternator"), true) => {
                if file.from.is_none() && !notes.is_given(&from_path) {
                    notes.assume(
                        &from_path,
                        &"alternator",
                        "a DC-DC charger, nothing else named",
                    );
                }
                if !self.has_alternator && kind_known && !notes.is_spoiled(&from_path) {
                    let at = if file.from.is_some() {
                        &from_path
                    } else {
                        path
                    };
                    notes.problem(at, no_alternator());
                }
                ChargerSource::Alternator
            }
            (Some("mains"), true) => {
                if kind_known {
                    notes.problem(
                        &from_path,
                        wrong("dc-dc", "`alternator` or a bank", "mains"),
                    );
                }
                ChargerSource::Mains
            }
            (Some(other), false) => {
                notes.problem(&from_path, wrong("mains", "`mains` alone", other));
                ChargerSource::Mains
            }
            (Some(id), true) => {
                let Some(bank) = self.entries.known_bank(id) else {
                    let (names, whole) = self.entries.bank_names();
                    if whole {
                        let mut known = names.to_vec();
                        known.push("alternator".to_owned());
                        let wanted = "`alternator` or the id of a bank";
                        notes.problem(&from_path, no_such(id, wanted, &known));
                    }
                    return ChargerSource::Alternator;
                };
                ChargerSource::Bank(bank)
            }
        }
    }

    pub(super) fn needs(
        &self,
        file: &ChargerFile,
        from: ChargerSource,
        to: Option<usize>,
        path: &str,
        notes: &mut Findings<'_>,
    ) -> Needs {
        let trailer = |bank: Option<usize>| {
            bank.and_then(|bank| self.banks.get(bank))
                .is_some_and(|bank| bank.trailer)
        };
        let giver = match from {
            ChargerSource::Bank(giver) => Some(giver),
            _ => None,
        };
        // Between two banks of the trailer no plug is pulled.
        let in_trailer = trailer(to) && !trailer(giver);
        let needs = file.needs(path, notes, from, in_trailer);
        let allowed = match from {
            ChargerSource::Mains if needs != Needs::Always => "`always` for a mains charger",
            ChargerSource::Alternator if needs == Needs::Always => {
                "`driving` or `towing` for a charger fed from the alternator"
            }
            _ => return needs,
        };
        let fault = must_be(format_args!("`{needs}`"), allowed);
        notes.problem(&format!("{path}/needs"), fault);
        needs
    }
}

/// What asks for the alternator where there is none.
pub(super) fn no_alternator() -> Fault {
    Fault::from("is fed from the alternator, but the file has no `alternator`")
        .hint("add `\"alternator\": { \"rated_a\": 120 }` with your own figure")
}
