//! Banks that charge each other in a ring.

use super::findings::Findings;
use crate::scenario::{Bank, Charger, ChargerSource};

/// Reports every charger that closes a ring with the chargers before it.
pub(super) fn check(chargers: &[Charger], banks: &[Bank], notes: &mut Findings<'_>) {
    let mut edges: Vec<(usize, usize)> = Vec::new();
    for (number, charger) in chargers.iter().enumerate() {
        let path = format!("/chargers/{number}");
        let ChargerSource::Bank(giver) = charger.from else {
            continue;
        };
        if notes.is_spoiled(&format!("{path}/to")) || notes.is_spoiled(&format!("{path}/from")) {
            continue;
        }
        if let Some(way) = way(&edges, charger.to, giver) {
            let name = |bank: &usize| {
                banks
                    .get(*bank)
                    .map_or("", |bank| bank.id.as_str())
                    .to_owned()
            };
            let ring = std::iter::once(name(&giver)).chain(way.iter().map(name));
            let ring = ring.collect::<Vec<_>>().join(" → ");
            let text = format!("closes a ring of banks that charge each other: {ring}");
            notes.problem(&format!("{path}/to"), text);
        } else {
            edges.push((giver, charger.to));
        }
    }
}

/// The banks from `from` to `to` along the edges, both included.
fn way(edges: &[(usize, usize)], from: usize, to: usize) -> Option<Vec<usize>> {
    let mut reached: Vec<(usize, usize)> = vec![(from, from)];
    let mut next = 0;
    while let Some((here, _)) = reached.get(next).copied() {
        if here == to {
            let mut way = vec![here];
            let mut at = here;
            while at != from {
                let before = reached.iter().find(|(bank, _)| *bank == at)?.1;
                way.insert(0, before);
                at = before;
            }
            return Some(way);
        }
        for (_, taker) in edges.iter().filter(|(giver, _)| *giver == here) {
            if reached.iter().all(|(bank, _)| bank != taker) {
                reached.push((*taker, here));
            }
        }
        next += 1;
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ways_are_found_and_named_in_order() {
        let edges = [(0, 1), (1, 2), (0, 3)];
        assert_eq!(way(&edges, 0, 2), Some(vec![0, 1, 2]));
        assert_eq!(way(&edges, 2, 0), None);
        assert_eq!(way(&edges, 3, 3), Some(vec![3]));
    }
}
