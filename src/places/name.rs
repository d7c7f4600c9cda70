//! What a person means by the name of a place.
//!
//! One job: `Tok, AK, US` to the places of the table that it may mean, and a mistyped name to those
//! that are nearly alike. Which of several is meant is for the caller, who knows the way there.

use super::fold::folded;
use super::packed::{KnownPlace, all, country_code, from_key, of_key};

/// A name as typed, taken apart at its commas.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Name {
    /// The place itself.
    pub place: String,
    /// Region and country as typed, in any order; may be empty.
    pub within: Vec<String>,
}

impl Name {
    /// Takes a name apart: what follows the first comma says where it is.
    #[must_use]
    pub fn parse(text: &str) -> Self {
        let mut parts = text.split(',').map(|part| part.trim().to_owned());
        Self {
            place: parts.next().unwrap_or_default(),
            within: parts.filter(|part| !part.is_empty()).collect(),
        }
    }

    /// Whether a place lies within every region and country named.
    fn holds(&self, place: &KnownPlace) -> bool {
        self.within.iter().all(|part| {
            let key = folded(part);
            let is_country = country_code(part) == Some(place.country);
            is_country || key == folded(place.region) || key == folded(place.region_name)
        })
    }
}

/// Every place that the name may mean: those spelled to the letter first, of these and of the
/// others those with more people first. Case, accents and hyphens don't matter otherwise.
///
/// # Example
/// ```
/// use tideover::places::find;
///
/// let found = find("coober pedy, au");
/// assert_eq!(found[0].zone, "Australia/Adelaide");
/// assert!((found[0].lat_deg + 29.01).abs() < 0.01);
/// assert!(find("Tok, AK, US").len() == 1);
/// ```
#[must_use]
pub fn find(text: &str) -> Vec<&'static KnownPlace> {
    let whole: Vec<&KnownPlace> = of_key(text).collect();
    if !whole.is_empty() {
        return exact_first(whole, text);
    }
    let name = Name::parse(text);
    let found = of_key(&name.place)
        .filter(|place| name.holds(place))
        .collect();
    exact_first(found, &name.place)
}

fn exact_first(mut found: Vec<&'static KnownPlace>, name: &str) -> Vec<&'static KnownPlace> {
    found.sort_by_key(|place| place.name != name.trim());
    found
}

/// Up to `most` places whose names begin as typed so far: those nearer to `by` (latitude and longitude in degrees)
/// first, one of that very name as if it were five times nearer (ours); without `by` shorter names before longer ones.
/// What follows a comma says where they are, as in [`find`], as soon as it says a region or country whole.
///
/// # Example
/// ```
/// use tideover::places::beginning;
///
/// let alice = (-23.70, 133.88);
/// assert_eq!(beginning("coober p", Some(alice), 5)[0].full_name(), "Coober Pedy, SA, AU");
/// // The same name nearer by comes first.
/// assert_eq!(beginning("perth", Some(alice), 1)[0].country, "AU");
/// assert_eq!(beginning("perth", Some((56.0, -3.0)), 1)[0].country, "GB");
/// ```
#[must_use]
pub fn beginning(text: &str, by: Option<(f64, f64)>, most: usize) -> Vec<&'static KnownPlace> {
    const WHOLE_NAME: f64 = 0.2;
    let name = Name::parse(text);
    let key = folded(&name.place);
    let mut named: Vec<(String, &KnownPlace)> = from_key(key.clone())
        .map(|place| (folded(&place.name), place))
        .take_while(|(other, _)| other.starts_with(&key))
        .collect();
    if named.iter().any(|(_, place)| name.holds(place)) {
        named.retain(|(_, place)| name.holds(place));
    }
    named.sort_by_cached_key(|(other, place)| {
        let share = if *other == key { WHOLE_NAME } else { 1.0 };
        by.map_or((0, other.len()), |(lat, lon)| {
            #[expect(
                clippy::cast_possible_truncation,
                clippy::cast_sign_loss,
                reason = "metres on the Earth, from 0 on"
            )]
            let metres = (share * 1000.0 * place.distance_km(lat, lon)) as u64;
            (metres, 0)
        })
    });
    named.into_iter().take(most).map(|named| named.1).collect()
}

/// Up to `most` places whose names are nearly as typed, the most alike first, of those alike the
/// ones with more people as the table has them. Looks through the whole table: for a message, not for a loop.
#[must_use]
pub fn alike(text: &str, most: usize) -> Vec<&'static KnownPlace> {
    const ALIKE: f64 = 0.82;
    let name = Name::parse(text);
    let key = folded(&name.place);
    let mut found: Vec<(f64, &KnownPlace)> = all()
        .filter_map(|place| {
            let other = folded(&place.name);
            // Names of very different length can't be alike enough; most are told apart by that.
            if key.len().abs_diff(other.len()) > 3 {
                return None;
            }
            let likeness = strsim::normalized_damerau_levenshtein(&key, &other);
            let nearer = if name.holds(place) { 0.1 } else { 0.0 };
            (likeness >= ALIKE).then_some((likeness + nearer, place))
        })
        .collect();
    found.sort_by(|a, b| b.0.total_cmp(&a.0));
    found.into_iter().take(most).map(|found| found.1).collect()
}
