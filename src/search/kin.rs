//! What the language has that is near to a word or a part: names that have the word in them, parts that are called
//! like another and more, and every phrase and word that can be written. Only questions ask for these.

use super::cut::Cutter;
use super::meaning::{Meaning, Spot};
use crate::value::lexicon::Kind;

impl Cutter<'_> {
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

fn spot(relation: Option<String>, part: &str) -> Meaning {
    Meaning::Spot(Spot { relation, part: part.to_owned(), sides: Default::default(), within: Vec::new() })
}
