//! Keys that give the same quantity in another unit: `one_way_ft` for `one_way_m`.

use super::measure::{Unit, unit_word};

/// A word of keys in units of the program, and its sister.
pub const SISTERS: [(&str, &str); 5] = [
    ("c", "f"),
    ("m", "ft"),
    ("km", "mi"),
    ("kg", "lb"),
    ("kmh", "mph"),
];

/// A key with the key that stands for the same quantity.
#[derive(Debug, Clone, PartialEq)]
pub struct Sister {
    /// The other key.
    pub key: String,
    /// Unit of the key that was asked for.
    pub from: Unit,
    /// Unit of the other key.
    pub to: Unit,
}

/// The key in the program's units for one in units of the land: `one_way_m` for `one_way_ft`.
#[must_use]
pub fn sister_of(key: &str) -> Option<Sister> {
    other(key, |(ours, theirs)| (theirs, ours))
}

/// The key in units of the land for one in the program's: `one_way_ft` for `one_way_m`.
#[must_use]
pub fn sister_to(key: &str) -> Option<Sister> {
    other(key, |pair| pair)
}

type Pair = (&'static str, &'static str);

fn other(key: &str, turned: fn(Pair) -> Pair) -> Option<Sister> {
    let word = unit_word(key)?;
    let (word, instead) = SISTERS
        .into_iter()
        .map(turned)
        .find(|(known, _)| *known == word)?;
    let head = key.split("_per_").next()?;
    let tail = key.get(head.len()..)?;
    let stem = head.get(..head.len() - word.len())?;
    Some(Sister {
        key: format!("{stem}{instead}{tail}"),
        from: Unit::named(word)?,
        to: Unit::named(instead)?,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn keys_and_their_sisters() {
        for (ours, theirs) in [
            ("one_way_m", "one_way_ft"),
            ("set_c", "set_f"),
            ("km", "mi"),
            ("mass_kg_per_ah", "mass_lb_per_ah"),
            ("warm_food_kg_per_day", "warm_food_lb_per_day"),
            ("speed_kmh", "speed_mph"),
        ] {
            assert_eq!(sister_of(theirs).expect("has one").key, ours);
            assert_eq!(sister_to(ours).expect("has one").key, theirs);
        }
        for key in ["min", "seed", "rated_a", "contents_wh_per_k"] {
            assert_eq!(sister_of(key), None, "{key}");
            assert_eq!(sister_to(key), None, "{key}");
        }
    }
}
