//! Contradictions across points: one cavity of one connector given to two functions that may not share a
//! wire, or told in two colours.
//!
//! Looks at all buckets of one model at once. Contradictions within one point are `conflict`'s.

use std::collections::BTreeMap;

use super::bucket::{Bucket, Role};
use crate::catalogue::Catalogue;
use crate::note::{Basis, NoteId};
use crate::value::Relation;
use crate::vehicle::{Scope, simplify};

/// The bucket of one point of a model.
#[derive(Debug, Clone, Copy)]
pub struct Place<'b> {
    /// The number of the point in the catalogue.
    pub point: usize,
    /// What is known of it.
    pub bucket: &'b Bucket,
}

/// One live note that names a cavity of a connector.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Claimant {
    /// The number of the point in the catalogue.
    pub point: usize,
    /// The note: a number into the entries of that point's bucket.
    pub entry: usize,
    /// Its id.
    pub id: NoteId,
    /// The colour that it tells, as canonical text.
    pub colour: Option<String>,
    on: i32,
    scope: Scope,
    basis: Basis,
}

impl Claimant {
    /// Whether it is word of mouth.
    #[must_use]
    pub fn is_told(&self) -> bool {
        self.basis == Basis::Told
    }
}

/// A cavity that cannot be what all its notes say.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CavityConflict {
    /// The note that names it: the earliest, by date and then by id.
    pub anchor: NoteId,
    /// The connector, canonical.
    pub connector: String,
    /// The cavity, canonical.
    pub cavity: String,
    /// The notes, by point and id.
    pub claimants: Vec<Claimant>,
    /// Whether two points are in it that may not share a wire.
    pub functions: bool,
    /// Whether the cavity is told in two colours.
    pub colours: bool,
    /// The vehicles on which two notes claim different things.
    pub contested: Vec<Scope>,
}

/// The cavity conflicts of one model. `relate` compares two canonical colours.
pub fn find(
    catalogue: &Catalogue,
    places: &[Place<'_>],
    mut relate: impl FnMut(&str, &str) -> Relation,
) -> Vec<CavityConflict> {
    let mut named: BTreeMap<(String, String), Vec<Claimant>> = BTreeMap::new();
    for place in places {
        collect(place, &mut named);
    }
    let mut found: Vec<CavityConflict> = named
        .into_iter()
        .filter(|(_, claimants)| claimants.iter().any(|one| one.point != claimants[0].point))
        .filter_map(|((connector, cavity), claimants)| clashing(catalogue, connector, cavity, claimants, &mut relate))
        .collect();
    found.sort_by_key(|conflict| conflict.anchor);
    found
}

fn collect(place: &Place<'_>, named: &mut BTreeMap<(String, String), Vec<Claimant>>) {
    let bucket = place.bucket;
    let role = |wanted| bucket.columns.iter().position(|column| column.role == wanted);
    let (Some(connector), Some(cavity)) = (role(Role::Connector), role(Role::AgreesWithinConnector)) else { return };
    let colour = bucket.columns.iter().position(|column| column.field == "colour");
    for (at, entry) in bucket.entries.iter().enumerate().filter(|(_, entry)| entry.is_live()) {
        let claim = bucket.claim(entry);
        let text = |column: usize| bucket.columns[column].text(claim[column]).map(str::to_owned);
        if let (Some(plug), Some(slot)) = (text(connector), text(cavity)) {
            named.entry((plug, slot)).or_default().push(Claimant {
                point: place.point,
                entry: at,
                id: entry.id,
                colour: colour.and_then(text),
                on: entry.on,
                scope: bucket.scope(entry).clone(),
                basis: entry.basis,
            });
        }
    }
}

fn clashing(
    catalogue: &Catalogue,
    connector: String,
    cavity: String,
    claimants: Vec<Claimant>,
    relate: &mut impl FnMut(&str, &str) -> Relation,
) -> Option<CavityConflict> {
    let (mut functions, mut colours) = (false, false);
    let mut boxes = Vec::new();
    let mut involved = vec![false; claimants.len()];
    for (a, first) in claimants.iter().enumerate() {
        for (b, second) in claimants.iter().enumerate().skip(a + 1).filter(|(_, second)| second.point != first.point) {
            let strangers = !may_share(catalogue, first.point, second.point);
            let two_colours = match (&first.colour, &second.colour) {
                (Some(x), Some(y)) => relate(x, y) == Relation::Different,
                _ => false,
            };
            if !(strangers || two_colours) {
                continue;
            }
            if let Some(both) = first.scope.intersection(&second.scope) {
                (functions, colours) = (functions || strangers, colours || two_colours);
                (involved[a], involved[b]) = (true, true);
                boxes.push(both);
            }
        }
    }
    let mut kept = involved.iter();
    let mut claimants = claimants;
    claimants.retain(|_| kept.next().copied().unwrap_or(false));
    claimants.sort_by_key(|one| (one.point, one.id));
    let anchor = claimants.iter().min_by_key(|one| (one.on, one.id))?.id;
    boxes.sort();
    boxes.dedup();
    Some(CavityConflict { anchor, connector, cavity, claimants, functions, colours, contested: simplify(boxes) })
}

fn may_share(catalogue: &Catalogue, a: usize, b: usize) -> bool {
    let (a, b) = (&catalogue.points[a], &catalogue.points[b]);
    a.may_share.contains(&b.name) || b.may_share.contains(&a.name)
}
