//! The concepts of a lexicon, as they are held: texts and lists that are borrowed where they come with the program,
//! and owned where a lexicon was read from a text. How they are made is the business of `build`.

use super::side::Sides;
use crate::schema::{List, Text};

/// The number of a concept within its lexicon. It changes when the lexicon's file does, so it is
/// never stored.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct ConceptId(pub(super) u16);

impl ConceptId {
    pub(super) fn index(self) -> usize {
        usize::from(self.0)
    }
}

/// What kind of word a concept is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Kind {
    /// A part of which a vehicle has one, or one on each side.
    Component,
    /// An area, or a part found in many places.
    Landmark,
    /// A side, or several.
    Side,
    /// How something stands to a landmark.
    Relation,
    /// A word that says nothing about the place.
    Filler,
}

/// One entry of the lexicon.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Concept {
    pub(super) name: Text,
    pub(super) synonyms: List<Text>,
    pub(super) kind: Kind,
    pub(super) within: List<ConceptId>,
    pub(super) sided: bool,
    pub(super) apart: bool,
    pub(super) area: Option<ConceptId>,
    pub(super) implied: Sides,
    pub(super) made_of: List<Composition>,
    pub(super) sides: Sides,
    pub(super) opposite: Option<ConceptId>,
    pub(super) keeps_side: bool,
    pub(super) neutral: bool,
    pub(super) several: bool,
}

/// A concept said in parts: `fuse box`, `below`, `dash`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Composition {
    /// The part that is further described.
    pub component: ConceptId,
    /// How it stands to the landmark.
    pub relation: ConceptId,
    /// The landmark.
    pub landmark: ConceptId,
}

impl Concept {
    /// The canonical name.
    #[must_use]
    pub fn name(&self) -> &str {
        &self.name
    }

    /// The other ways to write it, as the file has them.
    #[must_use]
    pub fn synonyms(&self) -> &[Text] {
        &self.synonyms
    }

    /// The name and the other ways to write it.
    pub fn phrases(&self) -> impl Iterator<Item = &str> {
        std::iter::once(&self.name).chain(&*self.synonyms).map(|phrase| &**phrase)
    }

    /// What kind of word it is.
    #[must_use]
    pub fn kind(&self) -> Kind {
        self.kind
    }

    /// All concepts that it lies within, near ones first: what is at this is also at those.
    #[must_use]
    pub fn within(&self) -> &[ConceptId] {
        &self.within
    }

    /// Whether its left is the vehicle's left.
    #[must_use]
    pub fn is_sided(&self) -> bool {
        self.sided
    }

    /// The area that it is or lies within; two different ones share no place.
    #[must_use]
    pub fn area(&self) -> Option<ConceptId> {
        self.area
    }

    /// Sides that go without saying.
    #[must_use]
    pub fn implied(&self) -> Sides {
        self.implied
    }

    /// The ways to say it in parts.
    #[must_use]
    pub fn made_of(&self) -> &[Composition] {
        &self.made_of
    }

    /// The sides that a side word means; none for other kinds.
    #[must_use]
    pub fn sides(&self) -> Sides {
        self.sides
    }

    /// The relation that cannot hold together with it of one landmark.
    #[must_use]
    pub fn opposite(&self) -> Option<ConceptId> {
        self.opposite
    }

    /// For a relation: whether what stands so to a part on the left is itself on the left.
    #[must_use]
    pub fn keeps_side(&self) -> bool {
        self.keeps_side
    }

    /// For a relation: whether it says no more than that the place is there (`at`, `on`).
    #[must_use]
    pub fn is_neutral(&self) -> bool {
        self.neutral
    }

    /// For a relation: whether its landmarks together are one statement (`between`).
    #[must_use]
    pub fn takes_several(&self) -> bool {
        self.several
    }
}

/// The concepts of a lexicon, shared by the values that were read with it.
#[derive(Debug, PartialEq, Eq)]
pub(crate) struct Table {
    pub(super) concepts: List<Concept>,
    pub(super) wholes: List<(ConceptId, Composition)>,
}

impl Table {
    /// The concept of that number.
    pub fn get(&self, id: ConceptId) -> &Concept {
        &self.concepts[id.index()]
    }

    /// Every way to say a concept in parts, with the concept.
    pub fn wholes(&self) -> &[(ConceptId, Composition)] {
        &self.wholes
    }

    /// Every concept with its number, in the order of the file.
    pub fn iter(&self) -> impl Iterator<Item = (ConceptId, &Concept)> {
        self.concepts.iter().enumerate().map(|(at, concept)| (ConceptId(at as u16), concept))
    }
}

/// Why a lexicon was refused.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum LexiconError {
    /// Not TOML, or not in the lexicon's form.
    #[error("the lexicon cannot be read: {0}")]
    Format(String),
    /// One phrase stands twice.
    #[error(
        "“{synonym}”, listed under “{entry}”, is already a word for “{other}”; a phrase stands once, \
             and writings that differ only in case, punctuation, plural or a word of [words] are one phrase"
    )]
    Duplicate {
        /// The entry that repeats it.
        entry: String,
        /// The phrase, as the repeating entry writes it.
        synonym: String,
        /// The entry that had it before.
        other: String,
    },
    /// A phrase without a word in it.
    #[error("“{entry}” lists “{synonym}”, which has no word in it")]
    Empty {
        /// The entry.
        entry: String,
        /// The phrase.
        synonym: String,
    },
    /// An entry names another one that is not there.
    #[error("“{entry}” names “{name}”, which is no entry of the kind that is needed there")]
    NoSuchEntry {
        /// The entry.
        entry: String,
        /// What it names.
        name: String,
    },
    /// Following `within` leads back.
    #[error("“{entry}” lies within itself")]
    WithinItself {
        /// The entry.
        entry: String,
    },
}
