//! Ids: unique where they must be, and what they lead to.

use std::collections::HashMap;

use super::super::file::ScenarioFile;
use super::super::problem::{Fault, no_such};
use super::findings::Findings;
use crate::scenario::RunEnd;

/// Words that results and references use beside ids.
const RESERVED: [&str; 3] = ["alternator", "mains", "standby"];

/// The cure for an id that cannot be.
const OTHER_ID: &str = "choose another id";

/// Makes an end of a run from a place in a list.
type MakeEnd = fn(usize) -> RunEnd;

/// The ids of one list. `whole` says whether every entry has a usable one; if not, a missing
/// target may be the fault of that entry and is not reported again.
struct Ids {
    index: HashMap<String, usize>,
    names: Vec<String>,
    whole: bool,
}

/// The ids of every list that others refer to.
pub(in crate::scenario) struct Entries {
    banks: Ids,
    chargers: Ids,
    solar: Ids,
    loads: Ids,
    points: Ids,
    inverters: Ids,
}

impl Entries {
    /// Gathers the ids and reports the doubled ones.
    pub(super) fn collect(file: &ScenarioFile, notes: &mut Findings<'_>) -> Self {
        let banks = list("banks", file.banks.as_deref(), |bank| &bank.id, notes);
        let chargers = list(
            "chargers",
            file.chargers.as_deref(),
            |entry| &entry.id,
            notes,
        );
        let solar = list("solar", file.solar.as_deref(), |entry| &entry.id, notes);
        let loads = list("loads", file.loads.as_deref(), |load| &load.id, notes);
        let inverters = list(
            "inverters",
            file.inverters.as_deref(),
            |unit| &unit.id,
            notes,
        );
        let points = list(
            "distribution",
            file.distribution.as_deref(),
            |point| &point.id,
            notes,
        );
        list("runs", file.runs.as_deref(), |run| &run.id, notes);
        // Results name sources by id, and likewise what draws on a bank.
        apart(("solar", &solar), ("chargers", &chargers), notes);
        apart(("loads", &loads), ("chargers", &chargers), notes);
        Self {
            banks,
            chargers,
            solar,
            loads,
            points,
            inverters,
        }
    }

    /// The bank an id leads to; reports an id that leads nowhere.
    pub(in crate::scenario) fn bank(
        &self,
        id: Option<&String>,
        path: &str,
        notes: &mut Findings<'_>,
    ) -> Option<usize> {
        self.banks.find(id?, "the id of a bank", path, notes)
    }

    /// The bank with this id, silently.
    pub(super) fn known_bank(&self, id: &str) -> Option<usize> {
        self.banks.index.get(id).copied()
    }

    /// Ids of the banks, and whether they are all known.
    pub(super) fn bank_names(&self) -> (&[String], bool) {
        (&self.banks.names, self.banks.whole)
    }

    /// The charger an id leads to; reports an id that leads nowhere.
    pub(in crate::scenario) fn charger(
        &self,
        id: Option<&String>,
        path: &str,
        notes: &mut Findings<'_>,
    ) -> Option<usize> {
        self.chargers.find(id?, "the id of a charger", path, notes)
    }

    /// The inverter an id leads to; reports an id that leads nowhere.
    pub(super) fn inverter(
        &self,
        id: Option<&String>,
        path: &str,
        notes: &mut Findings<'_>,
    ) -> Option<usize> {
        self.inverters
            .find(id?, "the id of an entry of `inverters`", path, notes)
    }

    /// Whatever a run may begin or end at.
    pub(super) fn run_end(
        &self,
        id: Option<&String>,
        path: &str,
        notes: &mut Findings<'_>,
    ) -> Option<RunEnd> {
        let id = id?;
        if id == "alternator" {
            return Some(RunEnd::Alternator);
        }
        let lists: [(&Ids, &str, MakeEnd); 6] = [
            (&self.banks, "banks", RunEnd::Bank),
            (&self.chargers, "chargers", RunEnd::Charger),
            (&self.solar, "solar", RunEnd::Panel),
            (&self.loads, "loads", RunEnd::Load),
            (&self.inverters, "inverters", RunEnd::Inverter),
            (&self.points, "distribution", RunEnd::Point),
        ];
        let hits: Vec<(String, RunEnd)> = lists
            .iter()
            .filter_map(|(ids, list, make)| {
                let index = *ids.index.get(id)?;
                Some((format!("/{list}/{index}"), make(index)))
            })
            .collect();
        match hits.as_slice() {
            [(_, end)] => Some(*end),
            [(first, _), (second, _), ..] => {
                let text = format!("is `{id}`, which is the id of both {first} and {second}");
                notes.problem(path, Fault::from(text).hint(OTHER_ID));
                None
            }
            [] => {
                let known: Vec<String> = lists
                    .iter()
                    .flat_map(|(ids, ..)| ids.names.iter().cloned())
                    .chain(["alternator".to_owned()])
                    .collect();
                if lists.iter().all(|(ids, ..)| ids.whole) {
                    let wanted = "`alternator` or the id of a bank, charger, panel, inverter, load or part of `distribution`";
                    notes.problem(path, no_such(id, wanted, &known));
                }
                None
            }
        }
    }
}

impl Ids {
    fn find(&self, id: &str, wanted: &str, path: &str, notes: &mut Findings<'_>) -> Option<usize> {
        let found = self.index.get(id).copied();
        if found.is_none() && self.whole {
            notes.problem(path, no_such(id, wanted, &self.names));
        }
        found
    }
}

fn list<T>(
    list: &str,
    entries: Option<&[T]>,
    id: fn(&T) -> &Option<String>,
    notes: &mut Findings<'_>,
) -> Ids {
    let mut gathered = Ids {
        index: HashMap::new(),
        names: Vec::new(),
        // A list that is there but could not be read has unknown entries.
        whole: !notes.is_given(&format!("/{list}"))
            || !notes.is_spoiled_itself(&format!("/{list}")),
    };
    for (number, entry) in entries.unwrap_or_default().iter().enumerate() {
        let path = format!("/{list}/{number}/id");
        let Some(id) = id(entry) else {
            gathered.whole = false;
            continue;
        };
        if RESERVED.contains(&id.as_str()) && list != "runs" {
            let text = format!("is `{id}`, a word that the answers use for something else");
            notes.problem(&path, Fault::from(text).hint(OTHER_ID));
        }
        if let Some(first) = gathered.index.get(id) {
            // What refers to it may have meant the one that lost its own id.
            gathered.whole = false;
            notes.problem(&path, doubled(id, list, *first));
        } else {
            gathered.index.insert(id.clone(), number);
            gathered.names.push(id.clone());
        }
    }
    gathered
}

fn apart(later: (&str, &Ids), earlier: (&str, &Ids), notes: &mut Findings<'_>) {
    let mut shared: Vec<(usize, &String)> = later
        .1
        .index
        .iter()
        .filter(|(id, _)| earlier.1.index.contains_key(*id))
        .map(|(id, number)| (*number, id))
        .collect();
    shared.sort();
    for (number, id) in shared {
        let first = earlier.1.index.get(id).copied().unwrap_or(0);
        let path = format!("/{}/{number}/id", later.0);
        notes.problem(&path, doubled(id, earlier.0, first));
    }
}

fn doubled(id: &str, list: &str, first: usize) -> String {
    format!("is `{id}`, which is the id of /{list}/{first} already")
}
