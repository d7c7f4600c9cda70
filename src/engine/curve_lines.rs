//! Open-circuit voltages of a batch.
//!
//! One job: the line of the curve that each trial stands on. A curve has so few lines that all of them
//! fit in registers: where the machine has AVX-512, one instruction picks for eight trials at once what
//! takes eight loads else. The numbers are the same to the bit.

use super::lanes::{LANES, Lanes};
use crate::system::open_circuit_voltage::VoltageTable;

/// Voltages at states of charge from 0 to 1.
#[inline(always)]
pub(super) fn volts(table: &VoltageTable, soc: &Lanes, open_v: &mut Lanes) {
    #[cfg(target_arch = "x86_64")]
    if let Some(avx512) = pulp::core_arch::x86::Avx512f::try_new() {
        picked::volts(avx512, table, soc, open_v);
        return;
    }
    loaded_volts(table, soc, open_v);
}

/// By one load each.
#[inline(always)]
fn loaded_volts(table: &VoltageTable, soc: &Lanes, open_v: &mut Lanes) {
    for lane in 0..LANES {
        open_v[lane] = table.volts(soc[lane]);
    }
}

#[cfg(target_arch = "x86_64")]
mod picked {
    use pulp::cast;
    use pulp::core_arch::x86::Avx512f;

    use super::{LANES, Lanes, VoltageTable};
    use crate::system::open_circuit_voltage::ENTRIES;

    /// Numbers in the widest register.
    const WIDE: usize = 8;

    const _: () = assert!(ENTRIES == 2 * WIDE && LANES.is_multiple_of(WIDE));

    /// By one pick for eight.
    #[inline(always)]
    pub(super) fn volts(avx512: Avx512f, table: &VoltageTable, soc: &Lanes, open_v: &mut Lanes) {
        let (intercepts, slopes) = table.lines();
        let (intercepts, slopes) = (halves(intercepts), halves(slopes));
        let pick = |halves: [[f64; WIDE]; 2], entries: [u64; WIDE]| -> [f64; WIDE] {
            let [low, high] = halves;
            cast(avx512._mm512_permutex2var_pd(cast(low), cast(entries), cast(high)))
        };
        let wide = open_v.as_chunks_mut::<WIDE>().0;
        for (open_v, soc) in wide.iter_mut().zip(soc.as_chunks::<WIDE>().0) {
            let entries = soc.map(|soc| table.entry(soc));
            let (intercept_v, slope_v) = (pick(intercepts, entries), pick(slopes, entries));
            for lane in 0..WIDE {
                open_v[lane] = intercept_v[lane] + slope_v[lane] * soc[lane];
            }
        }
    }

    #[inline(always)]
    fn halves(entries: &[f64; ENTRIES]) -> [[f64; WIDE]; 2] {
        std::array::from_fn(|half| std::array::from_fn(|entry| entries[half * WIDE + entry]))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engine::lanes::{ZERO, widest};
    use crate::system::open_circuit_voltage::Curve;

    #[test]
    fn picked_and_loaded_voltages_are_the_same_to_the_bit() {
        for curve in [Curve::Lfp, Curve::Flooded, Curve::Sealed] {
            let table = VoltageTable::new(curve, 2.0);
            for batch in 0..64 {
                let soc = Lanes::from_fn(|lane| {
                    let of = u32::try_from(batch * LANES + lane).expect("a few thousand");
                    f64::from(of) / f64::from(64 * 64 - 1)
                });
                let (mut here, mut loaded) = (ZERO, ZERO);
                widest(|| volts(&table, &soc, &mut here));
                loaded_volts(&table, &soc, &mut loaded);
                assert_eq!(
                    here.0.map(f64::to_bits),
                    loaded.0.map(f64::to_bits),
                    "{curve:?}"
                );
                assert_eq!(here[7].to_bits(), table.volts(soc[7]).to_bits());
            }
        }
    }
}
