//! What stands between banks and consumers: main fuse, switch, bus, fuse block, plug, earth return.
//!
//! One job: the pieces, those that the file names and those that every such system has and the file
//! leaves out, which are derived and said to be. The runs between them are in [`super::assess`].

use serde::Serialize;

use super::conductors::Series;
use super::design_current::{chargers_and_panels, design_current};
use super::fuses::FuseType;
use super::inverter_output::inverter_problems;
use super::relays::{relay_current, relay_problem};
use super::run_demand::{is_behind_derived_main, is_main, run_demand};
use super::schedule::{Problem, ScheduledRun};
use super::sizing::size_run;
use super::suggest::plain_run;
use crate::scenario::{ChargerSource, Parts, Point, PointKind, Role, Run, RunEnd, indices};

/// Length assumed of the cable from a battery's terminal to its main fuse and bus, m.
const MAIN_M: f64 = 0.5;

/// A piece of the distribution.
#[derive(Debug, Clone, PartialEq, Serialize)]
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

impl Piece {
    /// One that the file names, without a rating, a bank or a fault.
    fn new(
        id: impl Into<String>,
        kind: &'static str,
        current_a: f64,
        words: impl Into<String>,
    ) -> Self {
        Self {
            id: id.into(),
            kind,
            derived: false,
            bank: None,
            current_a,
            rating_a: None,
            fuse: None,
            conductor: None,
            words: words.into(),
            problems: Vec::new(),
        }
    }
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

/// Everything that draws on a bank or charges it.
fn all_on(scenario: &Parts, bank: usize) -> Vec<RunEnd> {
    let own = indices(&scenario.loads, |load| {
        load.bank == bank && load.inverter.is_none()
    });
    let units = indices(&scenario.inverters, |unit| unit.bank == bank);
    let loads = own.into_iter().map(RunEnd::Load);
    let units = units.into_iter().map(RunEnd::Inverter);
    let sources = chargers_and_panels(scenario, bank);
    loads.chain(units).chain(sources).collect()
}

/// The run that feeds a bank's bus or block, if the file gives one.
fn main_run(scenario: &Parts, bank: usize) -> Option<usize> {
    let runs = indices(&scenario.runs, |run| is_main(run, bank)).into_iter();
    runs.max_by_key(|index| scenario.runs[*index].carries.len())
}

fn of_bank(scenario: &Parts, bank: usize, lines: &[ScheduledRun], series: Series) -> Vec<Piece> {
    let id = &scenario.banks[bank].id;
    let on = all_on(scenario, bank);
    if on.is_empty() {
        return Vec::new();
    }
    let piece = |suffix: &str, kind, derived, current_a, rating_a, words: String| Piece {
        derived,
        bank: Some(id.clone()),
        rating_a,
        ..Piece::new(format!("{id}-{suffix}"), kind, current_a, words)
    };
    let mut found = Vec::new();
    let (current_a, rating_a) = if let Some(line) =
        main_run(scenario, bank).and_then(|run| lines.get(run))
    {
        let fuse = line.fuse.as_ref();
        let words = format!("the fuse of the run {}", line.id);
        let rating_a = fuse.map(|fuse| fuse.rating_a);
        found.push(piece(
            "main-fuse",
            "main-fuse",
            false,
            line.design_current_a,
            rating_a,
            words,
        ));
        (line.design_current_a, rating_a)
    } else {
        let main = derived_main(scenario, bank, &on);
        let demand = run_demand(scenario, &main, series);
        let sizing = size_run(&demand);
        let words = sizing.fuse.map_or_else(
            || format!("no standard fuse of at least {:.1} A: part the bank's circuits between two mains", demand.least_fuse_a()),
            |fuse| format!("{}, at the positive terminal", fuse.kind.words()),
        );
        let rating_a = sizing.fuse.map(|fuse| fuse.rating_a);
        let mut fuse = piece(
            "main-fuse",
            "main-fuse",
            true,
            demand.current_a,
            rating_a,
            words,
        );
        fuse.fuse = sizing.fuse.map(|fuse| fuse.kind);
        fuse.conductor = sizing.area_mm2.map(|area| series.marked(area));
        found.push(fuse);
        let current_a = demand.current_a;
        if on.iter().any(|end| !matches!(end, RunEnd::Load(_))) {
            let words = "a bus on which chargers, controllers and the block are joined".to_string();
            found.push(piece("bus", "bus", true, current_a, rating_a, words));
        }
        let loads = on
            .iter()
            .filter(|end| matches!(end, RunEnd::Load(_)))
            .count();
        if loads > 0 {
            let words = format!("{loads} circuits, each with its own fuse");
            found.push(piece(
                "block",
                "fuse-block",
                true,
                current_a,
                rating_a,
                words,
            ));
        }
        (current_a, rating_a)
    };
    let has_switch = scenario
        .distribution
        .iter()
        .any(|point| point.kind == PointKind::Switch);
    if !has_switch {
        let words =
            "a switch between main fuse and bus, to part the bank from all else".to_string();
        found.push(piece("switch", "switch", true, current_a, rating_a, words));
    }
    let words =
        "the negative comes back to the bank by a cable of the same size; one joint to the chassis"
            .to_string();
    found.push(piece(
        "earth",
        "earth-return",
        true,
        current_a,
        rating_a,
        words,
    ));
    found
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
    let current_a = design_current(scenario, &run).current_a;
    let words = format!(
        "{:.0} W, {:.0} W for a moment; its 230/120 V side, sockets and protection are for a licensed person",
        unit.rated_w, unit.surge_w
    );
    Piece {
        bank: Some(scenario.banks[unit.bank].id.clone()),
        problems: inverter_problems(scenario, index),
        ..Piece::new(&unit.id, "inverter", current_a, words)
    }
}

fn of_relay(scenario: &Parts, index: usize) -> Option<Piece> {
    let of = relay_current(scenario, index)?;
    let charger = &scenario.chargers[index];
    let fuses = "a fuse at each battery, since both can feed a fault between them";
    Some(Piece {
        bank: Some(scenario.banks[charger.to].id.clone()),
        rating_a: Some(of.rated_a),
        problems: relay_problem(&charger.id, &of).into_iter().collect(),
        ..Piece::new(&charger.id, "relay", of.lasting_a, fuses)
    })
}

/// The plug between vehicle and trailer where a bank in the trailer is fed from the vehicle and the
/// file names no plug.
fn derived_plug(scenario: &Parts) -> Option<Piece> {
    let has_plug = scenario
        .distribution
        .iter()
        .any(|point| point.kind == PointKind::Plug);
    let through = scenario.chargers.iter().enumerate().filter(|(_, charger)| {
        scenario.banks[charger.to].trailer
            && match charger.from {
                ChargerSource::Alternator => true,
                ChargerSource::Bank(giver) => !scenario.banks[giver].trailer,
                ChargerSource::Mains => false,
            }
    });
    let current_a: f64 = through
        .map(|(index, charger)| {
            let giver = match charger.from {
                ChargerSource::Bank(giver) => RunEnd::Bank(giver),
                _ => RunEnd::Alternator,
            };
            let run = plain_run(giver, RunEnd::Charger(index));
            run_demand(scenario, &run, Series::Metric).current_a
        })
        .sum();
    let words = "a plug rated for this current at both poles, fused on the vehicle's side";
    (!has_plug && current_a > 0.0).then(|| Piece {
        derived: true,
        rating_a: Some(current_a.ceil()),
        ..Piece::new("trailer-plug", "plug", current_a, words)
    })
}

fn of_file(scenario: &Parts, index: usize, point: &Point, lines: &[ScheduledRun]) -> Piece {
    let this = RunEnd::Point(index);
    let current_a = scenario
        .runs
        .iter()
        .zip(lines)
        .filter(|(run, _)| run.ends().contains(&this))
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
    let kind = match point.kind {
        PointKind::Bus => "bus",
        PointKind::FuseBlock => "fuse-block",
        PointKind::Plug => "plug",
        PointKind::Switch => "switch",
    };
    let words = format!("{} mΩ of contacts", point.contact_mohm);
    Piece {
        rating_a: point.rated_a,
        problems,
        ..Piece::new(&point.id, kind, current_a, words)
    }
}

/// Ids of the banks whose main fuse is derived and behind which a run is taken to be.
#[must_use]
pub fn derived_mains_of<'a>(scenario: &'a Parts, run: &Run) -> Vec<&'a str> {
    (run.ends().into_iter())
        .filter_map(|end| match end {
            RunEnd::Bank(bank) if is_behind_derived_main(scenario, run, bank) => {
                Some(scenario.banks[bank].id.as_str())
            }
            _ => None,
        })
        .collect()
}
