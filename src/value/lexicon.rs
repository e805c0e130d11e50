//! The lexicon: which words mean which component, landmark, side or relation, read from data
//! (`schema/lexicon.toml`), and the reading of a text by the longest phrases that it knows.
//!
//! Folding of words is in `fold`, the concepts in `table`, the tree of phrases in `phrases`, the check of the file in
//! `build`; `builtin` holds what that made of the file when the program was built. What a sequence of concepts says about a place is left to `value::place`, and
//! what it says about a query to the full-text search.

mod build;
mod builtin;
mod fold;
mod phrases;
mod side;
mod table;
#[cfg(test)]
mod tests;

use std::borrow::Cow;
use std::ops::Range;
use std::sync::{Arc, OnceLock};

use build::Made;
use fold::{Token, Words, tokens};
use phrases::Phrases;

pub use fold::Gap;
pub use side::{Side, Sides};
pub(super) use table::Table;
pub use table::{Composition, Concept, ConceptId, Kind, LexiconError};

/// One word of a text, folded.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Word<'t> {
    /// Where it stands in the text, in bytes.
    pub span: Range<usize>,
    /// What phrases are matched by.
    pub key: Cow<'t, str>,
    /// What parts it from the word before.
    pub gap: Gap,
}

/// A piece of a text that was read: a phrase that the lexicon knows, or a word that it does not.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Piece<'t> {
    /// Where it stands in the text, in bytes.
    pub span: Range<usize>,
    /// What it is.
    pub what: What<'t>,
    /// What parts it from the piece before.
    pub gap: Gap,
}

/// What a piece of a text is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum What<'t> {
    /// A phrase that the lexicon knows.
    Concept(ConceptId),
    /// A word that it does not know, in lower case.
    Word(Cow<'t, str>),
}

/// The words of places, with what they mean.
#[derive(Debug, Clone)]
pub struct Lexicon {
    table: Arc<Table>,
    phrases: Phrases,
    words: Words,
}

impl From<Made> for Lexicon {
    fn from(made: Made) -> Self {
        let table = Table { concepts: made.concepts, wholes: made.wholes };
        Self { table: Arc::new(table), phrases: made.phrases, words: made.words }
    }
}

impl Lexicon {
    /// Reads a lexicon from TOML; the form is described at the head of `schema/lexicon.toml`.
    ///
    /// # Errors
    /// Not in that form; a phrase that stands twice; an entry that names one that is not there.
    pub fn parse(text: &str) -> Result<Self, LexiconError> {
        let file = toml::from_str(text).map_err(|error| LexiconError::Format(error.to_string()))?;
        build::lexicon(file).map(Self::from)
    }

    /// The lexicon that comes with the program.
    #[must_use]
    pub fn builtin() -> &'static Self {
        static BUILTIN: OnceLock<Lexicon> = OnceLock::new();
        BUILTIN.get_or_init(|| builtin::MADE.clone().into())
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
    pub fn read<'t>(&'t self, text: &'t str) -> Vec<Piece<'t>> {
        self.pieces(&tokens(text, &self.words))
    }

    fn pieces<'t>(&self, tokens: &[Token<'t>]) -> Vec<Piece<'t>> {
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
    pub fn words<'t>(&'t self, text: &'t str) -> Vec<Word<'t>> {
        as_words(tokens(text, &self.words))
    }

    /// The words for which another stands, wherever they are written.
    pub fn variants(&self) -> impl Iterator<Item = &str> {
        self.words.list.iter().map(|(variant, _)| &**variant)
    }

    /// The words of a text and what it says, in one reading.
    #[must_use]
    pub fn words_and_pieces<'t>(&'t self, text: &'t str) -> (Vec<Word<'t>>, Vec<Piece<'t>>) {
        let tokens = tokens(text, &self.words);
        let pieces = self.pieces(&tokens);
        (as_words(tokens), pieces)
    }

    /// Whether a phrase has this word, given by its key.
    #[must_use]
    pub fn has(&self, key: &str) -> bool {
        self.phrases.have(key)
    }

    /// What `tokens` begins with and how many words that takes; nothing for an article.
    fn next<'t>(&self, tokens: &[Token<'t>]) -> (Option<What<'t>>, usize) {
        if let Some((concept, taken)) = self.phrases.longest(tokens) {
            return (Some(What::Concept(concept)), taken);
        }
        let word = |token: &Token<'t>| What::Word(token.written.clone());
        match tokens {
            [token, ..] if token.is_article() => (None, 1),
            [number, unit, rest @ ..] if self.is_inches(number, unit, rest) => {
                let measure = format!("{} {}", number.written, unit.written);
                (Some(What::Word(Cow::Owned(measure))), 2)
            }
            [token, ..] => (Some(word(token)), 1),
            [] => (None, 1),
        }
    }

    /// `2 in above` is a measure; `2 in front of` and `pin 2 in the connector` are not.
    fn is_inches(&self, number: &Token<'_>, unit: &Token<'_>, rest: &[Token<'_>]) -> bool {
        let relation = |tokens: &[Token<'_>]| {
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

fn as_words(tokens: Vec<Token<'_>>) -> Vec<Word<'_>> {
    tokens.into_iter().map(|token| Word { span: token.span, key: token.key, gap: token.gap }).collect()
}
