//! What to buy for a schedule.
//!
//! One job: metres of cable by size and colour, fuses, holders, lugs and the rest, counted from the
//! runs and the pieces of the distribution.
//! Left out: prices, glands, ties, the appliances themselves.

use std::collections::BTreeMap;

use serde::Serialize;

use super::distribution::Piece;
use super::fuses::FuseType;
use super::schedule::ScheduledRun;

/// Length bought over the length measured: for bends and ends cut off (ours).
pub const CUT: f64 = 1.1;

/// Cable of one size.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct CableToBuy {
    /// As the shop writes it.
    pub conductor: String,
    /// Area.
    pub mm2: f64,
    /// Rating of the insulation.
    pub insulation_c: u16,
    /// For the positive side: red.
    pub positive_m: f64,
    /// For the negative side: black, or as the local code asks.
    pub negative_m: f64,
    /// Terminals: four a run.
    pub lugs: usize,
}

/// Fuses of one rating and family.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct FuseToBuy {
    /// Rating.
    pub rating_a: f64,
    /// What to ask for.
    pub words: &'static str,
    /// How many, one spare of each not counted.
    pub number: usize,
}

/// So many of something.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct CountToBuy {
    /// What.
    pub words: String,
    /// How many.
    pub number: usize,
}

/// The whole list.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Shopping {
    /// Cable, thickest first.
    pub cable: Vec<CableToBuy>,
    /// Fuses, largest first.
    pub fuses: Vec<FuseToBuy>,
    /// Holders, blocks, buses, switches, plugs.
    pub holders: Vec<CountToBuy>,
}

/// The list for these runs and pieces. Runs that fail are left out: there is nothing to buy yet.
#[must_use]
pub fn shopping(runs: &[ScheduledRun], pieces: &[Piece]) -> Shopping {
    let sound = || runs.iter().filter(|run| run.pass);
    let mut cable: Vec<CableToBuy> = Vec::new();
    for run in sound() {
        let (Some(mm2), Some(conductor)) = (run.mm2, &run.conductor) else {
            continue;
        };
        let known = cable
            .iter_mut()
            .find(|known| known.conductor == *conductor && known.insulation_c == run.insulation_c);
        match known {
            Some(known) => {
                known.positive_m += run.one_way_m;
                known.lugs += 4;
            }
            None => cable.push(CableToBuy {
                conductor: conductor.clone(),
                mm2,
                insulation_c: run.insulation_c,
                positive_m: run.one_way_m,
                negative_m: 0.0,
                lugs: 4,
            }),
        }
    }
    for one in &mut cable {
        // To the half metre above.
        one.positive_m = (2.0 * CUT * one.positive_m - 1e-9).ceil() / 2.0;
        one.negative_m = one.positive_m;
    }
    cable.sort_by(|a, b| {
        b.mm2
            .total_cmp(&a.mm2)
            .then(b.insulation_c.cmp(&a.insulation_c))
    });

    let mut fuses: Vec<(FuseType, FuseToBuy)> = Vec::new();
    let of_runs = sound().filter_map(|run| {
        let fuse = run.fuse.as_ref()?;
        Some((fuse.kind?, fuse.rating_a, fuse.number))
    });
    let mains = pieces
        .iter()
        .filter(|piece| piece.derived && piece.kind == "main-fuse");
    let mains = mains.filter_map(|piece| Some((piece.fuse?, piece.rating_a?, 1)));
    for (kind, rating_a, number) in of_runs.chain(mains) {
        let known = fuses
            .iter_mut()
            .find(|(its, fuse)| *its == kind && (fuse.rating_a - rating_a).abs() < 1e-9);
        match known {
            Some((_, known)) => known.number += number,
            None => fuses.push((
                kind,
                FuseToBuy {
                    rating_a,
                    words: kind.words(),
                    number,
                },
            )),
        }
    }
    fuses.sort_by(|a, b| b.1.rating_a.total_cmp(&a.1.rating_a));
    let mut holders: BTreeMap<String, usize> = BTreeMap::new();
    for (kind, fuse) in &fuses {
        *holders
            .entry(format!("holder or way for a {} fuse", kind.short_words()))
            .or_default() += fuse.number;
    }
    for piece in pieces {
        let words = match (piece.kind, piece.rating_a) {
            ("switch" | "bus" | "plug", Some(rating_a)) => {
                format!("{} for at least {rating_a} A", piece.kind)
            }
            ("fuse-block", _) => format!("fuse block: {}", piece.words),
            _ => continue,
        };
        *holders.entry(words).or_default() += 1;
    }
    Shopping {
        cable,
        fuses: fuses.into_iter().map(|(_, fuse)| fuse).collect(),
        holders: holders
            .into_iter()
            .map(|(words, number)| CountToBuy { words, number })
            .collect(),
    }
}
