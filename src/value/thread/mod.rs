//! Threads of studs and bolts: metric by diameter and pitch, inch by size and threads per inch.
//!
//! This file owns the value: its canonical text, its words and how two threads relate. `series` holds
//! the sizes that the standards know; `tokens`, `reading` and `sizes` are the way from a written text
//! to a value.

mod reading;
mod refusal;
mod series;
mod sizes;
mod tokens;

#[cfg(test)]
mod tests;

use std::fmt;

use serde_json::{Map, Value, json};

use super::quantity::Millimetres;
use super::{Misread, Relation, Typed};
use series::{InchSize, Micrometres};

/// The thread of a stud, bolt or nut. A pitch that was not written is not known: the coarse one is
/// likely, but nothing says so.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Thread(Form);

/// Always a size of the series, with a pitch that the series has for it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
enum Form {
    Metric { diameter: Micrometres, pitch: Option<Micrometres> },
    Inch { size: InchSize, per_inch: Option<u8> },
}

impl Thread {
    /// Reads `M8`, `M8x1.25`, `8 mm stud`, `5/16`, `3/8-16`, `5/16-18 UNC`, `#10-24` and the like.
    ///
    /// # Errors
    /// `OutOfRange` for a size or pitch that ISO 261 or ASME B1.1 does not have, with the neighbouring
    /// sizes offered; `Ambiguous` where metric and inch, thread and spanner, or two threads cannot be
    /// told apart; `Unreadable` for anything else.
    pub fn parse(text: &str) -> Result<Self, Misread> {
        reading::parse(text)
    }

    /// The nominal diameter.
    #[must_use]
    pub fn diameter(self) -> Millimetres {
        Millimetres(self.size_diameter().millimetres())
    }

    fn size_diameter(self) -> Micrometres {
        match self.0 {
            Form::Metric { diameter, .. } => diameter,
            Form::Inch { size, .. } => size.diameter(),
        }
    }

    /// Threads of two systems are never the same, however near in size: an M8 nut ruins a 5/16 stud.
    fn same_size(self, other: Self) -> bool {
        match (self.0, other.0) {
            (Form::Metric { diameter: a, .. }, Form::Metric { diameter: b, .. }) => a == b,
            (Form::Inch { size: a, .. }, Form::Inch { size: b, .. }) => a == b,
            _ => false,
        }
    }

    /// The pitch, in micrometres or threads per inch; comparable only within one system.
    fn pitch(self) -> Option<u32> {
        match self.0 {
            Form::Metric { pitch, .. } => pitch.map(|pitch| pitch.0),
            Form::Inch { per_inch, .. } => per_inch.map(u32::from),
        }
    }
}

impl fmt::Display for Thread {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.0 {
            Form::Metric { diameter, pitch: None } => write!(f, "M{diameter}"),
            Form::Metric { diameter, pitch: Some(pitch) } => write!(f, "M{diameter}x{pitch}"),
            // A bare `1` could be M1, so whole inches say their unit.
            Form::Inch { size, per_inch: None } if size == InchSize::ONE => f.write_str("1 in"),
            Form::Inch { size, per_inch: None } => write!(f, "{size}"),
            Form::Inch { size, per_inch: Some(per_inch) } => write!(f, "{size}-{per_inch}"),
        }
    }
}

impl Typed for Thread {
    /// A pitch makes a thread finer; another size, another pitch or another system is different.
    fn relation(&self, other: &Self) -> Relation {
        match (self.pitch(), other.pitch()) {
            _ if !self.same_size(*other) => Relation::Different,
            (a, b) if a == b => Relation::Same,
            (_, None) => Relation::FirstFiner,
            (None, _) => Relation::SecondFiner,
            _ => Relation::Different,
        }
    }

    fn plain(&self) -> String {
        match self.0 {
            Form::Metric { diameter, pitch: None } => format!("M{diameter}"),
            Form::Metric { diameter, pitch: Some(pitch) } => format!("M{diameter}, pitch {pitch} mm"),
            Form::Inch { size, per_inch: None } => size.plain(),
            Form::Inch { size, per_inch: Some(count) } => {
                format!("{}, {count} threads per inch", size.plain())
            }
        }
    }

    /// The nominal diameter is given in mm for both systems; the pitch in the unit of its own.
    fn parts(&self) -> Map<String, Value> {
        let (system, size, pitch, per_inch) = match self.0 {
            Form::Metric { diameter, pitch } => ("metric", format!("M{diameter}"), pitch, None),
            Form::Inch { size, per_inch } => ("inch", size.to_string(), None, per_inch),
        };
        Map::from_iter([
            ("system".to_owned(), json!(system)),
            ("size".to_owned(), json!(size)),
            ("diameter_mm".to_owned(), json!(self.diameter().0)),
            ("pitch_mm".to_owned(), json!(pitch.map(Micrometres::millimetres))),
            ("threads_per_inch".to_owned(), json!(per_inch)),
        ])
    }
}
