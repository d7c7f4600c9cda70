//! Faults for files: a seeded generator, and what it does to JSON trees and to lines of text.
//!
//! One job: from a sound file to a broken, odd or extreme one. What the program makes of it is
//! looked at in `fuzz_files.rs`.

#![allow(
    dead_code,
    unreachable_pub,
    reason = "each test file uses a part of it"
)]

use serde_json::{Map, Value, json};

/// A plain generator: one seed, one file.
#[derive(Debug)]
pub struct Dice(u64);

impl Dice {
    pub fn new(seed: u64) -> Self {
        Self(seed.wrapping_mul(0x2545_F491_4F6C_DD1D) ^ 0x1234_5678)
    }

    pub fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// From 0 to `below` − 1.
    pub fn below(&mut self, below: usize) -> usize {
        usize::try_from(self.next() % u64::try_from(below.max(1)).expect("64 bits"))
            .expect("64 bits")
    }

    pub fn pick<'a, T>(&mut self, of: &'a [T]) -> &'a T {
        &of[self.below(of.len())]
    }

    pub fn one_in(&mut self, several: usize) -> bool {
        self.below(several) == 0
    }
}

/// Numbers at which formulas break.
const EXTREMES: [&str; 26] = [
    "0",
    "-0.0",
    "1",
    "-1",
    "0.5",
    "1e-300",
    "5e-324",
    "1e-9",
    "0.999999999",
    "1.0000001",
    "90",
    "-90",
    "180",
    "366",
    "367",
    "400",
    "1e4",
    "1e9",
    "1e308",
    "-1e308",
    "9007199254740991",
    "9007199254740993",
    "18446744073709551616",
    "1.7976931348623157e308",
    "1e-20",
    "2150",
];

/// Words that are something else, or nothing, in this file or another.
const WORDS: [&str; 30] = [
    "",
    " ",
    "always",
    "ignition",
    "parked",
    "flat",
    "portable",
    "sunrise",
    "sunset-12:00",
    "sunset+0:30",
    "24:00",
    "00:00",
    "25:61",
    "lfp",
    "flooded",
    "start",
    "house",
    "starter",
    "alternator",
    "mains",
    "dc-dc",
    "Europe/Oslo",
    "Pacific/Apia",
    "2027-03-28T02:30",
    "9999-12-31T23:59",
    "\u{0}",
    "\u{202e}evil\u{200b}",
    "🦘🔋",
    "e\u{301}\u{fffd}",
    "/../~0~1",
];

fn extreme(dice: &mut Dice) -> Value {
    serde_json::from_str(EXTREMES[dice.below(EXTREMES.len())]).unwrap_or(json!(0))
}

/// Any value, of any type.
fn odd(dice: &mut Dice) -> Value {
    match dice.below(9) {
        0 => Value::Null,
        1 => json!(dice.one_in(2)),
        2 | 3 => extreme(dice),
        4 | 5 => json!(dice.pick(&WORDS)),
        6 => json!([]),
        7 => json!({}),
        _ => json!({ "min": extreme(dice), "likely": extreme(dice), "max": extreme(dice) }),
    }
}

/// Paths to all nodes but the root.
fn paths(value: &Value, path: &str, into: &mut Vec<String>) {
    let mut visit = |key: &str, child: &Value| {
        let path = format!("{path}/{}", key.replace('~', "~0").replace('/', "~1"));
        paths(child, &path, into);
        into.push(path);
    };
    match value {
        Value::Object(map) => map.iter().for_each(|(key, child)| visit(key, child)),
        Value::Array(list) => list
            .iter()
            .enumerate()
            .for_each(|(index, child)| visit(&index.to_string(), child)),
        _ => {}
    }
}

/// Moves one number by a factor: most results are sound still.
pub fn nudge(dice: &mut Dice, root: &mut Value) {
    const FACTORS: [f64; 8] = [0.0, 1e-6, 0.1, 0.5, 0.99, 2.0, 10.0, 1000.0];
    let mut all = Vec::new();
    paths(root, "", &mut all);
    let numbers: Vec<&String> = all
        .iter()
        .filter(|path| root.pointer(path).is_some_and(Value::is_number))
        .collect();
    let path = (*dice.pick(&numbers)).clone();
    let node = root.pointer_mut(&path).expect("just seen");
    let moved = node.as_f64().unwrap_or(0.0) * dice.pick(&FACTORS);
    *node = if dice.one_in(4) {
        extreme(dice)
    } else if moved.fract().abs() < 1e-12 && moved.abs() < 1e6 {
        #[expect(clippy::cast_possible_truncation, reason = "whole and small")]
        let whole = moved as i64;
        json!(whole)
    } else {
        json!(moved)
    };
}

/// One fault somewhere in the tree.
pub fn spoil(dice: &mut Dice, root: &mut Value) {
    let mut all = Vec::new();
    paths(root, "", &mut all);
    if all.is_empty() {
        *root = odd(dice);
        return;
    }
    let path = dice.pick(&all).clone();
    let other = root.pointer(&all[dice.below(all.len())]).cloned();
    let (parent, key) = path.rsplit_once('/').expect("paths begin with a stroke");
    let key = key.replace("~1", "/").replace("~0", "~");
    let act = dice.below(10);
    let value = odd(dice);
    match root.pointer_mut(parent) {
        Some(Value::Object(map)) => spoil_object(dice, act, map, &key, value, other),
        Some(Value::Array(list)) => {
            let index: usize = key.parse().unwrap_or(0);
            match act {
                0 => drop(list.remove(index)),
                1 => {
                    let copy = list[index].clone();
                    list.insert(index, copy);
                }
                2 if dice.one_in(6) => {
                    let copy = list[index].clone();
                    list.extend(std::iter::repeat_n(copy, 450));
                }
                3 => list.reverse(),
                4 => list[index] = other.unwrap_or(Value::Null),
                _ => list[index] = value,
            }
        }
        _ => {}
    }
}

fn spoil_object(
    dice: &mut Dice,
    act: usize,
    map: &mut Map<String, Value>,
    key: &str,
    value: Value,
    other: Option<Value>,
) {
    let old = map.get(key).cloned().unwrap_or(Value::Null);
    match act {
        0 => drop(map.shift_remove(key)),
        1 => {
            let mut name = key.to_owned();
            name.push_str(["s", "_", "é", ""][dice.below(4)]);
            map.insert(name, old);
        }
        2 => {
            let kept: Vec<(String, Value)> = std::mem::take(map).into_iter().collect();
            map.extend(kept.into_iter().rev());
        }
        3 => {
            let deep = (0..dice.below(200)).fold(old, |inner, _| json!([inner]));
            map.insert(key.to_owned(), deep);
        }
        4 => {
            map.insert(key.to_owned(), other.unwrap_or(Value::Null));
        }
        5 | 6 => {
            map.insert(key.to_owned(), extreme(dice));
        }
        _ => {
            map.insert(key.to_owned(), value);
        }
    }
}

/// One fault in the text itself, where trees cannot have it.
pub fn tear(dice: &mut Dice, text: &str) -> String {
    let mut characters: Vec<char> = text.chars().collect();
    let at = dice.below(characters.len() + 1);
    match dice.below(8) {
        0 => characters.truncate(at),
        1 => drop(characters.splice(at..at, "[{\"a\":".repeat(4000).chars())),
        2 => drop(characters.splice(at..at, "\u{feff}\u{0}\r\n".chars())),
        3 => drop(characters.splice(at..at, "\"id\": \"x\", ".chars())),
        4 => drop(characters.splice(at..at, "9".repeat(400).chars())),
        5 => drop(characters.splice(at..at, "\\ud800\\u0000".chars())),
        6 => {
            let end = (at + 1 + dice.below(30)).min(characters.len());
            characters.drain(at.min(end)..end);
        }
        _ => return text.replace('\n', "\r\n").replacen('{', "\u{feff}{", 1),
    }
    characters.into_iter().collect()
}

/// One fault in a table of lines and commas; bytes, as it need not be text any more.
pub fn spoil_table(dice: &mut Dice, text: &str) -> Vec<u8> {
    let mut lines: Vec<String> = text.lines().map(str::to_owned).collect();
    for _ in 0..=dice.below(3) {
        let line = if dice.one_in(3) {
            dice.below(lines.len().min(3))
        } else {
            dice.below(lines.len())
        };
        let mut fields: Vec<String> = lines[line].split(',').map(str::to_owned).collect();
        let field = dice.below(fields.len());
        match dice.below(9) {
            0 => drop(lines.remove(line)),
            1 => {
                let copy = lines[line].clone();
                lines.insert(line, copy);
            }
            2 => lines.truncate(line + 1),
            3 => {
                let other = dice.below(lines.len());
                lines.swap(line, other);
            }
            4 => {
                fields.remove(field);
                lines[line] = fields.join(",");
            }
            5 => {
                let odd = ["NaN", "inf", "-", "", "\"", "1e999", "２", "-9999"];
                fields[field] = odd[dice.below(odd.len())].into();
                lines[line] = fields.join(",");
            }
            6 => {
                fields[field] = EXTREMES[dice.below(EXTREMES.len())].into();
                lines[line] = fields.join(",");
            }
            7 => lines[line] = lines[line].repeat(1 + dice.below(300)),
            _ => {
                let other = dice.below(fields.len());
                fields.swap(field, other);
                lines[line] = fields.join(",");
            }
        }
        if lines.is_empty() {
            break;
        }
    }
    let mut bytes = lines
        .join(if dice.one_in(4) { "\r\n" } else { "\n" })
        .into_bytes();
    if dice.one_in(6) && !bytes.is_empty() {
        let at = dice.below(bytes.len());
        bytes[at] = u8::try_from(dice.below(256)).expect("a byte");
    }
    bytes
}
