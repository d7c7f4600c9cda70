//! Colours of every picture.
//!
//! One job: one set that stays apart for colour-blind eyes and in greyscale print. What differs in
//! meaning differs in lightness too (a test measures it), and carries its own label; hue only
//! helps. Ours: cool for charge, warm for limits.

/// A colour with its opacity.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(in crate::present) struct Paint {
    /// Red, green, blue.
    pub(in crate::present) rgb: (u8, u8, u8),
    /// 0 to 1.
    pub(in crate::present) alpha: f64,
}

/// A colour that covers what lies under it.
pub(in crate::present) const fn solid(r: u8, g: u8, b: u8) -> Paint {
    Paint {
        rgb: (r, g, b),
        alpha: 1.0,
    }
}

/// The ground.
pub(in crate::present) const PAPER: Paint = solid(255, 255, 255);
/// Text.
pub(in crate::present) const INK: Paint = solid(28, 34, 40);
/// Secondary text.
pub(in crate::present) const MUTED: Paint = solid(84, 94, 104);
/// Grid lines and frames.
pub(in crate::present) const GRID: Paint = solid(206, 211, 214);
/// Nights, laid over a panel.
pub(in crate::present) const NIGHT: Paint = Paint {
    rgb: (30, 40, 70),
    alpha: 0.1,
};
/// From P10 to P90.
pub(in crate::present) const BAND_OUTER: Paint = solid(187, 219, 214);
/// From P25 to P75.
pub(in crate::present) const BAND_INNER: Paint = solid(110, 172, 166);
/// Medians.
pub(in crate::present) const MEDIAN: Paint = solid(9, 68, 72);
/// The reserve, and the chance aimed at.
pub(in crate::present) const RESERVE: Paint = solid(176, 84, 12);
/// The cut-off.
pub(in crate::present) const CUTOFF: Paint = solid(104, 20, 44);
/// Bars of driving.
pub(in crate::present) const DRIVE: Paint = solid(84, 94, 104);
/// What a bank gets.
pub(in crate::present) const SOURCE: Paint = solid(126, 186, 180);
/// What it gives.
pub(in crate::present) const LOAD: Paint = solid(142, 66, 18);
/// What is lost, left over or missing.
pub(in crate::present) const LOST: Paint = solid(200, 204, 206);

/// Lines of several banks in one plot: colour, and dashes in pixels.
pub(in crate::present) const SERIES: [(Paint, &[f64]); 4] = [
    (solid(9, 68, 72), &[]),
    (solid(136, 136, 34), &[9.0, 4.0]),
    (solid(112, 44, 96), &[2.5, 3.5]),
    (solid(84, 150, 196), &[14.0, 4.0]),
];

/// A colour at another opacity.
pub(in crate::present) const fn faded(paint: Paint, alpha: f64) -> Paint {
    Paint {
        rgb: paint.rgb,
        alpha,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// CIE lightness L* of an sRGB colour on white. Source: IEC 61966-2-1 (sRGB) and CIE 15
    /// (L*), from memory.
    fn lightness(paint: Paint) -> f64 {
        let (r, g, b) = paint.rgb;
        let linear = |channel: u8| {
            let share = f64::from(channel) / 255.0 * paint.alpha + 1.0 - paint.alpha;
            if share <= 0.040_45 {
                share / 12.92
            } else {
                ((share + 0.055) / 1.055).powf(2.4)
            }
        };
        let luminance = 0.2126 * linear(r) + 0.7152 * linear(g) + 0.0722 * linear(b);
        if luminance > 0.008_856 {
            116.0 * luminance.cbrt() - 16.0
        } else {
            903.3 * luminance
        }
    }

    #[test]
    fn law_what_lies_on_another_differs_in_lightness() {
        for (one, other, least) in [
            (PAPER, BAND_OUTER, 12.0),
            (BAND_OUTER, BAND_INNER, 15.0),
            (BAND_INNER, MEDIAN, 30.0),
            (PAPER, RESERVE, 40.0),
            (BAND_OUTER, RESERVE, 30.0),
            (BAND_INNER, RESERVE, 15.0),
            (RESERVE, CUTOFF, 15.0),
            (SOURCE, LOAD, 30.0),
            (SOURCE, LOST, 10.0),
            (LOAD, LOST, 30.0),
            (PAPER, LOST, 15.0),
            (PAPER, MUTED, 45.0),
            (PAPER, NIGHT, 5.0),
        ] {
            let step = (lightness(one) - lightness(other)).abs();
            assert!(step >= least, "{one:?} and {other:?} differ by {step:.1}");
        }
    }

    /// Lines are told apart by dashes first; neighbours differ in lightness as well.
    #[test]
    fn law_series_differ_in_dashes_and_neighbours_in_lightness() {
        for (index, (paint, dash)) in SERIES.iter().enumerate() {
            assert!((lightness(PAPER) - lightness(*paint)) > 35.0);
            for (other, other_dash) in &SERIES[index + 1..] {
                assert_ne!(dash, other_dash);
                assert_ne!(paint, other);
            }
        }
        for pair in SERIES.windows(2) {
            let step = (lightness(pair[0].0) - lightness(pair[1].0)).abs();
            assert!(step >= 15.0, "{pair:?} differ by {step:.1}");
        }
    }
}
