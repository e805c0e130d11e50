//! The type of a field: which parser reads its text. Which field has which type is the catalogue's to say.

use super::choice::Choices;
use super::quantity::Rule;

/// The type of a field.
#[derive(Debug, Clone, PartialEq)]
pub enum FieldKind {
    /// A wire colour, IEC 60757.
    Colour,
    /// A place, read through the lexicon.
    Place,
    /// A cavity, slot or connector code.
    Code,
    /// A stud thread.
    Thread,
    /// A number with a unit.
    Quantity(Rule),
    /// One of a closed list.
    Choice(Choices),
    /// Free words, never compared.
    Prose,
}

impl FieldKind {
    /// The word for the type in the catalogue file and on the command line.
    #[must_use]
    pub fn word(&self) -> &'static str {
        match self {
            Self::Colour => "colour",
            Self::Place => "place",
            Self::Code => "code",
            Self::Thread => "thread",
            Self::Quantity(_) => "quantity",
            Self::Choice(_) => "choice",
            Self::Prose => "prose",
        }
    }

    /// Whether it is free words, which stay with their note and are never compared.
    #[must_use]
    pub fn is_prose(&self) -> bool {
        matches!(self, Self::Prose)
    }
}
