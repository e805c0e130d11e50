//! The terms of many notes, each with a number: notes hold numbers, which are gathered term by term without looking at
//! a text again.
//!
//! What the terms are is told by `notes`; how they are written to disk is the business of `binder`.

use std::sync::Arc;

use foldhash::HashMap;

use super::term::SEPARATOR;

/// The number of a term in a [`Vocabulary`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
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
        let mut all: Vec<_> = numbered.map(|(text, at)| (head(text), &**text, TermNumber(at))).collect();
        all.sort_unstable();
        all.into_iter().map(|(_, text, number)| (text, number)).collect()
    }
}

/// The first bytes of a text as a number that sorts like them: it spares most comparisons the way to the text.
fn head(text: &str) -> u64 {
    let mut head = [0; 8];
    let length = text.len().min(head.len());
    head[..length].copy_from_slice(&text.as_bytes()[..length]);
    u64::from_be_bytes(head)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    proptest! {
        #[test]
        fn terms_are_sorted_as_bytes(terms in prop::collection::btree_set("[a-c\u{0}é]{0,12}", 0..30)) {
            let mut vocabulary = Vocabulary::default();
            for term in terms.iter().rev() {
                vocabulary.number(term);
            }
            let sorted: Vec<&str> = vocabulary.sorted().into_iter().map(|(text, _)| text).collect();
            prop_assert_eq!(sorted, terms.iter().map(String::as_str).collect::<Vec<_>>());
        }
    }
}
