//! The packed table of places and how it is read.
//!
//! One job: `places.bin` to places, block by block. What a name means is in `name`, the packing
//! step in `tests/pack_places.rs`.
//!
//! The file begins with the length of its head (four bytes, least first), then the head, a raw
//! deflate stream of text lines, then the blocks, a raw deflate stream each. Lines of the head:
//! `c CODE NAME` a country, `r CODE REGION ZONE,ZONE… NAME` a region with its zones, commonest
//! first, `b BYTES KEY` a block with its packed length and the key of its first place; fields are
//! parted by tabs. Places are sorted by key (`fold`), of equal keys the one with most people first.
//! A block holds its number of places (two bytes, least first), then planes of one byte a place,
//! region (two), zone within the region, latitude and longitude (two each, in steps of 0.01° from
//! 90° S and 180° W; the more significant plane first), then the names, a line each.

use std::sync::OnceLock;

use miniz_oxide::inflate::decompress_to_vec;

use super::bearing::Bearing;
use super::fold::folded;
use super::regions::letters_and_name;
use crate::sky::distance::great_circle_km;

static TABLE: &[u8] = include_bytes!("places.bin");

const PLANES: usize = 7;
/// One step of a packed latitude or longitude, °.
const STEP_DEG: f64 = 0.01;

/// A place of the table.
#[derive(Debug, Clone, PartialEq)]
pub struct KnownPlace {
    /// Its name, in Latin letters with their accents.
    pub name: String,
    /// Its country, ISO 3166-1 alpha-2.
    pub country: &'static str,
    /// Its country's name in English.
    pub country_name: &'static str,
    /// Letters of its region, or the table's number for it; empty where it has none.
    pub region: &'static str,
    /// Name of its region, where known, else empty.
    pub region_name: &'static str,
    /// North positive, within 0.005°.
    pub lat_deg: f64,
    /// East positive, within 0.005°.
    pub lon_deg: f64,
    /// IANA name of its time zone.
    pub zone: &'static str,
}

impl KnownPlace {
    /// The shortest name that tells it from places elsewhere: `Tok, AK, US`; `Maun, BW`. Regions
    /// that have only a number are left out.
    #[must_use]
    pub fn full_name(&self) -> String {
        if self.region_name.is_empty() {
            format!("{}, {}", self.name, self.country)
        } else {
            format!("{}, {}, {}", self.name, self.region, self.country)
        }
    }

    /// A point by the way to it from here: `12 km NW of Maun, BW`; from within a kilometre the name alone.
    #[must_use]
    pub fn way_to(&self, lat_deg: f64, lon_deg: f64) -> String {
        let km = self.distance_km(lat_deg, lon_deg).round();
        if km < 1.0 {
            return self.full_name();
        }
        let bearing = Bearing::from_to((self.lat_deg, self.lon_deg), (lat_deg, lon_deg));
        format!("{km} km {} of {}", bearing.point(), self.full_name())
    }

    /// Great-circle distance to a point, km.
    #[must_use]
    pub fn distance_km(&self, lat_deg: f64, lon_deg: f64) -> f64 {
        great_circle_km((self.lat_deg, self.lon_deg), (lat_deg, lon_deg))
    }
}

struct Region {
    country: &'static str,
    country_name: &'static str,
    letters: &'static str,
    name: &'static str,
    zones: Vec<&'static str>,
}

struct Block {
    first_key: &'static str,
    packed: &'static [u8],
    places: OnceLock<Vec<KnownPlace>>,
}

struct Head {
    regions: Vec<Region>,
    blocks: Vec<Block>,
}

fn head() -> &'static Head {
    static HEAD: OnceLock<Head> = OnceLock::new();
    HEAD.get_or_init(|| read_head().expect("the table is embedded and tested whole"))
}

fn read_head() -> Option<Head> {
    let (length, rest) = TABLE.split_first_chunk::<4>()?;
    let (packed, mut blocks_bytes) = rest.split_at_checked(u32::from_le_bytes(*length) as usize)?;
    // The head lives as long as the program: what is read from it can be borrowed from it.
    let text: &'static str = String::from_utf8(decompress_to_vec(packed).ok()?)
        .ok()?
        .leak();
    let mut countries: Vec<(&str, &str)> = Vec::new();
    let mut regions = Vec::new();
    let mut blocks = Vec::new();
    for line in text.lines() {
        let mut fields = line.split('\t');
        let kind = fields.next()?;
        let (first, second) = (fields.next()?, fields.next()?);
        match kind {
            "c" => countries.push((first, second)),
            "r" => {
                let (zones, given_name) = (fields.next()?, fields.next()?);
                let known = letters_and_name(first, second);
                let country = countries.iter().find(|country| country.0 == first)?;
                regions.push(Region {
                    country: country.0,
                    country_name: country.1,
                    letters: known.map_or(second, |known| known.0),
                    name: known.map_or(given_name, |known| known.1),
                    zones: zones.split(',').collect(),
                });
            }
            _ => {
                let (packed, rest) = blocks_bytes.split_at_checked(first.parse().ok()?)?;
                blocks_bytes = rest;
                blocks.push(Block {
                    first_key: second,
                    packed,
                    places: OnceLock::new(),
                });
            }
        }
    }
    Some(Head { regions, blocks })
}

impl Block {
    fn places(&self, head: &Head) -> &[KnownPlace] {
        self.places.get_or_init(|| {
            read_block(self.packed, &head.regions).expect("the table is embedded and tested whole")
        })
    }
}

fn read_block(packed: &[u8], regions: &[Region]) -> Option<Vec<KnownPlace>> {
    let bytes = decompress_to_vec(packed).ok()?;
    let (count, rest) = bytes.split_first_chunk::<2>()?;
    let count = usize::from(u16::from_le_bytes(*count));
    let (planes, names) = rest.split_at_checked(count * PLANES)?;
    let plane = |number: usize, at: usize| usize::from(planes[number * count + at]);
    let wide = |number: usize, at: usize| plane(number, at) << 8 | plane(number + 1, at);
    std::str::from_utf8(names)
        .ok()?
        .lines()
        .take(count)
        .enumerate()
        .map(|(at, name)| {
            let region = regions.get(wide(0, at))?;
            Some(KnownPlace {
                name: name.to_owned(),
                country: region.country,
                country_name: region.country_name,
                region: region.letters,
                region_name: region.name,
                lat_deg: degrees(wide(3, at), -90.0),
                lon_deg: degrees(wide(5, at), -180.0),
                zone: region.zones.get(plane(2, at))?,
            })
        })
        .collect()
}

/// Steps from the table's edge as degrees, rounded as a person would write them.
fn degrees(steps: usize, edge_deg: f64) -> f64 {
    #[expect(clippy::cast_precision_loss, reason = "two bytes")]
    let hundredths = steps as f64 + edge_deg / STEP_DEG;
    hundredths.round() / 100.0
}

/// Every place whose key is that of `name`, those with more people first.
pub(super) fn of_key(name: &str) -> impl Iterator<Item = &'static KnownPlace> {
    let key = folded(name);
    from_key(key.clone()).take_while(move |place| folded(&place.name) == key)
}

/// Every place from the first whose key is not less than `key`, in the order of keys.
pub(super) fn from_key(key: String) -> impl Iterator<Item = &'static KnownPlace> {
    let head = head();
    // Equal keys may begin in the block before the first one whose first key is not less.
    let from = head
        .blocks
        .partition_point(|block| block.first_key < key.as_str())
        .saturating_sub(1);
    head.blocks[from..].iter().flat_map(move |block| {
        let places = block.places(head);
        let first = places.partition_point(|place| folded(&place.name) < key);
        &places[first..]
    })
}

/// Every place of the table, by key. The first call unpacks all of it.
pub(super) fn all() -> impl Iterator<Item = &'static KnownPlace> {
    let head = head();
    head.blocks.iter().flat_map(|block| block.places(head))
}

/// The country of a code or an English name, as its code.
pub(super) fn country_code(text: &str) -> Option<&'static str> {
    let key = folded(text);
    let is_it =
        |region: &&Region| folded(region.country) == key || folded(region.country_name) == key;
    head()
        .regions
        .iter()
        .find(is_it)
        .map(|region| region.country)
}

/// The place of the table nearest to a point, with its distance in km. Looks through the whole table.
#[must_use]
pub fn nearest(lat_deg: f64, lon_deg: f64) -> Option<(&'static KnownPlace, f64)> {
    // A degree of latitude is more than this: whatever lies further north or south alone is not looked at.
    const DEGREE_KM: f64 = 111.0;
    let mut best: Option<(&KnownPlace, f64)> = None;
    for place in all() {
        let near_km = best.map_or(f64::INFINITY, |(_, km)| km);
        if DEGREE_KM * (place.lat_deg - lat_deg).abs() < near_km {
            let km = place.distance_km(lat_deg, lon_deg);
            if km < near_km {
                best = Some((place, km));
            }
        }
    }
    best
}
