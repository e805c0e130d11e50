//! A value of any type: the one place that knows which parser serves which type of field.

use super::choice::Choice;
use super::code::Code;
use super::colour::Colour;
use super::kind::FieldKind;
use super::lexicon::Lexicon;
use super::place::{DriveSide, Place};
use super::prose::Prose;
use super::quantity::Quantity;
use super::thread::Thread;
use super::{Misread, Relation, Typed};

/// A value that was read from a text.
#[derive(Debug, Clone, PartialEq)]
pub enum Value {
    /// A wire colour.
    Colour(Colour),
    /// A place on the vehicle.
    Place(Place),
    /// A cavity, slot or connector.
    Code(Code),
    /// A stud thread.
    Thread(Thread),
    /// A number with a unit.
    Quantity(Quantity),
    /// One of a closed list.
    Choice(Choice),
    /// Free words.
    Prose(Prose),
}

/// Calls the same method of `Typed` on whichever type a value has.
macro_rules! each {
    ($value:expr, $inner:ident => $result:expr) => {
        match $value {
            Value::Colour($inner) => $result,
            Value::Place($inner) => $result,
            Value::Code($inner) => $result,
            Value::Thread($inner) => $result,
            Value::Quantity($inner) => $result,
            Value::Choice($inner) => $result,
            Value::Prose($inner) => $result,
        }
    };
}

impl Value {
    /// Reads `text` as a field of `kind`.
    ///
    /// # Errors
    /// What could not be read, or could be read in more than one way.
    pub fn read(kind: &FieldKind, text: &str, drive: DriveSide) -> Result<Self, Misread> {
        Ok(match kind {
            FieldKind::Colour => Self::Colour(Colour::parse(text)?),
            FieldKind::Place => Self::Place(Place::parse(text, Lexicon::builtin(), drive)?),
            FieldKind::Code => Self::Code(Code::parse(text)?),
            FieldKind::Thread => Self::Thread(Thread::parse(text)?),
            FieldKind::Quantity(rule) => Self::Quantity(Quantity::parse(text, rule)?),
            FieldKind::Choice(choices) => Self::Choice(Choice::parse(text, choices)?),
            FieldKind::Prose => Self::Prose(Prose::parse(text)?),
        })
    }

    /// How two values of one field relate; values of two types cannot be told apart.
    #[must_use]
    pub fn relation(&self, other: &Self) -> Relation {
        match (self, other) {
            (Self::Colour(a), Self::Colour(b)) => a.relation(b),
            (Self::Place(a), Self::Place(b)) => a.relation(b),
            (Self::Code(a), Self::Code(b)) => a.relation(b),
            (Self::Thread(a), Self::Thread(b)) => a.relation(b),
            (Self::Quantity(a), Self::Quantity(b)) => a.relation(b),
            (Self::Choice(a), Self::Choice(b)) => a.relation(b),
            (Self::Prose(a), Self::Prose(b)) => a.relation(b),
            _ => Relation::Unknown,
        }
    }

    /// The value in words that a person would say.
    #[must_use]
    pub fn plain(&self) -> String {
        each!(self, inner => inner.plain())
    }

    /// The parts that it was read into.
    #[must_use]
    pub fn parts(&self) -> serde_json::Map<String, serde_json::Value> {
        each!(self, inner => inner.parts())
    }
}

impl std::fmt::Display for Value {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        each!(self, inner => write!(f, "{inner}"))
    }
}
