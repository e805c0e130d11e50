//! Contradictions: which live notes of a bucket cannot all be true of one vehicle, joined into conflicts.
//!
//! `find` says which conflicts there are and who belongs to each, `all` those that decisions settled, too; it is run
//! whenever a bucket changes. `describe` lays one of them out for a reader: sides, contested vehicles, fields. What a
//! decision makes of notes is `settle`'s.

use std::collections::{BTreeMap, BTreeSet};

use serde::Serialize;

use super::bucket::{Bucket, Clash, Decided};
use super::{decided, sides};
use crate::note::NoteId;
use crate::vehicle::{Scope, fewest};

/// How far a conflict is settled.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum State {
    /// Notes that stand contradict each other.
    Open,
    /// So they do, and somebody is to look when such a vehicle is next in.
    Recheck,
    /// Decisions left nothing of it.
    Settled,
}

impl State {
    /// All three.
    pub const ALL: [Self; 3] = [Self::Open, Self::Recheck, Self::Settled];

    /// The word for it.
    #[must_use]
    pub fn word(self) -> &'static str {
        ["open", "recheck", "settled"][self as usize]
    }
}

/// A group of notes joined by contradictions.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Conflict {
    /// The note that names it: the earliest of its notes, by date and then by id, whatever decisions made of it.
    pub anchor: NoteId,
    /// Whether certain contradictions join it, or only possible ones.
    pub certain: bool,
    /// How far it is settled.
    pub state: State,
    /// Its notes: numbers into `Bucket::entries`, ascending. Of a settled one those that contradicted each other.
    pub entries: Vec<usize>,
    /// Notes that may contradict one of its notes and join nothing, the strongest first.
    pub hanging: Vec<usize>,
    /// Notes that were in it and contradict nothing any more, ascending; none of a settled one.
    pub past: Vec<usize>,
}

impl Conflict {
    /// Every note that is or was part of it.
    pub fn everybody(&self) -> Vec<usize> {
        [&self.entries, &self.hanging, &self.past].into_iter().flatten().copied().collect()
    }
}

/// One side of a conflict: a distinct value, and who stands for it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Side {
    /// The values in dispute: field and canonical text.
    pub values: Vec<(String, String)>,
    /// The notes that support it, coarser ones among them, the strongest first: numbers into `Bucket::entries`.
    pub entries: Vec<usize>,
    /// Distinct pairs of person and seen vehicle among them, where the writer stood before the vehicle.
    pub observations: usize,
    /// Whether all of them are word of mouth.
    pub hearsay: bool,
}

/// A conflict laid out.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Layout {
    /// The fields that differ.
    pub fields: Vec<String>,
    /// One side for each distinct value; the best supported first.
    pub sides: Vec<Side>,
    /// The vehicles on which two notes claim different things.
    pub contested: Vec<Scope>,
    /// Whether word of mouth alone carries one side.
    pub hearsay: bool,
}

/// Live notes with one claim and one scope: they contradict the same others.
struct Group {
    claim: u32,
    scope: u32,
    entries: Vec<usize>,
}

/// The conflicts of a bucket, by anchor.
#[must_use]
pub fn find(bucket: &Bucket) -> Vec<Conflict> {
    // Most buckets have nobody to contradict, or nobody who does.
    if bucket.entries.len() < 2 {
        return Vec::new();
    }
    let groups = groups(bucket);
    let pairs = pairs(bucket, &groups);
    if pairs.is_empty() {
        return Vec::new();
    }
    let mut certain = Joined::new(groups.len());
    for (a, b, _) in pairs.iter().filter(|pair| pair.2 == Clash::Certain) {
        certain.join(*a, *b);
    }
    let in_certain = |at: usize, joined: &mut Joined| joined.size(at) > 1;
    let mut possible = Joined::new(groups.len());
    let mut hanging: Vec<(usize, usize)> = Vec::new();
    for (a, b, _) in pairs.iter().filter(|pair| pair.2 == Clash::Possible) {
        match (in_certain(*a, &mut certain), in_certain(*b, &mut certain)) {
            (false, false) => possible.join(*a, *b),
            (a_in, b_in) => {
                if a_in {
                    hanging.push((certain.root(*a), *b));
                }
                if b_in {
                    hanging.push((certain.root(*b), *a));
                }
            }
        }
    }
    hanging.sort_unstable();
    hanging.dedup();
    let mut conflicts = collect(bucket, &groups, &mut certain, true, &hanging);
    conflicts.extend(collect(bucket, &groups, &mut possible, false, &[]));
    conflicts.sort_by_key(|conflict| conflict.anchor);
    conflicts
}

/// The conflicts of a bucket with those that decisions settled, by anchor. A conflict keeps its name whatever decisions
/// leave of it: two that were one stay one, and one that opens again is the same.
#[must_use]
pub fn all(bucket: &Bucket) -> Vec<Conflict> {
    let live = find(bucket);
    if bucket.decided.is_empty() {
        return live;
    }
    let before = find(&bucket.as_claimed());
    let mut settled: BTreeSet<usize> = (0..before.len()).collect();
    let mut open: BTreeMap<NoteId, Vec<(Conflict, Vec<usize>)>> = BTreeMap::new();
    for conflict in live {
        let shares = |old: &usize| before[*old].entries.iter().any(|at| conflict.entries.contains(at));
        let parts: Vec<usize> = (0..before.len()).filter(shares).collect();
        parts.iter().for_each(|part| {
            settled.remove(part);
        });
        let was: Vec<usize> = parts.iter().flat_map(|part| before[*part].entries.iter().copied()).collect();
        // A note that only hung on it may be earlier, and gives it no other name.
        let name = anchor(bucket, if was.is_empty() { &conflict.entries } else { &was });
        open.entry(name).or_default().push((conflict, was));
    }
    let mut conflicts: Vec<Conflict> =
        open.into_iter().map(|(name, parts)| joined_again(bucket, name, parts)).collect();
    conflicts
        .extend(settled.into_iter().map(|old| Conflict { state: State::Settled, ..before[old].clone() }));
    conflicts.sort_by_key(|conflict| conflict.anchor);
    conflicts
}

/// One conflict of the parts that decisions left of it, and of the notes that were in it.
fn joined_again(bucket: &Bucket, name: NoteId, parts: Vec<(Conflict, Vec<usize>)>) -> Conflict {
    let certain = parts.iter().any(|(part, _)| part.certain);
    let sorted = |numbers: BTreeSet<usize>| numbers.into_iter().collect::<Vec<usize>>();
    let own = |part: &&Conflict| part.certain == certain;
    let live = || parts.iter().map(|(part, _)| part);
    let entries: BTreeSet<usize> = live().filter(own).flat_map(|part| part.entries.clone()).collect();
    let loose = live().filter(|part| !own(part)).flat_map(|part| part.entries.clone());
    let hanging: BTreeSet<usize> = live().flat_map(|part| part.hanging.clone()).chain(loose).collect();
    let mut hanging = sorted(hanging.difference(&entries).copied().collect());
    let past = parts.iter().flat_map(|(_, was)| was.iter().copied());
    let past = past.filter(|at| !entries.contains(at) && !hanging.contains(at)).collect();
    sides::strongest_first(bucket, &mut hanging);
    let entries = sorted(entries);
    // Whoever has doubts about a single note has not put down what it contradicts.
    let own = |decided: &Decided| {
        decided.entries.iter().filter(|(at, _)| entries.binary_search(&(*at as usize)).is_ok()).count() > 1
    };
    let waits =
        bucket.decided_about(&entries).any(|decided| own(decided) && decided::is_pending(bucket, decided));
    let state = if waits { State::Recheck } else { State::Open };
    Conflict { anchor: name, certain, state, entries, hanging, past: sorted(past) }
}

/// All pairs of notes of a bucket that contradict, as numbers into `Bucket::entries`, the lower first.
#[must_use]
pub fn contradictions(bucket: &Bucket) -> Vec<(usize, usize, Clash)> {
    let groups = groups(bucket);
    let mut found = Vec::new();
    for (a, b, clash) in pairs(bucket, &groups) {
        for x in &groups[a].entries {
            found.extend(groups[b].entries.iter().map(|y| (*x.min(y), *x.max(y), clash)));
        }
    }
    found.sort_unstable();
    found
}

fn groups(bucket: &Bucket) -> Vec<Group> {
    let live = bucket.entries.iter().enumerate().filter(|(_, entry)| entry.is_live());
    let mut notes: Vec<(u32, u32, usize)> = live.map(|(at, entry)| (entry.claim, entry.scope, at)).collect();
    notes.sort_unstable();
    let group = |own: &[(u32, u32, usize)]| {
        let (claim, scope, _) = own[0];
        Group { claim, scope, entries: own.iter().map(|(.., at)| *at).collect() }
    };
    notes.chunk_by(|a, b| (a.0, a.1) == (b.0, b.1)).map(group).collect()
}

/// The pairs of groups that contradict. Claims are compared once, and scopes only where claims clash.
fn pairs(bucket: &Bucket, groups: &[Group]) -> Vec<(usize, usize, Clash)> {
    let known = bucket.live_claims();
    let ranges = ranges(groups);
    let mut overlap = Overlaps::new(bucket);
    let mut pairs = Vec::new();
    for (at, first) in ranges.iter().enumerate() {
        for second in &ranges[at + 1..] {
            let (a, b) = (groups[first.0].claim as usize, groups[second.0].claim as usize);
            let clash = bucket.clash(&bucket.claims[a], &bucket.claims[b], &known);
            if clash == Clash::None {
                continue;
            }
            for x in first.0..first.1 {
                let meeting =
                    (second.0..second.1).filter(|y| overlap.meet(groups[x].scope, groups[*y].scope));
                pairs.extend(meeting.map(|y| (x, y, clash)));
            }
        }
    }
    pairs
}

/// Where the groups of each claim begin and end; groups are sorted by claim.
fn ranges(groups: &[Group]) -> Vec<(usize, usize)> {
    let mut ranges: Vec<(usize, usize)> = Vec::new();
    for (at, group) in groups.iter().enumerate() {
        match ranges.last_mut() {
            Some(last) if groups[last.0].claim == group.claim => last.1 = at + 1,
            _ => ranges.push((at, at + 1)),
        }
    }
    ranges
}

/// Which scopes of a bucket overlap, each pair looked at once.
struct Overlaps<'b> {
    bucket: &'b Bucket,
    seen: Vec<Option<bool>>,
}

impl<'b> Overlaps<'b> {
    fn new(bucket: &'b Bucket) -> Self {
        Self { bucket, seen: vec![None; bucket.scopes.len() * bucket.scopes.len()] }
    }

    fn meet(&mut self, a: u32, b: u32) -> bool {
        let (a, b) = (a.min(b) as usize, a.max(b) as usize);
        let scopes = &self.bucket.scopes;
        *self.seen[a * scopes.len() + b].get_or_insert_with(|| a == b || scopes[a].overlaps(&scopes[b]))
    }
}

/// Sets that are joined step by step (union by size, with path halving).
struct Joined {
    parent: Vec<usize>,
    size: Vec<usize>,
}

impl Joined {
    fn new(count: usize) -> Self {
        Self { parent: (0..count).collect(), size: vec![1; count] }
    }

    fn root(&mut self, mut at: usize) -> usize {
        while self.parent[at] != at {
            self.parent[at] = self.parent[self.parent[at]];
            at = self.parent[at];
        }
        at
    }

    fn size(&mut self, at: usize) -> usize {
        let root = self.root(at);
        self.size[root]
    }

    fn join(&mut self, a: usize, b: usize) {
        let (a, b) = (self.root(a), self.root(b));
        if a == b {
            return;
        }
        let (large, small) = if self.size[a] >= self.size[b] { (a, b) } else { (b, a) };
        self.parent[small] = large;
        self.size[large] += self.size[small];
    }
}

fn collect(
    bucket: &Bucket,
    groups: &[Group],
    joined: &mut Joined,
    certain: bool,
    hanging: &[(usize, usize)],
) -> Vec<Conflict> {
    let mut members: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    for (at, group) in groups.iter().enumerate() {
        if joined.size(at) > 1 {
            members.entry(joined.root(at)).or_default().extend(&group.entries);
        }
    }
    let of_root = |root: usize| {
        let first = hanging.partition_point(|(own, _)| *own < root);
        let own = hanging[first..].iter().take_while(move |(own, _)| *own == root);
        own.flat_map(|(_, group)| groups[*group].entries.iter().copied()).collect()
    };
    members.into_iter().map(|(root, entries)| conflict(bucket, entries, certain, of_root(root))).collect()
}

fn conflict(bucket: &Bucket, mut entries: Vec<usize>, certain: bool, mut hanging: Vec<usize>) -> Conflict {
    entries.sort_unstable();
    hanging.retain(|at| entries.binary_search(at).is_err());
    sides::strongest_first(bucket, &mut hanging);
    let state = State::Open;
    Conflict { anchor: anchor(bucket, &entries), certain, state, entries, hanging, past: Vec::new() }
}

/// The earliest note of a set, by date and then by id: growing conflicts grow by later notes, so it stays.
fn anchor(bucket: &Bucket, entries: &[usize]) -> NoteId {
    let earliest = entries.iter().map(|at| &bucket.entries[*at]).min_by_key(|entry| (entry.on, entry.id));
    earliest.map_or(NoteId([0; 10]), |entry| entry.id)
}

/// Lays a conflict of `bucket` out for a reader; a settled one as it was.
#[must_use]
pub fn describe(bucket: &Bucket, conflict: &Conflict) -> Layout {
    match conflict.state {
        State::Settled => lay_out(&bucket.as_claimed(), conflict),
        State::Open | State::Recheck => lay_out(bucket, conflict),
    }
}

fn lay_out(bucket: &Bucket, conflict: &Conflict) -> Layout {
    let columns = differing_columns(bucket, conflict);
    let over: Vec<usize> = if bucket.several {
        bucket.identifying().chain(columns.iter().copied()).collect()
    } else {
        columns.clone()
    };
    let mut sides: Vec<Side> = sides::of(bucket, &conflict.entries, &over)
        .into_iter()
        .map(|side| build_side(bucket, &over, side))
        .collect();
    sides.sort_by(|a, b| b.observations.cmp(&a.observations).then_with(|| a.values.cmp(&b.values)));
    Layout {
        fields: columns.iter().map(|at| bucket.columns[*at].field.clone()).collect(),
        hearsay: sides.iter().any(|side| side.hearsay),
        contested: contested(bucket, conflict),
        sides,
    }
}

fn differing_columns(bucket: &Bucket, conflict: &Conflict) -> Vec<usize> {
    let claims = bucket.claims_of(&conflict.entries);
    let mut columns: Vec<usize> = Vec::new();
    for (at, a) in claims.iter().enumerate() {
        for b in &claims[at + 1..] {
            let (a, b) = (&bucket.claims[*a as usize], &bucket.claims[*b as usize]);
            if !bucket.apart(a, b) {
                columns.extend(bucket.differing(a, b));
            }
        }
    }
    columns.sort_unstable();
    columns.dedup();
    columns
}

fn build_side(bucket: &Bucket, over: &[usize], mut side: sides::Side) -> Side {
    sides::strongest_first(bucket, &mut side.entries);
    let values = over
        .iter()
        .filter_map(|at| {
            let column = &bucket.columns[*at];
            column.text(side.value[*at]).map(|text| (column.field.clone(), text.to_owned()))
        })
        .collect();
    Side {
        values,
        observations: sides::observations(bucket, &side.entries),
        hearsay: side.entries.iter().all(|at| bucket.entries[*at].basis == crate::note::Basis::Told),
        entries: side.entries,
    }
}

/// The union, over the contradicting pairs of a conflict, of where their scopes meet.
fn contested(bucket: &Bucket, conflict: &Conflict) -> Vec<Scope> {
    let inside = |at: &usize| conflict.entries.binary_search(at).is_ok();
    let groups: Vec<Group> =
        groups(bucket).into_iter().filter(|group| group.entries.iter().any(inside)).collect();
    let wanted = if conflict.certain { Clash::Certain } else { Clash::Possible };
    let mut meeting: Vec<(u32, u32)> = pairs(bucket, &groups)
        .into_iter()
        .filter(|pair| pair.2 == wanted)
        .map(|(a, b, _)| (groups[a].scope.min(groups[b].scope), groups[a].scope.max(groups[b].scope)))
        .collect();
    meeting.sort_unstable();
    meeting.dedup();
    let scopes = &bucket.scopes;
    let boxes =
        meeting.iter().filter_map(|(a, b)| scopes[*a as usize].intersection(&scopes[*b as usize])).collect();
    fewest(boxes)
}
