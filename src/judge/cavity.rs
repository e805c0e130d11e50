//! Contradictions across points: one cavity of one connector given to two functions that may not share a
//! wire, or told in two colours.
//!
//! Looks at all buckets of one model at once. Contradictions within one point are `conflict`'s.

use std::collections::{BTreeMap, BTreeSet};

use super::bucket::{Bucket, CONNECTOR, Decided, Entry};
use super::conflict::State;
use crate::catalogue::Catalogue;
use crate::decision::{DecisionId, Kind};
use crate::note::{Basis, NoteId};
use crate::value::Relation;
use crate::vehicle::{Match, Scope, Vehicle, fewest};

/// The fields that say which cavity, beside its connector, and what wire is in it.
const CAVITY: &str = "cavity";
const COLOUR: &str = "colour";

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
    /// Where decisions hold it to be right: the decision, and the place by its number in it.
    places: Vec<(DecisionId, u16)>,
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
    /// How far it is settled.
    pub state: State,
    /// Notes that were in it and contradict nothing any more, by point and id; none of a settled one.
    pub past: Vec<Claimant>,
    /// Which claimants contradict which: numbers into `claimants`.
    pairs: Vec<(usize, usize)>,
}

impl CavityConflict {
    /// Whether it may touch a vehicle: two notes that contradict may both take it in.
    #[must_use]
    pub fn touches(&self, vehicle: &Vehicle) -> bool {
        // Where two scopes meet lies in both: a pair is laid out only where each may take the vehicle in.
        let takes_in = |scope: &Scope| scope.matches(vehicle) != Match::Excluded;
        let may: Vec<bool> = self.claimants.iter().map(|claimant| takes_in(&claimant.scope)).collect();
        let pairs = self.pairs.iter().filter(|(a, b)| may[*a] && may[*b]);
        pairs.filter_map(|pair| self.meeting(pair)).any(|both| takes_in(&both))
    }

    fn meeting(&self, (a, b): &(usize, usize)) -> Option<Scope> {
        self.claimants[*a].scope.intersection(&self.claimants[*b].scope)
    }

    /// Which claimants contradict which: numbers into `claimants`.
    #[must_use]
    pub fn pairs(&self) -> &[(usize, usize)] {
        &self.pairs
    }

    /// What the cavity is told to be: the claimants of each function and colour, by number.
    #[must_use]
    pub fn sides(&self) -> Vec<Vec<usize>> {
        let mut sides: Vec<Vec<usize>> = Vec::new();
        let said = |at: usize| (self.claimants[at].point, &self.claimants[at].colour);
        for at in 0..self.claimants.len() {
            match sides.iter_mut().find(|side| said(side[0]) == said(at)) {
                Some(side) => side.push(at),
                None => sides.push(vec![at]),
            }
        }
        sides
    }

    /// The vehicles on which two notes claim different things.
    #[must_use]
    pub fn contested(&self) -> Vec<Scope> {
        let mut boxes: Vec<Scope> = self.pairs.iter().filter_map(|pair| self.meeting(pair)).collect();
        boxes.sort();
        boxes.dedup();
        fewest(boxes)
    }
}

/// The notes that name one cavity: the place in the list of points, and the entry in its bucket.
type Naming<'b> = BTreeMap<(&'b str, &'b str), Vec<(usize, usize)>>;

/// The cavity conflicts of one model, with those that decisions settled. `relate` compares two canonical colours.
pub fn all(
    catalogue: &Catalogue,
    places: &[Place<'_>],
    mut relate: impl FnMut(&str, &str) -> Relation,
) -> Vec<CavityConflict> {
    let mut conflicts = find(catalogue, places, &mut relate);
    if places.iter().all(|place| place.bucket.decided.is_empty()) {
        return conflicts;
    }
    let claimed: Vec<Bucket> = places.iter().map(|place| place.bucket.as_claimed()).collect();
    let before: Vec<Place<'_>> =
        places.iter().zip(&claimed).map(|(place, bucket)| Place { point: place.point, bucket }).collect();
    for old in find(catalogue, &before, &mut relate) {
        let same = |new: &&mut CavityConflict| (&new.connector, &new.cavity) == (&old.connector, &old.cavity);
        match conflicts.iter_mut().find(same) {
            // It keeps its name, whatever decisions leave of it.
            Some(open) => {
                let still = |id: NoteId| open.claimants.iter().any(|claimant| claimant.id == id);
                open.past = old.claimants.into_iter().filter(|claimant| !still(claimant.id)).collect();
                open.anchor = old.anchor;
            }
            None => conflicts.push(CavityConflict { state: State::Settled, ..old }),
        }
    }
    for open in conflicts.iter_mut().filter(|conflict| conflict.state == State::Open) {
        if is_to_be_rechecked(places, open) {
            open.state = State::Recheck;
        }
    }
    conflicts.sort_by_key(|conflict| conflict.anchor);
    conflicts
}

/// Whether somebody is to look at the cavity, and no note of it was made by looking since.
fn is_to_be_rechecked(places: &[Place<'_>], conflict: &CavityConflict) -> bool {
    let buckets: BTreeMap<usize, &Bucket> = places.iter().map(|place| (place.point, place.bucket)).collect();
    let mut asked: BTreeMap<DecisionId, (i32, BTreeSet<NoteId>)> = BTreeMap::new();
    for claimant in &conflict.claimants {
        let Some(bucket) = buckets.get(&claimant.point) else { continue };
        let waiting =
            |decided: &&Decided| decided.kind == Kind::Recheck && !decided.taken_back && decided.notes > 1;
        for decided in bucket.decided_about(&[claimant.entry]).filter(waiting) {
            asked.entry(decided.id).or_insert((decided.day, BTreeSet::new())).1.insert(claimant.id);
        }
    }
    let looked = |since: i32, listed: &BTreeSet<NoteId>| {
        conflict.claimants.iter().any(|claimant| {
            claimant.basis.is_observation() && claimant.on >= since && !listed.contains(&claimant.id)
        })
    };
    asked.values().any(|(day, listed)| listed.len() > 1 && !looked(*day, listed))
}

/// The cavity conflicts of one model that notes leave which stand.
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

/// Whether some note of a bucket may name a cavity of a connector.
#[must_use]
pub fn names_cavities(bucket: &Bucket) -> bool {
    let named = |field: &str| {
        bucket.columns.iter().any(|column| column.field == field && !column.values.is_empty())
            || bucket.extra_fields.iter().any(|name| name == field)
    };
    named(CONNECTOR) && named(CAVITY)
}

fn collect<'b>(place: usize, bucket: &'b Bucket, named: &mut Naming<'b>) {
    let (plug, slot) = (telling(bucket, CONNECTOR), telling(bucket, CAVITY));
    for (at, entry) in bucket.entries.iter().enumerate().filter(|(_, entry)| entry.is_live()) {
        if let (Some(plug), Some(slot)) = (plug(entry), slot(entry)) {
            named.entry((plug, slot)).or_default().push((place, at));
        }
    }
}

/// What the notes of a bucket say of a field, whether it is compared on their point or not: the wire of a fused
/// feed is in a cavity as well.
fn telling<'b>(bucket: &'b Bucket, field: &str) -> impl Fn(&'b Entry) -> Option<&'b str> {
    let column = bucket.columns.iter().position(|column| column.field == field);
    let extra = bucket.extra_fields.iter().position(|name| name == field);
    move |entry| match column {
        Some(column) => bucket.columns[column].text(bucket.claim(entry)[column]),
        None => {
            let said = &bucket.extras[entry.extra as usize];
            said.iter().find(|(name, _)| Some(usize::from(*name)) == extra).map(|(_, text)| text.as_str())
        }
    }
}

fn claimant(place: &Place<'_>, at: usize) -> Claimant {
    let bucket = place.bucket;
    let entry = &bucket.entries[at];
    Claimant {
        point: place.point,
        entry: at,
        id: entry.id,
        colour: telling(bucket, COLOUR)(entry).map(str::to_owned),
        on: entry.on,
        scope: bucket.scope(entry).clone(),
        basis: entry.basis,
        places: places_of(bucket, at),
    }
}

/// Where decisions hold what an entry says of a cavity to be right: a later note that says the same is of that
/// place, too.
fn places_of(bucket: &Bucket, at: usize) -> Vec<(DecisionId, u16)> {
    if bucket.separate.is_empty() {
        return Vec::new();
    }
    let (plug, slot, colour) = (telling(bucket, CONNECTOR), telling(bucket, CAVITY), telling(bucket, COLOUR));
    let says = |at: usize| {
        let entry = &bucket.entries[at];
        (plug(entry), slot(entry), colour(entry))
    };
    let mut places = Vec::new();
    for decided in bucket.decided.iter().filter(|decided| !decided.taken_back) {
        let same = decided.entries.iter().filter(|(_, place)| *place > 0);
        let same = same.filter(|(other, _)| says(*other as usize) == says(at));
        places.extend(same.map(|(_, place)| (decided.id, *place)));
    }
    places
}

/// Whether a decision holds two claimants to be right of different places.
fn are_separate(a: &Claimant, b: &Claimant) -> bool {
    a.places
        .iter()
        .any(|(decision, place)| b.places.iter().any(|(other, there)| other == decision && there != place))
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
            let contradict = (strangers || two_colours) && !are_separate(first, second);
            if contradict && first.scope.overlaps(&second.scope) {
                (functions, colours) = (functions || strangers, colours || two_colours);
                pairs.push((a, b));
            }
        }
    }
    let (claimants, pairs) = involved(claimants, &pairs);
    let anchor = claimants.iter().min_by_key(|one| (one.on, one.id))?.id;
    let (connector, cavity) = (connector.to_owned(), cavity.to_owned());
    let (state, past) = (State::Open, Vec::new());
    Some(CavityConflict { anchor, connector, cavity, claimants, functions, colours, state, past, pairs })
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
