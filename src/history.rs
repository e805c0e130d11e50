//! How a note fared, and the log of a conflict or a vehicle: who wrote and who decided what, in the order of days.
//! Joins storage and judgement; how it looks is `show`'s business.

use std::collections::BTreeSet;

use crate::book::{Book, BookError, BucketKey, KnownModel, StoredNote};
use crate::decision::DecisionId;
use crate::judge::bucket::Bucket;
use crate::judge::decided::Ruling;
use crate::language::Language;
use crate::note::NoteId;
use crate::vehicle::{Match, Scope, Vehicle};

/// One line of a log.
#[derive(Debug)]
pub enum Event {
    /// Somebody wrote a note; with its point, by number in the catalogue, and the notes that it replaced.
    Wrote(Box<StoredNote>, usize, Vec<NoteId>),
    /// Somebody decided.
    Decided(Box<Ruling>),
}

impl Event {
    /// When, in days since 1970-01-01.
    #[must_use]
    pub fn day(&self) -> i32 {
        match self {
            Self::Wrote(note, ..) => note.day,
            Self::Decided(ruling) => ruling.decision.day,
        }
    }
}

/// Where a note stands: how far it still counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Standing {
    /// It holds for all that it claims.
    Stands,
    /// A decision narrowed it.
    Narrowed,
    /// A decision retired it.
    Retired,
    /// A later note of the same hand on the same vehicle replaced it.
    Replaced,
}

impl Standing {
    /// Where an entry of a bucket stands.
    #[must_use]
    pub fn of(bucket: &Bucket, at: usize) -> Self {
        let entry = &bucket.entries[at];
        if entry.is_retired() {
            Self::Retired
        } else if !entry.is_live() {
            Self::Replaced
        } else if bucket.scope(entry) != bucket.claimed_scope(at) {
            Self::Narrowed
        } else {
            Self::Stands
        }
    }

    /// The word for it.
    #[must_use]
    pub fn word(self) -> &'static str {
        ["stands", "narrowed", "retired", "replaced"][self as usize]
    }
}

/// How far a note still counts, and why.
#[derive(Debug)]
pub struct Fate {
    /// Where it stands.
    pub standing: Standing,
    /// The vehicles that it holds for, as long as it counts.
    pub holds_for: Scope,
    /// The later note that replaced it.
    pub replaced_by: Option<NoteId>,
    /// The decisions about it, in the order in which they were made.
    pub rulings: Vec<Ruling>,
}

/// How far a note still counts.
///
/// # Errors
/// The book cannot be read.
pub fn fate(book: &Book, language: &Language, note: &StoredNote) -> Result<Fate, BookError> {
    let buckets = book.buckets(language, note.key.bucket().model())?;
    let bucket = buckets.iter().find(|(key, ..)| *key == note.key.bucket()).map(|(_, _, bucket)| bucket);
    let found = bucket.and_then(|bucket| {
        let at = bucket.entries.iter().position(|entry| entry.id == note.id)?;
        let entry = &bucket.entries[at];
        let replaced_by = entry.replacer().and_then(|by| bucket.entries.get(by)).map(|by| by.id);
        Some((Standing::of(bucket, at), bucket.scope(entry).clone(), replaced_by))
    });
    let (standing, holds_for, replaced_by) =
        found.unwrap_or_else(|| (Standing::Stands, note.scope(language), None));
    Ok(Fate { standing, holds_for, replaced_by, rulings: book.rulings_about(note.id)? })
}

/// The log of these notes of a model, with everything that was decided about them.
///
/// # Errors
/// The book cannot be read.
pub fn of_notes(
    book: &Book,
    language: &Language,
    model: &KnownModel,
    notes: &[NoteId],
) -> Result<Vec<Event>, BookError> {
    log(book, language, model, |bucket, at| notes.contains(&bucket.entries[at].id))
}

/// The log of all notes that claim, or may claim, a vehicle.
///
/// # Errors
/// The book cannot be read.
pub fn of_vehicle(
    book: &Book,
    language: &Language,
    model: &KnownModel,
    vehicle: &Vehicle,
) -> Result<Vec<Event>, BookError> {
    log(book, language, model, |bucket, at| bucket.claimed_scope(at).matches(vehicle) != Match::Excluded)
}

fn log(
    book: &Book,
    language: &Language,
    model: &KnownModel,
    wanted: impl Fn(&Bucket, usize) -> bool,
) -> Result<Vec<Event>, BookError> {
    let mut events = Vec::new();
    let mut decided: BTreeSet<DecisionId> = BTreeSet::new();
    for (key, point, bucket) in book.buckets(language, model.id)? {
        let chosen: Vec<usize> = (0..bucket.entries.len()).filter(|at| wanted(&bucket, *at)).collect();
        for at in &chosen {
            events.extend(wrote(book, key, point, &bucket, *at)?);
        }
        decided.extend(bucket.decided_about(&chosen).map(|decided| decided.id));
    }
    // On one day notes come first: what was decided was decided about them. Decisions keep their own order.
    events.sort_by_key(|event| (event.day(), id_of(event)));
    for ruling in book.rulings_called(&Vec::from_iter(decided))? {
        let day = ruling.decision.day;
        let before = events.iter().position(|event| event.day() > day).unwrap_or(events.len());
        events.insert(before, Event::Decided(Box::new(ruling)));
    }
    Ok(events)
}

fn id_of(event: &Event) -> NoteId {
    match event {
        Event::Wrote(note, ..) => note.id,
        Event::Decided(ruling) => NoteId(ruling.id.0),
    }
}

fn wrote(
    book: &Book,
    key: BucketKey,
    point: usize,
    bucket: &Bucket,
    at: usize,
) -> Result<Option<Event>, BookError> {
    let replaced = bucket.entries.iter().filter(|entry| entry.replacer() == Some(at)).map(|entry| entry.id);
    let note = book.note(key.note(bucket.entries[at].number))?;
    Ok(note.map(|note| Event::Wrote(Box::new(note), point, replaced.collect())))
}
