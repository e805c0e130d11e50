//! Makes a set of scopes few: the same vehicles in fewer boxes, the same whatever the order.

use super::scope::Scope;

/// Scopes that hold exactly the same vehicles together, in order: those held by another are dropped,
/// and two whose union is a box are joined, until no two are left that can be. The order of the
/// input does not matter. Not always the fewest boxes possible, but never a vehicle more or less.
#[must_use]
pub fn simplify(mut scopes: Vec<Scope>) -> Vec<Scope> {
    scopes.sort();
    scopes.dedup();
    let mut kept: Vec<Scope> = Vec::new();
    for scope in scopes {
        add(&mut kept, scope);
    }
    kept.sort();
    kept
}

/// Adds a scope to those of which no two can be joined, and keeps it so: every join takes one away,
/// so that it ends.
fn add(kept: &mut Vec<Scope>, mut scope: Scope) {
    while let Some((i, union)) = kept.iter().enumerate().find_map(|(i, k)| Some((i, k.union_if_box(&scope)?)))
    {
        kept.swap_remove(i);
        scope = union;
    }
    kept.push(scope);
}

/// The same vehicles in the fewest boxes that are found.
#[must_use]
pub fn fewest(scopes: Vec<Scope>) -> Vec<Scope> {
    simplify(scopes)
}
