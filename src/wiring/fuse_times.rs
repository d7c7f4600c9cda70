//! How long a fuse bears more than its rating.
//!
//! One job: the published time-current classes, and the shortest time in which a fuse may open at a
//! current. It must bear a motor's start that long; that it opens in time is the conductor's business.
//! Left out: heat of the surroundings, ageing by many starts.

use super::fuses::{FuseType, Status};

/// A gate of a time-current class: per cent of the rating, and the shortest and longest time in which
/// the fuse may open there, s.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Gate {
    /// Per cent of the rating.
    pub percent: f64,
    /// It bears the current at least so long, s.
    pub least_s: f64,
    /// It has opened after so long, s; `None` where it need not.
    pub most_s: Option<f64>,
    /// How the figure is known.
    pub status: Status,
}

const fn gate(percent: f64, least_s: f64, most_s: Option<f64>, status: Status) -> Gate {
    Gate {
        percent,
        least_s,
        most_s,
        status,
    }
}

use Status::{Memory, VerifiedSecondhand as Seen};

const BLADE_MEDIUM: [Gate; 5] = [
    gate(110.0, 360_000.0, None, Memory),
    gate(135.0, 0.75, Some(600.0), Seen),
    gate(160.0, 0.25, Some(50.0), Seen),
    gate(200.0, 0.15, Some(5.0), Seen),
    gate(350.0, 0.04, Some(0.5), Seen),
];
const BLADE_HIGH_CURRENT: [Gate; 5] = [
    gate(100.0, 360_000.0, None, Seen),
    gate(135.0, 60.0, Some(1800.0), Seen),
    gate(200.0, 2.0, Some(50.0), Seen),
    gate(350.0, 0.2, Some(7.0), Seen),
    gate(600.0, 0.04, Some(1.0), Seen),
];
const BOLTED: [Gate; 5] = [
    gate(100.0, 14_400.0, None, Memory),
    gate(135.0, 120.0, Some(1800.0), Memory),
    gate(200.0, 1.0, Some(15.0), Memory),
    gate(350.0, 0.3, Some(5.0), Memory),
    gate(600.0, 0.1, Some(1.0), Memory),
];
const CLASS_T: [Gate; 3] = [
    gate(110.0, 14_400.0, None, Memory),
    gate(200.0, 5.0, None, Memory),
    gate(500.0, 0.1, None, Memory),
];

/// The gates of a family, ascending.
///
/// # Source
/// Blades: data sheets citing ISO 8820-3, read in transcription (110 % from memory; at 350 % the
/// least of the type's ratings). Bolted ones: ISO 8820-5 and -6 from memory. Class T: UL 248-15 sets
/// no least times; these are from memory of published curves, on the safe side.
#[must_use]
pub fn gates(kind: FuseType) -> &'static [Gate] {
    match kind {
        FuseType::BladeMedium => &BLADE_MEDIUM,
        FuseType::BladeHighCurrent => &BLADE_HIGH_CURRENT,
        FuseType::TerminalBolt | FuseType::Strip => &BOLTED,
        FuseType::ClassT => &CLASS_T,
    }
}

/// The shortest time in which a fuse of this family may open at a multiple of its rating, s;
/// infinite at its first gate and below. `times`: above 0.
///
/// Between two gates the line that joins them on logarithmic scales, but from the first to the
/// second, across the knee of the curve, the second's time: the safe side. Beyond the last gate the
/// time falls with the square of the current, as the heat that melts the element asks.
///
/// # Source
/// Gates: [`gates`]. The lines between them are ours.
///
/// # Example
/// ```
/// use tideover::wiring::{fuse_times::bears_s, fuses::FuseType};
/// assert!((bears_s(FuseType::BladeMedium, 1.35) - 0.75).abs() < 1e-9);
/// ```
#[must_use]
pub fn bears_s(kind: FuseType, times: f64) -> f64 {
    let percent = 100.0 * times;
    let gates = gates(kind);
    let first = gates[0];
    if percent <= first.percent + 1e-9 {
        return f64::INFINITY;
    }
    for (index, pair) in gates.windows(2).enumerate() {
        let (low, high) = (pair[0], pair[1]);
        if percent <= high.percent + 1e-9 {
            if index == 0 {
                return high.least_s;
            }
            let along = libm::log(percent / low.percent) / libm::log(high.percent / low.percent);
            return low.least_s * libm::pow(high.least_s / low.least_s, along);
        }
    }
    let last = gates[gates.len() - 1];
    last.least_s * (last.percent / percent).powi(2)
}

/// A current that lasts a while, beyond the design current.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Surge {
    /// All that flows meanwhile, A.
    pub current_a: f64,
    /// How long, s.
    pub seconds: f64,
}

impl Surge {
    /// Whether a fuse bears it.
    #[must_use]
    pub fn is_borne_by(&self, kind: FuseType, rating_a: f64) -> bool {
        bears_s(kind, self.current_a / rating_a) >= self.seconds
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn law_more_current_is_borne_for_less_time() {
        for kind in FuseType::ALL {
            let mut last = f64::INFINITY;
            for step in 1..1200_u32 {
                let now = bears_s(kind, f64::from(step) * 0.01);
                assert!(now <= last && now > 0.0, "{kind:?} at {step} %");
                last = now;
            }
        }
    }

    #[test]
    fn by_hand_between_two_gates() {
        // 160 % 0.25 s, 200 % 0.15 s; half-way on the logarithm, √(160 · 200) = 178.885 %: √(0.25 · 0.15) = 0.19365 s.
        assert!((bears_s(FuseType::BladeMedium, 1.788_854) - 0.193_65).abs() < 1e-4);
        // Beyond the last: 0.04 · (350/700)² = 0.01 s.
        assert!((bears_s(FuseType::BladeMedium, 7.0) - 0.01).abs() < 1e-9);
    }
}
