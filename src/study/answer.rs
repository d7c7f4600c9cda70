//! The answers: what a study found, as the screens, pictures and JSON show it.
//!
//! One job: the shapes. Every figure on a screen is a field here; nothing downstream computes.
//! The `Serialize` types are the JSON results; pictures take the other types.

use serde::Serialize;

use crate::scenario::Role;

/// Version of the JSON results.
pub const FORMAT: u32 = 1;

/// A chance with its 95 % Wilson interval, each 0 to 1.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Chance {
    /// Share of the trials.
    pub value: f64,
    /// Lower end of the interval.
    pub low: f64,
    /// Upper end of the interval.
    pub high: f64,
}

/// A percentile of a time that may lie beyond the horizon, with its 95 % interval; days.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Days {
    /// The percentile; `None` beyond the horizon.
    pub value: Option<f64>,
    /// Lower end of the interval; `None` beyond the horizon.
    pub low: Option<f64>,
    /// Upper end of the interval; `None` beyond the horizon.
    pub high: Option<f64>,
    /// Whether the percentile itself lies beyond the horizon.
    pub beyond_horizon: bool,
}

/// Percentiles of autonomy.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct AutonomyDays {
    /// Nine trials in ten last at least this long.
    pub p10: Days,
    /// Every other trial lasts at least this long.
    pub p50: Days,
    /// One trial in ten lasts at least this long.
    pub p90: Days,
}

/// Percentiles of a state of charge, 0 to 1.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct SocPercentiles {
    /// One trial in twenty is at or below.
    pub p05: f64,
    /// One trial in ten is at or below.
    pub p10: f64,
    /// Half the trials are at or below.
    pub p50: f64,
    /// Nine trials in ten are at or below.
    pub p90: f64,
}

/// Percentiles of the state of charge at dawn, 0 to 1.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct DawnSoc {
    /// One trial in ten is at or below.
    pub p10: f64,
    /// Half the trials are at or below.
    pub p50: f64,
    /// Nine trials in ten are at or below.
    pub p90: f64,
}

/// One night of a bank.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Night {
    /// Date of its evening, ISO 8601.
    pub date: String,
    /// Name of the stop.
    pub stop: String,
    /// State of charge at sunrise, or at 06:00 without one.
    pub dawn_soc: DawnSoc,
    /// Chance that the bank stays at or above its reserve from noon to noon.
    pub chance_no_shortfall: Chance,
    /// Chance that it has done so from departure to this night's end.
    pub chance_so_far: Chance,
}

/// The night with the lowest chance of its own.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct WeakNight {
    /// Date of its evening, ISO 8601.
    pub date: String,
    /// Name of the stop.
    pub stop: String,
    /// Chance of a shortfall in that night.
    pub chance_shortfall: f64,
}

/// Named energies in the order of the scenario file, serialised as a JSON object.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Named(pub Vec<(String, f64)>);

impl Serialize for Named {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_map(self.0.iter().map(|(name, value)| (name, value)))
    }
}

/// Mean energy of a bank per 24 h, Wh. `Σ in = Σ out + losses + stored_change`.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PerDayWh {
    /// By source, at the bank's terminals: chargers and panels by id, `alternator` for a start bank.
    #[serde(rename = "in")]
    pub inward: Named,
    /// By consumer, at the bank's terminals: loads and bank-fed chargers by id, and `standby`.
    #[serde(rename = "out")]
    pub outward: Named,
    /// Lost inside the bank.
    pub losses: f64,
    /// Lost on the way by the chargers, controllers and cables that charge this bank.
    pub conversion: f64,
    /// Sun that could have been taken and was not.
    pub curtailed: f64,
    /// Load that was asked for and not served.
    pub unserved: f64,
    /// Change of stored energy.
    pub stored_change: f64,
}

/// One bank of a `trip`.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct TripBank {
    /// The bank's id.
    pub id: String,
    /// Chance that it never goes below its reserve.
    pub chance_no_shortfall: Chance,
    /// Chance that its loads are never dropped.
    pub chance_no_outage: Chance,
    /// Lowest state of charge of a trial.
    pub lowest_soc: SocPercentiles,
    /// State of charge at the end of a trial.
    pub end_soc: SocPercentiles,
    /// Time from departure to the first shortfall.
    pub autonomy_days: AutonomyDays,
    /// Night by night.
    pub nights: Vec<Night>,
    /// Energy budget.
    pub per_day_wh: PerDayWh,
    /// The weakest night; `None` with no night in doubt.
    pub weakest: Option<WeakNight>,
}

/// The alternator over a trip.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct AlternatorUse {
    /// Mean hours a trip in which more was asked of it than there was.
    pub oversubscribed_hours: f64,
    /// Largest current asked, the vehicle's own included; 99th percentile over trials.
    pub peak_a: f64,
}

/// Median and ninth decile.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct P50P90 {
    /// Median.
    pub p50: f64,
    /// Nine trials in ten are at or below.
    pub p90: f64,
}

/// One fridge over a trip.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct FridgeUse {
    /// The load's id.
    pub id: String,
    /// Hours above 8 °C (a freezer: above 6 K over its set point).
    pub hours_above_8c: P50P90,
    /// Mean share of the time its compressor ran.
    pub duty: f64,
}

/// Something the reader of an answer should know.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Warning {
    /// JSON path in the scenario file.
    pub path: String,
    /// One or two sentences.
    pub text: String,
}

/// What every result begins with.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Heading {
    /// [`FORMAT`].
    pub format: u32,
    /// `tideover` and its version.
    pub tool: String,
    /// The scenario's title.
    pub scenario: String,
    /// Seed of the random streams.
    pub seed: u64,
    /// Number of trials.
    pub trials: u64,
    /// Step of the engine.
    pub step_minutes: u32,
    /// Beginning, RFC 3339 with the local offset.
    pub start: String,
    /// End, RFC 3339 with the local offset.
    pub end: String,
}

/// The result of `trip`.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct TripResult {
    /// Tool, scenario, seed, trials.
    #[serde(flatten)]
    pub heading: Heading,
    /// Chance that no house bank ever goes below its reserve.
    pub chance_no_shortfall: Chance,
    /// Each bank.
    pub banks: Vec<TripBank>,
    /// The alternator; `None` without one.
    pub alternator: Option<AlternatorUse>,
    /// Each fridge.
    pub fridges: Vec<FridgeUse>,
    /// What the reader should know.
    pub warnings: Vec<Warning>,
}

/// What is short where a bank is weakest.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum ShortOf {
    /// There is no source at all.
    AnySource,
    /// The loads take what the sun does not give; there is no driving to speak of.
    Sun,
    /// Driving is too short for what the charger could do.
    Driving,
    /// The charger is too small for the hours driven.
    Charger,
    /// The alternator cannot feed what hangs on it.
    Alternator,
    /// Cold kept the bank from charging.
    Warmth,
    /// The bank is too small: sun was left over by day.
    Capacity,
}

/// The weak point of a trip, for the verdict.
#[derive(Debug, Clone, PartialEq)]
pub struct WeakPoint {
    /// Bank id.
    pub bank: String,
    /// The weakest night.
    pub night: WeakNight,
    /// The load that takes most of the bank's energy, and its share.
    pub dominant_load: Option<(String, f64)>,
    /// What is short.
    pub short_of: ShortOf,
}

/// State of charge over time in percentiles.
#[derive(Debug, Clone, PartialEq)]
pub struct SocBand {
    /// Bank id.
    pub bank: String,
    /// Whether it is a start bank.
    pub is_start: bool,
    /// Reserve line.
    pub reserve_soc: f64,
    /// Cut-off line.
    pub cutoff_soc: f64,
    /// Instants, UTC seconds, ascending.
    pub utc_s: Vec<i64>,
    /// Tenth percentile at each instant.
    pub p10: Vec<f64>,
    /// Lower quartile.
    pub p25: Vec<f64>,
    /// Median.
    pub p50: Vec<f64>,
    /// Upper quartile.
    pub p75: Vec<f64>,
    /// Ninth decile.
    pub p90: Vec<f64>,
}

/// A span of time, UTC seconds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Span {
    /// Beginning.
    pub from_s: i64,
    /// End.
    pub to_s: i64,
}

/// The calendar under a picture.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Calendar {
    /// Local midnights and their labels (`5 Jul`).
    pub midnights: Vec<(i64, String)>,
    /// From sunset to sunrise.
    pub nights: Vec<Span>,
    /// Nominal drives, legs and local.
    pub drives: Vec<Span>,
    /// Stays at stops with their names.
    pub stays: Vec<(Span, String)>,
}

/// Chance of still being at or above reserve against time.
#[derive(Debug, Clone, PartialEq)]
pub struct SurvivalCurve {
    /// Bank id, or `all house banks`.
    pub bank: String,
    /// Days since departure (or since now), ascending from 0.
    pub days: Vec<f64>,
    /// The chance at each time, with its interval.
    pub chance: Vec<Chance>,
}

/// Everything `trip` found.
#[derive(Debug, Clone, PartialEq)]
pub struct TripAnswer {
    /// The JSON result.
    pub result: TripResult,
    /// The confidence aimed at.
    pub aim_chance: f64,
    /// Length of the trip from departure to its end, days.
    pub length_days: f64,
    /// The weak point; `None` with no night in doubt.
    pub weak_point: Option<WeakPoint>,
    /// Bands for `trip.svg`, one a bank, house banks first.
    pub bands: Vec<SocBand>,
    /// Curves for `autonomy.svg`, one a house bank.
    pub survival: Vec<SurvivalCurve>,
    /// Under the pictures.
    pub calendar: Calendar,
}

/// One bank of a `stay`.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct StayBank {
    /// The bank's id.
    pub id: String,
    /// Time from now to the first shortfall.
    pub autonomy_days: AutonomyDays,
    /// Night by night.
    pub nights: Vec<Night>,
    /// Energy budget.
    pub per_day_wh: PerDayWh,
}

/// A night of a stay: of all house banks together.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct StayNight {
    /// Date of its evening, ISO 8601.
    pub date: String,
    /// Chance that no house bank is short that night.
    pub chance_no_shortfall: Chance,
    /// Chance that none has been from now to this night's end.
    pub chance_so_far: Chance,
}

/// The result of `stay`.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct StayResult {
    /// Tool, scenario, seed, trials.
    #[serde(flatten)]
    pub heading: Heading,
    /// Name of the stop.
    pub stop: String,
    /// How far it looked, days.
    pub horizon_days: u32,
    /// Each bank.
    pub banks: Vec<StayBank>,
    /// All house banks together, night by night.
    pub nights: Vec<StayNight>,
    /// The morning after the last night whose `chance_so_far` meets the aim, ISO date; `None`: not one.
    pub stay_until: Option<String>,
    /// Fridges.
    pub fridges: Vec<FridgeUse>,
    /// What the reader should know.
    pub warnings: Vec<Warning>,
}

/// Everything `stay` found.
#[derive(Debug, Clone, PartialEq)]
pub struct StayAnswer {
    /// The JSON result.
    pub result: StayResult,
    /// The confidence aimed at.
    pub aim_chance: f64,
    /// Number of nights up to `stay_until`.
    pub nights_at_aim: u32,
    /// Whether the nights at the aim reach the horizon.
    pub aim_beyond_horizon: bool,
    /// The bank that is short first most often, if any is within the horizon.
    pub binding_bank: Option<String>,
    /// The next departure of the itinerary and the chance of no shortfall up to it.
    pub next_departure: Option<(String, Chance)>,
    /// Curves for `stay.svg`: one a house bank.
    pub survival: Vec<SurvivalCurve>,
    /// Bands, one a bank.
    pub bands: Vec<SocBand>,
    /// Under the pictures.
    pub calendar: Calendar,
}

/// By which circuit a load hangs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Live {
    /// Round the clock.
    Always,
    /// With the engine.
    Ignition,
    /// With the engine off.
    Parked,
    /// In camp.
    Camp,
    /// Some hours of the day, anywhere.
    Hours,
}

/// A load in the budget.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct BudgetLoad {
    /// The load's id; `standby`, or a bank-fed charger's id.
    pub id: String,
    /// By which circuit it hangs.
    pub live: Live,
    /// Hours a day it is live, mean over the trip.
    pub live_hours_per_day: f64,
    /// Energy a day at the bank.
    pub wh_per_day: f64,
    /// Charge a day at the bank.
    pub ah_per_day: f64,
    /// Share of all that the bank gives.
    pub share: f64,
}

/// A source in the budget.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct BudgetSource {
    /// Charger or panel id; `alternator` for a start bank.
    pub id: String,
    /// Energy a day into the bank.
    pub wh_per_day: f64,
    /// Charge a day into the bank.
    pub ah_per_day: f64,
}

/// A bank in the budget.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct BudgetBank {
    /// The bank's id.
    pub id: String,
    /// What it is for.
    pub role: Role,
    /// Loads, largest first.
    pub loads: Vec<BudgetLoad>,
    /// Sources, in file order.
    pub sources: Vec<BudgetSource>,
    /// Sum of the loads.
    pub out_wh_per_day: f64,
    /// Sum of the loads.
    pub out_ah_per_day: f64,
    /// Sum of the sources.
    pub in_wh_per_day: f64,
    /// Sum of the sources.
    pub in_ah_per_day: f64,
    /// Sources less loads less losses inside the bank.
    pub balance_wh_per_day: f64,
    /// Lost inside the bank.
    pub losses_wh_per_day: f64,
    /// Sun left over.
    pub curtailed_wh_per_day: f64,
    /// Load not served.
    pub unserved_wh_per_day: f64,
    /// Energy from full to reserve.
    pub usable_wh: f64,
    /// The textbook figure: usable energy ÷ daily energy, without any charge. `None` without loads.
    pub days_without_charge: Option<f64>,
}

/// The result of `budget`.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct BudgetResult {
    /// Tool, scenario, seed, trials.
    #[serde(flatten)]
    pub heading: Heading,
    /// Each bank.
    pub banks: Vec<BudgetBank>,
    /// What the reader should know.
    pub warnings: Vec<Warning>,
}
