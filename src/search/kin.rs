//! What the language has that is near to a word or a part: names that have the word in them, parts that are called
//! like another and more, and every phrase and word that can be written. Only questions ask for these.

use super::cut::Cutter;
use super::meaning::{Meaning, Spot};
use crate::catalogue::Point;
use crate::schema::Text;
use crate::value::lexicon::Kind;
use crate::vehicle::names::fold;

impl Cutter<'_> {
    /// What a word that means nothing by itself may be a part of: points, parts and fields whose names have it.
    pub(super) fn hinted_by(&self, key: &str) -> Vec<Meaning> {
        let mut meanings = Vec::new();
        let has = |phrase: &str| phrase.split([' ', '-']).any(|word| word == key);
        for point in &*self.language.catalogue.points {
            if has(&point.title) || has(&point.name) {
                meanings.push(Meaning::Point(point.name.to_string()));
            }
        }
        let fields = self.language.catalogue.fields.iter();
        let fields = fields.filter(|field| has(&field.title));
        meanings.extend(fields.map(|field| Meaning::Field(field.name.to_string())));
        meanings.extend(self.parts_where(has).map(|part| spot(None, part)));
        meanings
    }

    /// The points in whose name a word stands, where few have it: `reverse` is rather the reverse lamp than what is
    /// carried somewhere. A word that is a part of a place as well has to begin the name: `door`.
    pub(super) fn named_in_part(&self, word: &str, means: &[Meaning]) -> Vec<Meaning> {
        let read = self.lexicon.words(word);
        let key = fold(read.first().map_or(word, |word| &word.key));
        let place = means.iter().any(|meaning| matches!(meaning, Meaning::Spot(_)));
        let open = |meaning: &Meaning| match meaning {
            Meaning::Spot(spot) => spot.relation.is_none() && spot.sides.is_empty(),
            other => matches!(other, Meaning::Choice(..) | Meaning::Word(_)),
        };
        if key.is_empty() || word.contains(char::is_whitespace) || !means.iter().all(open) {
            return Vec::new();
        }
        let named = |name: &str| {
            let mut words = name.split([' ', '-']);
            if place { words.next() == Some(&key) } else { words.any(|own| own == key) }
        };
        let points = self.language.catalogue.points.iter();
        let found = self.few(points.filter(|point| named(&point.name) || (!place && named(&point.title))));
        let chosen = means.iter().any(|meaning| matches!(meaning, Meaning::Choice(..)));
        if found.is_empty() && chosen && !place { self.aliased_by(&key) } else { found }
    }

    /// Whether several words begin the name of a point: `tow connector`.
    pub(super) fn begins_a_name(&self, words: &str) -> bool {
        let key = words.to_lowercase().replace(' ', "-");
        let begins = |name: &str| name.strip_prefix(&key).is_some_and(|rest| rest.starts_with('-'));
        key.contains('-') && self.language.catalogue.points.iter().any(|point| begins(&point.name))
    }

    /// The points of which another name begins with a word, where few do: `crank` is the start signal.
    pub(super) fn aliased_by(&self, key: &str) -> Vec<Meaning> {
        let begins = |alias: &Text| alias.split([' ', '-']).next().is_some_and(|word| fold(word) == key);
        self.few(self.language.catalogue.points.iter().filter(|point| point.aliases.iter().any(begins)))
    }

    /// A word that more points share tells none of them.
    fn few<'p>(&self, points: impl Iterator<Item = &'p Point>) -> Vec<Meaning> {
        const FEW: usize = 2;
        let points: Vec<Meaning> = points.map(|point| Meaning::Point(point.name.to_string())).collect();
        if points.len() <= FEW { points } else { Vec::new() }
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

    /// The points that go by the name of a part of which no side is said, or by that with a word before it: by whatever
    /// other name of the part, its point may be meant, too. A turn signal is the left or the right turn.
    pub(super) fn namesakes(&self, of: &Spot) -> Vec<Meaning> {
        if of.relation.is_some() || !of.sides.is_empty() {
            return Vec::new();
        }
        let key: String = self.lexicon.words(&of.part).iter().map(|word| fold(&word.key)).collect();
        let named = self.named(&key).unwrap_or_default();
        let named: Vec<Meaning> =
            named.iter().filter(|meaning| matches!(meaning, Meaning::Point(_))).cloned().collect();
        if !named.is_empty() {
            return named;
        }
        let ends = |phrase: &str| phrase.strip_suffix(&*of.part).is_some_and(|first| first.ends_with(' '));
        self.few(self.language.catalogue.points.iter().filter(|point| point.phrases().any(ends)))
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
        of_places.chain(of_points.map(|phrase| &**phrase))
    }

    /// Every word that they have, as it is written there.
    pub(super) fn known_words(&self) -> impl Iterator<Item = &str> {
        self.known_phrases()
            .flat_map(|phrase| phrase.split(|c: char| !c.is_alphanumeric()))
            .filter(|word| !word.is_empty())
    }
}

fn spot(relation: Option<String>, part: &str) -> Meaning {
    Meaning::Spot(Spot { relation, part: part.to_owned(), sides: Default::default(), within: Vec::new() })
}
