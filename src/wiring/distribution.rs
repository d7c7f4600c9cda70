//! What stands between banks and consumers: main fuse, switch, bus, fuse block, plug, earth return.
//!
//! One job: the pieces, those that the file names and those that every such system has and the file
//! leaves out, which are derived and said to be. The runs between them are in [`super::assess`].

use serde::Serialize;

use super::conductors::Series;
use super::design_current::design_current;
use super::fuses::FuseType;
use super::inverter_output::inverter_problems;
use super::relays::{relay_current, relay_problem};
use super::run_demand::{is_behind_derived_main, is_main_of, run_demand};
use super::schedule::{Problem, ScheduledRun};
use super::sizing::size_run;
use super::suggest::plain_run;
use crate::scenario::{ChargerSource, Parts, Point, PointKind, Role, Run, RunEnd};

/// Length assumed of the cable from a battery's terminal to its main fuse and bus, m.
const MAIN_M: f64 = 0.5;

/// A piece of the distribution.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct Piece {
    /// Its id, or one made from the bank's.
    pub id: String,
    /// `main-fuse`, `switch`, `bus`, `fuse-block`, `plug`, `earth-return`, `inverter` or `relay`.
    pub kind: &'static str,
    /// Whether the file leaves it out and it was derived.
    pub derived: bool,
    /// Id of the bank that it belongs to, if to one.
    pub bank: Option<String>,
    /// Largest current through it.
    pub current_a: f64,
    /// Rating: of a fuse its own, of a derived piece the least, of a given one as given.
    pub rating_a: Option<f64>,
    /// Family of a derived main fuse.
    pub fuse: Option<FuseType>,
    /// The cable of a derived main fuse, as the shop writes it.
    pub conductor: Option<String>,
    /// What to ask for.
    pub words: String,
    /// What fails.
    pub problems: Vec<Problem>,
}

/// Every piece: bank by bank, then plugs and the rest of the file's own.
#[must_use]
pub fn pieces(scenario: &Parts, lines: &[ScheduledRun], series: Series) -> Vec<Piece> {
    let mut found = Vec::new();
    for (bank, its) in scenario.banks.iter().enumerate() {
        if its.role == Role::House {
            found.extend(of_bank(scenario, bank, lines, series));
        }
    }
    let units = 0..scenario.inverters.len();
    found.extend(units.map(|unit| of_inverter(scenario, unit)));
    let chargers = 0..scenario.chargers.len();
    found.extend(chargers.filter_map(|charger| of_relay(scenario, charger)));
    found.extend(derived_plug(scenario));
    let given = scenario.distribution.iter().enumerate();
    found.extend(given.map(|(index, point)| of_file(scenario, index, point, lines)));
    found
}

/// What draws on a bank: its loads, those behind an inverter as the inverter.
pub(super) fn loads_on(scenario: &Parts, bank: usize) -> impl Iterator<Item = RunEnd> {
    let loads = scenario.loads.iter().enumerate();
    let loads = loads.filter(move |(_, load)| load.bank == bank && load.inverter.is_none());
    let units = scenario.inverters.iter().enumerate();
    let units = units.filter(move |(_, unit)| unit.bank == bank);
    let loads = loads.map(|(load, _)| RunEnd::Load(load));
    loads.chain(units.map(|(unit, _)| RunEnd::Inverter(unit)))
}

/// The chargers that a bank feeds, and what charges it: chargers, and panels with a controller of their own.
pub(super) fn chargers_on(scenario: &Parts, bank: usize) -> impl Iterator<Item = RunEnd> {
    let chargers = scenario.chargers.iter().enumerate();
    let chargers = chargers.filter(move |(_, charger)| {
        charger.from == ChargerSource::Bank(bank) || charger.to == bank
    });
    let panels = scenario.solar.iter().enumerate();
    let panels = panels.filter(move |(_, panel)| panel.to == bank && panel.shares.is_none());
    let chargers = chargers.map(|(charger, _)| RunEnd::Charger(charger));
    chargers.chain(panels.map(|(panel, _)| RunEnd::Panel(panel)))
}

/// The run that feeds a bank's bus or block, if the file gives one.
fn main_run(scenario: &Parts, bank: usize) -> Option<usize> {
    (0..scenario.runs.len())
        .filter(|index| is_main_of(&scenario.runs[*index], bank))
        .max_by_key(|index| scenario.runs[*index].carries.len())
}

fn of_bank(scenario: &Parts, bank: usize, lines: &[ScheduledRun], series: Series) -> Vec<Piece> {
    let id = &scenario.banks[bank].id;
    let mut on: Vec<RunEnd> = loads_on(scenario, bank).collect();
    let loads = on.iter();
    let loads = loads.filter(|end| matches!(end, RunEnd::Load(_))).count();
    on.extend(chargers_on(scenario, bank));
    if on.is_empty() {
        return Vec::new();
    }
    let piece = |suffix: &str, kind, (current_a, rating_a), words: &str| Piece {
        id: format!("{id}-{suffix}"),
        kind,
        derived: true,
        bank: Some(id.clone()),
        current_a,
        rating_a,
        words: words.to_owned(),
        ..Piece::default()
    };
    let mut found = Vec::new();
    let through = if let Some(line) = main_run(scenario, bank).and_then(|run| lines.get(run)) {
        let rating_a = line.fuse.as_ref().map(|fuse| fuse.rating_a);
        let through = (line.design_current_a, rating_a);
        let words = format!("the fuse of the run {}", line.id);
        found.push(Piece {
            derived: false,
            ..piece("main-fuse", "main-fuse", through, &words)
        });
        through
    } else {
        let main = derived_main(scenario, bank, &on);
        let demand = run_demand(scenario, &main, series);
        let sizing = size_run(&demand);
        let words = sizing.fuse.map_or_else(
            || format!("no standard fuse of at least {:.1} A: part the bank's circuits between two mains", demand.least_fuse_a()),
            |fuse| format!("{}, at the positive terminal", fuse.kind.words()),
        );
        let through = (demand.current_a, sizing.fuse.map(|fuse| fuse.rating_a));
        found.push(Piece {
            fuse: sizing.fuse.map(|fuse| fuse.kind),
            conductor: sizing.area_mm2.map(|area| series.marked(area)),
            ..piece("main-fuse", "main-fuse", through, &words)
        });
        if on.len() > loads {
            let words = "a bus on which chargers, controllers and the block are joined";
            found.push(piece("bus", "bus", through, words));
        }
        if loads > 0 {
            let words = format!("{loads} circuits, each with its own fuse");
            found.push(piece("block", "fuse-block", through, &words));
        }
        through
    };
    if !has_any(scenario, PointKind::Switch) {
        let words = "a switch between main fuse and bus, to part the bank from all else";
        found.push(piece("switch", "switch", through, words));
    }
    let words =
        "the negative comes back to the bank by a cable of the same size; one joint to the chassis";
    found.push(piece("earth", "earth-return", through, words));
    found
}

/// Whether the file names such a thing.
fn has_any(scenario: &Parts, kind: PointKind) -> bool {
    scenario.distribution.iter().any(|point| point.kind == kind)
}

fn derived_main(scenario: &Parts, bank: usize, on: &[RunEnd]) -> Run {
    let from = RunEnd::Bank(bank);
    let load = on
        .iter()
        .copied()
        .find(|end| matches!(end, RunEnd::Load(_)));
    Run {
        one_way_m: MAIN_M,
        carries: on.to_vec(),
        id: format!("{}-main", scenario.banks[bank].id),
        ..plain_run(from, load.unwrap_or(on[0]))
    }
}

fn of_inverter(scenario: &Parts, index: usize) -> Piece {
    let unit = &scenario.inverters[index];
    let run = plain_run(RunEnd::Bank(unit.bank), RunEnd::Inverter(index));
    Piece {
        id: unit.id.clone(),
        kind: "inverter",
        bank: Some(scenario.banks[unit.bank].id.clone()),
        current_a: design_current(scenario, &run).current_a,
        words: format!(
            "{:.0} W, {:.0} W for a moment; its 230/120 V side, sockets and protection are for a licensed person",
            unit.rated_w, unit.surge_w
        ),
        problems: inverter_problems(scenario, index),
        ..Piece::default()
    }
}

fn of_relay(scenario: &Parts, index: usize) -> Option<Piece> {
    let of = relay_current(scenario, index)?;
    let charger = &scenario.chargers[index];
    let fuses = "a fuse at each battery, since both can feed a fault between them";
    Some(Piece {
        id: charger.id.clone(),
        kind: "relay",
        bank: Some(scenario.banks[charger.to].id.clone()),
        current_a: of.lasting_a,
        rating_a: Some(of.rated_a),
        words: fuses.to_string(),
        problems: relay_problem(&charger.id, &of).into_iter().collect(),
        ..Piece::default()
    })
}

/// The plug between vehicle and trailer where a bank in the trailer is fed from the vehicle and the
/// file names no plug.
fn derived_plug(scenario: &Parts) -> Option<Piece> {
    let in_trailer = |bank: usize| scenario.banks[bank].trailer;
    let chargers = scenario.chargers.iter().enumerate();
    let through = chargers.filter(|(_, charger)| in_trailer(charger.to));
    let current_a: f64 = through
        .filter_map(|(index, charger)| {
            let giver = match charger.from {
                ChargerSource::Alternator => RunEnd::Alternator,
                ChargerSource::Bank(giver) if !in_trailer(giver) => RunEnd::Bank(giver),
                ChargerSource::Bank(_) | ChargerSource::Mains => return None,
            };
            let run = plain_run(giver, RunEnd::Charger(index));
            Some(run_demand(scenario, &run, Series::Metric).current_a)
        })
        .sum();
    let is_missing = current_a > 0.0 && !has_any(scenario, PointKind::Plug);
    is_missing.then(|| Piece {
        id: "trailer-plug".to_string(),
        kind: "plug",
        derived: true,
        current_a,
        rating_a: Some(current_a.ceil()),
        words: "a plug rated for this current at both poles, fused on the vehicle's side"
            .to_string(),
        ..Piece::default()
    })
}

fn of_file(scenario: &Parts, index: usize, point: &Point, lines: &[ScheduledRun]) -> Piece {
    let this = RunEnd::Point(index);
    let current_a = scenario
        .runs
        .iter()
        .zip(lines)
        .filter(|(run, _)| run.from == this || run.to == this)
        .map(|(_, line)| line.design_current_a)
        .fold(0.0, f64::max);
    let mut problems = Vec::new();
    if let Some(rated_a) = point.rated_a
        && current_a > rated_a + 1e-9
    {
        problems.push(Problem {
            fails: format!(
                "{current_a:.1} A pass through {}, which is rated {rated_a} A",
                point.id
            ),
            would_do: format!(
                "a {} of at least {:.0} A, or less current through it",
                point.kind.words(),
                current_a.ceil()
            ),
        });
    }
    Piece {
        id: point.id.clone(),
        kind: point.kind.word(),
        current_a,
        rating_a: point.rated_a,
        words: format!("{} mΩ of contacts", point.contact_mohm),
        problems,
        ..Piece::default()
    }
}

/// Ids of the banks whose main fuse is derived and behind which a run is taken to be.
#[must_use]
pub fn derived_mains_of<'a>(scenario: &'a Parts, run: &Run) -> Vec<&'a str> {
    [run.from, run.to]
        .into_iter()
        .filter_map(|end| match end {
            RunEnd::Bank(bank) if is_behind_derived_main(scenario, run, bank) => {
                Some(scenario.banks[bank].id.as_str())
            }
            _ => None,
        })
        .collect()
}
