//! The packing step of the built-in places, and the proof that what is embedded is the table.
//!
//! One job: `tests/reference/places/*` to `src/places/places.bin`. The tests compare; to write the
//! file anew after a change of the table or of the layout (described in `src/places/packed.rs`):
//!
//! ```text
//! PACK_PLACES=1 cargo test --test pack_places
//! ```

#![expect(clippy::unwrap_used, reason = "a test fails by panicking")]

use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::path::{Path, PathBuf};

use miniz_oxide::deflate::compress_to_vec;
use miniz_oxide::inflate::decompress_to_vec;
use tideover::places::{find, folded};

/// Places in a block: fewer pack worse, more take longer to look into.
const BLOCK: usize = 1024;

struct Row {
    key: String,
    name: String,
    country: String,
    region: String,
    lat: f64,
    lon: f64,
    people: u64,
    zone: String,
}

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).to_owned()
}

/// Places by key, of equal keys the one with most people first.
fn rows() -> Vec<Row> {
    let bytes = std::fs::read(root().join("tests/reference/places/places.csv.gz")).unwrap();
    // RFC 1952: ten bytes of header without a name, deflate, eight bytes of trailer.
    assert_eq!(bytes[..4], [0x1f, 0x8b, 8, 0], "gzip header");
    let text = decompress_to_vec(&bytes[10..bytes.len() - 8]).unwrap();
    let mut rows: Vec<Row> = csv::Reader::from_reader(text.as_slice())
        .records()
        .map(|row| {
            let row = row.unwrap();
            Row {
                key: folded(&row[0]),
                name: row[0].to_owned(),
                country: row[1].to_owned(),
                region: row[2].to_owned(),
                lat: row[3].parse().unwrap(),
                lon: row[4].parse().unwrap(),
                people: row[5].parse().unwrap(),
                zone: row[6].to_owned(),
            }
        })
        .collect();
    rows.sort_by(|a, b| a.key.cmp(&b.key).then(b.people.cmp(&a.people)));
    rows
}

/// Names of countries (empty region) and regions, by their codes.
fn region_names() -> BTreeMap<(String, String), String> {
    csv::Reader::from_path(root().join("tests/reference/places/regions.csv"))
        .unwrap()
        .records()
        .map(|row| {
            let row = row.unwrap();
            ((row[0].to_owned(), row[1].to_owned()), row[2].to_owned())
        })
        .collect()
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "whole, from 0 to 36,000"
)]
fn steps(degrees: f64, edge_deg: f64) -> u16 {
    ((degrees - edge_deg) * 100.0).round() as u16
}

fn packed(rows: &[Row]) -> Vec<u8> {
    let names = region_names();
    // Zones of a region by how many places keep each, the commonest first.
    let mut zones: BTreeMap<(&str, &str), BTreeMap<&str, usize>> = BTreeMap::new();
    for row in rows {
        let counts = zones.entry((&row.country, &row.region)).or_default();
        *counts.entry(&row.zone).or_default() += 1;
    }
    let zones: BTreeMap<(&str, &str), Vec<&str>> = zones
        .into_iter()
        .map(|(region, counts)| {
            let mut counts: Vec<(&str, usize)> = counts.into_iter().collect();
            counts.sort_by(|a, b| b.1.cmp(&a.1).then(a.0.cmp(b.0)));
            (region, counts.into_iter().map(|count| count.0).collect())
        })
        .collect();
    let order: BTreeMap<(&str, &str), u16> = zones.keys().copied().zip(0..).collect();
    let mut head = String::new();
    let mut country = "";
    for (region, zones) in &zones {
        if region.0 != country {
            country = region.0;
            writeln!(
                head,
                "c\t{country}\t{}",
                names[&(country.to_owned(), String::new())]
            )
            .unwrap();
        }
        let name = names.get(&(region.0.to_owned(), region.1.to_owned()));
        let name = name.map_or("", String::as_str);
        writeln!(
            head,
            "r\t{}\t{}\t{}\t{name}",
            region.0,
            region.1,
            zones.join(",")
        )
        .unwrap();
    }
    let mut blocks = Vec::new();
    for block in rows.chunks(BLOCK) {
        let region = |row: &Row| order[&(row.country.as_str(), row.region.as_str())].to_be_bytes();
        let zone = |row: &Row| {
            let zones = &zones[&(row.country.as_str(), row.region.as_str())];
            u8::try_from(zones.iter().position(|zone| *zone == row.zone).unwrap()).unwrap()
        };
        let lat = |row: &Row| steps(row.lat, -90.0).to_be_bytes();
        let lon = |row: &Row| steps(row.lon, -180.0).to_be_bytes();
        let mut bytes = u16::try_from(block.len()).unwrap().to_le_bytes().to_vec();
        bytes.extend(block.iter().map(|row| region(row)[0]));
        bytes.extend(block.iter().map(|row| region(row)[1]));
        bytes.extend(block.iter().map(zone));
        bytes.extend(block.iter().map(|row| lat(row)[0]));
        bytes.extend(block.iter().map(|row| lat(row)[1]));
        bytes.extend(block.iter().map(|row| lon(row)[0]));
        bytes.extend(block.iter().map(|row| lon(row)[1]));
        for row in block {
            bytes.extend_from_slice(row.name.as_bytes());
            bytes.push(b'\n');
        }
        let bytes = compress_to_vec(&bytes, 10);
        writeln!(head, "b\t{}\t{}", bytes.len(), block[0].key).unwrap();
        blocks.extend(bytes);
    }
    let head = compress_to_vec(head.as_bytes(), 10);
    let mut file = u32::try_from(head.len()).unwrap().to_le_bytes().to_vec();
    file.extend(head);
    file.extend(blocks);
    file
}

/// Packs anew where asked to; else every place of the table is found by its own name, where and in
/// which zone the table has it.
#[test]
fn outside_every_place_of_the_table_is_found_as_it_stands_there() {
    let rows = rows();
    assert_eq!(rows.len(), 234_908);
    if std::env::var_os("PACK_PLACES").is_some() {
        std::fs::write(root().join("src/places/places.bin"), packed(&rows)).unwrap();
        return;
    }
    // Equal keys lie side by side: each key is looked up once.
    for alike in rows.chunk_by(|a, b| a.key == b.key) {
        let found = find(&alike[0].name);
        assert_eq!(found.len(), alike.len(), "{}", alike[0].name);
        for row in alike {
            let is_it = |place: &&&tideover::places::KnownPlace| {
                place.name == row.name
                    && place.country == row.country
                    && place.zone == row.zone
                    && (place.lat_deg - row.lat).abs() < 1e-9
                    && (place.lon_deg - row.lon).abs() < 1e-9
            };
            assert!(
                found.iter().any(|place| is_it(&place)),
                "{} {}",
                row.name,
                row.country
            );
        }
    }
}
