//! Fuses: the standard ratings, the window they must fall in, and what they can break.
//!
//! One job: pick or check a rating and a type. What a short circuit can reach is in
//! [`super::short_circuit`].
//! Left out: circuit breakers, fuses for mains. How long each bears a start is in [`super::fuse_times`].

use super::fuse_times::Surge;

/// Smallest fuse over the current of the run. Short loads are treated like continuous ones.
///
/// # Source
/// Common wiring-code practice for continuous loads (three hours and more).
pub const CONTINUOUS_MARGIN: f64 = 1.25;

/// How a figure is known; the words of the reference tables.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Status {
    /// Read in a public copy of the named publication.
    Verified,
    /// Follows from a stated formula.
    Computed,
    /// Read in somebody else's transcription.
    VerifiedSecondhand,
    /// Recalled, not seen.
    Memory,
    /// Habit of the trade.
    CommonPractice,
}

/// A family of fuses, by its standard.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum FuseType {
    /// Blade, type C (medium).
    BladeMedium,
    /// Blade, type E (high current).
    BladeHighCurrent,
    /// Single bolt, on the battery terminal.
    TerminalBolt,
    /// Bolt-in strip, 51 mm between bolts.
    Strip,
    /// Class T, fast, in a block.
    ClassT,
}

impl FuseType {
    /// Every family, plain ones first: the order of preference at equal rating.
    pub const ALL: [Self; 5] = [
        Self::BladeMedium,
        Self::BladeHighCurrent,
        Self::TerminalBolt,
        Self::Strip,
        Self::ClassT,
    ];

    /// Standard ratings, A, ascending.
    ///
    /// # Source
    /// Series from memory of ISO 8820-3, 8820-5, 8820-6 and UL 248-15; of the medium blade 40 A,
    /// of the high-current blade 20 to 80 A were seen on data sheets.
    #[must_use]
    pub fn ratings_a(self) -> &'static [f64] {
        match self {
            Self::BladeMedium => &[
                1.0, 2.0, 3.0, 4.0, 5.0, 7.5, 10.0, 15.0, 20.0, 25.0, 30.0, 35.0, 40.0,
            ],
            Self::BladeHighCurrent => &[20.0, 30.0, 40.0, 50.0, 60.0, 70.0, 80.0, 100.0],
            Self::TerminalBolt => &[
                30.0, 40.0, 50.0, 60.0, 75.0, 80.0, 100.0, 125.0, 150.0, 175.0, 200.0, 225.0,
                250.0, 300.0,
            ],
            Self::Strip => &[
                80.0, 100.0, 125.0, 150.0, 175.0, 200.0, 225.0, 250.0, 300.0, 350.0, 400.0, 450.0,
                500.0,
            ],
            Self::ClassT => &[
                110.0, 125.0, 150.0, 175.0, 200.0, 225.0, 250.0, 300.0, 350.0, 400.0,
            ],
        }
    }

    fn is_sold(self, rating_a: f64) -> bool {
        let mut ratings_a = self.ratings_a().iter();
        ratings_a.any(|known_a| (known_a - rating_a).abs() < 1e-9)
    }

    /// Current that it breaks for certain at the system's voltage, A, and how that is known.
    ///
    /// # Source
    /// Blades: data sheets citing ISO 8820-3, in transcription. Class T: an inverter manual quoting
    /// UL 248-15 (at least 10 kA; commonly 20 kA). The others from memory; a terminal fuse breaks
    /// less at 24 V, for which 5 kA is ours, from memory.
    #[must_use]
    pub fn breaking_capacity_a(self, system_voltage_v: f64) -> (f64, Status) {
        match self {
            Self::BladeMedium | Self::BladeHighCurrent => (1000.0, Status::VerifiedSecondhand),
            Self::Strip => (2000.0, Status::Memory),
            Self::TerminalBolt if system_voltage_v > 16.0 => (5000.0, Status::Memory),
            Self::TerminalBolt => (10_000.0, Status::Memory),
            Self::ClassT => (10_000.0, Status::VerifiedSecondhand),
        }
    }

    /// What to ask for in a shop, with the standard.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::BladeMedium => "blade, type C (ISO 8820-3)",
            Self::BladeHighCurrent => "high-current blade, type E (ISO 8820-3)",
            Self::TerminalBolt => "terminal bolt (ISO 8820-6)",
            Self::Strip => "bolt-in strip (ISO 8820-5)",
            Self::ClassT => "class T (UL 248-15)",
        }
    }

    /// The family in a word or two, for a narrow column.
    #[must_use]
    pub fn short_words(self) -> &'static str {
        match self {
            Self::BladeMedium => "blade",
            Self::BladeHighCurrent => "high-current blade",
            Self::TerminalBolt => "terminal bolt",
            Self::Strip => "bolt-in strip",
            Self::ClassT => "class T",
        }
    }

    /// Whether it is one of the blade families, which are never a lithium bank's main fuse.
    #[must_use]
    pub fn is_blade(self) -> bool {
        matches!(self, Self::BladeMedium | Self::BladeHighCurrent)
    }
}

/// What the source of a run asks of its fuse.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Duty {
    /// Straight at a source that can drive this current into a short circuit.
    AtSource {
        /// Breaking capacity asked for, A.
        breaking_a: f64,
        /// Whether the source is a lithium bank.
        lithium: bool,
    },
    /// Behind a main fuse, which breaks what this one cannot.
    BehindMain,
}

/// A rating with its family.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fuse {
    /// Family.
    pub kind: FuseType,
    /// Rating, A.
    pub rating_a: f64,
}

/// Whether a family may stand in this place.
#[must_use]
pub fn suits(kind: FuseType, duty: Duty, system_voltage_v: f64) -> bool {
    match duty {
        // A strip's breaking capacity is known from memory only and small: ours is to do without.
        Duty::BehindMain => !matches!(kind, FuseType::ClassT | FuseType::Strip),
        Duty::AtSource {
            breaking_a,
            lithium,
        } => {
            let (can_a, _) = kind.breaking_capacity_a(system_voltage_v);
            // Class T is sold with 20 kA; the schedule says that it must be read on the sheet.
            let can_a = if kind == FuseType::ClassT {
                20_000.0
            } else {
                can_a
            };
            can_a >= breaking_a && !(lithium && kind.is_blade())
        }
    }
}

/// The smallest standard fuse of at least `least_a` that may stand in this place and bears every surge; at
/// equal rating the plainer family, for a lithium bank class T first. Class T serves elsewhere only where
/// nothing else does. `None` beyond the largest rating.
///
/// # Example
/// ```
/// use tideover::wiring::fuses::{Duty, next_fuse};
/// let fuse = next_fuse(12.0, &[], Duty::BehindMain, 12.0).expect("a rating");
/// assert!((fuse.rating_a - 15.0).abs() < 1e-9);
/// ```
#[must_use]
pub fn next_fuse(
    least_a: f64,
    surges: &[Surge],
    duty: Duty,
    system_voltage_v: f64,
) -> Option<Fuse> {
    let lithium = matches!(duty, Duty::AtSource { lithium: true, .. });
    let next = |kind: FuseType| {
        let mut ratings_a = kind.ratings_a().iter().copied();
        let rating_a = ratings_a.find(|&rating_a| {
            let bears = |surge: &Surge| surge.is_borne_by(kind, rating_a);
            rating_a >= least_a - 1e-9 && surges.iter().all(bears)
        })?;
        Some(Fuse { kind, rating_a })
    };
    let smallest = |class_t: bool| {
        let kinds = FuseType::ALL.into_iter();
        kinds
            .filter(|kind| (*kind == FuseType::ClassT) == class_t)
            .filter(|kind| suits(*kind, duty, system_voltage_v))
            .filter_map(next)
            .min_by(|a, b| a.rating_a.total_cmp(&b.rating_a))
    };
    match (smallest(false), smallest(true)) {
        (Some(plain), Some(class_t)) if lithium && class_t.rating_a <= plain.rating_a + 1e-9 => {
            Some(class_t)
        }
        (Some(plain), _) => Some(plain),
        (None, class_t) => class_t,
    }
}

/// The family in which exactly this rating is sold and that may stand here; `None` if there is none.
#[must_use]
pub fn fuse_of_rating(rating_a: f64, duty: Duty, system_voltage_v: f64) -> Option<Fuse> {
    let fits = |kind: &FuseType| suits(*kind, duty, system_voltage_v) && kind.is_sold(rating_a);
    let lithium = matches!(duty, Duty::AtSource { lithium: true, .. });
    let kind = if lithium {
        FuseType::ALL.into_iter().rev().find(fits)
    } else {
        FuseType::ALL.into_iter().find(fits)
    };
    kind.map(|kind| Fuse { kind, rating_a })
}

/// Whether the rating is sold in any family.
#[must_use]
pub fn is_standard_rating(rating_a: f64) -> bool {
    let mut kinds = FuseType::ALL.into_iter();
    kinds.any(|kind| kind.is_sold(rating_a))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn law_more_current_never_gives_a_smaller_fuse() {
        let duties = [
            Duty::BehindMain,
            Duty::AtSource {
                breaking_a: 900.0,
                lithium: false,
            },
            Duty::AtSource {
                breaking_a: 3000.0,
                lithium: false,
            },
            Duty::AtSource {
                breaking_a: 4000.0,
                lithium: true,
            },
            Duty::AtSource {
                breaking_a: 15_000.0,
                lithium: true,
            },
        ];
        for duty in duties {
            for volts in [12.0, 24.0] {
                let mut last = 0.0;
                for step in 0..=4000_u32 {
                    let asked = f64::from(step) * 0.1;
                    let Some(fuse) = next_fuse(asked, &[], duty, volts) else {
                        break;
                    };
                    assert!(
                        fuse.rating_a >= asked - 1e-9 && fuse.rating_a >= last,
                        "{duty:?} {asked}"
                    );
                    last = fuse.rating_a;
                }
                assert!(last >= 300.0, "{duty:?} ends at {last}");
            }
        }
    }

    #[test]
    fn a_blade_is_never_a_lithium_main_fuse() {
        let duty = Duty::AtSource {
            breaking_a: 500.0,
            lithium: true,
        };
        let fuse = next_fuse(5.0, &[], duty, 12.0).expect("a fuse");
        assert_eq!(fuse.kind, FuseType::TerminalBolt);
        assert!((fuse.rating_a - 30.0).abs() < 1e-9);
        assert_eq!(fuse_of_rating(15.0, duty, 12.0), None);
        assert_eq!(
            next_fuse(120.0, &[], duty, 12.0).map(|f| f.kind),
            Some(FuseType::ClassT)
        );
    }
}
