//! Makes a set of scopes few: the same vehicles in fewer boxes, the same whatever the order. `simplify` is quick,
//! `fewest` looks for the least.

use std::collections::BTreeSet;

use super::grid::Grid;
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

/// More largest boxes than this, and `simplify` has to do.
const MOST_BOXES: usize = 48;
/// Steps of the search for the fewest before `simplify` has to do.
const MOST_STEPS: usize = 2_000;

/// The same vehicles in the fewest boxes, of which each is as large as it can be: those that a person reads most
/// easily. Where there are too many to try them all, as [`simplify`].
#[must_use]
pub fn fewest(scopes: Vec<Scope>) -> Vec<Scope> {
    let few = simplify(scopes);
    if few.len() < 2 {
        return few;
    }
    let Some(largest) = largest(&few) else { return few };
    let cells: Vec<Scope> = Grid::of(&few, [])
        .cells()
        .into_iter()
        .map(|cell| cell.scope)
        .filter(|cell| few.iter().any(|scope| scope.contains(cell)))
        .collect();
    let covers: BTreeSet<Vec<usize>> = cells
        .iter()
        .map(|cell| (0..largest.len()).filter(|at| largest[*at].contains(cell)).collect())
        .collect();
    let mut search = Search { covers: &covers, steps: 0 };
    for most in 1..=few.len() {
        if let Some(chosen) = search.cover(&BTreeSet::new(), most) {
            let mut boxes: Vec<Scope> = chosen.into_iter().map(|at| largest[at].clone()).collect();
            boxes.sort();
            return boxes;
        }
        if search.steps > MOST_STEPS {
            break;
        }
    }
    few
}

/// All boxes within the union of `scopes` that no other such box holds, the plainest first: two boxes give a third
/// across what lies between them, until nothing new comes (the consensus method of W. V. Quine, "A Way to Simplify
/// Truth Functions", 1955; from memory).
fn largest(scopes: &[Scope]) -> Option<Vec<Scope>> {
    let mut boxes: Vec<Scope> = scopes.to_vec();
    let mut at = 0;
    while at < boxes.len() {
        for other in 0..at {
            for new in boxes[other].across(&boxes[at]) {
                if !boxes.iter().any(|known| known.contains(&new)) {
                    boxes.push(new);
                }
            }
        }
        if boxes.len() > MOST_BOXES {
            return None;
        }
        at += 1;
    }
    let all = boxes.clone();
    boxes.retain(|scope| !all.iter().any(|other| other != scope && other.contains(scope)));
    boxes.sort_by_key(|scope| (scope.only().len() + usize::from(!scope.built().is_all()), scope.clone()));
    Some(boxes)
}

/// The search for so many boxes that hold every cell.
struct Search<'c> {
    /// For each cell, the boxes that hold it; cells that the same boxes hold, once.
    covers: &'c BTreeSet<Vec<usize>>,
    steps: usize,
}

impl Search<'_> {
    fn cover(&mut self, chosen: &BTreeSet<usize>, most: usize) -> Option<BTreeSet<usize>> {
        self.steps += 1;
        let open = self.covers.iter().filter(|boxes| !boxes.iter().any(|at| chosen.contains(at)));
        let Some(narrowest) = open.min_by_key(|boxes| boxes.len()) else { return Some(chosen.clone()) };
        if chosen.len() == most || self.steps > MOST_STEPS {
            return None;
        }
        narrowest.clone().into_iter().find_map(|at| {
            let mut more = chosen.clone();
            more.insert(at);
            self.cover(&more, most)
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::vehicle::{ModelYear, Vocabulary};

    fn scopes(texts: &[(&str, &str)]) -> Vec<Scope> {
        let read = |(years, only): &(&str, &str)| {
            Scope::parse(years, only, Vocabulary::builtin(), ModelYear::new(2026)).expect("readable")
        };
        let mut scopes: Vec<Scope> = texts.iter().map(read).collect();
        scopes.sort();
        scopes
    }

    #[test]
    fn the_fewest_boxes_and_each_as_large_as_it_can_be() {
        let check = |given: &[(&str, &str)], expected: &[(&str, &str)]| {
            assert_eq!(fewest(scopes(given)), scopes(expected), "{given:?}");
        };
        check(&[("2015-2017", ""), ("2016-2019", "")], &[("2015-2019", "")]);
        check(&[("2015-2019", "tow=yes"), ("2016", "tow=no")], &[("2015-2019", "tow=yes"), ("2016", "")]);
        // Three in a staircase, of which the middle one is held by what the others grow into.
        check(
            &[("2015-2016", "tow=yes"), ("2016-2017", ""), ("2017-2018", "tow=no")],
            &[("2015-2017", "tow=yes"), ("2016-2018", "tow=no")],
        );
        // An open attribute has values that nobody named.
        check(&[("2015", ""), ("2015-2016", "trim=LX")], &[("2015", ""), ("2015-2016", "trim=LX")]);
        check(&[("2015-", "cab=crew"), ("-2014", "cab=crew")], &[("all years", "cab=crew")]);
        check(&[], &[]);
    }
}
