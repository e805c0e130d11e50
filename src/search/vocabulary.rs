//! The terms of many notes, each with a number: notes hold numbers, which are gathered term by term without looking at
//! a text again.
//!
//! What the terms are is told by `notes`; how they are written to disk is the business of `binder`.

use std::sync::Arc;

use foldhash::HashMap;

use super::term::SEPARATOR;

/// The number of a term in a [`Vocabulary`].
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct TermNumber(u32);

impl TermNumber {
    /// A place in a list that has one for each term.
    pub(super) fn place(self) -> usize {
        self.0 as usize
    }
}

/// Terms by number, and the other way round.
#[derive(Debug, Default)]
pub(super) struct Vocabulary {
    numbers: HashMap<Arc<str>, TermNumber>,
    texts: Vec<Arc<str>>,
}

impl Vocabulary {
    /// The number of a term, which is added where it is new.
    pub(super) fn number(&mut self, term: &str) -> TermNumber {
        if let Some(number) = self.numbers.get(term) {
            return *number;
        }
        let text: Arc<str> = term.into();
        let number = TermNumber(self.texts.len() as u32);
        self.numbers.insert(text.clone(), number);
        self.texts.push(text);
        number
    }

    /// The numbers of terms, each of which is followed by the separator.
    pub(super) fn numbers(&mut self, terms: &str) -> Box<[TermNumber]> {
        terms.split_terminator(SEPARATOR).map(|term| self.number(term)).collect()
    }

    /// The term with a number.
    pub(super) fn text(&self, number: TermNumber) -> &str {
        &self.texts[number.place()]
    }

    /// All terms with their numbers, sorted as bytes.
    pub(super) fn sorted(&self) -> Vec<(&str, TermNumber)> {
        let numbered = self.texts.iter().zip(0..);
        let mut all: Vec<_> = numbered.map(|(text, at)| (&**text, TermNumber(at))).collect();
        all.sort_unstable_by_key(|(text, _)| *text);
        all
    }
}
