//! Every kind of change that could mend a trip, each as a row of sizes.
//!
//! One job: from a scenario to its families of changes. A family is a row of rungs, each more of the
//! same thing than the one before; whether a rung holds is the checker's to say, whether it helps is
//! found by trying. Changes of the way are in `way_families`. Steps of sizes are ours (10 Ah, 10 W, 5 A, quarters of an hour) where the file
//! names no `sizes`.

use serde_json::{Value, json};

use super::way_families::itinerary;
use crate::scenario::{Bank, Buying, Changes, ChargerSource, Chemistry, LoadKind, Parts, Scenario};
use crate::timeline::plant::may_starve;
use crate::units::Whole;

/// The most of a size that is tried, against what there is.
const MOST_TIMES: f64 = 8.0;
/// Steps of ours, and the most that is tried however small the scenario's own size is.
const BANK_AH: (f64, f64) = (10.0, 400.0);
const PANEL_W: (f64, f64) = (10.0, 800.0);
const CHARGER_A: f64 = 5.0;
/// Loads that are moved together at most.
const MOVED_TOGETHER: usize = 3;
/// What moving something to another bank counts as a change of: little, since nothing is done without. Ours.
const MOVE_EFFORT: f64 = 0.05;

/// The kind of a load used less: it can only help.
pub(super) const LESS_LOAD: &str = "less-load";

/// A change that can be tried.
#[derive(Debug, Clone)]
pub(super) struct Rung {
    pub(super) changes: Changes,
    pub(super) text: String,
    /// How much of a change it is against what there is; our own measure, for ties alone.
    pub(super) effort: f64,
    /// The size itself, where the family has one.
    pub(super) size: f64,
}

impl Rung {
    /// One that is no size.
    pub(super) fn new(changes: Changes, text: String, effort: f64) -> Self {
        Self {
            changes,
            text,
            effort,
            size: 0.0,
        }
    }
}

/// A row of changes, each more than the one before.
#[derive(Debug, Clone)]
pub(super) struct Family {
    pub(super) kind: &'static str,
    /// What it is in words: "a larger main".
    pub(super) name: String,
    /// The part whose size it is: "bank main".
    pub(super) part: String,
    /// Whether nothing has to be bought.
    pub(super) free: bool,
    pub(super) rungs: Vec<Rung>,
    /// Key of the size, where it is one.
    pub(super) key: Option<String>,
    /// The size as it is.
    pub(super) now: f64,
    pub(super) unit: &'static str,
    /// All sizes that can be bought, ascending, from the smallest; empty where it is no size.
    pub(super) for_sale: Vec<f64>,
}

impl Family {
    pub(super) fn of_use(kind: &'static str, name: String, rungs: Vec<Rung>) -> Self {
        Self {
            kind,
            name,
            part: String::new(),
            free: true,
            rungs,
            key: None,
            now: 0.0,
            unit: "",
            for_sale: Vec::new(),
        }
    }
}

/// Every family of a scenario, those without a rung left out. `load_wh_per_day` is what each load
/// asked for, by which loads are ranked.
pub(super) fn families(scenario: &Scenario, load_wh_per_day: &[f64]) -> Vec<Family> {
    let house = scenario.house_banks();
    let mut all = Vec::new();
    all.extend(moves(scenario, &house, load_wh_per_day));
    for &bank in &house {
        all.push(larger_bank(&scenario.banks[bank]));
        all.extend(other_chemistry(&scenario.banks[bank]));
        all.extend(more_sun(scenario, bank));
    }
    all.extend(larger_chargers(scenario));
    all.extend(less_of_a_load(scenario, &house, load_wh_per_day));
    all.extend(itinerary(scenario));
    all.retain(|family| !family.rungs.is_empty());
    all
}

/// Sizes above `now`: those that can be bought, else steps up to `most`.
fn sizes(buying: &Buying, now: f64, step: f64, most: f64) -> Vec<f64> {
    if buying.fixed {
        return Vec::new();
    }
    if !buying.sizes.is_empty() {
        let larger = buying.sizes.iter().copied();
        return larger.filter(|size| *size > now + 1e-9).collect();
    }
    let (first, last) = (
        u32::cut((now / step).floor()) + 1,
        u32::cut((most / step).round()),
    );
    (first..=last)
        .map(|count| f64::from(count) * step)
        .collect()
}

/// A part that has a size.
struct Sized<'a> {
    /// What it is: its kind of change.
    what: &'static str,
    id: &'a str,
    key: String,
    now: f64,
    unit: &'static str,
    buying: &'a Buying,
    step: f64,
    most: f64,
}

impl Sized<'_> {
    /// More of it.
    fn family(&self, name: String) -> Family {
        let Self {
            what,
            id,
            key,
            now,
            unit,
            ..
        } = self;
        let sizes = |above: f64| sizes(self.buying, above, self.step, self.most);
        let rungs = sizes(*now).into_iter().map(|size| Rung {
            changes: Changes::one(key.as_str(), size),
            text: format!("{what} {id} of {size} {unit} instead of {now}"),
            effort: size / now - 1.0,
            size,
        });
        Family {
            kind: what,
            name,
            part: format!("{what} {id}"),
            free: false,
            rungs: rungs.collect(),
            key: Some(key.clone()),
            now: *now,
            unit,
            for_sale: sizes(0.0),
        }
    }
}

fn larger_bank(bank: &Bank) -> Family {
    let sized = Sized {
        what: "bank",
        id: &bank.id,
        key: format!("banks.{}.capacity_ah", bank.id),
        now: bank.capacity_ah,
        unit: "Ah",
        buying: &bank.buying,
        step: BANK_AH.0,
        most: BANK_AH.1.max(bank.capacity_ah * MOST_TIMES),
    };
    sized.family(format!("a larger bank {}", bank.id))
}

fn other_chemistry(bank: &Bank) -> Option<Family> {
    if !bank.chemistry.is_lead_acid() || bank.buying.fixed {
        return None;
    }
    let key = format!("banks.{}.chemistry", bank.id);
    let text = format!(
        "bank {} as lithium iron phosphate of the same {} Ah instead of {}",
        bank.id,
        bank.capacity_ah,
        bank.chemistry.word()
    );
    let rung = Rung::new(Changes::one(key, Chemistry::Lfp.word()), text, 1.0);
    let name = format!("lithium iron phosphate for bank {}", bank.id);
    Some(Family {
        free: false,
        ..Family::of_use("chemistry", name, vec![rung])
    })
}

/// More of each panel of a bank; a first panel, flat on the roof, where it has none.
fn more_sun(scenario: &Scenario, bank: usize) -> Vec<Family> {
    let panel = |id, now: f64, buying| Sized {
        what: "panel",
        id,
        key: format!("solar.{id}.panel_w"),
        now,
        unit: "W",
        buying,
        step: PANEL_W.0,
        most: PANEL_W.1.max(now * MOST_TIMES),
    };
    let own = scenario.solar.iter().filter(|panel| panel.to == bank);
    let all = own.map(|of| {
        let name = format!("more panel than {} W ({})", of.panel_w, of.id);
        panel(of.id.as_str(), of.panel_w, &of.buying).family(name)
    });
    let all: Vec<Family> = all.collect();
    if !all.is_empty() {
        return all;
    }
    let id = &scenario.banks[bank].id;
    let given = scenario.given("solar").ok().flatten();
    let given = given
        .and_then(|given| given.as_array().cloned())
        .unwrap_or_default();
    let new_id = format!("roof-{id}");
    let mut first = panel(&new_id, 0.0, &Buying::default()).family(format!("a panel on bank {id}"));
    first.part = format!("flat panel on bank {id}");
    for rung in &mut first.rungs {
        let size = rung.size;
        let new = json!({ "id": new_id, "to": id, "panel_w": size, "mount": "flat" });
        let panels = Value::Array([given.clone(), vec![new]].concat());
        rung.changes = Changes::one("solar", panels);
        rung.text = format!("a flat panel of {size} W on bank {id}");
        rung.effort = size / 100.0;
    }
    vec![first]
}

/// Larger chargers, as far as the bank takes their current, the alternator has it to give and their cables bring it.
fn larger_chargers(scenario: &Scenario) -> Vec<Family> {
    let chargers = scenario.chargers.iter().enumerate();
    let chargers = chargers.filter(|(_, charger)| charger.relay.is_none());
    let all = chargers.map(|(index, charger)| {
        let bank = &scenario.banks[charger.to];
        let from_alternator = match (charger.from, &scenario.alternator) {
            (ChargerSource::Alternator, Some(alternator)) => {
                let left_a = alternator.spare_a(alternator.rated_a);
                left_a * alternator.volts * charger.efficiency / bank.absorption_v
            }
            _ => f64::INFINITY,
        };
        let most = bank.max_charge_a.min(from_alternator);
        let sized = Sized {
            what: "charger",
            id: &charger.id,
            key: format!("chargers.{}.output_a", charger.id),
            now: charger.output_a,
            unit: "A",
            buying: &charger.buying,
            step: CHARGER_A,
            most: most.min(charger.output_a * MOST_TIMES),
        };
        let mut family = sized.family(format!("a larger charger {}", charger.id));
        family.rungs.retain(|rung| rung.size <= most + 1e-9);
        if charger.from == ChargerSource::Alternator && !scenario.runs.is_empty() {
            let before = family.rungs.len();
            family.rungs.retain(|rung| {
                let changed = scenario.with(&rung.changes);
                changed.is_ok_and(|changed| !may_starve(&changed, index))
            });
            if family.rungs.len() < before {
                family.name += " on the cable it has";
            }
        }
        family
    });
    all.collect()
}

/// Loads, panels and chargers on another bank that stays or goes with the trailer as the first does.
fn moves(scenario: &Parts, house: &[usize], load_wh_per_day: &[f64]) -> Vec<Family> {
    let mut all = Vec::new();
    let pairs = house
        .iter()
        .flat_map(|&from| house.iter().map(move |&to| (from, to)));
    let pairs = pairs.filter(|&(from, to)| {
        from != to && scenario.banks[from].trailer == scenario.banks[to].trailer
    });
    for (from, to) in pairs {
        let (from_id, to_id) = (&scenario.banks[from].id, &scenario.banks[to].id);
        let mut loads: Vec<usize> = (0..scenario.loads.len())
            .filter(|&at| {
                let load = &scenario.loads[at];
                load.bank == from && !load.off && !load.fixed && load_wh_per_day[at] > 0.0
            })
            .collect();
        loads.sort_by(|&a, &b| load_wh_per_day[b].total_cmp(&load_wh_per_day[a]));
        let whole: f64 = loads.iter().map(|&at| load_wh_per_day[at]).sum();
        let rung = |moved: &[usize]| {
            let ids: Vec<&str> = moved
                .iter()
                .map(|&at| scenario.loads[at].id.as_str())
                .collect();
            let keys = ids.iter().map(|id| format!("loads.{id}.bank"));
            let wh: f64 = moved.iter().map(|&at| load_wh_per_day[at]).sum();
            let changes = keys.fold(Changes::default(), |set, key| set.and(key, to_id.as_str()));
            let text = format!("{} on bank {to_id} instead of {from_id}", ids.join(" and "));
            // Nothing is lost by it: before any change of habit.
            Rung::new(changes, text, wh / whole.max(1.0) * MOVE_EFFORT)
        };
        for &load in &loads {
            let name = format!(
                "moving {} from {from_id} to {to_id}",
                scenario.loads[load].id
            );
            all.push(Family::of_use("move-load", name, vec![rung(&[load])]));
        }
        for count in 2..=MOVED_TOGETHER.min(loads.len()) {
            let name = format!("moving {count} loads from {from_id} to {to_id}");
            all.push(Family::of_use(
                "move-load",
                name,
                vec![rung(&loads[..count])],
            ));
        }
        let panels = scenario.solar.iter();
        let panels = panels.filter(|p| p.to == from && p.shares.is_none() && !p.buying.fixed);
        let panels = panels.map(|panel| ("solar", "panel", "move-panel", &panel.id));
        let is_source = |charger: ChargerSource| charger == ChargerSource::Bank(to);
        let chargers = scenario.chargers.iter();
        let chargers = chargers.filter(|c| c.to == from && !c.buying.fixed && !is_source(c.from));
        let chargers = chargers.map(|of| ("chargers", "charger", "move-charger", &of.id));
        for (list, what, kind, id) in panels.chain(chargers) {
            let changes = Changes::one(format!("{list}.{id}.to"), to_id.as_str());
            let text = format!("{what} {id} on bank {to_id} instead of {from_id}");
            let name = format!("moving {what} {id} to {to_id}");
            let rung = Rung::new(changes, text, MOVE_EFFORT);
            all.push(Family::of_use(kind, name, vec![rung]));
        }
    }
    all
}

/// Fewer hours of each load that has hours, down to none; never of what is kept.
fn less_of_a_load(scenario: &Parts, house: &[usize], load_wh_per_day: &[f64]) -> Vec<Family> {
    let whole: f64 = load_wh_per_day.iter().sum();
    let may = |at: &usize| {
        let load = &scenario.loads[*at];
        house.contains(&load.bank)
            && !(load.keep || load.off || load.fixed)
            && load.kind.fridge().is_none()
            && load_wh_per_day[*at] > 0.0
    };
    let all = (0..scenario.loads.len()).filter(may).map(|at| {
        let load = &scenario.loads[at];
        let part = load_wh_per_day[at] / whole.max(1.0);
        let mut rungs = Vec::new();
        if let LoadKind::Hours { hours_per_day, .. } = load.kind {
            for share in [0.75, 0.5, 0.25] {
                let less = Value::from(hours_per_day.scaled(share));
                let key = format!("loads.{}.hours_per_day", load.id);
                let text = format!(
                    "{} for {} h a day instead of {}",
                    load.id,
                    hundredths(hours_per_day.likely * share),
                    hundredths(hours_per_day.likely)
                );
                rungs.push(Rung::new(
                    Changes::one(key, less),
                    text,
                    (1.0 - share) * part,
                ));
            }
        }
        let off = Changes::one(format!("loads.{}.off", load.id), true);
        rungs.push(Rung::new(off, format!("without {}", load.id), part));
        Family::of_use(LESS_LOAD, format!("less of {}", load.id), rungs)
    });
    all.collect()
}

fn hundredths(value: f64) -> f64 {
    (value * 100.0).round() / 100.0
}
