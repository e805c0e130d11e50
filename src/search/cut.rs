//! Cutting a text into phrases that mean something: the same for a question and for the remark of a note. Every phrase
//! is read by the reader that serves its type; the longest phrase counts, and what may mean two things means both.
//!
//! What a meaning is to the index is the business of `meaning`; vehicles, years, people and typing errors are those of
//! a question alone (`ask`).

use std::cell::RefCell;
use std::collections::BTreeMap;
use std::ops::Range;

use foldhash::HashMap;

use super::figures;
use super::meaning::{Meaning, Spot};
use crate::language::Language;
use crate::value::colour::Colour;
use crate::value::lexicon::{Gap, Kind, Lexicon, Piece, What, Word};
use crate::value::place::{DriveSide, Place};
use crate::value::{FieldKind, Problem};
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

/// Words that carry nothing in a question, whatever stands beside them.
const STOP: [&str; 104] = [
    "a", "about", "after", "again", "ago", "all", "also", "am", "an", "and", "any", "anybody", "anyone",
    "are", "as", "be", "because", "been", "but", "by", "can", "could", "did", "do", "does", "find", "for",
    "from", "get", "go", "got", "had", "has", "have", "he", "her", "his", "how", "i", "if", "into", "is",
    "it", "its", "like", "look", "maybe", "me", "might", "must", "my", "need", "no", "not", "of", "on",
    "one", "or", "our", "out", "please", "remember", "said", "say", "she", "should", "show", "so", "some",
    "somebody", "someone", "than", "that", "the", "their", "them", "then", "there", "these", "they", "think",
    "this", "those", "to", "too", "up", "us", "was", "we", "were", "what", "when", "where", "which", "while",
    "who", "whose", "will", "with", "would", "written", "wrote", "you", "your",
];

/// Whether a word, by its key, carries nothing.
pub(super) fn is_stop(key: &str) -> bool {
    STOP.contains(&key)
}

/// Cuts texts into phrases.
#[derive(Debug)]
pub(super) struct Cutter<'l> {
    pub(super) language: &'l Language,
    pub(super) lexicon: &'static Lexicon,
    /// What the catalogue's own phrases mean, written as one word.
    catalogue: BTreeMap<String, Vec<Meaning>>,
    memory: RefCell<Memory>,
}

/// What was worked out once: the same few words and places recur in the notes of a book.
#[derive(Debug, Default)]
struct Memory {
    colourful: HashMap<String, bool>,
    places: HashMap<(String, DriveSide), Vec<Phrase>>,
}

/// More places than this are not remembered: a book may have notes without end.
const REMEMBERED: usize = 20_000;

/// A phrase that was found and competes with others for its words.
#[derive(Debug)]
struct Found {
    words: Range<usize>,
    /// The order among phrases of one length.
    class: u8,
    what: Reading,
}

/// Words of a text with what they were settled to mean.
struct Kept {
    words: Range<usize>,
    meanings: Vec<Meaning>,
    /// The piece of a place that they are, too; what that says is told by the pieces beside it.
    piece: Option<usize>,
}

#[derive(Debug, Clone)]
enum Reading {
    Means(Vec<Meaning>),
    /// A piece of a place: what it says is settled with the pieces beside it.
    Piece(usize),
}

impl<'l> Cutter<'l> {
    pub(super) fn new(language: &'l Language) -> Self {
        let mut cutter = Self {
            language,
            lexicon: Lexicon::builtin(),
            catalogue: BTreeMap::new(),
            memory: RefCell::default(),
        };
        for point in &language.catalogue.points {
            for phrase in [&point.name, &point.title].into_iter().chain(&point.aliases) {
                let words = cutter.lexicon.words(phrase);
                let key: String = words.iter().map(|word| fold(&word.key)).collect();
                cutter.add(key, Meaning::Point(point.name.clone()));
            }
        }
        for field in &language.catalogue.fields {
            let FieldKind::Choice(choices) = &field.kind else { continue };
            for (spelling, word) in choices.spellings().filter(|(spelling, _)| tells_by_itself(spelling)) {
                cutter.add(spelling.to_owned(), Meaning::Choice(field.name.clone(), word.to_owned()));
            }
        }
        cutter
    }

    fn add(&mut self, key: String, meaning: Meaning) {
        let meanings = self.catalogue.entry(key).or_default();
        if !meanings.contains(&meaning) {
            meanings.push(meaning);
        }
    }

    /// Cuts `text`. The driver sits on `drive`.
    pub(super) fn cut(&self, text: &str, drive: DriveSide) -> Vec<Phrase> {
        self.cut_with(text, drive, Vec::new())
    }

    /// The same, with phrases that somebody else found: the words that they take, and what they mean.
    pub(super) fn cut_with(
        &self,
        text: &str,
        drive: DriveSide,
        others: Vec<(Range<usize>, Meaning)>,
    ) -> Vec<Phrase> {
        let (words, pieces) = self.lexicon.words_and_pieces(text);
        self.cut_read(text, drive, (&words, &pieces), others)
    }

    /// The same of a text of which the words and pieces are known already.
    pub(super) fn cut_read(
        &self,
        text: &str,
        drive: DriveSide,
        (words, pieces): (&[Word], &[Piece]),
        others: Vec<(Range<usize>, Meaning)>,
    ) -> Vec<Phrase> {
        let other = |(words, meaning)| Found { words, class: 1, what: Reading::Means(vec![meaning]) };
        let mut found: Vec<Found> = others.into_iter().map(other).collect();
        for at in 0..words.len() {
            self.colours(text, words, at, &mut found);
            figures::all(self.language, text, words, at, &mut |length, meanings| {
                found.push(Found { words: at..at + length, class: 0, what: Reading::Means(meanings) });
            });
            self.of_catalogue(text, words, at, &mut found);
        }
        for (at, piece) in pieces.iter().enumerate() {
            if let (What::Concept(id), Some(words)) = (&piece.what, covered(words, &piece.span)) {
                let place = matches!(self.lexicon.concept(*id).kind(), Kind::Component | Kind::Landmark);
                let class = if place { 2 } else { 3 };
                found.push(Found { words, class, what: Reading::Piece(at) });
            }
        }
        leave_names_their_last_word(&mut found);
        Settling { cutter: self, text, words, pieces, drive }.all(found)
    }

    /// The longest phrase from word `at` that is a colour; a doubtful one only where none is certain.
    fn colours(&self, text: &str, words: &[Word], at: usize, found: &mut Vec<Found>) {
        if !self.is_colourful(written(text, &words[at])) {
            return;
        }
        let mut doubtful = None;
        for length in (1..=LONGEST_COLOUR.min(words.len() - at)).rev() {
            let span = words[at].span.start..words[at + length - 1].span.end;
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

    /// Points and choices from word `at`.
    fn of_catalogue(&self, text: &str, words: &[Word], at: usize, found: &mut Vec<Found>) {
        let (mut by_key, mut as_written) = (String::new(), String::new());
        for (length, word) in (1..).zip(&words[at..]) {
            if length > 1 && word.gap == Gap::Break {
                return;
            }
            by_key.push_str(&fold(&word.key));
            as_written.push_str(&fold(written(text, word)));
            let differ = by_key != as_written;
            if !(self.goes_on(&by_key) || differ && self.goes_on(&as_written)) {
                return;
            }
            let mut meanings: Vec<Meaning> = self.catalogue.get(&by_key).cloned().unwrap_or_default();
            if differ {
                meanings.extend(self.catalogue.get(&as_written).into_iter().flatten().cloned());
            }
            if !meanings.is_empty() {
                let point = meanings.iter().any(|meaning| matches!(meaning, Meaning::Point(_)));
                let class = if point { 2 } else { 4 };
                found.push(Found { words: at..at + length, class, what: Reading::Means(meanings) });
            }
        }
    }

    /// Whether a phrase of the catalogue begins like this.
    fn goes_on(&self, beginning: &str) -> bool {
        use std::ops::Bound::{Included, Unbounded};
        let next = self.catalogue.range::<str, _>((Included(beginning), Unbounded)).next();
        !beginning.is_empty() && next.is_some_and(|(phrase, _)| phrase.starts_with(beginning))
    }

    /// Whether a phrase of colour may begin with a word.
    fn is_colourful(&self, word: &str) -> bool {
        let mut memory = self.memory.borrow_mut();
        if let Some(known) = memory.colourful.get(word) {
            return *known;
        }
        // Two single letters with a stroke are one word elsewhere: `L/H`, but also `R/W`.
        let colourful = Colour::begins_with(&word.to_ascii_lowercase())
            || (word.contains('/') && Colour::parse(word).is_ok());
        if memory.colourful.len() < REMEMBERED {
            memory.colourful.insert(word.to_owned(), colourful);
        }
        colourful
    }

    /// What pieces of a place say together, by spans within their text.
    fn place(&self, text: &str, drive: DriveSide) -> Option<Vec<Phrase>> {
        let key = (text.to_owned(), drive);
        if let Some(known) = self.memory.borrow().places.get(&key) {
            return (!known.is_empty()).then(|| known.clone());
        }
        let mut said = Vec::new();
        if let Ok(place) = Place::parse(text, self.lexicon, drive) {
            said_by(&place, &(0..text.len()), &mut said);
        }
        let mut memory = self.memory.borrow_mut();
        if memory.places.len() < REMEMBERED {
            memory.places.insert(key, said.clone());
        }
        (!said.is_empty()).then_some(said)
    }

    /// What a word that means nothing by itself may be a part of: points, parts and fields whose names have it.
    pub(super) fn hinted_by(&self, key: &str) -> Vec<Meaning> {
        let mut meanings = Vec::new();
        let has = |phrase: &str| phrase.split([' ', '-']).any(|word| word == key);
        for point in &self.language.catalogue.points {
            if has(&point.title) || has(&point.name) {
                meanings.push(Meaning::Point(point.name.clone()));
            }
        }
        let fields = self.language.catalogue.fields.iter();
        let fields = fields.filter(|field| has(&field.title));
        meanings.extend(fields.map(|field| Meaning::Field(field.name.clone())));
        let named = |name: &str| has(name);
        meanings.extend(self.parts_where(named).map(|part| spot(None, part)));
        meanings
    }

    /// Parts that are called like this one and more: what is above the hood release may be above its cable.
    pub(super) fn kin(&self, of: &Spot) -> Vec<Meaning> {
        let own = self.lexicon.concepts().find(|(_, concept)| concept.name() == of.part);
        let Some((_, own)) = own else { return Vec::new() };
        let phrases: Vec<&str> = own.phrases().filter(|phrase| phrase.contains(' ')).collect();
        let like = |name: &str| {
            let more = |phrase: &&str| name.strip_prefix(*phrase).is_some_and(|rest| rest.starts_with(' '));
            name != of.part && phrases.iter().any(more)
        };
        self.parts_where(like).map(|part| spot(of.relation.clone(), part)).collect()
    }

    fn parts_where(&self, wanted: impl Fn(&str) -> bool) -> impl Iterator<Item = &'static str> {
        let places = self.lexicon.concepts().map(|(_, concept)| concept);
        places
            .filter(|concept| matches!(concept.kind(), Kind::Component | Kind::Landmark))
            .map(|concept| concept.name())
            .filter(move |name| wanted(name))
    }

    /// Every phrase of the lexicon and the catalogue.
    pub(super) fn known_phrases(&self) -> impl Iterator<Item = &str> {
        let points = self.language.catalogue.points.iter();
        let of_points = points.flat_map(|point| point.aliases.iter().chain([&point.title]));
        let of_places = self.lexicon.concepts().flat_map(|(_, concept)| concept.phrases());
        of_places.chain(of_points.map(String::as_str))
    }

    /// Every word that they have, as it is written there.
    pub(super) fn known_words(&self) -> impl Iterator<Item = &str> {
        self.known_phrases()
            .flat_map(|phrase| phrase.split(|c: char| !c.is_alphanumeric()))
            .filter(|word| !word.is_empty())
    }
}

/// `park light green` is the park light and green, not light green behind a word: a colour does without its first word
/// where that ends a longer name, if the rest is a colour as well.
fn leave_names_their_last_word(found: &mut Vec<Found>) {
    let is_colour = |one: &Found| matches!(&one.what, Reading::Means(meanings) if matches!(meanings[..], [Meaning::Colour(_), ..]));
    let names: Vec<usize> =
        found.iter().filter(|one| one.words.len() > 1 && one.class == 2).map(|one| one.words.end).collect();
    let colours: Vec<Range<usize>> =
        found.iter().filter(|one| is_colour(one)).map(|one| one.words.clone()).collect();
    found.retain(|one| {
        let rest = one.words.start + 1..one.words.end;
        !(is_colour(one) && names.contains(&rest.start) && colours.contains(&rest))
    });
}

fn spot(relation: Option<String>, part: &str) -> Meaning {
    Meaning::Spot(Spot { relation, part: part.to_owned(), sides: Default::default(), within: Vec::new() })
}

/// Whether a spelling of a choice says enough without its field: `ignition`, but not `30`, `+` or `yes`.
fn tells_by_itself(spelling: &str) -> bool {
    const SAY_NOTHING: [&str; 6] = ["yes", "no", "without", "new", "left", "right"];
    spelling.len() > 1 && spelling.contains(|c: char| c.is_alphabetic()) && !SAY_NOTHING.contains(&spelling)
}

/// A word as it stands in its text.
pub(super) fn written<'t>(text: &'t str, word: &Word) -> &'t str {
    &text[word.span.clone()]
}

/// The words that a span takes in.
fn covered(words: &[Word], span: &Range<usize>) -> Option<Range<usize>> {
    let start = words.iter().position(|word| word.span.start >= span.start)?;
    let end = words.iter().rposition(|word| word.span.end <= span.end)? + 1;
    (start < end).then_some(start..end)
}

/// Deals the words of a text to the phrases that were found in it.
struct Settling<'a, 'l> {
    cutter: &'a Cutter<'l>,
    text: &'a str,
    words: &'a [Word],
    pieces: &'a [Piece],
    drive: DriveSide,
}

impl Settling<'_, '_> {
    fn all(&self, mut found: Vec<Found>) -> Vec<Phrase> {
        found.sort_by_key(|one| (std::cmp::Reverse(one.words.len()), one.class, one.words.start));
        let mut owner: Vec<Option<usize>> = vec![None; self.words.len()];
        let mut kept: Vec<Kept> = Vec::new();
        for one in found {
            let words = one.words.clone();
            match owner[words.start].map(|own| &mut kept[own]).filter(|own| own.words == words) {
                Some(own) => self.also(own, one),
                None if owner[words.clone()].iter().any(Option::is_some) => {}
                None => {
                    owner[words.clone()].fill(Some(kept.len()));
                    kept.push(match one.what {
                        Reading::Means(meanings) => Kept { words, meanings, piece: None },
                        Reading::Piece(at) => Kept { words, meanings: Vec::new(), piece: Some(at) },
                    });
                }
            }
        }
        self.phrases(&owner, &kept)
    }

    /// The same words may mean this as well: a part of a place may be called like a point. A side or a relation is
    /// nothing else.
    fn also(&self, own: &mut Kept, one: Found) {
        match one.what {
            Reading::Piece(at) if own.piece.is_none() && self.is_part(&self.pieces[at]) => {
                own.piece = Some(at)
            }
            Reading::Piece(_) => {}
            Reading::Means(more) if own.piece.is_none_or(|at| self.is_part(&self.pieces[at])) => {
                own.meanings.extend(more);
            }
            Reading::Means(_) => {}
        }
    }

    fn phrases(&self, owner: &[Option<usize>], kept: &[Kept]) -> Vec<Phrase> {
        let mut phrases = Vec::new();
        let mut at = 0;
        while at < self.words.len() {
            let Some(own) = owner[at].map(|own| &kept[own]) else {
                match self.stray(at) {
                    Some(said) => phrases.extend(said),
                    None => phrases.extend(self.word(at)),
                }
                at += 1;
                continue;
            };
            at = own.words.end;
            if own.piece.is_none() {
                phrases.push(Phrase { span: self.span(&own.words), meanings: own.meanings.clone() });
                continue;
            }
            let mut run = vec![own];
            while let Some(next) = self.continues(owner, kept, at) {
                at = next.words.end;
                run.push(next);
            }
            self.place(&run, &mut phrases);
        }
        phrases
    }

    /// The piece of a place that goes on at word `at`, small words passed over.
    fn continues<'k>(&self, owner: &[Option<usize>], kept: &'k [Kept], at: usize) -> Option<&'k Kept> {
        let small = |word: &Word| matches!(word.key.as_str(), "a" | "an" | "the" | "and");
        let skip = (at..owner.len()).take_while(|at| owner[*at].is_none() && small(&self.words[*at])).count();
        let next = &kept[(*owner.get(at + skip)?)?];
        next.piece.is_some().then_some(next)
    }

    fn span(&self, words: &Range<usize>) -> Range<usize> {
        self.words[words.start].span.start..self.words[words.end - 1].span.end
    }

    /// What pieces of a place that stand side by side say together; where that cannot be told, what each says. Words
    /// that mean something else, too, are a phrase with both meanings.
    fn place(&self, run: &[&Kept], phrases: &mut Vec<Phrase>) {
        let (Some(first), Some(last)) = (run.first(), run.last()) else { return };
        let span = self.span(&(first.words.start..last.words.end));
        let mut said = self.placed(&span).unwrap_or_else(|| self.piece_by_piece(&span));
        for own in run.iter().filter(|own| !own.meanings.is_empty()) {
            let part = own.piece.and_then(|at| self.part(at));
            let same = |phrase: &&mut Phrase| match (&phrase.meanings[0], &part) {
                (Meaning::Spot(spot), Some(part)) => spot.part == *part,
                _ => false,
            };
            match said.iter_mut().find(same) {
                Some(phrase) => phrase.meanings.extend(own.meanings.iter().cloned()),
                None => said.push(Phrase { span: self.span(&own.words), meanings: own.meanings.clone() }),
            }
        }
        phrases.append(&mut said);
    }

    fn part(&self, piece: usize) -> Option<String> {
        let What::Concept(id) = self.pieces[piece].what else { return None };
        Some(self.cutter.lexicon.concept(id).name().to_owned())
    }

    /// What a stretch of the text says as one place.
    fn placed(&self, span: &Range<usize>) -> Option<Vec<Phrase>> {
        let said = self.cutter.place(&self.text[span.clone()], self.drive)?;
        let moved = |phrase: Phrase| Phrase {
            span: phrase.span.start + span.start..phrase.span.end + span.start,
            ..phrase
        };
        Some(said.into_iter().map(moved).collect())
    }

    fn piece_by_piece(&self, span: &Range<usize>) -> Vec<Phrase> {
        let inside = |piece: &&Piece| piece.span.start >= span.start && piece.span.end <= span.end;
        let pieces: Vec<&Piece> = self.pieces.iter().filter(inside).collect();
        // A relation at the end, to nothing, is what most often stands in the way.
        let names = |piece: &&Piece| self.is_part(piece) || self.kind(piece) == Some(Kind::Side);
        let whole = pieces.iter().rposition(names).map(|last| pieces[last].span.end);
        if let Some(end) = whole.filter(|end| *end < span.end)
            && let Some(said) = self.placed(&(span.start..end))
        {
            return said;
        }
        pieces.iter().filter_map(|piece| self.placed(&piece.span)).flatten().collect()
    }

    fn is_part(&self, piece: &Piece) -> bool {
        matches!(self.kind(piece), Some(Kind::Component | Kind::Landmark))
    }

    fn kind(&self, piece: &Piece) -> Option<Kind> {
        match piece.what {
            What::Concept(id) => Some(self.cutter.lexicon.concept(id).kind()),
            What::Word(_) => None,
        }
    }

    /// What is left of a piece of a place of which another phrase took a word: `left` of `rear left` behind `route to
    /// the rear`.
    fn stray(&self, at: usize) -> Option<Vec<Phrase>> {
        let span = &self.words[at].span;
        let within = |piece: &Piece| piece.span.start <= span.start && span.end <= piece.span.end;
        let torn = self.pieces.iter().any(|piece| within(piece) && matches!(piece.what, What::Concept(_)));
        torn.then(|| self.placed(span)).flatten()
    }

    fn word(&self, at: usize) -> Option<Phrase> {
        let key = fold(&self.words[at].key);
        // By its key, `does` is more than one doe.
        if key.is_empty() || is_stop(&key) || is_stop(&fold(written(self.text, &self.words[at]))) {
            return None;
        }
        Some(Phrase { span: self.words[at].span.clone(), meanings: vec![Meaning::Word(key)] })
    }
}

/// The parts and the sides of a place, each a phrase of its own.
fn said_by(place: &Place, span: &Range<usize>, phrases: &mut Vec<Phrase>) {
    let mut push = |meaning| phrases.push(Phrase { span: span.clone(), meanings: vec![meaning] });
    let mut named = false;
    for said in place.says().filter(|said| said.known) {
        let part = said.relation.is_none().then(|| said.subject.to_owned());
        push(Meaning::Spot(Spot::from(said.clone())));
        if !said.sides.is_empty() {
            push(Meaning::Sides(said.sides, part));
            named = true;
        }
    }
    let bare = place.lies_on();
    if !bare.is_empty() && !named {
        push(Meaning::Sides(bare, None));
    }
}
