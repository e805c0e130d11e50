//! The drawing of a job's circuits: from a plain description to one SVG that prints in black and white.
//!
//! Lines run down the left edge, one for each circuit, and meet where circuits meet; what they pass is written beside
//! them, so that it can be read on a telephone. Where the values come from is left to whoever describes the circuits.

mod figure;
mod layout;
mod letters;
mod sheet;
mod symbol;
mod told;

use maud::Markup;

use crate::circuit::Kind;
use crate::circuit::path::Return;
use crate::job::Looks;
use crate::value::colour::Colour;

/// What is drawn: the circuits that are built together.
#[derive(Debug, Clone, Default)]
pub struct Plan {
    /// What it is called.
    pub title: String,
    /// The circuits, numbered in this order.
    pub circuits: Vec<Circuit>,
}

/// One circuit from its source to its load and back.
#[derive(Debug, Clone)]
pub struct Circuit {
    /// What it is: `feed of the control`.
    pub title: String,
    /// Where it begins.
    pub origin: Origin,
    /// What protects it.
    pub protection: Option<Protection>,
    /// The contact of a relay that closes it.
    pub relay: Option<Label>,
    /// What is laid.
    pub cable: Cable,
    /// The metal that it passes, in order.
    pub passes: Vec<Label>,
    /// What it feeds; circuits whose loads have one name meet there.
    pub load: Load,
    /// How the current comes back.
    pub back: Return,
    /// Where it comes back to.
    pub ground: Label,
}

/// Words beside a symbol.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Label {
    /// What it is.
    pub head: String,
    /// What is told of it.
    pub lines: Vec<String>,
    /// What stands before a line to write on.
    pub write: Option<String>,
}

impl Label {
    /// Words without room to write.
    #[must_use]
    pub fn new(head: impl Into<String>, lines: Vec<String>) -> Self {
        Self { head: head.into(), lines, write: None }
    }
}

/// Where a circuit begins.
#[derive(Debug, Clone)]
pub enum Origin {
    /// At the battery, or a stud that it feeds.
    Battery(Label),
    /// At a wire of the vehicle, of this colour where it is certain.
    Wire(Label, Option<Colour>),
    /// At a slot of a fuse box.
    Slot(Label),
    /// At the load of this name.
    Load(String),
}

/// What protects a circuit.
#[derive(Debug, Clone)]
pub struct Protection {
    /// A fuse or a breaker.
    pub kind: Kind,
    /// Whose it is.
    pub whose: Whose,
    /// Its rating and its place.
    pub label: Label,
}

/// Whose device protects a circuit.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Whose {
    /// One that is fitted.
    Own,
    /// One that the vehicle has, before the place where the circuit begins.
    Vehicle,
    /// That of an earlier circuit: nothing is drawn, and it is told.
    Earlier,
}

/// What is laid.
#[derive(Debug, Clone)]
pub struct Cable {
    /// Size, length and what is lost.
    pub label: Label,
    /// Whether the circuit can be built like this; else its line is broken.
    pub possible: bool,
}

/// What a circuit feeds.
#[derive(Debug, Clone)]
pub struct Load {
    /// Its name; circuits with the same one meet.
    pub name: String,
    /// How it is drawn.
    pub looks: Looks,
    /// What this circuit tells of it.
    pub lines: Vec<String>,
}

/// How wide a drawing is, in units of which its letters are 12 high.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Width {
    /// For a telephone: its letters stay above 11 pixels where it is 328 pixels wide.
    Narrow,
    /// For a screen and for half a sheet of paper.
    Wide,
}

impl Width {
    fn units(self) -> i32 {
        match self {
            Self::Narrow => 340,
            Self::Wide => 430,
        }
    }
}

/// The drawing as one SVG for each load, which belong below each other without a gap: a printer may cut between them,
/// and nowhere else. `key` tells it from other drawings of one page: letters, digits and hyphens.
#[must_use]
pub fn svgs(plan: &Plan, width: Width, key: &str) -> Vec<Markup> {
    let sheets = layout::lay_out(plan, width.units());
    let of = sheets.len();
    let figure = |(at, sheet): (usize, &sheet::Sheet<'_>)| {
        let part = if of > 1 { format!(", part {} of {of}", at + 1) } else { String::new() };
        figure::figure(sheet, &format!("{}{part}", plan.title), &format!("{key}-{}", at + 1))
    };
    sheets.iter().enumerate().map(figure).collect()
}

/// How high all of it is, in the units of its width.
#[must_use]
pub fn height(plan: &Plan, width: Width) -> usize {
    let sheets = layout::lay_out(plan, width.units());
    sheets.iter().map(|sheet| usize::try_from(sheet.height).unwrap_or_default()).sum()
}

#[cfg(test)]
mod tests;
