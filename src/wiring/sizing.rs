//! The size of one run, from plain numbers.
//!
//! One job: current, length, surroundings and limits in; conductor and fuse out. Where the numbers
//! come from is in [`super::run_demand`].
//! Left out: conductors in parallel.

use super::ampacity::Surroundings;
pub use super::conductors::LEAST_MM2;
use super::conductors::Series;
use super::fuse_times::Surge;
use super::fuses::{CONTINUOUS_MARGIN, Duty, Fuse, fuse_of_rating, next_fuse};
use super::voltage_drop::loop_resistance_ohm;

/// Drop allowed while something starts, share of the system voltage, where the run's own limit is
/// not wider.
///
/// # Source
/// Common practice, no source: what small-craft practice allows other than critical circuits.
pub const START_DROP: f64 = 0.1;

/// What is asked of a run.
#[derive(Debug, Clone, PartialEq)]
pub struct RunDemand {
    /// Design current, A, 0 or more.
    pub current_a: f64,
    /// Length one way, m, above 0.
    pub one_way_m: f64,
    /// Drop allowed at that current, V, above 0.
    pub allowed_drop_v: f64,
    /// What surrounds the conductor.
    pub around: Surroundings,
    /// What its fuse must break.
    pub duty: Duty,
    /// 12 or 24.
    pub system_voltage_v: f64,
    /// A fuse already chosen, A.
    pub fuse_a: Option<f64>,
    /// Whether the maker of the load asks for that fuse: it is then kept to as it is.
    pub is_makers_fuse: bool,
    /// Short starts that the fuse has to bear.
    pub surges: Vec<Surge>,
    /// The series from which a conductor is taken.
    pub series: Series,
}

/// Which test asked for the larger conductor.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum RuledBy {
    /// Current, with its fuse.
    Ampacity,
    /// Voltage drop.
    Drop,
    /// Neither: the smallest size proposed does.
    LeastSize,
}

/// A conductor and its fuse.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sizing {
    /// Smallest size that carries the fuse's rating; `None` where no size does.
    pub by_ampacity_mm2: Option<f64>,
    /// Smallest size that keeps the drop; `None` where no size does.
    pub by_drop_mm2: Option<f64>,
    /// The larger of the two.
    pub area_mm2: Option<f64>,
    /// Which test ruled.
    pub ruled_by: RuledBy,
    /// The fuse: the given one if large enough, else the smallest standard one that is.
    pub fuse: Option<Fuse>,
}

impl RunDemand {
    /// Smallest fuse that may stand here, A.
    #[must_use]
    pub fn least_fuse_a(&self) -> f64 {
        CONTINUOUS_MARGIN * self.current_a
    }

    /// Temperature of a conductor of this area at the design current, °C.
    #[must_use]
    pub fn conductor_c(&self, area_mm2: f64) -> f64 {
        let ampacity_a = self.around.ampacity_a(area_mm2).unwrap_or(0.0);
        self.around.conductor_c(self.current_a, ampacity_a)
    }

    /// Resistance both ways at that temperature, terminations included, Ω.
    #[must_use]
    pub fn resistance_ohm(&self, area_mm2: f64) -> f64 {
        loop_resistance_ohm(area_mm2, self.one_way_m, self.conductor_c(area_mm2))
    }

    /// Drop at the design current, V.
    #[must_use]
    pub fn drop_v(&self, area_mm2: f64) -> f64 {
        self.current_a * self.resistance_ohm(area_mm2)
    }

    /// Drop allowed while something starts, V.
    #[must_use]
    pub fn allowed_start_drop_v(&self) -> f64 {
        self.allowed_drop_v.max(START_DROP * self.system_voltage_v)
    }

    /// Drop at a current of a moment, the copper as warm as at the design current, V.
    #[must_use]
    pub fn start_drop_v(&self, area_mm2: f64, surge: Surge) -> f64 {
        surge.current_a * self.resistance_ohm(area_mm2)
    }

    /// Whether a conductor of this area keeps the drop, at the design current and at every start.
    #[must_use]
    pub fn keeps_drop(&self, area_mm2: f64) -> bool {
        self.drop_v(area_mm2) <= self.allowed_drop_v + 1e-12
            && self.surges.iter().all(|surge| {
                self.start_drop_v(area_mm2, *surge) <= self.allowed_start_drop_v() + 1e-12
            })
    }

    /// Smallest size of the series whose ampacity here is at least `fuse_a`, by Table 5 alone.
    #[must_use]
    pub fn size_for_fuse_mm2(&self, fuse_a: f64) -> Option<f64> {
        self.series.areas_mm2().into_iter().find(|area| {
            self.around
                .ampacity_a(*area)
                .is_some_and(|ampacity| ampacity >= fuse_a - 1e-9)
        })
    }
}

/// Sizes a run: a fuse of at least 125 % of the current, the smallest conductor that carries that
/// fuse, the smallest that keeps the drop, and the larger of the two.
///
/// More current, a longer run, hotter air or more conductors in a bundle never give a smaller one.
///
/// # Example
/// ```
/// use tideover::scenario::Insulation;
/// use tideover::wiring::{ampacity::Surroundings, fuses::Duty, sizing::{RunDemand, size_run}};
/// let sizing = size_run(&RunDemand {
///     current_a: 48.0,
///     one_way_m: 4.5,
///     allowed_drop_v: 0.36,
///     around: Surroundings {
///         insulation: Insulation::new(105).expect("a known rating"),
///         ambient_c: 40.0,
///         engine_space: false,
///         bundled: 2,
///     },
///     duty: Duty::BehindMain,
///     system_voltage_v: 12.0,
///     fuse_a: None,
///     is_makers_fuse: false,
///     surges: Vec::new(),
///     series: tideover::wiring::conductors::Series::Metric,
/// });
/// // 0.36 V at 48 A is 7.5 mΩ: 9.1 m of 25 mm² has 7.7 mΩ when warm, of 35 mm² 5.4 mΩ.
/// assert_eq!(sizing.area_mm2, Some(35.0));
/// ```
#[must_use]
pub fn size_run(demand: &RunDemand) -> Sizing {
    let least_a = demand.least_fuse_a();
    let volts = demand.system_voltage_v;
    let makers_a = demand.fuse_a.filter(|_| demand.is_makers_fuse);
    let (fuse, fuse_a) = if let Some(rating_a) = makers_a {
        let sold = fuse_of_rating(rating_a, demand.duty, volts);
        (sold, Some(rating_a.max(demand.current_a)))
    } else {
        let given = demand.fuse_a.filter(|given| *given >= least_a - 1e-9);
        let asked_a = given.unwrap_or(least_a);
        let fuse = next_fuse(asked_a, &demand.surges, demand.duty, volts);
        (fuse, fuse.map(|fuse| fuse.rating_a))
    };
    let by_ampacity_mm2 = fuse_a.and_then(|rating_a| demand.size_for_fuse_mm2(rating_a));
    let by_drop_mm2 = demand
        .series
        .areas_mm2()
        .into_iter()
        .find(|area| demand.keeps_drop(*area));
    let area_mm2 = match (by_ampacity_mm2, by_drop_mm2) {
        (Some(carries), Some(keeps)) => Some(carries.max(keeps)),
        _ => None,
    };
    let ampacity_or_most = by_ampacity_mm2.unwrap_or(f64::INFINITY);
    let drop_or_most = by_drop_mm2.unwrap_or(f64::INFINITY);
    let ruled_by = if drop_or_most > ampacity_or_most {
        RuledBy::Drop
    } else if ampacity_or_most > demand.series.areas_mm2()[0] {
        RuledBy::Ampacity
    } else {
        RuledBy::LeastSize
    };
    Sizing {
        by_ampacity_mm2,
        by_drop_mm2,
        area_mm2,
        ruled_by,
        fuse,
    }
}
