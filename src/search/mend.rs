//! Slips in the words of a question: which known word a misspelt one was meant to be, of the language, of the names of the
//! book or of its notes.
//!
//! How far two words are apart is told by `spell`; which words are looked at, by `question`.

use std::collections::BTreeSet;
use std::ops::Range;

use super::question::Reader;
use super::spell::{self, Misspelt};
use super::term::Kind;
use crate::book::ModelId;
use crate::note::Basis;
use crate::resolve::Names;
use crate::value::colour::Colour;
use crate::vehicle::names::fold;

/// A shorter word that notes have is taken as it is.
const LONG_ENOUGH: usize = 5;

/// A word that the language does not know, and hardly any note.
pub(super) struct Unknown {
    pub(super) span: Range<usize>,
    pub(super) key: String,
}

/// A word of the question that was replaced by another.
pub(super) struct Mended {
    pub(super) span: Range<usize>,
    pub(super) was: String,
    pub(super) by: String,
    /// The word itself, where a few notes have it: it may be meant after all.
    pub(super) literal: Option<String>,
}

impl<N: Names<Id = ModelId>> Reader<'_, '_, N> {
    /// The known words that unknown ones were meant to be.
    pub(super) fn mend(&self, text: &str, unknown: &[Unknown]) -> Vec<Mended> {
        let mut mended = Vec::new();
        // Where two words side by side are misspelt, each is looked at beside what the other was most likely meant to be.
        let mut likely = Vec::new();
        for word in unknown.iter().filter(|_| unknown.len() > 1) {
            let by = self.meant(&fold(&text[word.span.clone()]), ["", ""], self.is_noted(word));
            likely.extend(by.map(|by| (word, by)));
        }
        let or_meant = |word: &str, at: usize| {
            let meant = likely.iter().find(|(unknown, _)| unknown.span == (at..at + word.len()));
            meant.map_or_else(|| word.to_owned(), |(_, by)| by.clone())
        };
        for unknown in unknown {
            let span = &unknown.span;
            let was = text[span.clone()].to_owned();
            let (before, behind) = (text[..span.start].trim_end(), text[span.end..].trim_start());
            let first = before.split_whitespace().next_back().unwrap_or_default();
            let next = behind.split_whitespace().next().unwrap_or_default();
            let beside =
                [or_meant(first, before.len() - first.len()), or_meant(next, text.len() - behind.len())];
            let noted = self.is_noted(unknown);
            if let Some(by) = self.meant(&fold(&was), [&beside[0], &beside[1]], noted) {
                let literal = noted.then(|| unknown.key.clone());
                mended.push(Mended { span: span.clone(), was, by, literal });
            }
        }
        mended
    }

    fn is_noted(&self, word: &Unknown) -> bool {
        self.known.count(&Kind::Word.term(&word.key)) > 0
    }

    /// The word or the phrase that an unknown word was meant to be: a word of the language, of a name, or of a note.
    /// A word that a few notes have is only taken for one of the language or of a name.
    fn meant(&self, word: &str, beside: [&str; 2], noted: bool) -> Option<String> {
        // A word of a name is no slip where the rest of it is one, or is missing, or where it was written twice.
        if self.known.count(&Kind::Name.term(word)) > 0 {
            return None;
        }
        let as_it_is = || self.inflected(word).or_else(|| self.parted(word));
        if let Some(phrase) = self.run_together(word).or_else(|| if noted { None } else { as_it_is() }) {
            return Some(phrase);
        }
        if let Some(longer) = self.lacks_a_letter(word, beside).filter(|_| !noted) {
            return Some(longer);
        }
        if !spell::may_be_misspelt(word) || (noted && word.chars().count() < LONG_ENOUGH) {
            return None;
        }
        // What notes have in two forms is a word.
        if noted && self.inflected(word).is_some() {
            return None;
        }
        let own = self.own_words_like(word);
        let of_language = spell::nearest(word, own.iter().map(String::as_str), 0);
        // Nor is one of a longer phrase.
        if own.iter().any(|known| known == word) || (noted && of_language.is_empty()) {
            return None;
        }
        let of_notes = if noted { None } else { self.words_of_notes(word, 0) };
        // What the language knows is asked for more often than a word that some remark has.
        let slips = |known: &str| spell::distance(word, known, 0).map(spell::Distance::slips);
        match (of_language.first(), of_notes) {
            (Some(own), Some(noted)) if slips(&noted) < slips(own) => Some(noted),
            (Some(own), _) => {
                let phrase = slips(own).and_then(|slips| self.makes_a_phrase(word, beside, slips, 0));
                Some(phrase.unwrap_or_else(|| (*own).to_owned()))
            }
            (None, None) if !noted => self.begun_name(word),
            (None, of_notes) => of_notes,
        }
    }

    /// Another form of a word that notes or names have: `clicks` for `click`, `glue` for `glued`.
    fn inflected(&self, word: &str) -> Option<String> {
        const SHORTEST: usize = 4;
        let stems = ["", "s", "es", "d", "ed", "ing"].into_iter().filter_map(|end| word.strip_suffix(end));
        let stems: Vec<String> = stems.flat_map(|stem| [stem.to_owned(), format!("{stem}e")]).collect();
        let short = stems.iter().filter_map(|stem| stem.strip_suffix('e')).map(|stem| format!("{stem}ing"));
        let ended =
            stems.iter().flat_map(|stem| ["", "s", "d", "ed", "ing"].map(|end| format!("{stem}{end}")));
        let has = |form: &String| {
            let counts = [Kind::Word, Kind::Name].map(|kind| self.known.count(&kind.term(form)));
            form.len() >= SHORTEST && form != word && counts.iter().any(|count| *count > 0)
        };
        if word.len() < SHORTEST || !word.bytes().all(|byte| byte.is_ascii_lowercase()) {
            return None;
        }
        ended.chain(short).find(has)
    }

    /// The only name that begins like this.
    fn begun_name(&self, word: &str) -> Option<String> {
        const SHORTEST: usize = 4;
        if word.chars().count() < SHORTEST {
            return None;
        }
        let (mut name, mut others) = (None, false);
        self.known.between(
            &Kind::Name.term(word),
            &Kind::Name.term(&format!("{word}\u{10ffff}")),
            &mut |term, _| {
                let found = &term[1..];
                others |= name.as_deref().is_some_and(|known| known != found);
                name = Some(found.to_owned());
            },
        );
        name.filter(|_| !others)
    }

    /// The words of the language and of names that may be meant by a misspelt one, or are the same, folded; colours
    /// first, then words for places and points, models, people, bases and attributes, then shorthand.
    fn own_words_like(&self, word: &str) -> Vec<String> {
        let (mut own, misspelt) = (Vec::new(), Misspelt::new(word));
        // Shorthand such as `drvr` is what people write, not what they miss.
        let spoken = |word: &String| word.contains(['a', 'e', 'i', 'o', 'u', 'y']);
        Colour::spoken_words().for_each(|text| own.extend(misspelt.may_be_of(text).map(fold)));
        let phrases = self.cutter.known_phrases();
        phrases.for_each(|text| own.extend(misspelt.may_be_of(text).map(fold).filter(spoken)));
        let mut take = |text: &str| own.extend(misspelt.may_be_of(text).map(fold));
        let [first, last] = ["", "\u{10ffff}"].map(|name| Kind::Name.term(name));
        self.known.between(&first, &last, &mut |term, _| take(&term[1..]));
        self.register.people.values().for_each(|(_, name)| take(name));
        Basis::ALL.iter().for_each(|basis| take(basis.word()));
        let attributes = self.cutter.language.vocabulary().attributes().iter();
        attributes.flat_map(|attribute| &*attribute.values).for_each(|value| take(&value.plain));
        self.cutter.lexicon.variants().for_each(&mut take);
        own
    }

    /// A word of the language that is so many slips from a misspelt one, and makes a phrase with the word before or
    /// behind it: `brae wire`. `more` slips are allowed beside the usual.
    fn makes_a_phrase(
        &self,
        word: &str,
        [before, behind]: [&str; 2],
        slips: usize,
        more: usize,
    ) -> Option<String> {
        let [before, behind] = [before, behind].map(|word| self.spellings(word));
        let near = |known: &str| {
            spell::distance(word, known, more).is_some_and(|distance| distance.slips() == slips)
        };
        let mut found = None;
        for phrase in self.cutter.known_phrases() {
            let words = phrase.split([' ', '-']);
            for (first, second) in words.clone().zip(words.skip(1)) {
                if behind.iter().any(|word| folds_to(second, word)) && near(&fold(first)) {
                    return Some(fold(first));
                }
                if found.is_none() && before.iter().any(|word| folds_to(first, word)) && near(&fold(second)) {
                    found = Some(fold(second));
                }
            }
        }
        found
    }

    /// A word as written and as phrases are matched by: `tire`, `tyre`.
    fn spellings(&self, word: &str) -> Vec<String> {
        let key = self.cutter.lexicon.words(word).first().map(|word| fold(&word.key));
        let mut spellings: Vec<String> = key.into_iter().chain([fold(word)]).collect();
        spellings.dedup();
        spellings
    }

    /// For a word too short to be forgiven anything by itself: one of the language that has a letter more, and makes a
    /// phrase with the word before or behind it: `kik panel`.
    fn lacks_a_letter(&self, word: &str, beside: [&str; 2]) -> Option<String> {
        spell::may_lack_a_letter(word).then(|| self.makes_a_phrase(word, beside, 1, 1)).flatten()
    }

    /// The nearest word that notes have, the commonest of equally near ones. `more` slips are allowed beside the
    /// usual.
    pub(super) fn words_of_notes(&self, word: &str, more: usize) -> Option<String> {
        let mut best: Option<(spell::Distance, std::cmp::Reverse<u64>, String)> = None;
        self.known.between(&Kind::Word.term("a"), &Kind::Word.term("{"), &mut |term, count| {
            let Some(known) = term.get(1..) else { return };
            let Some(distance) = spell::distance(word, known, more) else { return };
            let found = (distance, std::cmp::Reverse(count), known.to_owned());
            if best.as_ref().is_none_or(|best| found < *best) {
                best = Some(found);
            }
        });
        best.map(|(.., word)| word)
    }

    /// Words of the language between which a blank was left out, though together they name nothing: `dashfuse` of a
    /// `dashfuse box`. As few as can be, the first the longest.
    fn parted(&self, word: &str) -> Option<String> {
        /// Shorter words stand in too many others by chance, but for what stands for a longer one: `rh`, `sw`.
        const SHORTEST: usize = 3;
        let lexicon = self.cutter.lexicon;
        // Where a known word ends that the word begins with, and where one begins that it ends with.
        let (mut ends, mut begins) = (BTreeSet::new(), BTreeSet::new());
        for part in self.cutter.known_words().filter(|part| part.len() >= SHORTEST) {
            ends.extend(word.starts_with(part).then_some(part.len()));
            begins.extend(word.ends_with(part).then(|| word.len() - part.len()));
        }
        let is_known =
            |word: &str| word.len() >= SHORTEST && self.cutter.known_words().any(|own| own == word);
        let stands_for_one = |part: &str| lexicon.words(part).first().is_some_and(|own| is_known(&own.key));
        let cuts = (2..word.len().saturating_sub(1)).rev().filter(|at| word.is_char_boundary(*at));
        let mut cuts = cuts.filter(|at| {
            let (first, rest) = word.split_at(*at);
            match (ends.contains(at), begins.contains(at)) {
                (true, true) => true,
                (true, false) => stands_for_one(rest),
                (false, true) => stands_for_one(first),
                (false, false) => false,
            }
        });
        cuts.next().map(|at| word.split_at(at)).map(|(first, rest)| format!("{first} {rest}"))
    }

    /// A phrase whose blanks were left out: `kickpanel`.
    fn run_together(&self, word: &str) -> Option<String> {
        let mut phrases = self.cutter.known_phrases();
        phrases.find(|phrase| folds_to(phrase, word) && phrase.contains([' ', '-'])).map(str::to_owned)
    }
}

/// The text with words replaced; the spans are those in the new text then.
pub(super) fn replaced(text: &str, mended: Vec<Mended>) -> (String, Vec<Mended>) {
    let (mut out, mut end) = (String::with_capacity(text.len()), 0);
    let mut moved = Vec::with_capacity(mended.len());
    for word in mended {
        out.push_str(&text[end..word.span.start]);
        end = word.span.end;
        let start = out.len();
        out.push_str(&word.by);
        moved.push(Mended { span: start..out.len(), ..word });
    }
    out.push_str(&text[end..]);
    (out, moved)
}

/// Whether a text folds to `folded`, which is not empty.
fn folds_to(text: &str, folded: &str) -> bool {
    if !text.is_ascii() {
        return !folded.is_empty() && fold(text) == folded;
    }
    let kept = text.bytes().filter(u8::is_ascii_alphanumeric);
    !folded.is_empty() && kept.map(|byte| byte.to_ascii_lowercase()).eq(folded.bytes())
}
