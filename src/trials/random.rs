//! Counter-based random numbers.
//!
//! One job: two uniform numbers for a key and a counter. A stream has a place for every draw, so
//! nothing depends on the order in which draws are made.
//!
//! # Source
//! J. K. Salmon, M. A. Moraes, R. O. Dror, D. E. Shaw, "Parallel random numbers: as easy as 1, 2,
//! 3", SC '11, 2011, doi:10.1145/2063384.2063405: Philox4x32-10.

#![expect(
    clippy::inline_always,
    reason = "worked out for many trials with the widest instructions of the caller"
)]

const MULTIPLIERS: [u32; 2] = [0xD251_1F53, 0xCD9E_8D57];
const WEYL: [u32; 2] = [0x9E37_79B9, 0xBB67_AE85];
const ROUNDS: u32 = 10;

/// Ten rounds of Philox4x32.
#[inline(always)]
fn philox(mut counter: [u32; 4], mut key: [u32; 2]) -> [u32; 4] {
    for _ in 0..ROUNDS {
        let first = u64::from(MULTIPLIERS[0]) * u64::from(counter[0]);
        let second = u64::from(MULTIPLIERS[1]) * u64::from(counter[2]);
        counter = [
            high(second) ^ counter[1] ^ key[0],
            low(second),
            high(first) ^ counter[3] ^ key[1],
            low(first),
        ];
        key = [key[0].wrapping_add(WEYL[0]), key[1].wrapping_add(WEYL[1])];
    }
    counter
}

#[inline(always)]
fn high(product: u64) -> u32 {
    (product >> 32) as u32
}

#[expect(clippy::cast_possible_truncation, reason = "the lower half is meant")]
#[inline(always)]
fn low(product: u64) -> u32 {
    product as u32
}

/// What is drawn, under a seed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct StreamKey(u64);

impl StreamKey {
    /// The key of something drawn, by its name.
    #[must_use]
    pub fn new(seed: u64, what: &str) -> Self {
        // FNV-1a over the name, then a full mix with the seed (the finaliser of splitmix64).
        let mut hash: u64 = 0xcbf2_9ce4_8422_2325;
        for byte in what.bytes() {
            hash = (hash ^ u64::from(byte)).wrapping_mul(0x0000_0100_0000_01b3);
        }
        Self(mix(hash ^ mix(seed.wrapping_add(0x9E37_79B9_7F4A_7C15))))
    }

    /// The stream of one trial.
    #[must_use]
    pub fn stream(self, trial: u64) -> Stream {
        Stream {
            key: [low(self.0), high(self.0)],
            trial: [low(trial), high(trial)],
        }
    }
}

fn mix(mut bits: u64) -> u64 {
    bits = (bits ^ (bits >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
    bits = (bits ^ (bits >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
    bits ^ (bits >> 31)
}

/// The stream of one trial for one thing drawn.
#[derive(Debug, Clone, Copy)]
pub struct Stream {
    key: [u32; 2],
    trial: [u32; 2],
}

impl Stream {
    /// Two independent uniform numbers in the open interval from 0 to 1, at a place of the stream.
    #[must_use]
    #[inline(always)]
    pub fn uniforms(&self, place: u64) -> (f64, f64) {
        let words = philox(
            [low(place), high(place), self.trial[0], self.trial[1]],
            self.key,
        );
        let first = (u64::from(words[1]) << 32) | u64::from(words[0]);
        let second = (u64::from(words[3]) << 32) | u64::from(words[2]);
        (open_unit(first), open_unit(second))
    }
}

/// 53 bits in the middle of their cell: never 0, never 1.
#[expect(clippy::cast_precision_loss, reason = "53 bits fit")]
#[inline(always)]
fn open_unit(bits: u64) -> f64 {
    ((bits >> 11) as f64 + 0.5) * (1.0 / 9_007_199_254_740_992.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Outside figure: known-answer vectors of the authors' library for philox4x32-10, from
    /// memory; a wrong digit anywhere in the generator would break all three.
    #[test]
    fn outside_philox_known_answers() {
        let all = u32::MAX;
        for (counter, key, expected) in [
            (
                [0; 4],
                [0; 2],
                [0x6627_e8d5, 0xe169_c58d, 0xbc57_ac4c, 0x9b00_dbd8],
            ),
            (
                [all; 4],
                [all; 2],
                [0x408f_276d, 0x41c8_3b0e, 0xa20b_c7c6, 0x6d54_51fd],
            ),
            (
                [0x243f_6a88, 0x85a3_08d3, 0x1319_8a2e, 0x0370_7344],
                [0xa409_3822, 0x299f_31d0],
                [0xd16c_fe09, 0x94fd_cceb, 0x5001_e420, 0x2412_6ea1],
            ),
        ] {
            assert_eq!(philox(counter, key), expected);
        }
    }

    #[test]
    fn uniforms_are_uniform_and_streams_apart() {
        let key = StreamKey::new(1, "weather");
        let mut sum = 0.0;
        let mut product = 0.0;
        for trial in 0..20_000 {
            let (first, second) = key.stream(trial).uniforms(7);
            assert!(first > 0.0 && first < 1.0);
            sum += first + second;
            product += (first - 0.5) * (second - 0.5);
        }
        assert!((sum / 40_000.0 - 0.5).abs() < 0.005);
        assert!((product / 20_000.0).abs() < 0.002);
        let other = StreamKey::new(1, "load/fridge").stream(0).uniforms(7);
        assert!((other.0 - key.stream(0).uniforms(7).0).abs() > 1e-12);
    }
}
