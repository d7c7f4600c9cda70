//! Lanes: one number for each trial of a batch.
//!
//! One job: the type, its operators, and [`wide!`], by which every pass over lanes is run.

use std::ops::{AddAssign, Deref, DerefMut, SubAssign};

/// Trials that run side by side.
pub const LANES: usize = 64;

/// One number a trial. Each begins where a line of the cache does: else the widest loads and stores would
/// touch two.
#[derive(Debug, Clone, Copy, PartialEq)]
#[repr(C, align(64))]
pub struct Lanes(pub [f64; LANES]);

/// All zero.
pub(crate) const ZERO: Lanes = splat(0.0);

/// All one.
pub(crate) const ONE: Lanes = splat(1.0);

/// In no trial: later than anything.
pub(crate) const NEVER: Lanes = splat(f64::INFINITY);

/// The same number in every lane.
#[must_use]
pub(crate) const fn splat(value: f64) -> Lanes {
    Lanes([value; LANES])
}

impl Lanes {
    /// One number of each trial by its lane.
    #[inline(always)]
    pub(crate) fn from_fn(of: impl FnMut(usize) -> f64) -> Self {
        Self(std::array::from_fn(of))
    }

    /// Another number for each.
    #[inline(always)]
    pub(crate) fn map(self, of: impl FnMut(f64) -> f64) -> Self {
        Self(self.0.map(of))
    }

    /// Sum of the first `count`, in order.
    pub(crate) fn sum_of_first(&self, count: usize) -> f64 {
        self[..count].iter().sum()
    }

    /// The least of all. Halved and halved again, several are compared at once.
    #[inline(always)]
    pub(crate) fn least(&self) -> f64 {
        let half: [f64; LANES / 2] = min_half(self);
        let quarter: [f64; LANES / 4] = min_half(&half);
        let eighth: [f64; LANES / 8] = min_half(&quarter);
        let sixteenth: [f64; LANES / 16] = min_half(&eighth);
        sixteenth.into_iter().fold(f64::INFINITY, min)
    }
}

impl Default for Lanes {
    fn default() -> Self {
        ZERO
    }
}

impl Deref for Lanes {
    type Target = [f64; LANES];

    #[inline(always)]
    fn deref(&self) -> &Self::Target {
        &self.0
    }
}

impl DerefMut for Lanes {
    #[inline(always)]
    fn deref_mut(&mut self) -> &mut Self::Target {
        &mut self.0
    }
}

impl AddAssign<&Self> for Lanes {
    #[inline(always)]
    fn add_assign(&mut self, part: &Self) {
        for lane in 0..LANES {
            self[lane] += part[lane];
        }
    }
}

impl SubAssign<&Self> for Lanes {
    #[inline(always)]
    fn sub_assign(&mut self, part: &Self) {
        for lane in 0..LANES {
            self[lane] -= part[lane];
        }
    }
}

/// Does work over lanes with the widest instructions that this machine has. They change no bit of
/// the result: each is one addition, product, quotient or root, as on any machine.
#[inline(always)]
pub(crate) fn widest<R>(work: impl FnOnce() -> R) -> R {
    pulp::Arch::new().dispatch(work)
}

/// A pass over lanes within [`widest`]: `wide!(|sum, part| …)`. What it works on is named before it, so
/// that each comes as an argument of its own: behind a `self`, a struct of references or the captures of a
/// closure the compiler cannot know that they lie apart, and does one trial after the other.
macro_rules! wide {
    (|$a:ident, $b:ident| $work:expr) => {
        $crate::engine::lanes::wide_2(
            $a,
            $b,
            #[inline(always)]
            |$a, $b| $work,
        )
    };
    (|$a:ident, $b:ident, $c:ident| $work:expr) => {
        $crate::engine::lanes::wide_3(
            $a,
            $b,
            $c,
            #[inline(always)]
            |$a, $b, $c| $work,
        )
    };
    (|$a:ident, $b:ident, $c:ident, $d:ident| $work:expr) => {
        $crate::engine::lanes::wide_4(
            $a,
            $b,
            $c,
            $d,
            #[inline(always)]
            |$a, $b, $c, $d| $work,
        )
    };
    (|$a:ident, $b:ident, $c:ident, $d:ident, $e:ident| $work:expr) => {
        $crate::engine::lanes::wide_5(
            $a,
            $b,
            $c,
            $d,
            $e,
            #[inline(always)]
            |$a, $b, $c, $d, $e| $work,
        )
    };
    (|$a:ident, $b:ident, $c:ident, $d:ident, $e:ident, $f:ident| $work:expr) => {
        $crate::engine::lanes::wide_6(
            $a,
            $b,
            $c,
            $d,
            $e,
            $f,
            #[inline(always)]
            |$a, $b, $c, $d, $e, $f| $work,
        )
    };
}

pub(crate) use wide;

/// [`widest`] with its arguments apart.
macro_rules! with_arguments {
    ($($name:ident($($argument:ident: $of:ident),+);)+) => {$(
        #[inline(always)]
        pub(crate) fn $name<R, $($of),+>(
            $($argument: $of,)+
            work: impl FnOnce($($of),+) -> R,
        ) -> R {
            widest(#[inline(always)] || work($($argument),+))
        }
    )+};
}

with_arguments! {
    wide_2(a: A, b: B);
    wide_3(a: A, b: B, c: C);
    wide_4(a: A, b: B, c: C, d: D);
    wide_5(a: A, b: B, c: C, d: D, e: E);
    wide_6(a: A, b: B, c: C, d: D, e: E, f: F);
}

/// The smaller of two numbers; unlike `f64::min` one instruction, NaN being no question here.
#[inline(always)]
pub(crate) fn min(a: f64, b: f64) -> f64 {
    if a < b { a } else { b }
}

/// The larger of two numbers.
#[inline(always)]
pub(crate) fn max(a: f64, b: f64) -> f64 {
    if a > b { a } else { b }
}

/// Which share of what is asked is there.
#[inline(always)]
pub(crate) fn share_of(asked: f64, there: f64) -> f64 {
    if asked > there { there / asked } else { 1.0 }
}

/// The min of each number and the one half the way on.
#[inline(always)]
fn min_half<const ALL: usize, const HALF: usize>(all: &[f64; ALL]) -> [f64; HALF] {
    const { assert!(ALL == 2 * HALF, "half of them") }
    let mut half = [0.0; HALF];
    for lane in 0..HALF {
        half[lane] = min(all[lane], all[HALF + lane]);
    }
    half
}
