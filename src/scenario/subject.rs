//! What a place of the file is about, by name.
//!
//! One job: `/banks/0/kept` to "bank main", `/itinerary/legs/2` to "leg to Manning". Where it stands in the file is
//! told after it, by whoever tells of it.

use super::Parts;

/// What a JSON pointer into the file is about; `label` is the id or name of the entry that it goes through.
///
/// ```
/// use tideover::scenario::subject;
///
/// assert_eq!(subject("/banks/0/kept", Some("main")), "bank main");
/// assert_eq!(subject("/itinerary/legs/2/lat", Some("Manning")), "leg to Manning");
/// assert_eq!(subject("/alternator", None), "the alternator");
/// ```
#[must_use]
pub fn subject(path: &str, label: Option<&str>) -> String {
    let steps: Vec<&str> = path.split('/').skip(1).collect();
    let last = steps.last().copied().unwrap_or_default();
    let name = label.unwrap_or_default();
    match steps.as_slice() {
        ["itinerary", "legs", .., "to"] | ["itinerary", "from", "name"] => format!("`{name}`"),
        ["itinerary", "legs", _, "near"] => format!("the place near {name}"),
        ["itinerary", "legs", _, ..] if label.is_some() => format!("leg to {name}"),
        ["itinerary", "from", ..] if label.is_some() => format!("{name} (the start)"),
        ["itinerary"] => "the itinerary".to_owned(),
        ["itinerary", "start"] => "the start".to_owned(),
        ["itinerary", "time_zone"] => "the time zone".to_owned(),
        ["itinerary", "legs"] => "the legs".to_owned(),
        ["climate", "months", _, ..] if label.is_some() => format!("the climate's {name}"),
        ["climate"] => "the climate".to_owned(),
        ["alternator", ..] => "the alternator".to_owned(),
        [list, _, ..] if label.is_some() => match one_of(list) {
            Some(one) => format!("{one} {name}"),
            None => name.to_owned(),
        },
        _ => last.to_owned(),
    }
}

/// What an entry of a list is called.
fn one_of(list: &str) -> Option<&'static str> {
    Some(match list {
        "banks" => "bank",
        "chargers" => "charger",
        "solar" => "panel",
        "loads" => "load",
        "inverters" => "inverter",
        "runs" => "run",
        "distribution" => "part",
        _ => return None,
    })
}

impl Parts {
    /// Id or name of the entry that a JSON pointer goes through.
    #[must_use]
    pub fn label_at(&self, path: &str) -> Option<&str> {
        let steps: Vec<&str> = path.split('/').skip(1).collect();
        let number = |text: &str| text.parse::<usize>().ok();
        match steps.as_slice() {
            ["itinerary", "from", ..] => Some(&self.itinerary.from.name),
            ["itinerary", "legs", at, ..] => Some(&self.itinerary.legs.get(number(at)?)?.stop.name),
            [list, at, ..] => {
                let at = number(at)?;
                match *list {
                    "banks" => self.banks.get(at).map(|it| it.id.as_str()),
                    "chargers" => self.chargers.get(at).map(|it| it.id.as_str()),
                    "solar" => self.solar.get(at).map(|it| it.id.as_str()),
                    "loads" => self.loads.get(at).map(|it| it.id.as_str()),
                    "inverters" => self.inverters.get(at).map(|it| it.id.as_str()),
                    "runs" => self.runs.get(at).map(|it| it.id.as_str()),
                    "distribution" => self.distribution.get(at).map(|it| it.id.as_str()),
                    _ => None,
                }
            }
            _ => None,
        }
    }
}
