//! What was assumed, by part of the vehicle and in its names.
//!
//! One job: assumptions that are alike but for their place in one line, lines under the part they belong to, what is
//! doubtful first. What is assumed, and why, is the checker's.

use std::fmt::Write as _;

use crate::scenario::{Assumed, Parts, subject};

/// Names that a line lists at most.
const NAMED: usize = 4;

/// Parts in the order in which they are told: the first step of their paths, and their heading.
const SECTIONS: [(&str, &str); 11] = [
    ("itinerary", "itinerary"),
    ("climate", "climate"),
    ("banks", "banks"),
    ("alternator", "alternator"),
    ("chargers", "chargers"),
    ("solar", "solar"),
    ("loads", "loads"),
    ("inverters", "inverters"),
    ("distribution", "distribution"),
    ("runs", "runs"),
    ("", "the whole"),
];

/// Assumptions with one key, value and reason.
struct Line<'a> {
    first: &'a Assumed,
    /// What they are about, each once.
    names: Vec<String>,
}

impl Line<'_> {
    /// Whether the figure is a guess of ours or from memory: worth finding out first.
    fn is_doubtful(&self) -> bool {
        let reason = &self.first.reason;
        ["(ours", "ours:", "from memory", "Ours"]
            .iter()
            .any(|word| reason.contains(word))
    }

    fn section(&self) -> usize {
        let first = self.first.path.split('/').nth(1).unwrap_or_default();
        let found = SECTIONS.iter().position(|(step, _)| *step == first);
        found.unwrap_or(SECTIONS.len() - 1)
    }

    fn key(&self) -> &str {
        self.first.path.rsplit('/').next().unwrap_or_default()
    }

    /// What it is about, and its key as it is shown: `bank main: resistance_mohm`.
    fn about(&self, key: &str) -> String {
        let [first, others @ ..] = self.names.as_slice() else {
            let one = subject(&self.first.path, None);
            let is_said = one == key || one.ends_with(&key.replace('_', " "));
            return if is_said {
                key.to_owned()
            } else {
                format!("{one}: {key}")
            };
        };
        let mut about = subject(&entry_path(&self.first.path), Some(first));
        // Names of places may hold commas.
        let has_commas = self.names.iter().any(|name| name.contains(','));
        let between = if has_commas { "; " } else { ", " };
        for name in others.iter().take(NAMED - 1) {
            about += between;
            about += name;
        }
        if self.names.len() > NAMED {
            let _ = write!(about, " and {} more", self.names.len() - NAMED);
        }
        format!("{about}: {key}")
    }
}

/// The pointer of the entry that a path goes through.
fn entry_path(path: &str) -> String {
    let steps: Vec<&str> = path.split('/').collect();
    let last = steps.iter().rposition(|step| step.parse::<usize>().is_ok());
    let depth = last.map_or(steps.len().min(3), |at| at + 1);
    steps[..depth].join("/")
}

/// Assumptions under one heading.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AssumedSection {
    /// The part of the vehicle, or that they are doubtful.
    pub heading: &'static str,
    /// What it is about with its key, the value, the reason.
    pub rows: Vec<[String; 3]>,
}

/// The assumptions by part, those first that are worth finding out.
#[must_use]
pub fn assumed_sections(parts: &Parts, assumed: &[Assumed]) -> Vec<AssumedSection> {
    let mut lines: Vec<Line<'_>> = Vec::new();
    for entry in assumed {
        let name = parts.label_at(&entry.path).map(str::to_owned);
        let alike = lines.iter_mut().find(|line| {
            kin(&line.first.path) == kin(&entry.path)
                && line.first.value == entry.value
                && line.first.reason == entry.reason
        });
        match alike {
            Some(line) => line.names.extend(name),
            None => lines.push(Line {
                first: entry,
                names: name.into_iter().collect(),
            }),
        }
    }
    let (doubtful, sure): (Vec<_>, Vec<_>) = lines.iter().partition(|line| line.is_doubtful());
    let row = |line: &&Line<'_>| {
        let value = line.first.value.in_units(parts.units);
        let (key, value) = parts.units.as_written(line.key(), value, 2);
        let reason = line.first.reason.in_units(parts.units).to_owned();
        [line.about(&key), value, reason]
    };
    let first = AssumedSection {
        heading: "doubtful, worth finding out first",
        rows: doubtful.iter().map(row).collect(),
    };
    let by_part = SECTIONS
        .iter()
        .enumerate()
        .map(|(number, (_, heading))| AssumedSection {
            heading,
            rows: sure
                .iter()
                .filter(|line| line.section() == number)
                .map(row)
                .collect(),
        });
    let all = std::iter::once(first).chain(by_part);
    all.filter(|section| !section.rows.is_empty()).collect()
}

/// A path without its numbers, so that `/banks/0/role` and `/banks/1/role` are alike.
fn kin(path: &str) -> String {
    path.split('/')
        .filter(|step| step.parse::<usize>().is_err())
        .collect::<Vec<_>>()
        .join("/")
}
