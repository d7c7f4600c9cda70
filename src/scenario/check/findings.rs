//! What the checker writes down: problems, warnings, assumptions, each with its place.

use std::collections::HashSet;
use std::fmt::Display;

use super::super::defaults::Assumption;
use super::super::document::{LineIndex, Node, Span};
use super::super::file::AnySpread;
use super::super::problem::{Fault, Problem};
use super::{Assumed, Topic, Warning};
use crate::scenario::Spread;
use crate::units::{Sentence, sister_of, sister_to};

/// The file under check and the findings so far.
pub(in crate::scenario) struct Findings<'a> {
    pub(super) text: &'a str,
    pub(super) root: &'a Node,
    index: LineIndex,
    pub(super) problems: Vec<Problem>,
    spoiled: HashSet<String>,
    pub(super) warnings: Vec<Warning>,
    pub(in crate::scenario) assumed: Vec<Assumed>,
}

impl<'a> Findings<'a> {
    pub(in crate::scenario) fn new(text: &'a str, root: &'a Node) -> Self {
        Self {
            text,
            root,
            index: LineIndex::new(text),
            problems: Vec::new(),
            spoiled: HashSet::new(),
            warnings: Vec::new(),
            assumed: Vec::new(),
        }
    }

    pub(super) fn locate(&self, byte: usize) -> (usize, usize) {
        self.index.locate(self.text, byte)
    }

    /// Writes down a problem shown at a byte of its own.
    pub(super) fn problem_at(&mut self, path: &str, byte: usize, fault: impl Into<Fault>) {
        self.spoiled.insert(path.to_owned());
        if let Some((above, sister)) = path
            .rsplit_once('/')
            .and_then(|(above, key)| Some((above, sister_of(key)?)))
        {
            self.spoiled.insert(format!("{above}/{}", sister.key));
        }
        let place = self.locate(byte);
        let problem = Problem::new(place, path, self.label(path), fault.into());
        self.problems.push(problem);
    }

    /// Counts a key as given, if not well: it was likely meant by the unknown one at `path`.
    pub(super) fn spoil_beside(&mut self, path: &str, meant: &str) {
        let above = path.rsplit_once('/').map_or("", |(above, _)| above);
        self.spoiled.insert(format!("{above}/{meant}"));
    }

    /// Writes down a problem shown where the path's value begins.
    pub(in crate::scenario) fn problem(&mut self, path: &str, fault: impl Into<Fault>) {
        let path = self.as_written(path);
        let byte = self.span(&path).from;
        self.problem_at(&path, byte, fault);
    }

    /// Whether a problem is known at the path, above it or below it.
    pub(in crate::scenario) fn is_spoiled(&self, path: &str) -> bool {
        let inside = |outer: &str, inner: &str| {
            inner
                .strip_prefix(outer)
                .is_some_and(|rest| rest.is_empty() || rest.starts_with('/'))
        };
        self.spoiled
            .iter()
            .any(|spoiled| inside(spoiled, path) || inside(path, spoiled))
    }

    /// Whether a problem is known at this very path.
    pub(super) fn is_spoiled_itself(&self, path: &str) -> bool {
        self.spoiled.contains(path)
    }

    /// Writes down a doubt about something legal; quantities are marked as [`Sentence::new`] takes them.
    pub(super) fn warn(&mut self, path: &str, text: impl Into<Sentence>) {
        self.warn_of(Topic::Other, path, text);
    }

    /// Writes down a doubt that a run may tell with figures.
    pub(super) fn warn_of(&mut self, topic: Topic, path: &str, text: impl Into<Sentence>) {
        let path = &self.as_written(path);
        let (line, column) = self.locate(self.span(path).from);
        self.warnings.push(Warning {
            topic,
            path: path.to_owned(),
            label: self.label(path),
            text: text.into(),
            line,
            column,
        });
    }

    /// Writes down a value that the file does not give.
    pub(in crate::scenario) fn assume(&mut self, path: &str, value: &dyn Display, reason: &str) {
        self.assumed.push(Assumed {
            path: path.to_owned(),
            value: value.to_string().into(),
            reason: reason.into(),
        });
    }

    /// The given value, or the default, which is written down.
    pub(in crate::scenario) fn or_assumed<T: Display>(
        &mut self,
        path: &str,
        given: Option<T>,
        (value, reason): Assumption<T>,
    ) -> T {
        given.unwrap_or_else(|| {
            self.assume(path, &value, reason);
            value
        })
    }

    /// The same for a spread.
    pub(in crate::scenario) fn spread_or_assumed<S: AnySpread>(
        &mut self,
        path: &str,
        given: Option<&S>,
        default: Assumption<f64>,
    ) -> Spread {
        match given {
            Some(given) => super::spreads::in_order(given.to_spread(), path, self),
            None => Spread::fixed(self.or_assumed(path, None, default)),
        }
    }

    /// Whether the file has something at the path.
    pub(super) fn is_given(&self, path: &str) -> bool {
        self.root.at(path).is_some()
    }

    /// The path with the key that the file has, where it gives the quantity in another unit.
    fn as_written(&self, path: &str) -> String {
        let sister = || {
            let (above, key) = path.rsplit_once('/')?;
            let path = format!("{above}/{}", sister_to(key)?.key);
            self.root.at(&path).map(|_| path)
        };
        let as_asked = || path.to_owned();
        match self.root.at(path) {
            Some(_) => as_asked(),
            None => sister().unwrap_or_else(as_asked),
        }
    }

    /// Where the path's value stands, or that of the nearest thing above it.
    fn span(&self, path: &str) -> Span {
        let mut path = path;
        loop {
            if let Some(node) = self.root.at(path) {
                return node.span;
            }
            path = path.rsplit_once('/').map_or("", |(above, _)| above);
        }
    }

    /// Id or name of the entry that a path goes through.
    fn label(&self, path: &str) -> Option<String> {
        let steps: Vec<&str> = path.split('/').skip(1).collect();
        let (entry, key) = match steps.as_slice() {
            ["itinerary", "legs", index, ..] => (format!("/itinerary/legs/{index}"), "to"),
            ["itinerary", "from", ..] => ("/itinerary/from".to_owned(), "name"),
            ["climate", "months", index, ..] => {
                let month = self.root.at(&format!("/climate/months/{index}/month"))?;
                let raw = self.text.get(month.span.from..month.span.to)?;
                return (raw.len() <= 2).then(|| format!("month {raw}"));
            }
            [list, index, ..] => (format!("/{list}/{index}"), "id"),
            _ => return None,
        };
        let name = self.root.at(&format!("{entry}/{key}"))?.text()?;
        let shown: String = name.chars().take(40).collect();
        Some(shown.escape_debug().to_string()).filter(|name| !name.is_empty())
    }
}
