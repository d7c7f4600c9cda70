//! Cable runs: their ends, and what they carry.

use super::super::defaults;
use super::super::file::{RunFile, ScenarioFile};
use super::super::problem::ProblemKind;
use super::entries::Entries;
use super::notebook::Notebook;
use crate::scenario::{
    Bank, Charger, ChargerSource, Insulation, Kept, Load, Panel, Role, Run, RunEnd,
};

/// What runs can lead to.
pub(super) struct Parts<'a> {
    pub(super) banks: &'a [Bank],
    pub(super) chargers: &'a [Charger],
    pub(super) solar: &'a [Panel],
    pub(super) loads: &'a [Load],
}

/// Checks every run.
pub(super) fn check(
    file: &ScenarioFile,
    entries: &Entries,
    parts: &Parts<'_>,
    notes: &mut Notebook<'_>,
) -> Vec<Run> {
    let runs = file.runs.as_deref().unwrap_or_default();
    runs.iter()
        .enumerate()
        .filter_map(|(number, file)| run(file, entries, parts, &format!("/runs/{number}"), notes))
        .collect()
}

fn run(
    file: &RunFile,
    entries: &Entries,
    parts: &Parts<'_>,
    path: &str,
    notes: &mut Notebook<'_>,
) -> Option<Run> {
    let key = |name: &str| format!("{path}/{name}");
    let from = entries.run_end(file.from.as_ref(), &key("from"), notes);
    let to = entries.run_end(file.to.as_ref(), &key("to"), notes);
    if let (Some(from), Some(to)) = (from, to)
        && from == to
    {
        let found = file.to.clone().unwrap_or_default();
        notes.problem(&key("to"), ProblemKind::RunToItself { found });
        return None;
    }
    let carries = carries(file, (from, to), entries, parts, path, notes);
    let drop_limit = notes.or_assumed(&key("drop_limit"), file.drop_limit, defaults::DROP_LIMIT);
    let rating_c = notes.or_assumed(
        &key("insulation_c"),
        file.insulation_c,
        defaults::INSULATION_C,
    );
    let in_engine_bay = [from, to]
        .into_iter()
        .flatten()
        .any(|end| parts.in_engine_bay(end));
    let place = defaults::run_place(in_engine_bay);
    let place = notes.word_or_assumed(&key("where"), file.place, place, Kept::word);
    let ambient = defaults::run_ambient_c(place);
    let ambient_c = notes.or_assumed(&key("ambient_c"), file.ambient_c, ambient);
    let bundled = notes.or_assumed(&key("bundled"), file.bundled, defaults::BUNDLED);
    Some(Run {
        id: file.id.clone()?,
        from: from?,
        to: to?,
        one_way_m: file.one_way_m?,
        carries,
        drop_limit,
        mm2: file.mm2,
        fuse_a: file.fuse_a,
        insulation: Insulation::new(rating_c)?,
        ambient_c,
        ambient_given: file.ambient_c.is_some(),
        bundled,
        place,
    })
}

fn carries(
    file: &RunFile,
    (from, to): (Option<RunEnd>, Option<RunEnd>),
    entries: &Entries,
    parts: &Parts<'_>,
    path: &str,
    notes: &mut Notebook<'_>,
) -> Vec<RunEnd> {
    let path = format!("{path}/carries");
    let Some(ids) = &file.carries else {
        let ends = [(to, file.to.as_ref()), (from, file.from.as_ref())];
        let consumer = ends.into_iter().find(|(end, _)| {
            matches!(
                end,
                Some(RunEnd::Charger(_) | RunEnd::Panel(_) | RunEnd::Load(_))
            )
        });
        return match consumer {
            Some((Some(end), Some(id))) => {
                notes.assume(&path, &format!("[{id}]"), "what the run leads to");
                vec![end]
            }
            _ => Vec::new(),
        };
    };
    let mut carried = Vec::new();
    for (number, id) in ids.iter().enumerate() {
        let path = format!("{path}/{number}");
        let Some(item) = entries.run_end(Some(id), &path, notes) else {
            continue;
        };
        if matches!(item, RunEnd::Alternator | RunEnd::Bank(_)) {
            let kind = ProblemKind::NotAllowed {
                found: format!("`{id}`"),
                allowed: "the id of a charger, panel or load".to_owned(),
                hint: None,
            };
            notes.problem(&path, kind);
        } else if let (Some(from), Some(to)) = (from, to)
            && !parts.touches(item, from, to)
        {
            let kind = ProblemKind::CarriesUntouched {
                found: id.clone(),
                ends: [file.from.clone(), file.to.clone()].map(Option::unwrap_or_default),
            };
            notes.problem(&path, kind);
        } else if !carried.contains(&item) {
            carried.push(item);
        }
    }
    carried
}

impl Parts<'_> {
    fn in_engine_bay(&self, end: RunEnd) -> bool {
        match end {
            RunEnd::Alternator => true,
            RunEnd::Bank(index) => self
                .banks
                .get(index)
                .is_some_and(|bank| bank.kept == Kept::EngineBay),
            _ => false,
        }
    }

    /// Whether the current of `item` can pass between the two ends: one of them is the item
    /// itself or what feeds it, or the bank it charges.
    fn touches(&self, item: RunEnd, from: RunEnd, to: RunEnd) -> bool {
        let ends = [from, to];
        let is_start = |end: &RunEnd| match end {
            RunEnd::Bank(index) => self
                .banks
                .get(*index)
                .is_some_and(|bank| bank.role == Role::Start),
            _ => false,
        };
        ends.contains(&item)
            || match item {
                RunEnd::Charger(index) => self.chargers.get(index).is_some_and(|charger| {
                    ends.contains(&RunEnd::Bank(charger.to))
                        || match charger.from {
                            ChargerSource::Alternator => {
                                ends.contains(&RunEnd::Alternator) || ends.iter().any(is_start)
                            }
                            ChargerSource::Bank(giver) => ends.contains(&RunEnd::Bank(giver)),
                            ChargerSource::Mains => false,
                        }
                }),
                RunEnd::Panel(index) => self.solar.get(index).is_some_and(|panel| {
                    ends.contains(&RunEnd::Bank(panel.to))
                        || panel
                            .shares
                            .is_some_and(|box_| ends.contains(&RunEnd::Charger(box_)))
                }),
                RunEnd::Load(index) => self
                    .loads
                    .get(index)
                    .is_some_and(|load| ends.contains(&RunEnd::Bank(load.bank))),
                RunEnd::Alternator | RunEnd::Bank(_) => false,
            }
    }
}
