//! Lanes: one number for each trial of a batch.

/// Trials that run side by side.
pub const LANES: usize = 64;

/// One number a trial. What holds them is laid out so that each begins where a line of the cache does:
/// else the widest loads and stores would touch two.
pub type Lanes = [f64; LANES];

/// All zero.
pub(crate) const ZERO: Lanes = [0.0; LANES];

/// All one.
pub(crate) const ONE: Lanes = [1.0; LANES];

/// The same number in every lane.
#[must_use]
pub(crate) fn splat(value: f64) -> Lanes {
    [value; LANES]
}

/// Does work over lanes with the widest instructions that this machine has. They change no bit of
/// the result: each is one addition, product, quotient or root, as on any machine.
#[inline(always)]
pub(crate) fn widest<R>(work: impl FnOnce() -> R) -> R {
    pulp::Arch::new().dispatch(work)
}

/// Adds lane by lane.
#[inline(never)]
pub(crate) fn add(sum: &mut Lanes, part: &Lanes) {
    widest(
        #[inline(always)]
        || {
            for lane in 0..LANES {
                sum[lane] += part[lane];
            }
        },
    );
}

/// Subtracts lane by lane.
#[inline(always)]
pub(crate) fn subtract(from: &mut Lanes, part: &Lanes) {
    for lane in 0..LANES {
        from[lane] -= part[lane];
    }
}

/// Multiplies lane by lane with the same factor.
#[inline(always)]
pub(crate) fn scale(scaled: &mut Lanes, lanes: &Lanes, factor: f64) {
    for lane in 0..LANES {
        scaled[lane] = lanes[lane] * factor;
    }
}

/// The smaller of two numbers; unlike `f64::min` one instruction, NaN being no question here.
#[inline(always)]
pub(crate) fn min(a: f64, b: f64) -> f64 {
    if a < b { a } else { b }
}

/// The max of two numbers.
#[inline(always)]
pub(crate) fn max(a: f64, b: f64) -> f64 {
    if a > b { a } else { b }
}

/// The least of all lanes. Halved and halved again, several are compared at once.
#[inline(always)]
pub(crate) fn least(lanes: &Lanes) -> f64 {
    let half: [f64; LANES / 2] = min_half(lanes);
    let quarter: [f64; LANES / 4] = min_half(&half);
    let eighth: [f64; LANES / 8] = min_half(&quarter);
    let sixteenth: [f64; LANES / 16] = min_half(&eighth);
    sixteenth.into_iter().fold(f64::INFINITY, min)
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

/// Sum of the first `count` lanes, in order.
#[must_use]
pub(crate) fn sum_of_first(lanes: &Lanes, count: usize) -> f64 {
    lanes[..count].iter().sum()
}
