//! The sentences of the problems.

use std::fmt;

use super::super::document::{Node, NodeValue};
use super::ProblemKind;
use crate::sky::world_climate::REACH_KM;
use crate::units::trimmed;

/// Longest piece of the user's text that a message repeats, in characters.
const SHOWN: usize = 40;

/// A value as a message shows it: words in backticks, numbers as written.
pub(in crate::scenario) fn found_words(node: &Node) -> String {
    match &node.value {
        NodeValue::Null => "null".to_owned(),
        NodeValue::Bool(value) => value.to_string(),
        NodeValue::Number(literal) => shortened(literal, SHOWN),
        NodeValue::Text(text) => {
            format!("`{}`", shortened(&text.escape_debug().to_string(), SHOWN))
        }
        NodeValue::List(_) => "a list".to_owned(),
        NodeValue::Object(_) => "an object".to_owned(),
    }
}

/// At most `most` characters and an ellipsis for the rest.
pub(super) fn shortened(text: &str, most: usize) -> String {
    if text.chars().nth(most).is_none() {
        return text.to_owned();
    }
    let head: String = text.chars().take(most).collect();
    format!("{head}…")
}

/// `1 day`, `2 days`: a number with the word for one of them.
#[must_use]
pub fn counted(count: impl fmt::Display, one: &str) -> String {
    let count = count.to_string();
    let plural = if count == "1" { "" } else { "s" };
    format!("{count} {one}{plural}")
}

/// A value as a sentence repeats it: none of the zeros of huge and tiny numbers.
fn figure(value: f64) -> String {
    let size = value.abs();
    if size >= 1e9 || (size > 0.0 && size < 1e-6) {
        format!("{value:e}")
    } else {
        (value + 0.0).to_string()
    }
}

/// `a`, `b` or `c`, each in backticks.
pub(in crate::scenario) fn either<S: AsRef<str>>(words: &[S]) -> String {
    let quoted: Vec<String> = words
        .iter()
        .map(|word| format!("`{}`", word.as_ref()))
        .collect();
    match quoted.as_slice() {
        [] => "nothing".to_owned(),
        [only] => only.clone(),
        [head @ .., last] => format!("{} or {last}", head.join(", ")),
    }
}

/// The known word most like the one found, if any is like it.
pub(in crate::scenario) fn nearest<S: AsRef<str>>(found: &str, known: &[S]) -> Option<String> {
    if found.chars().count() > 2 * SHOWN {
        return None;
    }
    let lower = found.to_lowercase();
    // One slip in three letters, or the same beginning, is still the same word.
    let slips = (found.chars().count() / 3).max(1);
    known
        .iter()
        .map(|word| {
            let word = word.as_ref();
            let known = word.to_lowercase();
            let distance = strsim::damerau_levenshtein(&lower, &known);
            (distance, strsim::jaro_winkler(&lower, &known), word)
        })
        .filter(|(distance, likeness, _)| *distance <= slips || *likeness > 0.92)
        .min_by(|a, b| (a.0.cmp(&b.0)).then(b.1.total_cmp(&a.1)))
        .map(|(.., word)| word.to_owned())
}

fn month_name(month: u32) -> &'static str {
    let month = u8::try_from(month).ok();
    let month = month.and_then(|month| chrono::Month::try_from(month).ok());
    month.map_or("no month", |month| month.name())
}

/// At most one decimal, none that says nothing.
fn short(value: f64) -> String {
    if value.abs() >= 1e9 {
        return figure(value);
    }
    trimmed(&format!("{value:.1}"))
}

impl fmt::Display for ProblemKind {
    #[expect(
        clippy::too_many_lines,
        reason = "one sentence a kind, all in one place"
    )]
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Syntax(error) => write!(f, "{error}"),
            Self::DoubledKey { first_line } => {
                write!(f, "stands twice in one object, first on line {first_line}")
            }
            Self::UnknownKey { .. } => write!(f, "is not a known key"),
            Self::Missing { allowed } => write!(f, "is missing, but must be {allowed}"),
            Self::NotAllowed { found, allowed, .. } => {
                write!(f, "is {found}, but must be {allowed}")
            }
            Self::NotOneOf { found, allowed, .. } => {
                write!(f, "is {found}, but must be {}", either(allowed))
            }
            Self::NotFinite { found } => {
                write!(f, "is {found}, but must be a number below 1e308")
            }
            Self::WrongLength {
                count,
                allowed,
                unit,
            } => {
                let unit = if *count == 1 { unit.0 } else { unit.1 };
                write!(f, "has {count} {unit}, but must have {allowed}")
            }
            Self::NotATime { found } => write!(
                f,
                "is `{found}`, but must be a time of day from `00:00` to `24:00`"
            ),
            Self::NotAWindowEnd { found } => write!(
                f,
                "is `{found}`, but must be a time of day such as `18:30`, `sunrise`, `sunset` \
                 or those with an offset up to 12 h such as `sunset+0:30`"
            ),
            Self::NotADateTime { found } => write!(
                f,
                "is `{found}`, but must be a local date and time such as `2027-07-03T07:30`, \
                 from the year 1950 to 2150"
            ),
            Self::NotADate { found } => write!(
                f,
                "is `{found}`, but must be a date such as `2027-07-19`, from the year 1950 to 2150"
            ),
            Self::NoSuchZone { found, .. } => write!(
                f,
                "is `{found}`, but must be an IANA time zone such as `Africa/Gaborone`"
            ),
            Self::NoSuchPlace { found, .. } => write!(
                f,
                "is `{found}`, which is none of the built-in places (500 people and more), and has no `lat` and `lon`"
            ),
            Self::NotABearing { found } => write!(
                f,
                "is `{found}`, but must be a compass point such as `NW` or `NNW`, or degrees from 0 to 360"
            ),
            Self::MissingBeside { given } => write!(f, "is missing beside `{given}`"),
            Self::SkippedTime {
                found,
                zone,
                change,
            } => write!(
                f,
                "is `{found}`, which does not exist in {zone}: the clocks jump to {change}"
            ),
            Self::SpreadOrder { min, likely, max } => write!(
                f,
                "has min {}, likely {} and max {}, but must have them in this order",
                figure(*min),
                figure(*likely),
                figure(*max)
            ),
            Self::DoubledId { found, first } => {
                write!(f, "is `{found}`, which is the id of {first} already")
            }
            Self::ReservedId { found } => {
                write!(
                    f,
                    "is `{found}`, a word that the answers use for something else"
                )
            }
            Self::NoSuchEntry { found, wanted, .. } => {
                write!(f, "is `{found}`, but must be {wanted}")
            }
            Self::AmbiguousEntry {
                found,
                entries: [first, second],
            } => write!(
                f,
                "is `{found}`, which is the id of both {first} and {second}"
            ),
            Self::AboveOther {
                found,
                other_key,
                other,
            } => write!(
                f,
                "is {}, but must be at most `{other_key}`, which is {}",
                figure(*found),
                figure(*other)
            ),
            Self::NotForKind {
                kind_key,
                kind,
                belongs_to,
            } => write!(
                f,
                "does not belong to the {kind_key} `{kind}`, but to {belongs_to}"
            ),
            Self::BothGiven { other_key } => {
                write!(
                    f,
                    "is given beside `{other_key}`, but one of the two must be left out"
                )
            }
            Self::SameQuantity { other_key } => {
                write!(
                    f,
                    "is the same quantity as `{other_key}`, and one of the two must be left out"
                )
            }
            Self::NeitherGiven { keys } => {
                write!(
                    f,
                    "has neither {}, but must have one of them",
                    keys.map(|key| format!("`{key}`")).join(" nor ")
                )
            }
            Self::NeedsOther { other_key } => {
                write!(
                    f,
                    "is given without `{other_key}`, but must have it beside it"
                )
            }
            Self::NoHouseBank => {
                write!(
                    f,
                    "has start banks only, but must have at least one house bank"
                )
            }
            Self::NoAlternator => write!(
                f,
                "is fed from the alternator, but the file has no `alternator`"
            ),
            Self::WrongSource {
                found,
                kind,
                allowed,
            } => write!(
                f,
                "is `{found}`, but a {kind} charger is fed from {allowed}"
            ),
            Self::ChargeRing { banks } => {
                write!(
                    f,
                    "closes a ring of banks that charge each other: {}",
                    banks.join(" → ")
                )
            }
            Self::SharesOtherBank {
                charger,
                charges,
                panel_charges,
            } => write!(
                f,
                "is `{charger}`, which charges `{charges}`, but the panel charges `{panel_charges}`"
            ),
            Self::MoreHoursThanWindow {
                hours,
                window_hours,
            } => write!(
                f,
                "is up to {} h a day, but its window holds {} h at most",
                short(*hours),
                short(*window_hours)
            ),
            Self::NeverLive { why } => write!(f, "can never be live: {why}"),
            Self::RatedAboveRunning { rated_w, running_w } => write!(
                f,
                "draws {} W on average, but `running_w` is {}: a compressor cannot run more than \
                 all the time",
                short(*rated_w),
                figure(*running_w)
            ),
            Self::RatedNotWarmer {
                ambient_c,
                inside_c,
            } => write!(
                f,
                "has {ambient_c} °C outside and {inside_c} °C inside, but must be warmer outside"
            ),
            Self::TooManyNights { nights, limit } => {
                write!(f, "have {nights} nights together, but may have {limit}")
            }
            Self::TripTooLong { days, limit } => {
                // Rounded up: 366.04 days are more than 366.
                let days = short((days * 10.0).ceil() / 10.0);
                write!(f, "make a trip of {days} days, but it may have {limit}")
            }
            Self::DoubledMonth { month } => {
                write!(
                    f,
                    "is {month}, but {} is in the table already",
                    month_name(*month)
                )
            }
            Self::MonthsMissing { months } => {
                let names: Vec<&str> = months.iter().map(|month| month_name(*month)).collect();
                write!(f, "lack {}, which the trip touches", names.join(" and "))
            }
            Self::ImpossibleClearness {
                found,
                least,
                most,
                place,
                ..
            } => {
                let found = figure(*found);
                write!(f, "is {found}, but must be from {least:.2} to {most:.2}")?;
                match place {
                    Some(place) => write!(f, " for the sun at {place} in that month"),
                    None => write!(f, ": no month on Earth has had more or less"),
                }
            }
            Self::SunInPolarNight { found, place } => write!(
                f,
                "is {}, but the sun does not rise at {place} in that month",
                figure(*found)
            ),
            Self::ImpossibleClearnessSpread { found, most } => write!(
                f,
                "is {}, but days with this mean cannot spread by more than {most:.2}",
                figure(*found)
            ),
            Self::ImpossibleAutocorrelation(error) => write!(f, "{error}"),
            Self::OutsideBuiltInClimate {
                lat_deg,
                lon_deg,
                nearest_cell_km,
                ..
            } => write!(
                f,
                "stands at {lat_deg}, {lon_deg}, where the built-in climate does not reach: its \
                 nearest cell is {nearest_cell_km:.0} km away, and at most {REACH_KM:.0} km are bridged"
            ),
            Self::NoSeason {
                file,
                block_days,
                season_days,
                date,
            } => write!(
                f,
                "is `{file}`, but it has no {} in a row that begin within {} of {}",
                counted(block_days, "day"),
                counted(season_days, "day"),
                date.format("%-d %B")
            ),
            Self::NoSuchYear { year, why } => write!(f, "is {year}, but {why}"),
            Self::WeatherFile { file, error } => write!(f, "is `{file}`, but {error}"),
            Self::RunToItself { found } => {
                write!(
                    f,
                    "is `{found}`, where the run begins: it must end elsewhere"
                )
            }
            Self::CarriesUntouched {
                found,
                ends: [from, to],
            } => write!(
                f,
                "is `{found}`, whose current does not pass from `{from}` to `{to}`"
            ),
            Self::Unfit { error } => write!(f, "cannot be read: {error}"),
        }
    }
}
