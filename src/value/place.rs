//! The place value: where on a vehicle something is, as a set of parts, sides and relations, and
//! how two such sets relate.
//!
//! How a text becomes the set is in `place::reading` and `place::order`, the comparison in
//! `place::compare`. The words are the lexicon's business; whether two notes speak of one
//! instance is the judge's.

mod compare;
mod order;
mod reading;
#[cfg(test)]
mod tests;

use std::fmt;
use std::sync::Arc;

use serde_json::{Map, Value, json};

use super::lexicon::{ConceptId, Lexicon, Sides, Table};
use super::{Misread, Relation, Typed};

/// On which side of the vehicle the steering wheel is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum DriveSide {
    /// On the left: the driver side is the left.
    Lhd,
    /// On the right: the driver side is the right.
    Rhd,
    /// Not known, or both: `driver side` stays a word of its own, which is neither left nor right.
    Either,
}

/// What an element speaks of.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
enum Subject {
    /// A component or landmark of the lexicon.
    Known(ConceptId),
    /// Words that the lexicon lacks, in lower case.
    Words(Box<str>),
}

/// A part with the sides that belong to it: the `left kick panel`.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Element {
    subject: Subject,
    sides: Sides,
}

/// How the place stands to a part: `above` the `left kick panel`.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Standing {
    relation: ConceptId,
    to: Element,
}

/// What a place is made of, sorted; the same set gives the same order.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
struct Elements {
    /// Sides that belong to no part: `driver side, above the cable`.
    bare: Sides,
    /// The parts at which the place is.
    parts: Vec<Element>,
    /// How it stands to other parts.
    standings: Vec<Standing>,
}

/// One thing that a place says.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Said<'a> {
    /// How the place stands to the part; none where it is at it.
    pub relation: Option<&'a str>,
    /// The name of the part, or words that the lexicon lacks.
    pub subject: &'a str,
    /// Whether the lexicon knows it.
    pub known: bool,
    /// The sides that are given to it.
    pub sides: Sides,
    /// What the part lies within, near ones first.
    pub within: Vec<&'a str>,
}

/// Where on a vehicle something is.
///
/// A place is a set: the parts at which it is, each with its sides; how it stands to other parts;
/// and sides that belong to no part. Two places are equal when they have the same canonical
/// text, which does not depend on the order in which they were written.
///
/// # How two places relate
/// - **same**: the sets are equal.
/// - **finer**: all that one says, the other says too, and more. A part says the parts and areas
///   within which the lexicon puts it (the left inner fender says the left fender); a part whose
///   left is the vehicle's left says that the place is on the left.
/// - **different**: both name components, and no component of one can be one of the other, whatever
///   landmarks stand beside them; or both name parts, and all of these lie in areas that share
///   nothing; or one part is given opposed sides, by itself or
///   by what lies within it; or the places lie on opposed sides of the vehicle; or they stand in
///   opposed ways to one landmark.
/// - **unknown**: all else. Sets that overlap, places known only by how they stand to other
///   parts (what is above the pedal may also be left of the column), landmarks of which there
///   are many, and words that the lexicon lacks: equal words are equal, but unlike words may
///   still mean one place.
///
/// “The component” is every part that is named as the place itself, never the landmark of a
/// relation. Components exclude each other unless one lies within the other; landmarks
/// exclude others only where their areas share nothing (the engine bay and the cabin).
#[derive(Clone)]
pub struct Place {
    table: Arc<Table>,
    elements: Elements,
    /// The sides of the vehicle on which it all lies; none where it says none, or several.
    across: Sides,
    text: Box<str>,
}

impl Place {
    /// Reads a place. A side or a relation belongs to the part beside it, or, set off by a comma, to
    /// the part that the place names; with no part it stands by itself. `at`, `on` and `in` say
    /// nothing more.
    ///
    /// # Errors
    /// Unreadable: no word in it, control characters, more than 1000 bytes.
    /// Ambiguous: `or`, `not`, a question mark, opposed sides of one part, a relation to nothing, and
    /// `right above`, which may or may not say the right side.
    pub fn parse(text: &str, lexicon: &Lexicon, drive: DriveSide) -> Result<Self, Misread> {
        reading::place(text, lexicon, drive)
    }

    /// The words that the lexicon lacks, as written but in lower case.
    #[must_use]
    pub fn unknown_words(&self) -> Vec<&str> {
        let elements = self.elements.parts.iter().chain(self.elements.standings.iter().map(|s| &s.to));
        let words = elements.filter_map(|element| match &element.subject {
            Subject::Words(words) => Some(&**words),
            Subject::Known(_) => None,
        });
        words.collect()
    }

    /// What it says, part by part: the places that it is at, then what it stands to.
    pub fn says(&self) -> impl Iterator<Item = Said<'_>> {
        let said = |relation: Option<ConceptId>, element| Said {
            relation: relation.map(|id| self.table.get(id).name()),
            ..self.said(element)
        };
        let parts = self.elements.parts.iter().map(move |part| said(None, part));
        parts.chain(self.elements.standings.iter().map(move |own| said(Some(own.relation), &own.to)))
    }

    /// The sides that it gives to no part, and those of the vehicle on which all of it lies.
    #[must_use]
    pub fn lies_on(&self) -> Sides {
        self.elements.bare.and(self.across)
    }

    fn said<'a>(&'a self, element: &'a Element) -> Said<'a> {
        let (subject, within) = match &element.subject {
            Subject::Known(id) => (self.table.get(*id).name(), self.table.get(*id).within()),
            Subject::Words(words) => (&**words, &[][..]),
        };
        let known = matches!(element.subject, Subject::Known(_));
        let within = within.iter().map(|id| self.table.get(*id).name()).collect();
        Said { relation: None, subject, known, sides: element.sides, within }
    }

    fn new(table: Arc<Table>, elements: Elements) -> Self {
        let text = order::text(&table, &elements).into_boxed_str();
        let across = order::across(&table, &elements);
        Self { table, elements, across, text }
    }

    fn sides(&self) -> Vec<&'static str> {
        let of_parts = self.elements.parts.iter().map(|part| part.sides);
        let all = of_parts.fold(self.elements.bare, Sides::and);
        all.iter().map(super::lexicon::Side::name).collect()
    }

    fn components(&self) -> Vec<&str> {
        let known = |part: &Element| match part.subject {
            Subject::Known(id) => Some(self.table.get(id).name()),
            Subject::Words(_) => None,
        };
        self.elements.parts.iter().filter_map(known).collect()
    }

    fn relations(&self) -> Vec<Value> {
        let shown = |standing: &Standing| {
            let relation = self.table.get(standing.relation).name();
            json!({ "relation": relation, "of": order::element_text(&self.table, &standing.to) })
        };
        self.elements.standings.iter().map(shown).collect()
    }
}

impl Typed for Place {
    fn relation(&self, other: &Self) -> Relation {
        compare::relation(self, other)
    }

    /// `components` are the names of the parts, `sides` the sides given to them or to the whole,
    /// `relations` a list of `{"relation", "of"}`, `unknown` the words that the lexicon lacks.
    fn parts(&self) -> Map<String, Value> {
        let mut parts = Map::new();
        parts.insert("components".to_owned(), json!(self.components()));
        parts.insert("sides".to_owned(), json!(self.sides()));
        parts.insert("relations".to_owned(), json!(self.relations()));
        parts.insert("unknown".to_owned(), json!(self.unknown_words()));
        parts
    }
}

impl fmt::Display for Place {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.text)
    }
}

impl fmt::Debug for Place {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_tuple("Place").field(&self.text).finish()
    }
}

impl PartialEq for Place {
    fn eq(&self, other: &Self) -> bool {
        self.text == other.text
    }
}

impl Eq for Place {}

impl std::hash::Hash for Place {
    fn hash<H: std::hash::Hasher>(&self, state: &mut H) {
        self.text.hash(state);
    }
}
