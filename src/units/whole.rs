//! Whole numbers as real ones, and back.
//!
//! One job: the conversions, where what may be lost is said once: counts, seconds and steps are far below
//! 2⁵³, and what is cut back was a count, an index or seconds.

/// A whole number.
pub trait Whole: Copy {
    /// The same as a real number.
    fn real(self) -> f64;

    /// A real number without its fraction; the nearest that there is, 0 of no number.
    fn cut(real: f64) -> Self;
}

macro_rules! whole {
    ($($number:ty)+) => {$(
        impl Whole for $number {
            #[inline]
            #[allow(
                clippy::cast_precision_loss,
                clippy::cast_lossless,
                reason = "counts, seconds and steps"
            )]
            fn real(self) -> f64 {
                self as f64
            }

            #[inline]
            #[allow(
                clippy::cast_possible_truncation,
                clippy::cast_sign_loss,
                reason = "a count, an index or seconds"
            )]
            fn cut(real: f64) -> Self {
                real as Self
            }
        }
    )+};
}

whole!(usize u64 u32 u16 i64 i32);

/// A real number with seven digits, as it is kept of every trial.
#[must_use]
#[expect(clippy::cast_possible_truncation, reason = "seven digits are enough")]
pub fn narrow(real: f64) -> f32 {
    real as f32
}
