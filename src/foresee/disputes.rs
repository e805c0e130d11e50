//! What a note does to conflicts and rechecks that were there: it opens them again, ends them, answers them. What it
//! contradicts itself is told by its parent.

use std::collections::BTreeSet;

use super::{Around, Cavities, Reopened};
use crate::book::{Book, BookError, BucketKey};
use crate::decision::{Decision, DecisionId, Kind};
use crate::judge::bucket::Bucket;
use crate::judge::cavity::CavityConflict;
use crate::judge::conflict::{self, State};
use crate::judge::decided;
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
    around: &'b Around<'b>,
    were: Vec<Stood>,
    are: Vec<Stood>,
}

impl<'b> Disputes<'b> {
    pub(super) fn new(around: &'b Around<'b>, cavities: &Cavities) -> Self {
        let stood = |own, cavities| stood(around.key, own, cavities);
        let (were, are) = (stood(around.was, &cavities.before), stood(Some(around.is), &cavities.after));
        Self { around, were, are }
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
        let pending = |own: Option<&Bucket>| -> BTreeSet<DecisionId> {
            let waits = own.into_iter().flat_map(|bucket| {
                bucket.decided.iter().filter(|decided| decided::is_pending(bucket, decided))
            });
            waits.map(|decided| decided.id).collect()
        };
        let done: Vec<DecisionId> =
            pending(self.around.was).difference(&pending(Some(self.around.is))).copied().collect();
        let mut found = book.decisions_called(&done)?;
        for (was, now) in self.pairs().filter(|(was, _)| was.key != self.around.key) {
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
        for (.., bucket) in self.around.with(self.around.was) {
            let entries = (0..bucket.entries.len()).filter(|at| was.notes.contains(&bucket.entries[*at].id));
            let entries: Vec<usize> = entries.collect();
            let counts = bucket.decided_about(&entries).filter(|decided| decided.counts);
            ids.extend(counts.filter(|decided| wanted(decided.kind)).map(|decided| decided.id));
        }
        book.decisions_called(&ids.into_iter().collect::<Vec<_>>())
    }
}

fn stood(key: BucketKey, own: Option<&Bucket>, cavities: &[CavityConflict]) -> Vec<Stood> {
    let mut found = Vec::new();
    if let Some(bucket) = own {
        found.extend(conflict::all(bucket).into_iter().map(|conflict| Stood {
            key,
            anchor: conflict.anchor,
            state: conflict.state,
            notes: conflict.everybody().into_iter().map(|at| bucket.entries[at].id).collect(),
        }));
    }
    found.extend(cavities.iter().map(|conflict| Stood {
        key: BucketKey::of_model(key.model()).0,
        anchor: conflict.anchor,
        state: conflict.state,
        notes: conflict.claimants.iter().chain(&conflict.past).map(|one| one.id).collect(),
    }));
    found
}
