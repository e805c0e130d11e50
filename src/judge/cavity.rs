//! Contradictions across points: one cavity of one connector given to two functions that may not share a
//! wire, or told in two colours.
//!
//! Looks at all buckets of one model at once. Contradictions within one point are `conflict`'s.

use std::collections::BTreeMap;

use super::bucket::{Bucket, Role};
use crate::catalogue::Catalogue;
use crate::note::{Basis, NoteId};
use crate::value::Relation;
use crate::vehicle::{Match, Scope, Vehicle, simplify};

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
    /// Which claimants contradict which: numbers into `claimants`.
    pairs: Vec<(usize, usize)>,
}

impl CavityConflict {
    /// Whether it may touch a vehicle: two notes that contradict may both take it in.
    #[must_use]
    pub fn touches(&self, vehicle: &Vehicle) -> bool {
        self.pairs
            .iter()
            .filter_map(|pair| self.meeting(pair))
            .any(|both| both.matches(vehicle) != Match::Excluded)
    }

    fn meeting(&self, (a, b): &(usize, usize)) -> Option<Scope> {
        self.claimants[*a].scope.intersection(&self.claimants[*b].scope)
    }

    /// The vehicles on which two notes claim different things.
    #[must_use]
    pub fn contested(&self) -> Vec<Scope> {
        let mut boxes: Vec<Scope> = self.pairs.iter().filter_map(|pair| self.meeting(pair)).collect();
        boxes.sort();
        boxes.dedup();
        simplify(boxes)
    }
}

/// The notes that name one cavity: the place in the list of points, and the entry in its bucket.
type Naming<'b> = BTreeMap<(&'b str, &'b str), Vec<(usize, usize)>>;

/// The cavity conflicts of one model. `relate` compares two canonical colours.
pub fn find(
    catalogue: &Catalogue,
    places: &[Place<'_>],
    mut relate: impl FnMut(&str, &str) -> Relation,
) -> Vec<CavityConflict> {
    let mut named = Naming::new();
    for (at, place) in places.iter().enumerate() {
        collect(at, place.bucket, &mut named);
    }
    let mut found: Vec<CavityConflict> = named
        .into_iter()
        .filter(|(_, notes)| notes.iter().any(|(place, _)| *place != notes[0].0))
        .filter_map(|((connector, cavity), notes)| {
            let claimants = notes.iter().map(|(place, entry)| claimant(&places[*place], *entry)).collect();
            clashing(catalogue, connector, cavity, claimants, &mut relate)
        })
        .collect();
    found.sort_by_key(|conflict| conflict.anchor);
    found
}

fn collect<'b>(place: usize, bucket: &'b Bucket, named: &mut Naming<'b>) {
    let role = |wanted| bucket.columns.iter().position(|column| column.role == wanted);
    let (Some(connector), Some(cavity)) = (role(Role::Connector), role(Role::AgreesWithinConnector)) else {
        return;
    };
    for (at, entry) in bucket.entries.iter().enumerate().filter(|(_, entry)| entry.is_live()) {
        let claim = bucket.claim(entry);
        let text = |column: usize| bucket.columns[column].text(claim[column]);
        if let (Some(plug), Some(slot)) = (text(connector), text(cavity)) {
            named.entry((plug, slot)).or_default().push((place, at));
        }
    }
}

fn claimant(place: &Place<'_>, at: usize) -> Claimant {
    let bucket = place.bucket;
    let entry = &bucket.entries[at];
    let colour = bucket.columns.iter().position(|column| column.field == "colour");
    let colour = colour.and_then(|column| bucket.columns[column].text(bucket.claim(entry)[column]));
    Claimant {
        point: place.point,
        entry: at,
        id: entry.id,
        colour: colour.map(str::to_owned),
        on: entry.on,
        scope: bucket.scope(entry).clone(),
        basis: entry.basis,
    }
}

fn clashing(
    catalogue: &Catalogue,
    connector: &str,
    cavity: &str,
    mut claimants: Vec<Claimant>,
    relate: &mut impl FnMut(&str, &str) -> Relation,
) -> Option<CavityConflict> {
    claimants.sort_by_key(|one| (one.point, one.id));
    let (mut functions, mut colours) = (false, false);
    let mut pairs = Vec::new();
    for (a, first) in claimants.iter().enumerate() {
        for (b, second) in
            claimants.iter().enumerate().skip(a + 1).filter(|(_, second)| second.point != first.point)
        {
            let strangers = !may_share(catalogue, first.point, second.point);
            let two_colours = match (&first.colour, &second.colour) {
                (Some(x), Some(y)) => relate(x, y) == Relation::Different,
                _ => false,
            };
            if (strangers || two_colours) && first.scope.overlaps(&second.scope) {
                (functions, colours) = (functions || strangers, colours || two_colours);
                pairs.push((a, b));
            }
        }
    }
    let (claimants, pairs) = involved(claimants, &pairs);
    let anchor = claimants.iter().min_by_key(|one| (one.on, one.id))?.id;
    let (connector, cavity) = (connector.to_owned(), cavity.to_owned());
    Some(CavityConflict { anchor, connector, cavity, claimants, functions, colours, pairs })
}

/// The claimants that stand in some pair, and the pairs by their new numbers.
fn involved(claimants: Vec<Claimant>, pairs: &[(usize, usize)]) -> (Vec<Claimant>, Vec<(usize, usize)>) {
    let mut number = vec![None; claimants.len()];
    for at in pairs.iter().flat_map(|(a, b)| [*a, *b]) {
        number[at] = Some(0);
    }
    for (new, slot) in number.iter_mut().flatten().enumerate() {
        *slot = new;
    }
    let kept = claimants
        .into_iter()
        .zip(&number)
        .filter(|(_, number)| number.is_some())
        .map(|(one, _)| one)
        .collect();
    let renumbered = pairs.iter().filter_map(|(a, b)| Some((number[*a]?, number[*b]?))).collect();
    (kept, renumbered)
}

fn may_share(catalogue: &Catalogue, a: usize, b: usize) -> bool {
    let (a, b) = (&catalogue.points[a], &catalogue.points[b]);
    a.may_share.contains(&b.name) || b.may_share.contains(&a.name)
}
