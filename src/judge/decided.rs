//! What decisions do to the notes of a bucket. Their order does not matter: scopes are met, what one retires stays
//! retired, and what is taken back or opposed does nothing.
//!
//! Pure: a bucket and decisions in, a bucket out. Which conflicts that leaves is `conflict`'s to find, how decisions
//! are come by `settle`'s.

use std::collections::BTreeMap;

use super::bucket::{Bucket, Clash, Decided, Entry, RETIRED};
use crate::decision::force::Force;
use crate::decision::{Becomes, Decision, DecisionId, Kind};
use crate::note::NoteId;
use crate::vehicle::{Match, Scope, Vehicle};

/// A decision, and whether it counts.
#[derive(Debug, Clone)]
pub struct Ruling {
    /// Its id.
    pub id: DecisionId,
    /// What was decided.
    pub decision: Decision,
    /// Whether another decision takes it back, or opposes it.
    pub force: Force,
}

/// Does to a bucket, whose replaced notes are settled, what decisions say. Of what they say about notes that are not
/// here nothing is done. `scope` reads canonical years and qualifiers.
pub fn apply(bucket: &mut Bucket, rulings: &[Ruling], mut scope: impl FnMut(&str, &str) -> Scope) {
    if rulings.is_empty() {
        return;
    }
    let numbers: BTreeMap<NoteId, u32> =
        bucket.entries.iter().enumerate().map(|(at, entry)| (entry.id, at as u32)).collect();
    let mut rulings: Vec<&Ruling> = rulings.iter().collect();
    rulings.sort_by_key(|ruling| ruling.id);
    rulings.dedup_by_key(|ruling| ruling.id);
    let mut narrowed: BTreeMap<u32, Option<Scope>> = BTreeMap::new();
    for ruling in rulings {
        let here: Vec<(u32, &Becomes)> = ruling
            .decision
            .about
            .iter()
            .filter_map(|(note, becomes)| numbers.get(note).map(|at| (*at, becomes)))
            .collect();
        if here.is_empty() {
            continue;
        }
        if ruling.force.counts() {
            rule(bucket, &here, &mut narrowed, &mut scope);
        }
        bucket.decided.push(known(ruling, &here));
    }
    narrow(bucket, narrowed);
}

fn known(ruling: &Ruling, here: &[(u32, &Becomes)]) -> Decided {
    let place = |becomes: &Becomes| if let Becomes::Separate(place) = becomes { *place } else { 0 };
    let mut entries: Vec<(u32, u16)> = here.iter().map(|(at, becomes)| (*at, place(becomes))).collect();
    entries.sort_unstable();
    Decided {
        id: ruling.id,
        kind: ruling.decision.kind,
        day: ruling.decision.day,
        counts: ruling.force.counts(),
        notes: u32::try_from(ruling.decision.about.len()).unwrap_or(u32::MAX),
        entries,
    }
}

fn rule(
    bucket: &mut Bucket,
    here: &[(u32, &Becomes)],
    narrowed: &mut BTreeMap<u32, Option<Scope>>,
    scope: &mut impl FnMut(&str, &str) -> Scope,
) {
    let mut places: BTreeMap<u16, Vec<u32>> = BTreeMap::new();
    for (at, becomes) in here {
        let entry = &mut bucket.entries[*at as usize];
        match becomes {
            Becomes::Kept => {}
            Becomes::Retired => retire(entry),
            Becomes::Narrowed { years, only } => {
                let claimed = &bucket.scopes[entry.scope as usize];
                let left = narrowed.entry(*at).or_insert_with(|| Some(claimed.clone()));
                *left = left.as_ref().and_then(|left| left.intersection(&scope(years, only)));
            }
            Becomes::Separate(place) => places.entry(*place).or_default().push(entry.claim),
        }
    }
    if !places.is_empty() {
        let mut places: Vec<Vec<u32>> = places.into_values().collect();
        for claims in &mut places {
            claims.sort_unstable();
            claims.dedup();
        }
        bucket.separate.push(places);
    }
}

/// A note that another one of the same hand replaced stays replaced.
fn retire(entry: &mut Entry) {
    if entry.is_live() {
        entry.replaced_by = RETIRED;
    }
}

/// Gives narrowed notes their scopes; one of which no vehicle is left is retired.
fn narrow(bucket: &mut Bucket, narrowed: BTreeMap<u32, Option<Scope>>) {
    for (at, left) in narrowed {
        let entry = &mut bucket.entries[at as usize];
        let Some(left) = left else {
            retire(entry);
            continue;
        };
        if left == bucket.scopes[entry.scope as usize] {
            continue;
        }
        bucket.claimed.push((at, entry.scope));
        let known = bucket.scopes.iter().position(|scope| *scope == left);
        entry.scope = known.unwrap_or(bucket.scopes.len()) as u32;
        if known.is_none() {
            bucket.scopes.push(left);
        }
    }
}

/// Makes a bucket what its notes alone give.
pub fn undo(bucket: &mut Bucket) {
    for (at, scope) in std::mem::take(&mut bucket.claimed) {
        bucket.entries[at as usize].scope = scope;
    }
    for entry in bucket.entries.iter_mut().filter(|entry| entry.is_retired()) {
        entry.replaced_by = 0;
    }
    // Every scope that a note claims stands before those that only decisions made.
    let claimed = bucket.entries.iter().map(|entry| entry.scope as usize + 1).max().unwrap_or_default();
    bucket.scopes.truncate(claimed);
    bucket.separate.clear();
    bucket.decided.clear();
}

impl Bucket {
    /// The same notes, without what decisions do to them.
    #[must_use]
    pub fn as_claimed(&self) -> Self {
        let mut bucket = self.clone();
        undo(&mut bucket);
        bucket
    }

    /// The scope that an entry claimed, whatever decisions made of it.
    #[must_use]
    pub fn claimed_scope(&self, entry: usize) -> &Scope {
        let found = self.claimed.binary_search_by_key(&(entry as u32), |(at, _)| *at);
        let scope = found.map_or(self.entries[entry].scope, |at| self.claimed[at].1);
        &self.scopes[scope as usize]
    }

    /// The decisions about some of these entries, by id.
    pub fn decided_about<'b>(&'b self, entries: &'b [usize]) -> impl Iterator<Item = &'b Decided> {
        self.decided
            .iter()
            .filter(|decided| decided.entries.iter().any(|(at, _)| entries.contains(&(*at as usize))))
    }

    /// The rechecks that nobody has done yet, and that a vehicle like this would settle.
    pub fn rechecks<'b>(&'b self, vehicle: &'b Vehicle) -> impl Iterator<Item = &'b Decided> {
        self.decided.iter().filter(move |decided| {
            is_pending(self, decided) && recheck_scopes(self, decided).any(|scope| may_be(&scope, vehicle))
        })
    }
}

fn may_be(scope: &Scope, vehicle: &Vehicle) -> bool {
    scope.matches(vehicle) != Match::Excluded
}

/// Whether a recheck of this point stands out: it counts, what it is about still matters, and nobody has looked at such
/// a vehicle since. One of a cavity is looked after by `cavity`.
#[must_use]
pub fn is_pending(bucket: &Bucket, decided: &Decided) -> bool {
    decided.kind == Kind::Recheck
        && decided.counts
        && decided.is_of_one_point()
        && recheck_scopes(bucket, decided).next().is_some()
        && !bucket.entries.iter().enumerate().any(|(at, entry)| is_answer(bucket, decided, at, entry))
}

/// Whether a note was made by looking where a recheck asked for it.
fn is_answer(bucket: &Bucket, decided: &Decided, at: usize, entry: &Entry) -> bool {
    // Of a conflict all notes of that day were listed; a single note may have company on its own day.
    let since = if decided.notes > 1 { entry.on >= decided.day } else { entry.on > decided.day };
    let listed = |at: usize| decided.entries.iter().any(|(known, _)| *known as usize == at);
    let speaks = |other: &Entry| {
        let (new, old) = (bucket.claim(entry), bucket.claim(other));
        bucket.agreeing().any(|column| new[column] != 0)
            && !bucket.apart(new, old)
            && bucket.scope(entry).overlaps(bucket.scope(other))
    };
    since
        && entry.is_live()
        && entry.basis.is_observation()
        && entry.seen != 0
        && !listed(at)
        && listed_live(bucket, decided).any(|(_, other)| speaks(other))
}

fn listed_live<'b>(bucket: &'b Bucket, decided: &'b Decided) -> impl Iterator<Item = (usize, &'b Entry)> {
    let entries = decided.entries.iter().map(|(at, _)| (*at as usize, &bucket.entries[*at as usize]));
    entries.filter(|(_, entry)| entry.is_live())
}

/// The vehicles that a recheck asks to look at: where notes of it contradict each other, or that a single note
/// holds for.
fn recheck_scopes<'b>(bucket: &'b Bucket, decided: &'b Decided) -> impl Iterator<Item = Scope> + 'b {
    let live: Vec<&Entry> = listed_live(bucket, decided).map(|(_, entry)| entry).collect();
    let mut scopes = Vec::new();
    if decided.notes == 1 {
        scopes.extend(live.iter().map(|entry| bucket.scope(entry).clone()));
    } else if live.len() > 1 {
        let known = bucket.live_claims();
        for (at, a) in live.iter().enumerate() {
            for b in &live[at + 1..] {
                if bucket.clash(bucket.claim(a), bucket.claim(b), &known) != Clash::None {
                    scopes.extend(bucket.scope(a).intersection(bucket.scope(b)));
                }
            }
        }
    }
    scopes.into_iter()
}
