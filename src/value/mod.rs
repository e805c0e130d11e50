//! Typed values of a field: what a text was understood to be, and how two of them relate.
//!
//! One module for each type, all of them pure. This file owns what they share: the four
//! answers of a comparison, the reasons why a text could not be read, and the `Value`
//! that a note carries. Which type a field has is the catalogue's business.

mod any;
pub mod choice;
pub mod code;
pub mod colour;
mod kind;
pub mod lexicon;
pub mod place;
pub mod prose;
pub mod quantity;
pub mod thread;

pub use any::Value;
pub use choice::Choices;
pub use kind::FieldKind;

/// How two readings of one field relate.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Relation {
    /// Both say the same.
    Same,
    /// Both agree and the first says more.
    FirstFiner,
    /// Both agree and the second says more.
    SecondFiner,
    /// They cannot both be true.
    Different,
    /// It cannot be told.
    Unknown,
}

impl Relation {
    /// The same relation seen from the other side.
    #[must_use]
    pub fn flipped(self) -> Self {
        match self {
            Self::FirstFiner => Self::SecondFiner,
            Self::SecondFiner => Self::FirstFiner,
            other => other,
        }
    }

    /// Joins the relations of two parts of one value: the whole is the same only where every part
    /// is; one different part makes the whole different; parts that are finer in opposite
    /// directions cannot be told apart.
    #[must_use]
    pub fn and(self, other: Self) -> Self {
        use Relation::{Different, FirstFiner, Same, SecondFiner, Unknown};
        match (self, other) {
            (Different, _) | (_, Different) => Different,
            (Unknown, _) | (_, Unknown) => Unknown,
            (Same, x) | (x, Same) => x,
            (FirstFiner, FirstFiner) => FirstFiner,
            (SecondFiner, SecondFiner) => SecondFiner,
            (FirstFiner, SecondFiner) | (SecondFiner, FirstFiner) => Unknown,
        }
    }

    /// The word for it in output: `same`, `finer`, `different`, `unknown`.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Same => "same",
            Self::FirstFiner | Self::SecondFiner => "finer",
            Self::Different => "different",
            Self::Unknown => "unknown",
        }
    }
}

/// Why no value was made of a text.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Problem {
    /// More than one reading is possible; `Misread::readings` offers them.
    Ambiguous,
    /// Nothing was recognised.
    Unreadable,
    /// Understood, but it cannot be: negative, infinite, reversed, absurd.
    OutOfRange,
    /// A number without the unit that it needs.
    UnitMissing,
    /// A unit that is not known, or of another dimension than the field's.
    UnitWrong,
}

/// A text of which no value was made: nothing is guessed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Misread {
    /// The kind of trouble.
    pub problem: Problem,
    /// One sentence for a person, without the place in the file: what is wrong, what would be right.
    pub message: String,
    /// The readings that were possible, in canonical text; empty where there is none to offer.
    pub readings: Vec<String>,
}

impl Misread {
    /// A misread of `problem` that `message` explains, with no readings to offer.
    #[must_use]
    pub fn new(problem: Problem, message: impl Into<String>) -> Self {
        Self { problem, message: message.into(), readings: Vec::new() }
    }

    /// The same misread, offering `readings`.
    #[must_use]
    pub fn offering(mut self, readings: Vec<String>) -> Self {
        self.readings = readings;
        self
    }
}

impl std::fmt::Display for Misread {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.message)
    }
}

impl std::error::Error for Misread {}

/// What every typed value can do. Its `Display` is the canonical text: parsing that text again
/// gives an equal value, and two equal values have one canonical text.
pub trait Typed: std::fmt::Display + Clone + PartialEq {
    /// How this value relates to `other`.
    fn relation(&self, other: &Self) -> Relation;

    /// The value in words that a person would say; by default the canonical text.
    fn plain(&self) -> String {
        self.to_string()
    }

    /// The parts that it was read into, for `read --json`: an object of strings, numbers and lists.
    fn parts(&self) -> serde_json::Map<String, serde_json::Value>;
}
