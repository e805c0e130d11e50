//! Cutting a text into phrases that mean something: the same for a question and for the remark of a note. Every phrase
//! is read by the reader that serves its type; the longest phrase counts, and what may mean two things means both.
//!
//! The words are dealt to the phrases by `settle`; what a meaning is to the index is the business of `meaning`;
//! vehicles, years, people and typing errors are those of a question alone (`question`).

use std::cell::RefCell;
use std::ops::Range;
use std::rc::Rc;

use foldhash::HashMap;

use super::figures;
use super::meaning::Meaning;
use super::phrasebook::Phrasebook;
use super::settle::{Found, Reading, Settling, said_by};
use crate::language::Language;
use crate::value::Problem;
use crate::value::colour::Colour;
use crate::value::lexicon::{Gap, Kind, Lexicon, What, Word};
use crate::value::place::{DriveSide, Place};
use crate::vehicle::names::fold;

/// A phrase of a text.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Phrase {
    /// Where it stands, in bytes.
    pub(super) span: Range<usize>,
    /// All that it may mean; a note answers to it by any of these.
    pub(super) meanings: Vec<Meaning>,
}

/// The most words of one phrase of colour.
const LONGEST_COLOUR: usize = 7;

/// A longer word than this is none that anybody will ask for.
const LONGEST_WORD: usize = 60;

/// Words that carry nothing in a question, whatever stands beside them.
const STOP: [&str; 110] = [
    "a",
    "about",
    "after",
    "again",
    "ago",
    "all",
    "also",
    "am",
    "an",
    "and",
    "any",
    "anybody",
    "anyone",
    "anything",
    "are",
    "as",
    "be",
    "because",
    "been",
    "but",
    "by",
    "can",
    "could",
    "did",
    "do",
    "does",
    "everything",
    "find",
    "for",
    "from",
    "get",
    "go",
    "got",
    "had",
    "has",
    "have",
    "he",
    "her",
    "his",
    "how",
    "i",
    "if",
    "into",
    "is",
    "it",
    "its",
    "like",
    "look",
    "maybe",
    "me",
    "might",
    "must",
    "my",
    "need",
    "no",
    "not",
    "of",
    "on",
    "one",
    "or",
    "our",
    "out",
    "please",
    "put",
    "remember",
    "said",
    "say",
    "she",
    "should",
    "show",
    "so",
    "some",
    "somebody",
    "someone",
    "something",
    "than",
    "that",
    "the",
    "their",
    "them",
    "then",
    "there",
    "these",
    "they",
    "think",
    "this",
    "those",
    "to",
    "too",
    "up",
    "us",
    "was",
    "we",
    "were",
    "what",
    "when",
    "where",
    "which",
    "while",
    "who",
    "whose",
    "will",
    "with",
    "would",
    "written",
    "wrote",
    "year",
    "years",
    "you",
    "your",
];

/// Whether a word, by its key, carries nothing.
pub(super) fn is_stop(key: &str) -> bool {
    STOP.binary_search(&key).is_ok()
}

/// Cuts texts into phrases.
#[derive(Debug)]
pub(super) struct Cutter<'l> {
    pub(super) language: &'l Language,
    pub(super) lexicon: &'static Lexicon,
    phrasebook: Phrasebook<'l>,
    /// Whether the shop has points that are called by a number.
    pub(super) names_end_in_numbers: bool,
    memory: RefCell<Memory>,
}

/// What was worked out once: the same few words and places recur in the notes of a book.
#[derive(Debug, Default)]
struct Memory {
    words: HashMap<Box<str>, Seen>,
    /// What the beginning of a phrase of the catalogue means by itself, written as one word; none where it begins none.
    names: HashMap<Box<str>, Option<Rc<[Meaning]>>>,
    /// Whether a word belongs to no colour and to no place.
    alone: HashMap<Box<str>, bool>,
    /// By the side on which the driver sits.
    places: [HashMap<Box<str>, Vec<Phrase>>; 3],
}

/// More words, places or values than this are not remembered: a book may have notes without end.
pub(super) const REMEMBERED: usize = 20_000;

/// What a word can be, wherever it stands.
#[derive(Debug, Clone)]
struct Seen {
    /// Whether a phrase of colour may begin with it.
    begins_colour: bool,
    /// Whether a figure may begin with it; beside a hyphen, any word may.
    begins_figure: bool,
    /// Whether a phrase of the catalogue may begin with it.
    begins_name: bool,
    /// Its key, where it carries something.
    carries: Option<Rc<str>>,
}

impl<'l> Cutter<'l> {
    pub(super) fn new(language: &'l Language) -> Self {
        let lexicon = Lexicon::builtin();
        let phrasebook = Phrasebook::new(&language.catalogue, lexicon);
        let names_end_in_numbers =
            phrasebook.has_own(|phrase| phrase.ends_with(|c: char| c.is_ascii_digit()));
        Self { language, lexicon, phrasebook, names_end_in_numbers, memory: RefCell::default() }
    }

    /// Cuts `text`, with phrases that somebody else found: the words that they take, and what they mean. The driver
    /// sits on `drive`.
    pub(super) fn cut(
        &self,
        text: &str,
        drive: DriveSide,
        others: Vec<(Range<usize>, Meaning)>,
    ) -> Vec<Phrase> {
        let (words, pieces) = self.lexicon.words_and_pieces(text);
        let other = |(words, meaning)| Found { words, class: 1, what: Reading::Means(vec![meaning]) };
        let found = others.into_iter().map(other).collect();
        self.settled(
            Settling { cutter: self, text, words: &words, pieces: &pieces, drive, tells_words: true },
            found,
        )
    }

    /// Cuts the words of a note: tells each word that carries something by its key, and gives the phrases, with
    /// `tells_words` also words that mean nothing else.
    pub(super) fn cut_note(
        &self,
        text: &str,
        drive: DriveSide,
        tells_words: bool,
        tell: &mut dyn FnMut(&str),
    ) -> Vec<Phrase> {
        let (words, pieces) = self.lexicon.words_and_pieces(text);
        let seen: Vec<Seen> = words.iter().map(|word| self.seen(text, word)).collect();
        seen.iter().filter_map(|seen| seen.carries.as_deref()).for_each(tell);
        let (words, pieces) = (&words[..], &pieces[..]);
        self.settled(Settling { cutter: self, text, words, pieces, drive, tells_words }, Vec::new())
    }

    /// Tells each word of a text that carries something, by its key.
    pub(super) fn each_word(&self, text: &str, tell: &mut dyn FnMut(&str)) {
        for word in self.lexicon.words(text) {
            if let Some(key) = self.seen(text, &word).carries {
                tell(&key);
            }
        }
    }

    /// Finds the phrases, and deals the words to them.
    fn settled(&self, settling: Settling<'_, '_>, mut found: Vec<Found>) -> Vec<Phrase> {
        let Settling { text, words, pieces, .. } = settling;
        for (at, word) in words.iter().enumerate() {
            let seen = self.seen(text, word);
            if seen.begins_colour {
                colours(text, words, at, &mut found);
            }
            if seen.begins_figure || words.get(at + 1).is_some_and(|next| next.gap == Gap::Hyphen) {
                figures::all(self.language, text, words, at, &mut |length, meanings| {
                    found.push(Found { words: at..at + length, class: 0, what: Reading::Means(meanings) });
                });
            }
            if seen.begins_name {
                self.of_catalogue(text, words, at, &mut found);
            }
        }
        for (at, piece) in pieces.iter().enumerate() {
            if let (What::Concept(id), Some(words)) = (&piece.what, covered(words, &piece.span)) {
                let place = matches!(self.lexicon.concept(*id).kind(), Kind::Component | Kind::Landmark);
                let class = if place { 2 } else { 3 };
                found.push(Found { words, class, what: Reading::Piece(at) });
            }
        }
        settling.all(found)
    }

    /// Points and choices from word `at`.
    fn of_catalogue(&self, text: &str, words: &[Word<'_>], at: usize, found: &mut Vec<Found>) {
        let (mut by_key, mut as_written) = (String::new(), String::new());
        for (length, word) in (1..).zip(&words[at..]) {
            if length > 1 && word.gap == Gap::Break {
                return;
            }
            // An article stands in some names, and is passed over in the others: `needs a grommet`.
            let article = length > 1 && matches!(&*word.key, "a" | "an" | "the");
            if article && self.named(&format!("{by_key}{}", word.key)).is_none() {
                continue;
            }
            by_key.push_str(&fold(&word.key));
            as_written.push_str(&fold(written(text, word)));
            let also = (by_key != as_written).then_some(&as_written);
            let named = [self.named(&by_key), also.and_then(|name| self.named(name))];
            if named.iter().all(Option::is_none) {
                return;
            }
            let meanings: Vec<Meaning> = named.iter().flatten().flat_map(|own| own.iter().cloned()).collect();
            if !meanings.is_empty() {
                let point = meanings.iter().any(|meaning| matches!(meaning, Meaning::Point(_)));
                let class = if point { 2 } else { 4 };
                found.push(Found { words: at..at + length, class, what: Reading::Means(meanings) });
            }
        }
    }

    /// What a beginning of a phrase of the catalogue means by itself, written as one word; nothing where it begins none.
    pub(super) fn named(&self, name: &str) -> Option<Rc<[Meaning]>> {
        if let Some(known) = self.memory.borrow().names.get(name) {
            return known.clone();
        }
        let begins = !name.is_empty() && self.phrasebook.goes_on(name);
        let meanings = begins.then(|| self.phrasebook.means(name).into());
        let names = &mut self.memory.borrow_mut().names;
        if names.len() < REMEMBERED {
            names.insert(name.into(), meanings.clone());
        }
        meanings
    }

    /// What a word of a text can be.
    fn seen(&self, text: &str, word: &Word<'_>) -> Seen {
        let written = written(text, word);
        if let Some(known) = self.memory.borrow().words.get(written) {
            return known.clone();
        }
        let key = fold(&word.key);
        let carries = !key.is_empty() && key.len() <= LONGEST_WORD && !is_stop(&key);
        let seen = Seen {
            begins_colour: begins_colour(text, word),
            begins_figure: figures::may_begin(written, &word.key),
            begins_name: self.named(&key).is_some()
                || (word.key != written && self.named(&fold(written)).is_some()),
            carries: carries.then(|| key.into()),
        };
        let words = &mut self.memory.borrow_mut().words;
        if words.len() < REMEMBERED {
            words.insert(written.into(), seen.clone());
        }
        seen
    }

    /// Whether a word belongs to no colour and to no place, as `work_out` found it.
    pub(super) fn remembered_alone(&self, word: &str, work_out: impl FnOnce() -> bool) -> bool {
        if let Some(known) = self.memory.borrow().alone.get(word) {
            return *known;
        }
        let alone = work_out();
        let words = &mut self.memory.borrow_mut().alone;
        if words.len() < REMEMBERED {
            words.insert(word.into(), alone);
        }
        alone
    }

    /// What pieces of a place say together, by spans within their text.
    pub(super) fn place(&self, text: &str, drive: DriveSide) -> Option<Vec<Phrase>> {
        let side = drive as usize;
        if let Some(known) = self.memory.borrow().places[side].get(text) {
            return (!known.is_empty()).then(|| known.clone());
        }
        let mut said = Vec::new();
        if let Ok(place) = Place::parse(text, self.lexicon, drive) {
            said_by(&place, &(0..text.len()), &mut said);
        }
        let places = &mut self.memory.borrow_mut().places[side];
        if places.len() < REMEMBERED {
            places.insert(text.into(), said.clone());
        }
        (!said.is_empty()).then_some(said)
    }
}

/// Whether a phrase of colour may begin with a word.
fn begins_colour(text: &str, word: &Word<'_>) -> bool {
    let written = written(text, word);
    // Two single letters with a stroke are one word elsewhere: `L/H`, but also `R/W`.
    Colour::begins_with(&written.to_ascii_lowercase()) || (written.contains('/') && may_be_colour(written))
}

/// The longest phrase from word `at` that is a colour; a doubtful one only where none is certain.
fn colours(text: &str, words: &[Word<'_>], at: usize, found: &mut Vec<Found>) {
    let mut doubtful = None;
    // What is no colour by itself is one only right before one: of a `dash light wire yellow`, no light yellow.
    let apart = words.get(at + 1).is_some_and(|next| !begins_colour(text, next));
    let longest = if apart && Colour::parse(written(text, &words[at])).is_err() { 1 } else { LONGEST_COLOUR };
    for length in (1..=longest.min(words.len() - at)).rev() {
        let span = closed(text, words[at].span.start..words[at + length - 1].span.end);
        match Colour::parse(&text[span]) {
            Ok(colour) => {
                let what = Reading::Means(vec![Meaning::Colour(colour)]);
                found.push(Found { words: at..at + length, class: 0, what });
                return;
            }
            Err(misread) if misread.problem == Problem::Ambiguous && doubtful.is_none() => {
                let read = |text: &String| Colour::parse(text).ok().map(Meaning::Colour);
                let meanings: Vec<Meaning> = misread.readings.iter().filter_map(read).collect();
                doubtful = (!meanings.is_empty()).then_some((length, meanings));
            }
            Err(_) => {}
        }
    }
    if let Some((length, meanings)) = doubtful {
        found.push(Found { words: at..at + length, class: 1, what: Reading::Means(meanings) });
    }
}

/// A span with the bracket that closes one within it: `violet (white stripe)`.
fn closed(text: &str, span: Range<usize>) -> Range<usize> {
    let open = text[span.clone()].rfind('(') > text[span.clone()].rfind(')');
    span.start..span.end + usize::from(open && text[span.end..].starts_with(')'))
}

/// Whether codes with a stroke are those of a colour, though it may not be certain of which: `Y/B`.
fn may_be_colour(written: &str) -> bool {
    match Colour::parse(written) {
        Ok(_) => true,
        Err(misread) => misread.problem == Problem::Ambiguous && !misread.readings.is_empty(),
    }
}

/// A word as it stands in its text.
pub(super) fn written<'t>(text: &'t str, word: &Word<'_>) -> &'t str {
    &text[word.span.clone()]
}

/// The words that a span takes in.
fn covered(words: &[Word<'_>], span: &Range<usize>) -> Option<Range<usize>> {
    let start = words.partition_point(|word| word.span.start < span.start);
    let end = words.partition_point(|word| word.span.end <= span.end);
    (start < end).then_some(start..end)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_that_carry_nothing_are_sorted_for_the_search_among_them() {
        assert!(STOP.is_sorted());
    }
}
