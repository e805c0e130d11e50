//! The phrases of the catalogue by which a text is cut: the names of points and the words of choices, each written as
//! one word. Those of the points that come with the program were made when it was built; only a shop's own are made
//! at a start.

use super::meaning::Meaning;
use crate::catalogue::{Catalogue, Point};
use crate::value::lexicon::Lexicon;
use crate::value::{Choices, FieldKind};
use crate::vehicle::names::fold;

/// The phrases of the built-in points, sorted, each with the numbers of the points that go by it.
static POINTS: &[(&str, &[usize])] = include!(concat!(env!("OUT_DIR"), "/phrases.rs"));

/// The phrases of one catalogue.
#[derive(Debug)]
pub(super) struct Phrasebook<'l> {
    catalogue: &'l Catalogue,
    /// Those of the shop's own points, sorted.
    own: Vec<(String, usize)>,
    /// The first two letters of all phrases: most words are told by these to begin none.
    beginnings: Beginnings,
}

/// A set of beginnings of two letters or figures.
#[derive(Debug)]
struct Beginnings([u64; Beginnings::ROWS]);

impl Beginnings {
    /// One for each letter and figure, and one for all else.
    const ROWS: usize = 37;

    fn row(byte: u8) -> usize {
        match byte {
            b'a'..=b'z' => usize::from(byte - b'a'),
            b'0'..=b'9' => usize::from(byte - b'0') + 26,
            _ => Self::ROWS - 1,
        }
    }

    fn add(&mut self, phrase: &str) {
        if let [first, second, ..] = phrase.as_bytes() {
            self.0[Self::row(*first)] |= 1 << Self::row(*second);
        }
    }

    /// Whether a phrase may begin like this.
    fn may_have(&self, beginning: &str) -> bool {
        match beginning.as_bytes() {
            [first, second, ..] => self.0[Self::row(*first)] >> Self::row(*second) & 1 == 1,
            _ => true,
        }
    }
}

impl<'l> Phrasebook<'l> {
    pub(super) fn new(catalogue: &'l Catalogue, lexicon: &Lexicon) -> Self {
        let key = |phrase: &str| lexicon.words(phrase).iter().map(|word| fold(&word.key)).collect::<String>();
        let numbered = catalogue.points.iter().enumerate().filter(|(_, point)| point.own);
        let phrases = numbered.flat_map(|(at, point)| point.phrases().map(move |phrase| (phrase, at)));
        let mut own: Vec<(String, usize)> = phrases.map(|(phrase, at)| (key(phrase), at)).collect();
        own.sort_unstable();
        own.dedup();
        let mut book = Self { catalogue, own, beginnings: Beginnings([0; Beginnings::ROWS]) };
        let points = POINTS.iter().map(|(phrase, _)| *phrase);
        points
            .chain(book.own.iter().map(|(phrase, _)| phrase.as_str()))
            .for_each(|own| book.beginnings.add(own));
        let choices = book.choices().flat_map(|(_, choices)| choices.spelt_from(""));
        choices.for_each(|(spelling, _)| book.beginnings.add(spelling));
        book
    }

    /// Whether one of the shop's own phrases is such.
    pub(super) fn has_own(&self, is_such: impl Fn(&str) -> bool) -> bool {
        self.own.iter().any(|(phrase, _)| is_such(phrase))
    }

    /// Whether a phrase begins like this.
    pub(super) fn goes_on(&self, beginning: &str) -> bool {
        if !self.beginnings.may_have(beginning) {
            return false;
        }
        let built_in = from(POINTS, beginning).iter().take_while(|(phrase, _)| phrase.starts_with(beginning));
        let own = from(&self.own, beginning).first().is_some_and(|(phrase, _)| phrase.starts_with(beginning));
        let mut still =
            built_in.flat_map(|(_, points)| *points).filter(|at| !self.catalogue.points[**at].own);
        own || still.next().is_some()
            || self.choices().any(|(_, choices)| {
                let mut spelt = choices.spelt_from(beginning);
                spelt.any(|(spelling, _)| tells_by_itself(spelling))
            })
    }

    /// The points that go by a phrase, in the order of the catalogue.
    fn points(&self, phrase: &str) -> Vec<&'l Point> {
        let built_in = POINTS.binary_search_by(|(known, _)| (*known).cmp(phrase));
        let built_in = built_in.map_or(&[][..], |at| POINTS[at].1).iter().copied();
        let mut found: Vec<usize> = built_in.filter(|at| !self.catalogue.points[*at].own).collect();
        found.extend(from(&self.own, phrase).iter().take_while(|(own, _)| own == phrase).map(|(_, at)| at));
        found.sort_unstable();
        found.into_iter().map(|at| &self.catalogue.points[at]).collect()
    }

    /// What a phrase means.
    pub(super) fn means(&self, phrase: &str) -> Vec<Meaning> {
        let points = self.points(phrase).into_iter().map(|point| Meaning::Point(point.name.to_string()));
        let choices = self.chosen(phrase);
        let choices = choices.map(|(field, word)| Meaning::Choice(field.to_owned(), word.to_owned()));
        points.chain(choices).collect()
    }

    /// The choices that are spelt like this: field and word.
    fn chosen(&self, spelling: &str) -> impl Iterator<Item = (&'l str, &'l str)> {
        let tells = tells_by_itself(spelling);
        let of = move |(field, choices): (&'l str, &'l Choices)| Some((field, choices.spelt(spelling)?));
        self.choices().filter_map(of).filter(move |_| tells)
    }

    fn choices(&self) -> impl Iterator<Item = (&'l str, &'l Choices)> + use<'l> {
        self.catalogue.fields.iter().filter_map(|field| match &field.kind {
            FieldKind::Choice(choices) => Some((&*field.name, choices)),
            _ => None,
        })
    }
}

/// The part of a sorted list that begins at `text`.
fn from<'a, T: AsRef<str>, U>(list: &'a [(T, U)], text: &str) -> &'a [(T, U)] {
    &list[list.partition_point(|(known, _)| known.as_ref() < text)..]
}

/// Whether a spelling of a choice says enough without its field: `ignition`, but not `30`, `+` or `yes`.
fn tells_by_itself(spelling: &str) -> bool {
    const SAY_NOTHING: [&str; 6] = ["yes", "no", "without", "new", "left", "right"];
    spelling.len() > 1 && spelling.contains(|c: char| c.is_alphabetic()) && !SAY_NOTHING.contains(&spelling)
}
