//! How two places relate. Works on the sorted elements in place and allocates nothing, for it is
//! called for very many pairs. The rules are told at `Place`.

use std::sync::Arc;

use super::{Element, Place, Standing, Subject};
use crate::value::Relation;
use crate::value::lexicon::{ConceptId, Kind, Sides, Table};

/// The relation of two places. Places that were read with two lexicons can only be the same or
/// unknown.
pub(super) fn relation(a: &Place, b: &Place) -> Relation {
    if a == b {
        return Relation::Same;
    }
    if !Arc::ptr_eq(&a.table, &b.table) {
        return Relation::Unknown;
    }
    match (says(a, b), says(b, a)) {
        (true, true) => Relation::Same,
        (true, false) => Relation::FirstFiner,
        (false, true) => Relation::SecondFiner,
        (false, false) if excludes(a, b) => Relation::Different,
        (false, false) => Relation::Unknown,
    }
}

/// Whether `a` says all that `b` says.
fn says(a: &Place, b: &Place) -> bool {
    let (x, y) = (&a.elements, &b.elements);
    let bare = y.bare.iter().all(|side| x.bare.and(a.across).holds(side.into()));
    let parts = || y.parts.iter().all(|part| says_part(&a.table, &x.parts, part));
    let standing = |s: &Standing| x.standings.iter().any(|t| stands(t, s));
    bare && parts() && y.standings.iter().all(standing)
}

fn stands(a: &Standing, b: &Standing) -> bool {
    a.relation == b.relation && a.to.subject == b.to.subject && a.to.sides.holds(b.to.sides)
}

fn says_part(table: &Table, parts: &[Element], part: &Element) -> bool {
    let named = parts.iter().any(|own| lies_at(table, &own.subject, &part.subject));
    named && part.sides.without(said_sides(table, parts, part)).is_empty()
}

/// The sides of `part` that `parts` say: those given to the same part, and the lateral ones of
/// what lies within it, where both are sided as the vehicle is.
pub(super) fn said_sides(table: &Table, parts: &[Element], part: &Element) -> Sides {
    let said = |own: &Element| match (&own.subject, &part.subject) {
        (a, b) if a == b => own.sides,
        (Subject::Known(a), Subject::Known(b)) if inherits(table, *a, *b) => own.sides.lateral(),
        _ => Sides::NONE,
    };
    parts.iter().map(said).fold(Sides::NONE, Sides::and)
}

/// Whether what is at `inner` is also at `outer`.
pub(super) fn lies_at(table: &Table, inner: &Subject, outer: &Subject) -> bool {
    match (inner, outer) {
        (Subject::Known(a), Subject::Known(b)) => a == b || table.get(*a).within().contains(b),
        (a, b) => a == b,
    }
}

fn inherits(table: &Table, inner: ConceptId, outer: ConceptId) -> bool {
    table.get(inner).within().contains(&outer) && table.get(inner).is_sided() && table.get(outer).is_sided()
}

fn excludes(a: &Place, b: &Place) -> bool {
    let (x, y) = (&a.elements, &b.elements);
    x.bare.and(a.across).clash(y.bare.and(b.across))
        || other_parts(&a.table, &x.parts, &y.parts)
        || opposed_sides(&a.table, &x.parts, &y.parts)
        || opposed_standings(&a.table, &x.standings, &y.standings)
}

/// Whether they name parts no two of which can be one. Where both name components, those decide: a bracket or a
/// stud beside them may be found anywhere.
fn other_parts(table: &Table, a: &[Element], b: &[Element]) -> bool {
    let component = |id: &ConceptId| table.get(*id).kind() == Kind::Component;
    let both = |wanted: &dyn Fn(&ConceptId) -> bool| {
        let named = |parts| known(parts).filter(move |id| wanted(id));
        let given = named(a).next().is_some() && named(b).next().is_some();
        given && named(a).all(|x| named(b).all(|y| apart(table, x, y)))
    };
    both(&component) || both(&|_| true)
}

fn known(parts: &[Element]) -> impl Iterator<Item = ConceptId> + '_ {
    parts.iter().filter_map(|part| match part.subject {
        Subject::Known(id) => Some(id),
        Subject::Words(_) => None,
    })
}

/// Whether nothing is at both.
fn apart(table: &Table, a: ConceptId, b: ConceptId) -> bool {
    let (x, y) = (table.get(a), table.get(b));
    if a == b || x.within().contains(&b) || y.within().contains(&a) {
        return false;
    }
    let components = x.kind() == Kind::Component && y.kind() == Kind::Component;
    let areas = x.area().zip(y.area()).is_some_and(|(here, there)| here != there);
    components || areas
}

/// Whether a part of one is given a side that the other denies of it.
fn opposed_sides(table: &Table, a: &[Element], b: &[Element]) -> bool {
    let denied = |parts: &[Element], others: &[Element]| {
        parts.iter().any(|part| said_sides(table, others, part).clash(part.sides))
    };
    denied(a, b) || denied(b, a)
}

fn opposed_standings(table: &Table, a: &[Standing], b: &[Standing]) -> bool {
    a.iter().any(|x| b.iter().any(|y| opposed(table, x, y)))
}

/// Whether two standings cannot hold together: opposed, and of one landmark.
pub(super) fn opposed(table: &Table, a: &Standing, b: &Standing) -> bool {
    table.get(a.relation).opposite() == Some(b.relation) && a.to == b.to
}
