//! Puts the elements of a place into the one form that the same set always has: merged, without
//! what goes without saying, sorted, and as text. What the words meant is settled before.

use super::compare::{lies_at, opposed, said_sides};
use super::{Element, Elements, Standing, Subject};
use crate::value::lexicon::{Composition, ConceptId, Sides, Table};

/// Two statements of one text that cannot hold together, in words for a person.
pub(super) struct Clash(pub String);

/// The canonical form of what was read.
pub(super) fn canonical(table: &Table, read: Elements) -> Result<Elements, Clash> {
    let mut elements = Elements { parts: merged(read.parts), ..read };
    compose(table, &mut elements);
    elements.parts = merged(elements.parts);
    elements.standings = merged_standings(table, elements.standings);
    drop_implied(table, &mut elements);
    refuse_clashes(table, &elements)?;
    drop_repeated(table, &mut elements);
    sort(table, &mut elements);
    Ok(elements)
}

fn merged(parts: Vec<Element>) -> Vec<Element> {
    let mut merged: Vec<Element> = Vec::with_capacity(parts.len());
    for part in parts {
        match merged.iter_mut().find(|own| own.subject == part.subject) {
            Some(own) => own.sides = own.sides.and(part.sides),
            None => merged.push(part),
        }
    }
    merged
}

/// One landmark in one relation is one element; but a place between the left and the right seat
/// names two seats.
fn merged_standings(table: &Table, standings: Vec<Standing>) -> Vec<Standing> {
    let mut merged: Vec<Standing> = Vec::with_capacity(standings.len());
    for standing in standings {
        let keep_apart = table.get(standing.relation).takes_several();
        let alike = |own: &&mut Standing| {
            own.relation == standing.relation
                && own.to.subject == standing.to.subject
                && (!keep_apart || own.to.sides == standing.to.sides)
        };
        match merged.iter_mut().find(alike) {
            Some(own) => own.to.sides = own.to.sides.and(standing.to.sides),
            None => merged.push(standing),
        }
    }
    merged
}

/// Puts one part for what was said in parts: a fuse box, below the dash, is the fuse box under dash.
fn compose(table: &Table, elements: &mut Elements) {
    for at in 0..elements.parts.len() {
        let own = elements.parts[at].subject.clone();
        let fits = |way: &&(ConceptId, Composition)| {
            own == Subject::Known(way.1.component) && is_said(table, elements, &way.1)
        };
        let Some(&(whole, way)) = table.wholes().iter().find(fits) else { continue };
        elements.parts[at].subject = Subject::Known(whole);
        // A landmark with sides says more than the whole does, and stays. One among the parts goes
        // when what is repeated is dropped, for the whole lies within it.
        elements.standings.retain(|s| s.relation != way.relation || !is_plain(&s.to, way.landmark));
    }
}

fn is_plain(element: &Element, concept: ConceptId) -> bool {
    element.subject == Subject::Known(concept) && element.sides.is_empty()
}

fn is_said(table: &Table, elements: &Elements, way: &Composition) -> bool {
    let landmark = Subject::Known(way.landmark);
    if table.get(way.relation).is_neutral() {
        return elements.parts.iter().any(|part| part.subject == landmark);
    }
    elements.standings.iter().any(|s| s.relation == way.relation && s.to.subject == landmark)
}

fn drop_implied(table: &Table, elements: &mut Elements) {
    let landmarks = elements.standings.iter_mut().map(|standing| &mut standing.to);
    for element in elements.parts.iter_mut().chain(landmarks) {
        if let Subject::Known(id) = element.subject {
            element.sides = element.sides.without(table.get(id).implied());
        }
    }
}

fn refuse_clashes(table: &Table, elements: &Elements) -> Result<(), Clash> {
    let landmarks = elements.standings.iter().map(|standing| &standing.to);
    if let Some(element) = elements.parts.iter().chain(landmarks).find(|e| e.sides.clash(e.sides)) {
        return Err(Clash(opposed_sides_text(table, element)));
    }
    if elements.bare.clash(elements.bare) {
        return Err(Clash(format!("it says “{}”, which cannot all be meant", elements.bare)));
    }
    let both = |a: &&Standing| elements.standings.iter().any(|b| opposed(table, a, b));
    match elements.standings.iter().find(both) {
        Some(standing) => {
            Err(Clash(format!("it stands in opposed ways to “{}”", element_text(table, &standing.to))))
        }
        None => Ok(()),
    }
}

fn opposed_sides_text(table: &Table, element: &Element) -> String {
    format!(
        "“{}” is given the sides “{}”, which cannot all be meant",
        subject_text(table, &element.subject),
        element.sides
    )
}

/// Drops what other elements say already: an area around a named part, a side that a part has.
fn drop_repeated(table: &Table, elements: &mut Elements) {
    let mut at = 0;
    while at < elements.parts.len() {
        let part = elements.parts.remove(at);
        let sides = part.sides.without(said_sides(table, &elements.parts, &part));
        let named = elements.parts.iter().any(|own| lies_at(table, &own.subject, &part.subject));
        if !(named && sides.is_empty()) {
            elements.parts.insert(at, Element { sides, ..part });
            at += 1;
        }
    }
    let bare = std::mem::take(&mut elements.bare);
    elements.bare = bare.without(across(table, elements));
}

/// On which lateral sides of the vehicle a place lies: by the sides of the whole, of its sided
/// parts, and of sided landmarks to which it stands in a way that keeps the side. None where these
/// are opposed.
pub(super) fn across(table: &Table, elements: &Elements) -> Sides {
    let of = |element: &Element| match element.subject {
        Subject::Known(id) if table.get(id).is_sided() => element.sides.lateral(),
        _ => Sides::NONE,
    };
    let keeping = elements.standings.iter().filter(|s| table.get(s.relation).keeps_side());
    let sides = elements.parts.iter().map(of).chain(keeping.map(|s| of(&s.to)));
    let across = sides.fold(elements.bare.lateral(), Sides::and);
    if across.clash(across) { Sides::NONE } else { across }
}

/// Sorts by names, not by numbers: the order must not change when the lexicon grows.
fn sort(table: &Table, elements: &mut Elements) {
    let key = |element: &Element| match &element.subject {
        Subject::Known(id) => (Some(table.get(*id).kind()), table.get(*id).name().to_owned(), element.sides),
        Subject::Words(words) => (None, words.to_string(), element.sides),
    };
    let known_first = |element: &Element| {
        let (kind, name, sides) = key(element);
        (kind.is_none(), kind, name, sides)
    };
    elements.parts.sort_by_cached_key(known_first);
    elements.standings.sort_by_cached_key(|s| (table.get(s.relation).name().to_owned(), known_first(&s.to)));
    elements.standings.dedup();
}

/// The canonical text: `left inner fender, above washer reservoir`.
pub(super) fn text(table: &Table, elements: &Elements) -> String {
    let bare = Some(elements.bare.to_string()).filter(|_| !elements.bare.is_empty());
    let parts = elements.parts.iter().map(|part| element_text(table, part));
    let standings =
        elements.standings.chunk_by(|a, b| a.relation == b.relation && table.get(a.relation).takes_several());
    let standings = standings.map(|group| standing_text(table, group));
    bare.into_iter().chain(parts).chain(standings).collect::<Vec<_>>().join(", ")
}

fn standing_text(table: &Table, group: &[Standing]) -> String {
    let landmarks: Vec<String> = group.iter().map(|standing| element_text(table, &standing.to)).collect();
    let relation = group.first().map_or("", |standing| table.get(standing.relation).name());
    format!("{relation} {}", landmarks.join(" and "))
}

/// An element as it stands in the canonical text: `left kick panel`.
pub(super) fn element_text(table: &Table, element: &Element) -> String {
    let subject = subject_text(table, &element.subject);
    if element.sides.is_empty() { subject.to_owned() } else { format!("{} {subject}", element.sides) }
}

fn subject_text<'a>(table: &'a Table, subject: &'a Subject) -> &'a str {
    match subject {
        Subject::Known(id) => table.get(*id).name(),
        Subject::Words(words) => words,
    }
}
