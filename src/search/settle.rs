//! Deals the words of a text to the phrases that were found in it: the longest first, what is of equal length by its
//! class, and pieces of a place that stand side by side as one place.
//!
//! Which phrases there are is found by `cut`.

use std::collections::HashSet;
use std::ops::Range;

use super::cut::{Cutter, Phrase, is_stop, written};
use super::meaning::{Meaning, Spot};
use crate::value::lexicon::{Kind, Piece, What, Word};
use crate::value::place::{DriveSide, Place};
use crate::vehicle::names::fold;

/// A phrase that was found and competes with others for its words.
#[derive(Debug)]
pub(super) struct Found {
    pub(super) words: Range<usize>,
    /// The order among phrases of one length.
    pub(super) class: u8,
    pub(super) what: Reading,
}

/// Words of a text with what they were settled to mean.
struct Kept {
    words: Range<usize>,
    meanings: Vec<Meaning>,
    /// The piece of a place that they are, too; what that says is told by the pieces beside it.
    piece: Option<usize>,
}

#[derive(Debug, Clone)]
pub(super) enum Reading {
    Means(Vec<Meaning>),
    /// A piece of a place: what it says is settled with the pieces beside it.
    Piece(usize),
}

/// Deals the words of a text to the phrases that were found in it.
pub(super) struct Settling<'a, 'l> {
    pub(super) cutter: &'a Cutter<'l>,
    pub(super) text: &'a str,
    pub(super) words: &'a [Word<'a>],
    pub(super) pieces: &'a [Piece<'a>],
    pub(super) drive: DriveSide,
    /// Whether words that mean nothing else are told.
    pub(super) tells_words: bool,
}

impl Settling<'_, '_> {
    pub(super) fn all(&self, mut found: Vec<Found>) -> Vec<Phrase> {
        leave_names_their_last_word(&mut found);
        leave_names_their_first_word(&mut found);
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
                    None if self.tells_words => phrases.extend(self.word(at)),
                    None => {}
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
        let small = |word: &Word<'_>| matches!(&*word.key, "a" | "an" | "the" | "and");
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
                (Meaning::Spot(spot), Some(part)) => {
                    spot.part == *part && self.names_the_place(own, part, run)
                }
                _ => false,
            };
            match said.iter_mut().find(same) {
                Some(phrase) => phrase.meanings.extend(own.meanings.iter().cloned()),
                None => said.push(Phrase { span: self.span(&own.words), meanings: own.meanings.clone() }),
            }
        }
        phrases.append(&mut said);
    }

    /// Whether words that mean something else beside a part are the ones that say the place. Of several that go by
    /// one part, that is what means nothing else, else what means a point: of a `7-pin trailer plug` the first word is
    /// the pattern alone, of a `left rear lamp, tail light wire` the rest is the point alone.
    fn names_the_place(&self, own: &Kept, part: &str, run: &[&Kept]) -> bool {
        let kind = |one: &Kept| match one.meanings.first() {
            None => 0,
            Some(Meaning::Point(_)) => 1,
            Some(_) => 2,
        };
        let of_part = |one: &&&Kept| one.piece.and_then(|at| self.part(at)).is_some_and(|name| name == part);
        let first = run.iter().filter(of_part).min_by_key(|one| kind(one));
        first.is_none_or(|first| first.words == own.words)
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
        let inside = |piece: &&Piece<'_>| piece.span.start >= span.start && piece.span.end <= span.end;
        let pieces: Vec<&Piece<'_>> = self.pieces.iter().filter(inside).collect();
        // A relation at the end, to nothing, is what most often stands in the way.
        let names = |piece: &&Piece<'_>| self.is_part(piece) || self.kind(piece) == Some(Kind::Side);
        let whole = pieces.iter().rposition(names).map(|last| pieces[last].span.end);
        if let Some(end) = whole.filter(|end| *end < span.end)
            && let Some(said) = self.placed(&(span.start..end))
        {
            return said;
        }
        pieces.iter().filter_map(|piece| self.placed(&piece.span)).flatten().collect()
    }

    fn is_part(&self, piece: &Piece<'_>) -> bool {
        matches!(self.kind(piece), Some(Kind::Component | Kind::Landmark))
    }

    fn kind(&self, piece: &Piece<'_>) -> Option<Kind> {
        match piece.what {
            What::Concept(id) => Some(self.cutter.lexicon.concept(id).kind()),
            What::Word(_) => None,
        }
    }

    /// What is left of a piece of a place of which another phrase took a word: `left` of `rear left` behind `route to
    /// the rear`.
    fn stray(&self, at: usize) -> Option<Vec<Phrase>> {
        let span = &self.words[at].span;
        let before = self.pieces.partition_point(|piece| piece.span.start <= span.start);
        let piece = self.pieces[..before].last().filter(|piece| span.end <= piece.span.end)?;
        matches!(piece.what, What::Concept(_)).then(|| self.placed(span)).flatten()
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

/// Of two names that share a word, that is meant which leaves the other's rest a meaning: `tailgate door trigger` is the
/// door trigger of the tailgate, since no name begins with the trigger.
fn leave_names_their_first_word(found: &mut Vec<Found>) {
    let is_name = |one: &&Found| one.class == 2 && one.words.len() > 1;
    let names: Vec<Range<usize>> = found.iter().filter(is_name).map(|one| one.words.clone()).collect();
    let whole: HashSet<Range<usize>> = found.iter().map(|one| one.words.clone()).collect();
    let begun: HashSet<usize> = found.iter().map(|one| one.words.start).collect();
    let yields = |own: &Range<usize>, other: &Range<usize>| {
        let shares = own.start < other.start && other.start < own.end && own.end < other.end;
        let rest = own.start..other.start;
        shares && own.len() == other.len() && whole.contains(&rest) && !begun.contains(&own.end)
    };
    found.retain(|one| !(is_name(&one) && names.iter().any(|other| yields(&one.words, other))));
}

/// The parts and the sides of a place, each a phrase of its own.
pub(super) fn said_by(place: &Place, span: &Range<usize>, phrases: &mut Vec<Phrase>) {
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
