//! Makes the table of concepts of the lexicon's file and refuses what does not hold together:
//! a phrase said twice, a name that does not exist, a part that lies within itself.

//!
//! It is compiled twice: into `schema/build.rs`, which makes the lexicon that comes with the program, and into the
//! program, where a lexicon is read from a text.

use std::borrow::Cow;
use std::collections::BTreeMap;

use super::fold::{self, Words, tokens};
use super::phrases::Phrases;
use super::side::{Side, Sides};
use super::table::{Composition, Concept, ConceptId, Kind, LexiconError};
use crate::schema::lexicon::{Entry, File};
use crate::schema::{List, Text};

/// What a lexicon is made of.
#[derive(Debug, Clone)]
pub(super) struct Made {
    pub(super) concepts: List<Concept>,
    pub(super) wholes: List<(ConceptId, Composition)>,
    pub(super) phrases: Phrases,
    pub(super) words: Words,
}

fn entries(file: File) -> Vec<(Kind, Entry)> {
    let filler = |name| (Kind::Filler, Entry { name, ..Entry::default() });
    let of_kind = |kind| move |entry| (kind, entry);
    let parts = file.component.into_iter().map(of_kind(Kind::Component));
    parts
        .chain(file.landmark.into_iter().map(of_kind(Kind::Landmark)))
        .chain(file.side.into_iter().map(of_kind(Kind::Side)))
        .chain(file.relation.into_iter().map(of_kind(Kind::Relation)))
        .chain(file.fillers.into_iter().map(filler))
        .collect()
}

/// Makes a whole lexicon of what its file says.
pub(super) fn lexicon(mut file: File) -> Result<Made, LexiconError> {
    let words = word_map(&std::mem::take(&mut file.words))?;
    let entries = entries(file);
    if entries.len() > usize::from(u16::MAX) {
        return Err(LexiconError::Format("a lexicon holds at most 65,535 entries".to_owned()));
    }
    let names = Names(
        entries.iter().enumerate().map(|(at, (_, e))| (e.name.as_str(), ConceptId(at as u16))).collect(),
    );
    let concepts =
        entries.iter().map(|(kind, entry)| names.concept(*kind, entry)).collect::<Result<Vec<_>, _>>()?;
    let phrases = phrases(&concepts, &words)?;
    let concepts = lineage(concepts)?;
    let wholes = wholes(&concepts);
    Ok(Made { concepts: Cow::Owned(concepts), wholes: Cow::Owned(wholes), phrases, words })
}

fn word_map(words: &BTreeMap<String, Vec<String>>) -> Result<Words, LexiconError> {
    let mut map: BTreeMap<String, Text> = BTreeMap::new();
    for (word, variants) in words {
        for variant in variants {
            let from = fold::singular(variant).into_owned();
            let to = Cow::Owned(fold::singular(word).into_owned());
            let known = words.contains_key(&from) || map.insert(from, to).is_some();
            if known {
                return Err(LexiconError::Duplicate {
                    entry: format!("words.{word}"),
                    synonym: variant.clone(),
                    other: "another word".to_owned(),
                });
            }
        }
    }
    Ok(Words { list: map.into_iter().map(|(from, to)| (Cow::Owned(from), to)).collect() })
}

/// The concepts by name, for entries that name others.
struct Names<'a>(BTreeMap<&'a str, ConceptId>);

impl Names<'_> {
    fn find(&self, entry: &Entry, name: &str) -> Result<ConceptId, LexiconError> {
        let missing = || LexiconError::NoSuchEntry { entry: entry.name.clone(), name: name.to_owned() };
        self.0.get(name).copied().ok_or_else(missing)
    }

    fn concept(&self, kind: Kind, entry: &Entry) -> Result<Concept, LexiconError> {
        let within = entry.within.iter().map(|name| self.find(entry, name)).collect::<Result<_, _>>()?;
        let made_of =
            entry.made_of.iter().map(|parts| self.composition(entry, parts)).collect::<Result<_, _>>()?;
        let opposite = entry.opposite.as_ref().map(|name| self.find(entry, name)).transpose()?;
        Ok(Concept {
            name: Cow::Owned(entry.name.clone()),
            synonyms: entry.also.iter().map(|phrase| Cow::Owned(phrase.clone())).collect(),
            kind,
            within,
            sided: entry.sided,
            apart: entry.apart,
            area: None,
            implied: sides(entry, &entry.implied)?,
            made_of,
            sides: if kind == Kind::Side { entry_sides(entry)? } else { Sides::NONE },
            opposite,
            keeps_side: entry.keeps_side,
            neutral: entry.neutral,
            several: entry.several,
        })
    }

    fn composition(
        &self,
        entry: &Entry,
        [component, relation, landmark]: &[String; 3],
    ) -> Result<Composition, LexiconError> {
        Ok(Composition {
            component: self.find(entry, component)?,
            relation: self.find(entry, relation)?,
            landmark: self.find(entry, landmark)?,
        })
    }
}

/// A plain side is known by its name, a compound one by the sides that it lists.
fn entry_sides(entry: &Entry) -> Result<Sides, LexiconError> {
    let own = std::slice::from_ref(&entry.name);
    sides(entry, if entry.sides.is_empty() { own } else { &entry.sides })
}

fn sides(entry: &Entry, names: &[String]) -> Result<Sides, LexiconError> {
    let side = |name: &String| {
        Side::named(name)
            .ok_or_else(|| LexiconError::NoSuchEntry { entry: entry.name.clone(), name: name.clone() })
    };
    names.iter().map(side).collect()
}

fn phrases(concepts: &[Concept], words: &Words) -> Result<Phrases, LexiconError> {
    let mut phrases = Phrases::default();
    for (at, concept) in concepts.iter().enumerate() {
        for phrase in concept.phrases() {
            let tokens = tokens(phrase, words);
            if tokens.is_empty() {
                let entry = concept.name.clone().into_owned();
                return Err(LexiconError::Empty { entry, synonym: phrase.to_owned() });
            }
            let keys = tokens.iter().map(|token| &*token.key);
            if let Some(other) = phrases.add(keys, ConceptId(at as u16)) {
                return Err(LexiconError::Duplicate {
                    entry: concept.name.clone().into_owned(),
                    synonym: phrase.to_owned(),
                    other: concepts[other.index()].name.clone().into_owned(),
                });
            }
        }
    }
    Ok(phrases)
}

/// Follows `within` to the end: every concept gets all that lies around it, and its area.
fn lineage(concepts: Vec<Concept>) -> Result<Vec<Concept>, LexiconError> {
    let around: Vec<Vec<ConceptId>> = (0..concepts.len()).map(|at| surroundings(&concepts, at)).collect();
    let apart: Vec<bool> = concepts.iter().map(|concept| concept.apart).collect();
    let complete = |(at, (mut concept, within)): (usize, (Concept, Vec<ConceptId>))| {
        let own = ConceptId(at as u16);
        if within.contains(&own) {
            return Err(LexiconError::WithinItself { entry: concept.name.into_owned() });
        }
        concept.area = std::iter::once(own).chain(within.iter().copied()).find(|id| apart[id.index()]);
        concept.within = Cow::Owned(within);
        Ok(concept)
    };
    concepts.into_iter().zip(around).enumerate().map(complete).collect()
}

fn wholes(concepts: &[Concept]) -> Vec<(ConceptId, Composition)> {
    let numbered = concepts.iter().enumerate();
    numbered
        .flat_map(|(at, whole)| whole.made_of.iter().map(move |way| (ConceptId(at as u16), *way)))
        .collect()
}

fn surroundings(concepts: &[Concept], at: usize) -> Vec<ConceptId> {
    let mut found: Vec<ConceptId> = concepts[at].within.to_vec();
    let mut next = 0;
    while let Some(id) = found.get(next) {
        for outer in &*concepts[id.index()].within {
            if !found.contains(outer) {
                found.push(*outer);
            }
        }
        next += 1;
    }
    found
}
