//! Cable runs and what they lead through: their ends, and what they carry.

use super::super::file::ScenarioFile;
use super::super::parts::RunFile;
use super::super::problem::must_be;
use super::entries::Entries;
use super::findings::Findings;
use crate::scenario::{
    Bank, Charger, ChargerSource, Insulation, InverterUnit, Kept, Load, Panel, Point, Role, Run,
    RunEnd,
};

/// What runs can lead to.
pub(super) struct Ends<'a> {
    pub(super) banks: &'a [Bank],
    pub(super) chargers: &'a [Charger],
    pub(super) solar: &'a [Panel],
    pub(super) loads: &'a [Load],
    pub(super) inverters: &'a [InverterUnit],
}

/// Checks every run.
pub(super) fn check(
    file: &ScenarioFile,
    entries: &Entries,
    parts: &Ends<'_>,
    notes: &mut Findings<'_>,
) -> Vec<Run> {
    let given = file.runs.as_deref().unwrap_or_default();
    let mut runs: Vec<Run> = Vec::with_capacity(given.len());
    let mut behind = Vec::new();
    for (number, file) in given.iter().enumerate() {
        if let Some(run) = run(file, entries, parts, &format!("/runs/{number}"), notes) {
            let is_open = |end| matches!(end, RunEnd::Point(_));
            if file.carries.is_none() && (is_open(run.from) || is_open(run.to)) {
                behind.push((runs.len(), number));
            }
            runs.push(run);
        }
    }
    for (index, number) in behind {
        carry_what_is_behind(&mut runs, index, file, &format!("/runs/{number}"), notes);
    }
    runs
}

/// Checks every bus, block, plug and switch.
pub(super) fn points(file: &ScenarioFile, notes: &mut Findings<'_>) -> Vec<Point> {
    let given = file.distribution.as_deref().unwrap_or_default();
    let read = |(number, file)| Point::read(file, &format!("/distribution/{number}"), notes);
    given.iter().enumerate().map(read).collect()
}

/// Fills in what a run through a bus, block, plug or switch carries: the chargers, panels and loads
/// on the side that holds fewer banks.
fn carry_what_is_behind(
    runs: &mut [Run],
    index: usize,
    file: &ScenarioFile,
    path: &str,
    notes: &mut Findings<'_>,
) {
    let (from, to) = (runs[index].from, runs[index].to);
    let (carries, banks) = reached(runs, index, to);
    let (others, other_banks) = reached(runs, index, from);
    let carries = if banks > other_banks { others } else { carries };
    let name = |end: &RunEnd| -> Option<&str> {
        let id = match *end {
            RunEnd::Charger(at) => &file.chargers.as_ref()?.get(at)?.id,
            RunEnd::Panel(at) => &file.solar.as_ref()?.get(at)?.id,
            RunEnd::Load(at) => &file.loads.as_ref()?.get(at)?.id,
            _ => return None,
        };
        id.as_deref()
    };
    let ids: Vec<&str> = carries.iter().filter_map(name).collect();
    let value = format!("[{}]", ids.join(", "));
    notes.assume(&format!("{path}/carries"), &value, "what is behind it");
    runs[index].carries = carries;
}

/// Chargers, panels and loads reached from an end of a run without going through it, and the number
/// of banks and alternators beside them.
fn reached(runs: &[Run], without: usize, end: RunEnd) -> (Vec<RunEnd>, usize) {
    let mut open = vec![end];
    let (mut seen, mut carries, mut banks) = (Vec::new(), Vec::new(), 0);
    while let Some(end) = open.pop() {
        match end {
            RunEnd::Bank(_) | RunEnd::Alternator => banks += 1,
            RunEnd::Point(_) if !seen.contains(&end) => {
                seen.push(end);
                for (number, run) in runs.iter().enumerate() {
                    open.extend(run.other_end(end).filter(|_| number != without));
                }
            }
            RunEnd::Point(_) => {}
            part if carries.contains(&part) => {}
            part => carries.push(part),
        }
    }
    (carries, banks)
}

fn run(
    file: &RunFile,
    entries: &Entries,
    parts: &Ends<'_>,
    path: &str,
    notes: &mut Findings<'_>,
) -> Option<Run> {
    let key = |name: &str| format!("{path}/{name}");
    let from = entries.run_end(file.from.as_ref(), &key("from"), notes);
    let to = entries.run_end(file.to.as_ref(), &key("to"), notes);
    if let (Some(from), Some(to)) = (from, to)
        && from == to
    {
        let found = file.to.as_deref().unwrap_or_default();
        let text = format!("is `{found}`, where the run begins: it must end elsewhere");
        notes.problem(&key("to"), text);
        return None;
    }
    let carries = carries(file, (from, to), entries, parts, path, notes);
    let drop_limit = file.drop_limit(path, notes);
    let rating_c = file.insulation_c(path, notes);
    let mut ends = [from, to].into_iter().flatten();
    let place = file.place(path, notes, ends.any(|end| parts.in_engine_bay(end)));
    let ambient_c = file.ambient_c(path, notes, place);
    let bundled = file.bundled(path, notes);
    Some(Run {
        id: file.id.clone()?,
        from: from?,
        to: to?,
        one_way_m: file.one_way_m?,
        carries,
        drop_limit,
        mm2: file.mm2,
        largest_mm2: file.largest_mm2,
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
    parts: &Ends<'_>,
    path: &str,
    notes: &mut Findings<'_>,
) -> Vec<RunEnd> {
    let path = format!("{path}/carries");
    let Some(ids) = &file.carries else {
        let ends = [(to, file.to.as_ref()), (from, file.from.as_ref())];
        let consumer = ends.into_iter().find(|(end, _)| {
            matches!(
                end,
                Some(RunEnd::Charger(_) | RunEnd::Panel(_) | RunEnd::Load(_) | RunEnd::Inverter(_))
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
        if matches!(
            item,
            RunEnd::Alternator | RunEnd::Bank(_) | RunEnd::Point(_)
        ) {
            let found = format_args!("`{id}`");
            notes.problem(&path, must_be(found, "the id of a charger, panel or load"));
        } else if let (Some(from), Some(to)) = (from, to)
            && !parts.touches(item, from, to)
        {
            let [from, to] = [&file.from, &file.to].map(|end| end.as_deref().unwrap_or_default());
            let text = format!("is `{id}`, whose current does not pass from `{from}` to `{to}`");
            notes.problem(&path, text);
        } else if !carried.contains(&item) {
            carried.push(item);
        }
    }
    carried
}

impl Ends<'_> {
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
        // Through a bus or a plug the way is as long as the runs make it.
        if ends.iter().any(|end| matches!(end, RunEnd::Point(_))) {
            return true;
        }
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
                RunEnd::Inverter(index) => self
                    .inverters
                    .get(index)
                    .is_some_and(|unit| ends.contains(&RunEnd::Bank(unit.bank))),
                RunEnd::Load(index) => self
                    .loads
                    .get(index)
                    .is_some_and(|load| ends.contains(&RunEnd::Bank(load.bank))),
                RunEnd::Alternator | RunEnd::Bank(_) | RunEnd::Point(_) => false,
            }
    }
}
