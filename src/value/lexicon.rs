//! The lexicon: which words mean which component, landmark, side or relation, read from data
//! (`schema/lexicon.toml`), and the reading of a text by the longest phrases that it knows.
//!
//! Folding of words is in `fold`, the tree of phrases in `phrases`, the check of the file in
//! `build`. What a sequence of concepts says about a place is left to `value::place`, and
//! what it says about a query to the full-text search.

mod build;
mod fold;
mod phrases;
mod side;
#[cfg(test)]
mod tests;

use std::ops::Range;
use std::sync::{Arc, OnceLock};

use fold::{Token, tokens};
use foldhash::HashMap;
use phrases::Phrases;

pub use fold::Gap;
pub use side::{Side, Sides};

/// The number of a concept within its lexicon. It changes when the lexicon's file does, so it is
/// never stored.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct ConceptId(u16);

impl ConceptId {
    fn index(self) -> usize {
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
    name: String,
    synonyms: Vec<String>,
    kind: Kind,
    within: Vec<ConceptId>,
    sided: bool,
    apart: bool,
    area: Option<ConceptId>,
    implied: Sides,
    made_of: Vec<Composition>,
    sides: Sides,
    opposite: Option<ConceptId>,
    keeps_side: bool,
    neutral: bool,
    several: bool,
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
    pub fn synonyms(&self) -> &[String] {
        &self.synonyms
    }

    /// The name and the other ways to write it.
    pub fn phrases(&self) -> impl Iterator<Item = &str> {
        std::iter::once(&self.name).chain(&self.synonyms).map(String::as_str)
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
pub(super) struct Table {
    concepts: Vec<Concept>,
    wholes: Vec<(ConceptId, Composition)>,
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

/// One word of a text, folded.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Word {
    /// Where it stands in the text, in bytes.
    pub span: Range<usize>,
    /// What phrases are matched by.
    pub key: String,
    /// What parts it from the word before.
    pub gap: Gap,
}

/// A piece of a text that was read: a phrase that the lexicon knows, or a word that it does not.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Piece {
    /// Where it stands in the text, in bytes.
    pub span: Range<usize>,
    /// What it is.
    pub what: What,
    /// What parts it from the piece before.
    pub gap: Gap,
}

/// What a piece of a text is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum What {
    /// A phrase that the lexicon knows.
    Concept(ConceptId),
    /// A word that it does not know, in lower case.
    Word(String),
}

/// The words of places, with what they mean.
#[derive(Debug, Clone)]
pub struct Lexicon {
    table: Arc<Table>,
    phrases: Phrases,
    words: HashMap<String, String>,
}

impl Lexicon {
    /// Reads a lexicon from TOML; the form is described at the head of `schema/lexicon.toml`.
    ///
    /// # Errors
    /// Not in that form; a phrase that stands twice; an entry that names one that is not there.
    pub fn parse(text: &str) -> Result<Self, LexiconError> {
        build::lexicon(toml::from_str(text).map_err(|error| LexiconError::Format(error.to_string()))?)
    }

    /// The lexicon that comes with the program.
    ///
    /// # Panics
    /// Never in a build that passed its tests: they read the same file.
    #[must_use]
    pub fn builtin() -> &'static Self {
        static BUILTIN: OnceLock<Lexicon> = OnceLock::new();
        BUILTIN.get_or_init(|| match build::lexicon(crate::schema::lexicon()) {
            Ok(lexicon) => lexicon,
            Err(error) => unreachable!("the lexicon that is built in: {error}"),
        })
    }

    /// Every concept with its number, in the order of the file.
    pub fn concepts(&self) -> impl Iterator<Item = (ConceptId, &Concept)> {
        self.table.iter()
    }

    /// The concept of that number.
    ///
    /// # Panics
    /// If the number is from another, larger lexicon.
    #[must_use]
    pub fn concept(&self, id: ConceptId) -> &Concept {
        self.table.get(id)
    }

    /// Reads a text from its start to its end, always by the longest phrase that begins at a word.
    /// Case, hyphens, a plural s and articles do not matter; articles give no piece. Takes time
    /// in proportion to the text.
    #[must_use]
    pub fn read(&self, text: &str) -> Vec<Piece> {
        self.pieces(&tokens(text, &self.words))
    }

    fn pieces(&self, tokens: &[Token]) -> Vec<Piece> {
        let mut pieces = Vec::new();
        let mut at = 0;
        let mut article = None;
        while let Some(token) = tokens.get(at) {
            let (what, taken) = self.next(&tokens[at..]);
            if let Some(what) = what {
                let gap = article.take().map_or(token.gap, |gap: Gap| gap.max(token.gap).max(Gap::Article));
                let span = token.span.start..tokens[at + taken - 1].span.end;
                pieces.push(Piece { span, what, gap });
            } else {
                article = Some(article.map_or(token.gap, |gap: Gap| gap.max(token.gap)));
            }
            at += taken;
        }
        pieces
    }

    /// The words of a text, each with the key by which phrases are matched: singular, and the one word that
    /// stands for its like. Articles are among them.
    #[must_use]
    pub fn words(&self, text: &str) -> Vec<Word> {
        as_words(tokens(text, &self.words))
    }

    /// The words of a text and what it says, in one reading.
    #[must_use]
    pub fn words_and_pieces(&self, text: &str) -> (Vec<Word>, Vec<Piece>) {
        let tokens = tokens(text, &self.words);
        let pieces = self.pieces(&tokens);
        (as_words(tokens), pieces)
    }

    /// What `tokens` begins with and how many words that takes; nothing for an article.
    fn next(&self, tokens: &[Token]) -> (Option<What>, usize) {
        if let Some((concept, taken)) = self.phrases.longest(tokens) {
            return (Some(What::Concept(concept)), taken);
        }
        let word = |token: &Token| What::Word(token.written.clone());
        match tokens {
            [token, ..] if token.is_article() => (None, 1),
            [number, unit, rest @ ..] if self.is_inches(number, unit, rest) => {
                (Some(What::Word(format!("{} {}", number.written, unit.written))), 2)
            }
            [token, ..] => (Some(word(token)), 1),
            [] => (None, 1),
        }
    }

    /// `2 in above` is a measure; `2 in front of` and `pin 2 in the connector` are not.
    fn is_inches(&self, number: &Token, unit: &Token, rest: &[Token]) -> bool {
        let relation = |tokens: &[Token]| {
            let found = self.phrases.longest(tokens);
            found.is_some_and(|(id, _)| self.concept(id).kind == Kind::Relation && !self.concept(id).neutral)
        };
        let measures = || rest.first().is_none_or(|next| next.gap == Gap::Break) || relation(rest);
        number.is_number() && unit.gap <= Gap::Hyphen && unit.key == "in" && measures()
    }

    pub(super) fn table(&self) -> &Arc<Table> {
        &self.table
    }
}

fn as_words(tokens: Vec<Token>) -> Vec<Word> {
    let word = |token: Token| Word { span: token.span, key: token.key, gap: token.gap };
    tokens.into_iter().map(word).collect()
}
