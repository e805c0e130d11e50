//! What a note does to conflicts and rechecks that were there: it opens them again, ends them, answers them. What it
//! contradicts itself is told by its parent.

use std::collections::BTreeSet;

use super::{AtHand, Reopened};
use crate::book::{Book, BookError, BucketKey};
use crate::decision::{Decision, DecisionId, Kind};
use crate::judge::conflict::{self, State};
use crate::judge::decided;
use crate::language::Language;
use crate::note::NoteId;

/// A conflict as it stood at one time.
struct Stood {
    key: BucketKey,
    anchor: NoteId,
    state: State,
    notes: BTreeSet<NoteId>,
}

/// The conflicts of a point and of the cavities of its model, before and after.
pub(super) struct Disputes<'b> {
    key: BucketKey,
    before: &'b [AtHand],
    after: &'b [AtHand],
    were: Vec<Stood>,
    are: Vec<Stood>,
}

impl<'b> Disputes<'b> {
    pub(super) fn new(
        language: &Language,
        key: BucketKey,
        before: &'b [AtHand],
        after: &'b [AtHand],
    ) -> Self {
        let [were, are] = [before, after].map(|buckets| stood(language, key, buckets));
        Self { key, before, after, were, are }
    }

    fn pairs(&self) -> impl Iterator<Item = (&Stood, Vec<&Stood>)> {
        self.were.iter().map(|was| {
            let same = |now: &&Stood| now.key == was.key && !now.notes.is_disjoint(&was.notes);
            (was, self.are.iter().filter(same).collect())
        })
    }

    pub(super) fn reopened(&self, book: &Book) -> Result<Vec<Reopened>, BookError> {
        let mut found = Vec::new();
        for (was, now) in self.pairs().filter(|(was, _)| was.state != State::Open) {
            let Some(now) = now.into_iter().find(|now| now.state == State::Open) else { continue };
            let settled = was.state == State::Settled;
            let by = self.decided(book, was, |kind| kind.settles() == settled)?.pop();
            found.push(Reopened { key: now.key, anchor: now.anchor, settled, by });
        }
        Ok(found)
    }

    pub(super) fn ended(&self) -> Vec<(BucketKey, NoteId)> {
        let over = |now: &Vec<&Stood>| now.iter().all(|now| now.state == State::Settled);
        let open = self.pairs().filter(|(was, now)| was.state != State::Settled && over(now));
        open.map(|(was, _)| (was.key, was.anchor)).collect()
    }

    /// The rechecks that nobody has to do any more: of the point, and of cavities.
    pub(super) fn answered(&self, book: &Book) -> Result<Vec<(DecisionId, Decision)>, BookError> {
        let pending = |buckets: &[AtHand]| -> BTreeSet<DecisionId> {
            let own = buckets.iter().filter(|(key, ..)| *key == self.key);
            let waits = own.flat_map(|(.., bucket)| {
                bucket.decided.iter().filter(|decided| decided::is_pending(bucket, decided))
            });
            waits.map(|decided| decided.id).collect()
        };
        let done: Vec<DecisionId> = pending(self.before).difference(&pending(self.after)).copied().collect();
        let mut found = book.decisions_called(&done)?;
        for (was, now) in self.pairs().filter(|(was, _)| was.key != self.key) {
            if was.state == State::Recheck && now.iter().all(|now| now.state != State::Recheck) {
                found.extend(self.decided(book, was, |kind| kind == Kind::Recheck)?);
            }
        }
        Ok(found)
    }

    /// The decisions about the notes of a conflict that count, in the order in which they were made.
    fn decided(
        &self,
        book: &Book,
        was: &Stood,
        wanted: impl Fn(Kind) -> bool,
    ) -> Result<Vec<(DecisionId, Decision)>, BookError> {
        let mut ids: BTreeSet<DecisionId> = BTreeSet::new();
        for (.., bucket) in self.before {
            let entries = (0..bucket.entries.len()).filter(|at| was.notes.contains(&bucket.entries[*at].id));
            let entries: Vec<usize> = entries.collect();
            let counts = bucket.decided_about(&entries).filter(|decided| decided.counts);
            ids.extend(counts.filter(|decided| wanted(decided.kind)).map(|decided| decided.id));
        }
        book.decisions_called(&ids.into_iter().collect::<Vec<_>>())
    }
}

fn stood(language: &Language, key: BucketKey, buckets: &[AtHand]) -> Vec<Stood> {
    let mut found = Vec::new();
    for (_, _, bucket) in buckets.iter().filter(|(own, ..)| *own == key) {
        found.extend(conflict::all(bucket).into_iter().map(|conflict| Stood {
            key,
            anchor: conflict.anchor,
            state: conflict.state,
            notes: conflict.everybody().into_iter().map(|at| bucket.entries[at].id).collect(),
        }));
    }
    found.extend(Book::cavity_conflicts(language, buckets).into_iter().map(|conflict| Stood {
        key: BucketKey::of_model(key.model()).0,
        anchor: conflict.anchor,
        state: conflict.state,
        notes: conflict.claimants.iter().chain(&conflict.past).map(|one| one.id).collect(),
    }));
    found
}
