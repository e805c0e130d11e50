//! Writes what the files of `schema/` say as constants of the program: the lexicon, one expression that is read by
//! `src/value/lexicon/builtin.rs`, the phrases of points for `src/search/phrasebook.rs`, and those of
//! attributes for `src/vehicle/attribute/mod.rs`.

use std::collections::BTreeMap;

use crate::build::Made;
use crate::fold::tokens;
use crate::names::fold;
use crate::phrases::Node;
use crate::points::File;
use crate::side::Sides;
use crate::table::{Composition, Concept, ConceptId};

/// The expression for the whole lexicon.
pub fn lexicon(made: &Made) -> String {
    let whole = |(id, way): &(ConceptId, Composition)| format!("({}, {})", number(*id), composition(way));
    let pair = |(from, to): &_| format!("({}, {})", text(from), text(to));
    format!(
        "Made {{ concepts: {}, wholes: {}, phrases: Phrases {{ nodes: {}, words: {} }}, words: Words {{ list: {} }} }}",
        list(&made.concepts, concept),
        list(&made.wholes, whole),
        list(&made.phrases.nodes, node),
        list(&made.phrases.words, |word| text(word)),
        list(&made.words.list, pair),
    )
}

/// The expression for the phrases by which points go, sorted, each with the numbers of the points.
pub fn phrases(points: &File, lexicon: &Made) -> String {
    let mut found: BTreeMap<String, Vec<usize>> = BTreeMap::new();
    for (at, (name, point)) in points.point.0.iter().enumerate() {
        for phrase in [name, &point.title].into_iter().chain(&point.aliases) {
            let key = tokens(phrase, &lexicon.words).iter().map(|token| fold(&token.key)).collect();
            let points = found.entry(key).or_default();
            if points.last() != Some(&at) {
                points.push(at);
            }
        }
    }
    let one = |(key, points)| format!("({key:?}, &{points:?})");
    format!("&[{}]", found.iter().map(one).collect::<Vec<_>>().join(",\n"))
}

/// The expression for the phrases that name a value of an attribute, sorted, each with the numbers of both; and for how
/// many words the longest has.
pub fn attributes(file: &crate::vehicle::File) -> String {
    let mut found: BTreeMap<String, (usize, usize)> = BTreeMap::new();
    let mut longest = 0;
    for (at, attribute) in file.attribute.iter().enumerate() {
        for (value, entry) in attribute.values.iter().enumerate() {
            for phrase in &entry.phrases {
                found.insert(fold(phrase), (at, value));
                longest = longest.max(phrase.split(|c: char| !c.is_alphanumeric()).count());
            }
        }
    }
    let one = |(phrase, meaning)| format!("(Borrowed({phrase:?}), {meaning:?})");
    let meanings = found.iter().map(one).collect::<Vec<_>>().join(",\n");
    format!("Phrases {{ meanings: Borrowed(&[{meanings}]), longest: {longest} }}")
}

fn list<T>(items: &[T], one: impl Fn(&T) -> String) -> String {
    format!("Borrowed(&[{}])", items.iter().map(one).collect::<Vec<_>>().join(",\n"))
}

fn text(text: impl AsRef<str>) -> String {
    format!("Borrowed({:?})", text.as_ref())
}

fn number(id: ConceptId) -> String {
    format!("ConceptId({})", id.0)
}

fn maybe(id: Option<ConceptId>) -> String {
    id.map_or_else(|| "None".to_owned(), |id| format!("Some({})", number(id)))
}

fn sides(sides: Sides) -> String {
    format!("Sides({})", sides.0)
}

fn composition(way: &Composition) -> String {
    let [component, relation, landmark] = [way.component, way.relation, way.landmark].map(number);
    format!("Composition {{ component: {component}, relation: {relation}, landmark: {landmark} }}")
}

fn concept(concept: &Concept) -> String {
    let Concept { sided, apart, keeps_side, neutral, several, .. } = concept;
    format!(
        "Concept {{ name: {}, synonyms: {}, kind: Kind::{:?}, within: {}, sided: {sided}, apart: {apart}, area: {}, \
         implied: {}, made_of: {}, sides: {}, opposite: {}, keeps_side: {keeps_side}, neutral: {neutral}, \
         several: {several} }}",
        text(&concept.name),
        list(&concept.synonyms, |phrase| text(phrase)),
        concept.kind,
        list(&concept.within, |id| number(*id)),
        maybe(concept.area),
        sides(concept.implied),
        list(&concept.made_of, composition),
        sides(concept.sides),
        maybe(concept.opposite),
    )
}

fn node(node: &Node) -> String {
    let next = list(&node.next, |(key, to)| format!("({}, {to})", text(key)));
    format!("Node {{ next: {next}, concept: {} }}", maybe(node.concept))
}
