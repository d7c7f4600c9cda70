//! The cable and fuse schedule: the answer of `wiring`.
//!
//! One job: its shape. Every figure in the table, the csv and the diagram is a field here. How a run
//! is judged is in [`super::assess`].

use serde::Serialize;

use super::assess::assess_run;
use super::cautions::CAUTIONS;
use super::conductors::Series;
use super::distribution::{Piece, pieces};
use super::fuses::{FuseType, Status};
use super::shopping::{Shopping, shopping};
use super::sizing::RuledBy;
use super::suggest::suggest;
use crate::scenario::Parts;
use crate::units::Units;

/// Version of the JSON result, as of the other commands.
pub const FORMAT: u32 = 1;

/// Everything `wiring` found.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Schedule {
    /// [`FORMAT`].
    pub format: u32,
    /// `tideover` and its version.
    pub tool: String,
    /// The scenario's title.
    pub scenario: String,
    /// Seed of the trials behind `simulated_p99_a`.
    pub seed: u64,
    /// Number of those trials; 0 without a simulation.
    pub trials: u64,
    /// Whether every run passes.
    pub pass: bool,
    /// Series of the conductors: `mm2` or `awg`.
    pub cable: &'static str,
    /// Each run, in file order.
    pub runs: Vec<ScheduledRun>,
    /// Main fuses, blocks, buses, switches, plugs and earth returns.
    pub distribution: Vec<Piece>,
    /// What to buy for what passes.
    pub shopping: Shopping,
    /// Ids of the runs that the system needs and the file does not give.
    pub not_given: Vec<String>,
    /// [`CAUTIONS`].
    pub cautions: Vec<String>,
    /// Units of its sentences; its figures are in those of the program.
    #[serde(skip)]
    pub units: Units,
}

/// Who chose a conductor.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum ChosenBy {
    /// The file: it is checked.
    User,
    /// The maker of the load.
    Maker,
    /// The schedule.
    Schedule,
}

/// One run.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ScheduledRun {
    /// The run's id.
    pub id: String,
    /// Where it begins.
    pub from: String,
    /// Where it ends.
    pub to: String,
    /// Ids of what it carries.
    pub carries: Vec<String>,
    /// Length one way.
    pub one_way_m: f64,
    /// Current for which it is sized.
    pub design_current_a: f64,
    /// Where that comes from.
    pub current_basis: String,
    /// Short starts that fuse and conductor have to bear.
    pub starts: Vec<ScheduledStart>,
    /// Whether any of it may last three hours or more.
    pub continuous: bool,
    /// That part of it.
    pub continuous_a: f64,
    /// 99th percentile of the current in the trials; null without a simulation.
    pub simulated_p99_a: Option<f64>,
    /// Rating of the insulation.
    pub insulation_c: u16,
    /// Air around it.
    pub ambient_c: f64,
    /// Loaded conductors lying together.
    pub bundled: u32,
    /// Through where it goes.
    #[serde(rename = "where")]
    pub place: &'static str,
    /// Smallest size of the series that carries the fuse; null where none does.
    pub by_ampacity_mm2: Option<f64>,
    /// Smallest size of the series that keeps the drop; null where none does.
    pub by_drop_mm2: Option<f64>,
    /// Which test asked for the larger.
    pub ruled_by: RuledBy,
    /// Who chose `mm2`.
    pub chosen_by: ChosenBy,
    /// The conductor, class 5 plain copper; null where no single one does.
    pub mm2: Option<f64>,
    /// The gauge that the same tests ask for in the AWG series, of a conductor of your own the next above; null where none does.
    pub awg: Option<String>,
    /// The conductor as the shop writes it in the chosen series.
    pub conductor: Option<String>,
    /// Current that the conductor carries here.
    pub ampacity_a: Option<f64>,
    /// Temperature of the copper at the design current.
    pub conductor_c: Option<f64>,
    /// Resistance both ways at that temperature, terminations included.
    pub resistance_mohm: Option<f64>,
    /// Resistance that `trip` takes: of a conductor of the file at 40 °C or its `ambient_c`, else the above.
    pub trip_resistance_mohm: f64,
    /// Voltage at the source end.
    pub source_v: f64,
    /// Drop at the design current.
    pub drop_v: Option<f64>,
    /// The same in per cent of the system voltage.
    pub drop_percent: Option<f64>,
    /// Allowed drop in per cent of the system voltage.
    pub drop_limit_percent: f64,
    /// Voltage at the far end.
    pub far_end_v: Option<f64>,
    /// Heat along the run at the design current.
    pub heat_w: Option<f64>,
    /// That heat over the hours in which current can flow on the nominal trip: an upper estimate.
    pub heat_wh_trip: Option<f64>,
    /// The fuse; null where none fits.
    pub fuse: Option<ScheduledFuse>,
    /// Whether nothing fails.
    pub pass: bool,
    /// What fails, and what would do.
    pub problems: Vec<Problem>,
    /// What to watch.
    pub warnings: Vec<String>,
    /// On which published figures the choice rests.
    pub grounds: Vec<Ground>,
}

/// A short start on a run.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ScheduledStart {
    /// What starts.
    pub id: String,
    /// All that flows meanwhile.
    pub current_a: f64,
    /// For how long.
    pub seconds: f64,
    /// Drop meanwhile.
    pub drop_v: Option<f64>,
    /// Where the figure comes from.
    pub basis: &'static str,
}

/// The fuse of a run.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ScheduledFuse {
    /// Rating.
    pub rating_a: f64,
    /// Who chose it.
    pub chosen_by: ChosenBy,
    /// Least rating: 125 % of the design current.
    pub window_low_a: f64,
    /// Greatest rating: what the conductor carries here.
    pub window_high_a: f64,
    /// Family; null where the rating is not sold in one that may stand here.
    pub kind: Option<FuseType>,
    /// What to ask for.
    pub words: String,
    /// Current it breaks for certain.
    pub breaking_capacity_a: Option<f64>,
    /// Estimated short-circuit current where it stands.
    pub prospective_a: f64,
    /// Whether it breaks that.
    pub breaking: Breaking,
    /// How many.
    pub number: usize,
    /// Where each stands.
    pub places: Vec<FusePlace>,
}

/// Whether a fuse breaks what it may meet.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Breaking {
    /// By itself.
    Alone,
    /// With the main fuse before it.
    BehindMainFuse,
    /// No.
    NotEnough,
}

/// Where a fuse stands.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct FusePlace {
    /// Id of the end.
    pub at: String,
    /// In words.
    pub text: String,
}

/// Something that fails.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Problem {
    /// What fails.
    pub fails: String,
    /// What would do.
    pub would_do: String,
}

impl ScheduledRun {
    /// Writes what is marked in its sentences in a reader's units.
    fn speak(&mut self, units: Units) {
        speak(units, self.conductor.iter_mut().chain(&mut self.warnings));
        speak(units, self.problems.iter_mut().flat_map(Problem::texts));
        let places = self.fuse.iter_mut().flat_map(|fuse| &mut fuse.places);
        speak(units, places.map(|place| &mut place.text));
    }
}

impl Problem {
    fn texts(&mut self) -> [&mut String; 2] {
        [&mut self.fails, &mut self.would_do]
    }
}

fn speak<'a>(units: Units, texts: impl Iterator<Item = &'a mut String>) {
    for text in texts {
        *text = units.sentence(text);
    }
}

/// A published figure on which a choice rests.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Ground {
    /// What was taken from it.
    pub what: &'static str,
    /// The publication.
    pub source: &'static str,
    /// How the figure is known.
    pub status: Status,
}

/// The schedule of every run of a scenario.
///
/// `simulated_p99_a`: 99th percentile of each run's current in the trials, in file order, as a
/// cross-check; a run without one stays unchecked.
#[must_use]
pub fn schedule(scenario: &Parts, simulated_p99_a: Option<&[f64]>) -> Schedule {
    schedule_in(scenario, Series::Metric, simulated_p99_a)
}

/// [`schedule`] with conductors of a series.
#[must_use]
pub fn schedule_in(scenario: &Parts, series: Series, simulated_p99_a: Option<&[f64]>) -> Schedule {
    schedule_of(scenario, series, Units::Si, simulated_p99_a)
}

/// The schedule for a reader of the scenario's units: its sentences are in them, and its conductors of the series
/// that is sold there, if none is asked for.
#[must_use]
pub fn schedule_shown(scenario: &Parts, series: Option<Series>) -> Schedule {
    let of_land = match scenario.units {
        Units::Si => Series::Metric,
        Units::Us => Series::Awg,
    };
    schedule_of(scenario, series.unwrap_or(of_land), scenario.units, None)
}

fn schedule_of(
    scenario: &Parts,
    series: Series,
    units: Units,
    simulated_p99_a: Option<&[f64]>,
) -> Schedule {
    let mut runs: Vec<ScheduledRun> = (0..scenario.runs.len())
        .map(|index| {
            let p99_a = simulated_p99_a.and_then(|all| all.get(index)).copied();
            assess_run(scenario, index, series, p99_a)
        })
        .collect();
    let mut distribution = pieces(scenario, &runs, series);
    for run in &mut runs {
        run.speak(units);
    }
    for piece in &mut distribution {
        speak(units, piece.conductor.iter_mut().chain([&mut piece.words]));
        speak(units, piece.problems.iter_mut().flat_map(Problem::texts));
    }
    Schedule {
        format: FORMAT,
        tool: format!("tideover {}", env!("CARGO_PKG_VERSION")),
        scenario: scenario.title.clone(),
        seed: scenario.seed.unwrap_or(1),
        trials: 0,
        pass: runs.iter().all(|run| run.pass) && distribution.iter().all(|p| p.problems.is_empty()),
        cable: match series {
            Series::Metric => "mm2",
            Series::Awg => "awg",
        },
        shopping: shopping(&runs, &distribution),
        runs,
        distribution,
        not_given: suggest(scenario).into_iter().map(|run| run.id).collect(),
        cautions: CAUTIONS.map(|caution| units.sentence(caution)).to_vec(),
        units,
    }
}
