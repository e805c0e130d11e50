//! Decisions that say the opposite of each other, and between which nobody has decided yet: which they are, about which
//! notes, and which vehicles that concerns. None of them counts, so that notes hold again which somebody retired or
//! narrowed. Joins storage and judgement; what opposing is `decision::force` says, how it looks is `show`'s business.

use std::collections::{BTreeMap, BTreeSet};

use crate::book::{Book, BookError};
use crate::decision::force::disagree;
use crate::decision::{Becomes, DecisionId};
use crate::judge::bucket::{Bucket, Entry};
use crate::judge::decided::Ruling;
use crate::note::NoteId;
use crate::vehicle::{Match, Vehicle};

/// Decisions of which each opposes another one here.
#[derive(Debug, Clone)]
pub struct Opposition {
    /// The decisions, in the order in which they were made.
    pub rulings: Vec<Ruling>,
    /// The notes of which they say what cannot both be, ascending.
    pub notes: Vec<NoteId>,
}

/// The oppositions in which some of these decisions take part.
///
/// # Errors
/// The book cannot be read.
pub fn among(book: &Book, ids: &[DecisionId]) -> Result<Vec<Opposition>, BookError> {
    let (mut known, mut waiting) = (BTreeMap::new(), Vec::from(ids));
    while !waiting.is_empty() {
        let found = book.rulings_called(&waiting)?;
        let opponents: BTreeSet<DecisionId> = found.iter().flat_map(opponents_of).collect();
        let opposed = found.into_iter().filter(|ruling| opponents_of(ruling).next().is_some());
        known.extend(opposed.map(|ruling| (ruling.id, ruling)));
        waiting = opponents.into_iter().filter(|id| !known.contains_key(id)).collect();
    }
    let mut found = Vec::new();
    while let Some(first) = known.first_key_value().map(|(id, _)| *id) {
        let group = take_group(&mut known, first);
        let rulings = book.rulings_called(&Vec::from_iter(group.keys().copied()))?;
        found.push(Opposition { notes: contested(&group), rulings });
    }
    Ok(found)
}

/// The oppositions that concern a bucket. Where all its decisions count, nothing is read.
///
/// # Errors
/// The book cannot be read.
pub fn of_bucket(book: &Book, bucket: &Bucket) -> Result<Vec<Opposition>, BookError> {
    let idle = bucket.decided.iter().filter(|decided| !decided.counts && decided.kind.settles());
    let idle: Vec<DecisionId> = idle.map(|decided| decided.id).collect();
    if idle.is_empty() { Ok(Vec::new()) } else { among(book, &idle) }
}

/// The oppositions about one note.
///
/// # Errors
/// The book cannot be read.
pub fn of_note(book: &Book, note: NoteId) -> Result<Vec<Opposition>, BookError> {
    let about: Vec<DecisionId> = book.rulings_about(note)?.iter().map(|ruling| ruling.id).collect();
    let mut found = among(book, &about)?;
    found.retain(|opposition| opposition.changes(note));
    Ok(found)
}

fn opponents_of(ruling: &Ruling) -> impl Iterator<Item = DecisionId> {
    ruling.force.opposed_by.iter().filter(|other| !other.decided_anew).map(|other| other.id)
}

/// Takes out a decision with all that oppose it, directly or through others.
fn take_group(known: &mut BTreeMap<DecisionId, Ruling>, first: DecisionId) -> BTreeMap<DecisionId, Ruling> {
    let (mut group, mut waiting) = (BTreeMap::new(), vec![first]);
    while let Some(id) = waiting.pop() {
        if let Some(ruling) = known.remove(&id) {
            waiting.extend(opponents_of(&ruling));
            group.insert(id, ruling);
        }
    }
    group
}

/// The notes of which decisions that oppose each other say what cannot both be.
fn contested(group: &BTreeMap<DecisionId, Ruling>) -> Vec<NoteId> {
    let mut notes = BTreeSet::new();
    for ruling in group.values() {
        for other in opponents_of(ruling).filter_map(|id| group.get(&id)) {
            let clashing = ruling.decision.about.iter().filter(|(note, ours)| {
                other.decision.becomes(*note).is_some_and(|theirs| disagree(ours, theirs))
            });
            notes.extend(clashing.map(|(note, _)| *note));
        }
    }
    Vec::from_iter(notes)
}

impl Opposition {
    /// Whether a note would be something else if one of these decisions counted.
    fn changes(&self, note: NoteId) -> bool {
        let mut said = self.rulings.iter().filter_map(|ruling| ruling.decision.becomes(note));
        said.any(|becomes| *becomes != Becomes::Kept)
    }

    /// Whether it concerns a vehicle at this point: a note may hold for it that would be something else if one of these
    /// decisions counted.
    #[must_use]
    pub fn touches(&self, bucket: &Bucket, vehicle: &Vehicle) -> bool {
        let holds =
            |entry: &Entry| entry.is_live() && bucket.scope(entry).matches(vehicle) != Match::Excluded;
        bucket.entries.iter().any(|entry| holds(entry) && self.changes(entry.id))
    }
}
