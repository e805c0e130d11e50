//! A sheet of a drawing once it is laid out: rows of a symbol with its words, and the strands between them. What stands
//! where is decided in `layout`, what it looks like in `figure`.

use super::super::page::harmless;
use super::letters::{Weight, wrap};
use super::{Label, Whose};
use crate::circuit::path::Return;
use crate::job::Looks;
use crate::value::colour::Colour;

/// The middle of the first lane.
pub(super) const FIRST: i32 = 24;
/// From the line out to the line back beside it.
pub(super) const BESIDE: i32 = 14;
/// What is left free at the right edge.
pub(super) const EDGE: i32 = 8;
/// One load with the circuits into it.
#[derive(Debug, Default)]
pub(super) struct Sheet<'p> {
    pub(super) width: i32,
    pub(super) height: i32,
    pub(super) rows: Vec<Row<'p>>,
    pub(super) strands: Vec<Strand>,
    /// What it shows, in sentences, for those who do not see it.
    pub(super) told: Vec<String>,
}

/// A line from row to row.
#[derive(Debug, Clone, Copy)]
pub(super) struct Strand {
    pub(super) x: i32,
    pub(super) top: i32,
    pub(super) bottom: i32,
    /// The circuit cannot be built so.
    pub(super) broken: bool,
}

/// A symbol with its words.
#[derive(Debug)]
pub(super) struct Row<'p> {
    pub(super) mark: Mark<'p>,
    /// The line that the symbol sits on.
    pub(super) x: i32,
    pub(super) top: i32,
    pub(super) height: i32,
    pub(super) text_x: i32,
    pub(super) text: Vec<Line>,
}

impl Row<'_> {
    pub(super) fn middle(&self) -> i32 {
        self.top + self.height / 2
    }
}

/// A line of text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Line {
    pub(super) text: String,
    pub(super) weight: Weight,
    /// Followed by a rule to write on.
    pub(super) write: bool,
}

/// What stands at the left of a row.
#[derive(Debug, Clone)]
pub(super) enum Mark<'p> {
    /// The number of a circuit.
    Number(usize),
    Battery,
    Wire(Option<&'p Colour>),
    Slot,
    /// A place told of already, from where a line goes on.
    Terminal,
    Fuse(Whose),
    Breaker(Whose),
    /// The contact of a relay.
    Contact,
    Nothing,
    /// Metal, with room for so many lines.
    Metal(Return),
    /// A load with the lines that enter at the top, and whether one goes on below.
    Load {
        looks: Looks,
        entries: Vec<i32>,
        on: bool,
    },
    Ground,
    /// Where a line back ends at metal.
    Back,
}

impl Mark<'_> {
    pub(super) fn height(&self) -> i32 {
        match self {
            Self::Battery => 40,
            Self::Fuse(_) | Self::Breaker(_) | Self::Contact => 34,
            Self::Metal(_) | Self::Back => 26,
            Self::Load { .. } => 30,
            Self::Number(_) | Self::Wire(_) | Self::Slot | Self::Ground => 22,
            Self::Terminal | Self::Nothing => 14,
        }
    }
}

/// The words of a label, made harmless before they are measured: what is written out is longer.
pub(super) fn lines_of(label: &Label, room: i32) -> Vec<Line> {
    let broken = |text: &str, weight| {
        wrap(&harmless(text), weight, room).into_iter().map(move |text| Line { text, weight, write: false })
    };
    let head = broken(&label.head, Weight::Bold);
    let rest = label.lines.iter().flat_map(|line| broken(line, Weight::Plain));
    let write = label.write.iter().map(|lead| Line {
        text: harmless(lead).into_owned(),
        weight: Weight::Plain,
        write: true,
    });
    head.chain(rest).chain(write).collect()
}
