//! Words and figures as people type them, and what a scenario file has in their place.
//!
//! One job: the very text to write. Nothing here is accepted in place of what the format asks.

use chrono::{NaiveDate, NaiveTime};

use crate::units::{Awg, Measured, Unit, sister_to, tidy};

/// What batteries are called, in letters alone and lower case, and what to write.
const CHEMISTRIES: [(&[&str], &str); 4] = [
    (
        &[
            "lithium",
            "li",
            "lfp",
            "lifepo",
            "lifepo4",
            "lithiumironphosphate",
            "lithiumiron",
        ],
        "write \"lfp\", lithium iron phosphate (LiFePO4)",
    ),
    (
        &["liion", "lithiumion", "nmc", "lipo", "lithiumpolymer"],
        "write \"lfp\" if it is lithium iron phosphate (LiFePO4); no other lithium chemistry is modelled",
    ),
    (
        &[
            "leadacid",
            "lead",
            "pb",
            "wet",
            "sla",
            "vrla",
            "sealed",
            "sealedleadacid",
            "floodedleadacid",
        ],
        "write \"flooded\" for lead-acid with caps to top up, \"agm\" or \"gel\" for a sealed one",
    ),
    (&["calcium", "efb", "starter"], "write \"flooded\""),
];

/// Abbreviations of time zones, and a zone that is known by them. What is one of both the abbreviation
/// and a legal but summerless zone counts as the abbreviation.
///
/// # Source
/// The IANA time zone database, abbreviations in force in 2026.
const ABBREVIATIONS: [(&str, &str); 27] = [
    ("EST", "America/New_York"),
    ("EDT", "America/New_York"),
    ("CST", "America/Chicago"),
    ("CDT", "America/Chicago"),
    ("MST", "America/Denver"),
    ("MDT", "America/Denver"),
    ("PST", "America/Los_Angeles"),
    ("PDT", "America/Los_Angeles"),
    ("AKST", "America/Anchorage"),
    ("AKDT", "America/Anchorage"),
    ("HST", "Pacific/Honolulu"),
    ("AST", "America/Halifax"),
    ("ADT", "America/Halifax"),
    ("NST", "America/St_Johns"),
    ("BST", "Europe/London"),
    ("CEST", "Europe/Berlin"),
    ("EEST", "Europe/Athens"),
    ("SAST", "Africa/Johannesburg"),
    ("CAT", "Africa/Maputo"),
    ("EAT", "Africa/Nairobi"),
    ("AWST", "Australia/Perth"),
    ("ACST", "Australia/Adelaide"),
    ("ACDT", "Australia/Adelaide"),
    ("AEST", "Australia/Sydney"),
    ("AEDT", "Australia/Sydney"),
    ("NZST", "Pacific/Auckland"),
    ("NZDT", "Pacific/Auckland"),
];

/// What to write for a word that is none of the allowed ones.
pub(in crate::scenario) fn typed_word(text: &str, allowed: &[String]) -> Option<String> {
    let bare: String = text.chars().filter(|c| c.is_alphanumeric()).collect();
    let bare = bare.to_lowercase();
    if allowed.iter().any(|word| word == "lfp")
        && let Some((_, hint)) = CHEMISTRIES
            .iter()
            .find(|(names, _)| names.contains(&bare.as_str()))
    {
        return Some((*hint).to_owned());
    }
    let plain = |word: &str| {
        word.chars()
            .filter(|c| c.is_alphanumeric())
            .collect::<String>()
    };
    let same = allowed
        .iter()
        .find(|word| plain(word).to_lowercase() == bare);
    same.map(|word| format!("write \"{word}\""))
}

/// The zone that an abbreviation stands for.
pub(in crate::scenario) fn typed_zone(text: &str) -> Option<&'static str> {
    let upper = text.trim().to_uppercase();
    let found = ABBREVIATIONS.iter().find(|(name, _)| *name == upper);
    found.map(|(_, zone)| *zone)
}

/// A time of day as the format has it, from one with am or pm, without colon, or in words.
pub(in crate::scenario) fn typed_time(text: &str) -> Option<String> {
    let lower = text.trim().to_lowercase();
    match lower.as_str() {
        "noon" | "midday" => return Some("12:00".to_owned()),
        "midnight" => return Some("00:00".to_owned()),
        _ => {}
    }
    let digits_end = lower
        .find(|c: char| !(c.is_ascii_digit() || ":.h".contains(c)))
        .unwrap_or(lower.len());
    let (figure, rest) = lower.split_at(digits_end);
    let half = rest.replace(['.', ' '], "");
    let (hours, minutes) = match figure.split_once([':', '.', 'h']) {
        Some((hours, "")) => (hours, "00"),
        Some((hours, minutes)) => (hours, minutes.get(..2)?),
        None if figure.len() > 2 => figure.split_at(figure.len() - 2),
        None => (figure, "00"),
    };
    let (hours, minutes): (u32, u32) = (hours.parse().ok()?, minutes.parse().ok()?);
    let hours = match half.as_str() {
        "am" | "a" if (1..=12).contains(&hours) => hours % 12,
        "pm" | "p" if (1..=12).contains(&hours) => hours % 12 + 12,
        // A bare `5` may be morning or evening, hours or minutes.
        "" | "uhr" | "hrs" | "hours" if figure.len() > 2 => hours,
        _ => return None,
    };
    NaiveTime::from_hms_opt(hours, minutes, 0).map(|time| time.format("%H:%M").to_string())
}

/// What to write for a date and time in another form.
pub(in crate::scenario) fn typed_date_time(text: &str) -> Option<String> {
    let text = text.trim();
    let end = text.find([' ', 'T', 't', ',']).unwrap_or(text.len());
    let (date, rest) = text.split_at(end);
    let rest = rest.trim_start_matches([' ', 'T', 't', ',']);
    let in_zone = rest.find(['Z', 'z', '+']).or_else(|| rest.rfind('-'));
    let time = in_zone.map_or(rest, |at| rest.split_at(at).0).trim();
    let time = match time {
        "" => None,
        time => Some(clock(time).or_else(|| typed_time(time))?),
    };
    let whole = |date: NaiveDate| {
        let time = time.clone().unwrap_or_else(|| "08:00".to_owned());
        format!("\"{}T{time}\"", date.format("%Y-%m-%d"))
    };
    let after = match (&time, in_zone) {
        (None, _) => ", with your own time of day",
        (_, Some(_)) => ": local time, the zone is `time_zone`'s",
        _ => "",
    };
    let parts: Option<Vec<u32>> = date
        .split(['-', '/', '.'])
        .map(|part| part.parse().ok())
        .collect();
    let &[first, second, third] = parts?.as_slice() else {
        return None;
    };
    let date =
        |year: u32, month, day| NaiveDate::from_ymd_opt(i32::try_from(year).ok()?, month, day);
    if first > 31 {
        return date(first, second, third).map(|date| format!("write {}{after}", whole(date)));
    }
    match (date(third, first, second), date(third, second, first)) {
        (Some(month_first), Some(day_first)) if month_first != day_first => Some(format!(
            "write {} if the month stands first, {} if the day does{after}",
            whole(month_first),
            whole(day_first)
        )),
        (Some(date), _) | (None, Some(date)) => Some(format!("write {}{after}", whole(date))),
        (None, None) => None,
    }
}

/// `H:MM` or `HH:MM` as it should be.
fn clock(text: &str) -> Option<String> {
    let time =
        NaiveTime::parse_from_str(text, "%H:%M").or(NaiveTime::parse_from_str(text, "%H:%M:%S"));
    time.ok().map(|time| time.format("%H:%M").to_string())
}

/// What to write for a figure with its unit in the place of a number; `key` is that of the number.
pub(in crate::scenario) fn typed_measure(text: &str, key: &str) -> Option<String> {
    if let Some(gauge) = Awg::parse(text) {
        return (key.ends_with("mm2")).then(|| {
            format!(
                "write {} for {gauge}, its area in mm²",
                tidy(gauge.area_mm2())
            )
        });
    }
    let found = Measured::parse(text)?;
    let shown = format!("{} {}", tidy(found.value), found.unit.symbol);
    let wants = Unit::of_key(key).unwrap_or(Unit::named("share")?);
    let Some(value) = found.unit.to(wants, found.value) else {
        let is_told = !wants.symbol.is_empty();
        return is_told
            .then(|| format!("{} is asked here, not {}", wants.symbol, found.unit.symbol));
    };
    if found.unit == wants {
        return Some(format!("write {} without the unit", tidy(value)));
    }
    let sister = sister_to(key).filter(|sister| sister.to == found.unit);
    let or = sister.map_or_else(String::new, |sister| {
        format!(
            ", or \"{}\": {} in its place",
            sister.key,
            tidy(found.value)
        )
    });
    Some(format!("write {} for {shown}{or}", tidy(value)))
}

/// What to write for a key that is a known one in another unit; `value` is the number it has.
pub(in crate::scenario) fn typed_key(
    key: &str,
    value: Option<f64>,
    known: &[String],
) -> Option<(String, String)> {
    let word = key.split("_per_").next()?.rsplit('_').next()?;
    let unit = Unit::named(word)?;
    let stem = key.strip_suffix(word)?;
    known.iter().find_map(|other| {
        let wants = Unit::of_key(other)?;
        let tail = other.strip_prefix(stem)?;
        if Unit::named(tail) != Some(wants) {
            return None;
        }
        let Some(change) = unit.to(wants, value.unwrap_or(1.0)) else {
            return Some((
                other.clone(),
                format!(
                    "did you mean `{other}`? It is in {}, not in {}",
                    wants.symbol, unit.symbol
                ),
            ));
        };
        let told = match value {
            Some(value) => format!(
                "write \"{other}\": {} for {} {}",
                tidy(change),
                tidy(value),
                unit.symbol
            ),
            None => format!("write `{other}`, in {}", wants.symbol),
        };
        Some((other.clone(), told))
    })
}
