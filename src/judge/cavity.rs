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
    /// A number into the scopes of the conflict.
    scope: usize,
    /// What it tells of the cavity: a number into what is told there.
    side: usize,
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
    /// How far it is settled.
    pub state: State,
    /// The decisions that ask to look at it, where it waits for that.
    pub rechecks: Vec<DecisionId>,
    /// Notes that were in it and contradict nothing any more, by point and id; none of a settled one.
    pub past: Vec<Claimant>,
    /// Each distinct scope of theirs.
    scopes: Vec<Scope>,
    /// What is told of the cavity: for each function and colour, the scopes for which it is told.
    told: Vec<BTreeSet<usize>>,
    /// Which of these contradict each other: numbers into `told`, the lower first.
    clashes: BTreeSet<(usize, usize)>,
}

impl CavityConflict {
    /// Whether a note on this point, by number in the catalogue, claims the cavity.
    #[must_use]
    pub fn is_claimed_by(&self, point: usize) -> bool {
        self.claimants.iter().any(|claimant| claimant.point == point)
    }

    /// Whether it may touch a vehicle: two notes that contradict may both take it in.
    #[must_use]
    pub fn touches(&self, vehicle: &Vehicle) -> bool {
        // Where two scopes meet lies in both: they are laid out only where each may take the vehicle in.
        let takes_in = |scope: &Scope| scope.matches(vehicle) != Match::Excluded;
        let may: Vec<bool> = self.scopes.iter().map(takes_in).collect();
        let pairs = self.scope_pairs().filter(|(a, b)| may[*a] && may[*b]);
        pairs.filter_map(|pair| self.meeting(pair)).any(|both| takes_in(&both))
    }

    /// The scopes of notes that contradict each other, but for whether they meet.
    fn scope_pairs(&self) -> impl Iterator<Item = (usize, usize)> {
        self.clashes.iter().flat_map(|(a, b)| {
            let (ours, theirs) = (&self.told[*a], &self.told[*b]);
            ours.iter().flat_map(move |a| theirs.iter().map(move |b| (*a, *b)))
        })
    }

    fn meeting(&self, (a, b): (usize, usize)) -> Option<Scope> {
        self.scopes[a].intersection(&self.scopes[b])
    }

    /// Which claimants contradict which: numbers into `claimants`, the lower first.
    #[must_use]
    pub fn pairs(&self) -> Vec<(usize, usize)> {
        let numbered = || self.claimants.iter().enumerate();
        let contradict = |a: &Claimant, b: &Claimant| {
            self.clashes.contains(&(a.side.min(b.side), a.side.max(b.side)))
                && self.scopes[a.scope].overlaps(&self.scopes[b.scope])
        };
        numbered()
            .flat_map(|(i, a)| {
                numbered().skip(i + 1).filter(move |(_, b)| contradict(a, b)).map(move |(j, _)| (i, j))
            })
            .collect()
    }

    /// What the cavity is told to be: the claimants of each function and colour, by number.
    #[must_use]
    pub fn sides(&self) -> Vec<Vec<usize>> {
        let mut sides: Vec<Vec<usize>> = Vec::new();
        for (at, claimant) in self.claimants.iter().enumerate() {
            match sides.iter_mut().find(|side| self.claimants[side[0]].side == claimant.side) {
                Some(side) => side.push(at),
                None => sides.push(vec![at]),
            }
        }
        sides
    }

    /// The vehicles on which two notes claim different things.
    #[must_use]
    pub fn contested(&self) -> Vec<Scope> {
        let mut boxes: Vec<Scope> = self.scope_pairs().filter_map(|pair| self.meeting(pair)).collect();
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
        open.rechecks = rechecks(places, open);
        if !open.rechecks.is_empty() {
            open.state = State::Recheck;
        }
    }
    conflicts.sort_by_key(|conflict| conflict.anchor);
    conflicts
}

/// The decisions that ask somebody to look at the cavity, and since which no note of it was made by looking. One
/// about notes of a single point is of what these say of it.
fn rechecks(places: &[Place<'_>], conflict: &CavityConflict) -> Vec<DecisionId> {
    let buckets: BTreeMap<usize, &Bucket> = places.iter().map(|place| (place.point, place.bucket)).collect();
    let mut asked: BTreeMap<DecisionId, (i32, BTreeSet<NoteId>, BTreeSet<usize>)> = BTreeMap::new();
    for claimant in &conflict.claimants {
        let Some(bucket) = buckets.get(&claimant.point) else { continue };
        let waiting = |decided: &&Decided| decided.kind == Kind::Recheck && decided.counts;
        for decided in bucket.decided_about(&[claimant.entry]).filter(waiting) {
            let own = asked.entry(decided.id).or_insert((decided.day, BTreeSet::new(), BTreeSet::new()));
            own.1.insert(claimant.id);
            own.2.insert(claimant.point);
        }
    }
    let looked = |since: i32, listed: &BTreeSet<NoteId>| {
        conflict.claimants.iter().any(|claimant| {
            claimant.basis.is_observation() && claimant.on >= since && !listed.contains(&claimant.id)
        })
    };
    asked.retain(|_, (day, listed, points)| points.len() > 1 && !looked(*day, listed));
    asked.into_keys().collect()
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
    named.retain(|_, notes| notes.iter().any(|(place, _)| *place != notes[0].0));
    if named.is_empty() {
        return Vec::new();
    }
    let mut meetings = Meetings::new(places, named.values().flatten());
    let mut found: Vec<CavityConflict> = named
        .into_iter()
        .filter_map(|((connector, cavity), notes)| {
            let sides = sides(places, &notes, &meetings);
            let (clashes, kept) = clashes(catalogue, &sides, &mut meetings, &mut relate);
            let (connector, cavity) = (connector.to_owned(), cavity.to_owned());
            conflict(connector, cavity, &sides, &clashes, &kept, &meetings)
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

/// Whether cavity conflicts may be others now that a bucket is another, of which notes only come to stand behind those
/// it had.
#[must_use]
pub fn are_touched(before: Option<&Bucket>, after: &Bucket) -> bool {
    let mut named = [Naming::new(), Naming::new()];
    for (bucket, named) in before.into_iter().chain([after]).zip(&mut named) {
        collect(0, bucket, named);
    }
    let decided = |bucket: &Bucket| !bucket.decided.is_empty();
    match before {
        Some(before) => named[0] != named[1] || decided(before) || decided(after),
        None => !named[0].is_empty() || decided(after),
    }
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
pub(super) fn telling<'b>(bucket: &'b Bucket, field: &str) -> impl Fn(&'b Entry) -> Option<&'b str> {
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

/// What is told of a cavity: one function and one colour, and the notes that tell it.
struct Side<'b> {
    at: usize,
    place: &'b Place<'b>,
    colour: Option<&'b str>,
    /// Where decisions hold it to be right: the decision, and the place by its number in it.
    places: Vec<(DecisionId, u16)>,
    /// Numbers into the entries of the place's bucket.
    entries: Vec<usize>,
    /// For each of them the number of its scope among those of the meetings.
    scopes: Vec<usize>,
}

impl Side<'_> {
    /// The scopes of its notes, each once.
    fn distinct_scopes(&self) -> Vec<usize> {
        let mut scopes = self.scopes.clone();
        scopes.sort_unstable();
        scopes.dedup();
        scopes
    }
}

fn sides<'b>(places: &'b [Place<'b>], notes: &[(usize, usize)], meetings: &Meetings<'_>) -> Vec<Side<'b>> {
    let mut told: BTreeMap<(usize, Option<&str>), Vec<usize>> = BTreeMap::new();
    for (at, entry) in notes {
        let bucket = places[*at].bucket;
        let colour = telling(bucket, COLOUR)(&bucket.entries[*entry]);
        told.entry((*at, colour)).or_default().push(*entry);
    }
    let side = |((at, colour), entries): ((usize, Option<&'b str>), Vec<usize>)| {
        let places_held = places_of(places[at].bucket, &entries);
        let scope = |entry: &usize| meetings.scope(at, places[at].bucket.entries[*entry].scope);
        let scopes = entries.iter().map(scope).collect();
        Side { at, place: &places[at], colour, places: places_held, entries, scopes }
    };
    told.into_iter().map(side).collect()
}

/// Where decisions hold what entries say of a cavity to be right: a later note that says the same is of that place,
/// too.
fn places_of(bucket: &Bucket, entries: &[usize]) -> Vec<(DecisionId, u16)> {
    if bucket.separate.is_empty() {
        return Vec::new();
    }
    let mut places = Vec::new();
    for decided in bucket.decided.iter().filter(|decided| decided.counts) {
        let same = decided.entries.iter().filter(|(_, place)| *place > 0);
        let same = same.filter(|(other, _)| says_the_same(bucket, *other as usize, entries[0]));
        places.extend(same.map(|(_, place)| (decided.id, *place)));
    }
    places
}

fn says_the_same(bucket: &Bucket, a: usize, b: usize) -> bool {
    let (a, b) = (&bucket.entries[a], &bucket.entries[b]);
    [CONNECTOR, CAVITY, COLOUR].into_iter().all(|field| {
        let says = telling(bucket, field);
        says(a) == says(b)
    })
}

/// Whether a decision holds two sides to be right of different places.
fn are_separate(a: &Side<'_>, b: &Side<'_>) -> bool {
    a.places
        .iter()
        .any(|(decision, place)| b.places.iter().any(|(other, there)| other == decision && there != place))
}

/// Two sides that contradict each other on some vehicle, and how.
struct Contradiction {
    sides: (usize, usize),
    functions: bool,
    colours: bool,
}

/// Which sides contradict each other, and for each side which of its notes do.
fn clashes(
    catalogue: &Catalogue,
    sides: &[Side<'_>],
    meetings: &mut Meetings,
    relate: &mut impl FnMut(&str, &str) -> Relation,
) -> (Vec<Contradiction>, Vec<Vec<bool>>) {
    let mut kept: Vec<Vec<bool>> = sides.iter().map(|side| vec![false; side.entries.len()]).collect();
    let mut found = Vec::new();
    for (a, first) in sides.iter().enumerate() {
        for (b, second) in sides.iter().enumerate().skip(a + 1).filter(|(_, other)| other.at != first.at) {
            let functions = !may_share(catalogue, first.place.point, second.place.point);
            let colours = match (first.colour, second.colour) {
                (Some(x), Some(y)) => relate(x, y) == Relation::Different,
                _ => false,
            };
            let contradict = (functions || colours) && !are_separate(first, second);
            if contradict && meet(meetings, (first, second), (a, b), &mut kept) {
                found.push(Contradiction { sides: (a, b), functions, colours });
            }
        }
    }
    (found, kept)
}

/// Marks the notes of two sides that meet on some vehicle; whether there are any.
fn meet(
    meetings: &mut Meetings,
    (first, second): (&Side<'_>, &Side<'_>),
    (a, b): (usize, usize),
    kept: &mut [Vec<bool>],
) -> bool {
    let mut met = vec![[false; 2]; meetings.scopes.len()];
    let others = second.distinct_scopes();
    for ours in first.distinct_scopes() {
        for theirs in &others {
            if meetings.overlap(ours, *theirs) {
                (met[ours][0], met[*theirs][1]) = (true, true);
            }
        }
    }
    for (number, at, side) in [(a, 0, first), (b, 1, second)] {
        let marks = kept[number].iter_mut().zip(&side.scopes);
        marks.for_each(|(kept, scope)| *kept |= met[*scope][at]);
    }
    met.iter().any(|[here, _]| *here)
}

/// The distinct scopes of notes that name one cavity on several points, and which of them meet. Thousands of notes claim
/// some hundreds of scopes.
struct Meetings<'b> {
    /// The number of the scope here, by place and by its number in the bucket there; 0 also where no note has it.
    numbers: Vec<Vec<usize>>,
    scopes: Vec<&'b Scope>,
    /// For each pair, where it was asked for, whether they meet.
    known: Vec<Option<bool>>,
}

impl<'b> Meetings<'b> {
    /// Those of `notes`, which are told by place and entry.
    fn new<'n>(places: &[Place<'b>], notes: impl Iterator<Item = &'n (usize, usize)>) -> Self {
        let mut is_claimed: Vec<Vec<bool>> =
            places.iter().map(|place| vec![false; place.bucket.scopes.len()]).collect();
        for (place, entry) in notes {
            is_claimed[*place][places[*place].bucket.entries[*entry].scope as usize] = true;
        }
        let own = |(place, is_claimed): (&Place<'b>, &Vec<bool>)| {
            let scopes = place.bucket.scopes.iter().zip(is_claimed.clone());
            scopes.filter_map(|(scope, is_claimed)| is_claimed.then_some(scope)).collect::<Vec<_>>()
        };
        let mut scopes: Vec<&Scope> = places.iter().zip(&is_claimed).flat_map(own).collect();
        scopes.sort_unstable();
        scopes.dedup();
        let number = |(scope, is_claimed): (&Scope, &bool)| match is_claimed {
            true => scopes.binary_search(&scope).unwrap_or_default(),
            false => 0,
        };
        let of_place = |(place, is_claimed): (&Place<'b>, &Vec<bool>)| {
            place.bucket.scopes.iter().zip(is_claimed).map(number).collect()
        };
        let numbers = places.iter().zip(&is_claimed).map(of_place).collect();
        Self { known: vec![None; scopes.len() * scopes.len()], numbers, scopes }
    }

    fn scope(&self, place: usize, scope: u32) -> usize {
        self.numbers[place][scope as usize]
    }

    fn overlap(&mut self, a: usize, b: usize) -> bool {
        let (low, high) = (a.min(b), a.max(b));
        *self.known[high * self.scopes.len() + low]
            .get_or_insert_with(|| self.scopes[low].overlaps(self.scopes[high]))
    }
}

fn conflict(
    connector: String,
    cavity: String,
    sides: &[Side<'_>],
    clashes: &[Contradiction],
    kept: &[Vec<bool>],
    meetings: &Meetings<'_>,
) -> Option<CavityConflict> {
    let mut numbers = BTreeMap::new();
    let mut told = vec![BTreeSet::new(); sides.len()];
    let mut claimants = Vec::new();
    for (at, side) in sides.iter().enumerate() {
        let notes = side.entries.iter().zip(&side.scopes).zip(&kept[at]);
        for (entry, scope) in notes.filter_map(|(note, kept)| kept.then_some(note)) {
            let next = numbers.len();
            let scope = *numbers.entry(*scope).or_insert(next);
            told[at].insert(scope);
            claimants.push(claimant(side, at, *entry, scope));
        }
    }
    claimants.sort_unstable_by_key(|one| (one.point, one.id));
    let mut scopes: Vec<(usize, usize)> =
        numbers.into_iter().map(|(scope, number)| (number, scope)).collect();
    scopes.sort_unstable();
    Some(CavityConflict {
        anchor: claimants.iter().min_by_key(|one| (one.on, one.id))?.id,
        connector,
        cavity,
        claimants,
        functions: clashes.iter().any(|clash| clash.functions),
        colours: clashes.iter().any(|clash| clash.colours),
        state: State::Open,
        rechecks: Vec::new(),
        past: Vec::new(),
        scopes: scopes.into_iter().map(|(_, scope)| meetings.scopes[scope].clone()).collect(),
        told,
        clashes: clashes.iter().map(|clash| clash.sides).collect(),
    })
}

fn claimant(side: &Side<'_>, number: usize, at: usize, scope: usize) -> Claimant {
    let entry = &side.place.bucket.entries[at];
    Claimant {
        point: side.place.point,
        entry: at,
        id: entry.id,
        colour: side.colour.map(str::to_owned),
        on: entry.on,
        scope,
        side: number,
        basis: entry.basis,
    }
}

fn may_share(catalogue: &Catalogue, a: usize, b: usize) -> bool {
    let (a, b) = (&catalogue.points[a], &catalogue.points[b]);
    a.may_share.contains(&b.name) || b.may_share.contains(&a.name)
}
