//! Sizes of a drawing: on the sheet that a screen shows, and on paper.
//!
//! One job: how large letters and boxes are and how far apart, in user units. On paper all letters have one
//! size, and boxes are as wide as their words, so that the drawing is narrow and its letters can be read.

use super::graph::{Label, Node, NodeKind};
use super::symbols::SIGN;
use crate::present::charts::text_size::width_px;
use crate::present::plain_text::wrapped;

/// Sizes of a drawing.
#[derive(Debug, PartialEq)]
pub(super) struct Measure {
    /// Letters of names of boxes, of loads, of details, and beside wires.
    pub(super) name: f64,
    pub(super) load: f64,
    pub(super) detail: f64,
    pub(super) label: f64,
    /// Letters of the foot, the height of its lines, how many samples stand abreast from which width on.
    pub(super) foot: (f64, f64),
    pub(super) abreast: f64,
    /// Distance of neighbouring wires: room for what stands beside them.
    pub(super) pitch: f64,
    /// Height of what stands beside a wire, the wire between.
    pub(super) beside: f64,
    /// What a load's box is lower than the pitch.
    pub(super) load_inset: f64,
    /// From wire to wire that pass one column, besides the pitch.
    pub(super) wire_gap: f64,
    /// Room for a fuse at the end of a wire, and between upright pieces.
    pub(super) fuse_room: f64,
    pub(super) track: f64,
    /// What is left free around, and above the first box.
    pub(super) margin: f64,
    pub(super) head: f64,
    /// Narrower drawings are centred in this: the foot needs the room.
    pub(super) least_width: f64,
    /// Boxes as wide as their words.
    pub(super) is_narrow: bool,
    /// Every word beside a wire on a line of its own.
    pub(super) is_stacked: bool,
}

/// Distance of neighbouring boxes.
pub(super) const BOX_GAP: f64 = 14.0;

/// As `wiring.svg` is drawn.
pub(super) const SHEET: Measure = Measure {
    name: 15.0,
    load: 14.0,
    detail: 12.0,
    label: 13.0,
    foot: (14.0, 21.0),
    abreast: 900.0,
    pitch: 40.0,
    beside: 33.0,
    load_inset: 10.0,
    wire_gap: BOX_GAP,
    fuse_room: 28.0,
    track: 9.0,
    margin: 28.0,
    head: 108.0,
    least_width: 760.0,
    is_narrow: false,
    is_stacked: false,
};

/// Letters on paper.
const LETTER: f64 = 12.0;

/// The widest drawing on paper: across the 184 mm between the margins of A4 its letters are 7 pt high, and so
/// are those of all others, which are centred in it.
pub(super) const PAPER_WIDTH: f64 = 860.0;

/// The same in a width of an A4 side.
pub(super) const PAPER: Measure = Measure {
    name: LETTER,
    load: LETTER,
    detail: LETTER,
    label: LETTER,
    foot: (LETTER, 18.0),
    abreast: 700.0,
    pitch: 35.0,
    beside: 31.0,
    wire_gap: 2.0,
    fuse_room: 26.0,
    track: 7.0,
    margin: 16.0,
    head: 30.0,
    least_width: PAPER_WIDTH,
    is_narrow: true,
    ..SHEET
};

/// Narrower still.
pub(super) const STACKED: Measure = Measure {
    pitch: 76.0,
    beside: 73.0,
    load_inset: 51.0,
    is_stacked: true,
    ..PAPER
};

/// Names go on in a second line from here on.
const NAME_ROOM: f64 = 92.0;
/// The widest box, and the widest of a load.
const WIDEST: (f64, f64) = (152.0, 190.0);
/// Room at both sides of words in a box.
const PADDING: f64 = 7.0;
/// Distance of lines of words over their size.
const LINE: f64 = 1.2;

impl Measure {
    /// What stands over a wire and what under it, line by line.
    pub(super) fn beside(&self, label: &Label) -> [Vec<String>; 2] {
        let fails = if label.fails { "FAILS" } else { "" };
        let below = [fails, &label.below].into_iter();
        let below: Vec<&str> = below.filter(|words| !words.is_empty()).collect();
        let lines = |words: &str| -> Vec<String> {
            let pieces = words.split(if self.is_stacked { " · " } else { "\n" });
            let pieces = pieces.filter(|piece| !piece.is_empty());
            pieces.map(str::to_owned).collect()
        };
        match label.above.split_once(' ') {
            Some((first, rest)) if self.is_narrow && below.is_empty() => {
                [lines(first), lines(rest)]
            }
            _ => [lines(&label.above), lines(&below.join(" · "))],
        }
    }

    /// The widest line beside a wire.
    pub(super) fn beside_width(&self, label: &Label) -> f64 {
        let lines = self.beside(label).into_iter().flatten();
        let widths = lines.map(|line| width_px(&line, self.label, label.fails));
        widths.fold(0.0, f64::max)
    }

    /// From line to line beside a wire.
    pub(super) fn line(&self) -> f64 {
        LINE * self.label
    }

    /// The name in a narrow box that is no load's, broken where it is long.
    pub(super) fn name_lines(&self, node: &Node) -> Vec<String> {
        let width = |line: &str| width_px(&line.replace("- ", "-"), self.name, true);
        let name = wrapped(&node.title.replace('-', "- "), |line| {
            width(line) <= NAME_ROOM
        });
        let name = name.into_iter().map(|line| line.replace("- ", "-"));
        name.collect()
    }

    /// Width of a box.
    pub(super) fn box_width(&self, node: &Node) -> f64 {
        match node.kind {
            _ if self.is_narrow => self.narrow_width(node),
            NodeKind::Block => 92.0,
            NodeKind::Load => 208.0,
            _ => WIDEST.0,
        }
    }

    fn narrow_width(&self, node: &Node) -> f64 {
        let detail = width_px(&node.detail, self.detail, false) + 2.0 * PADDING;
        if node.kind == NodeKind::Load {
            let name = width_px(&node.title, self.load, false);
            return (name + detail + 14.0).min(WIDEST.1);
        }
        let names = self.name_lines(node).into_iter();
        let names = names.map(|line| width_px(&line, self.name, true) + 2.0 * PADDING);
        names.fold(detail, f64::max).min(WIDEST.0)
    }

    /// Least height of a box.
    pub(super) fn least_height(&self, node: &Node) -> f64 {
        if !self.is_narrow {
            return 52.0;
        }
        let lines = self.name_lines(node).into_iter().map(|_| self.line());
        let sign = if node.kind == NodeKind::Block {
            0.0
        } else {
            SIGN + 4.0
        };
        lines.sum::<f64>() + self.line() + sign + 10.0
    }
}
