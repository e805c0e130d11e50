//! Conflicts of the book laid out for a reader: the list, and one of them with its notes. Joins storage and
//! judgement; how it looks is `show`'s business.

use std::collections::{BTreeMap, BTreeSet};

use crate::book::{Book, BookError, BucketKey, ConflictRow, KnownModel, ModelId, StoredNote};
use crate::decision::{DecisionId, Kind};
use crate::judge::bucket::{Bucket, Decided};
use crate::judge::cavity::CavityConflict;
use crate::judge::conflict::{self, Conflict, Layout, State};
use crate::judge::decided::Ruling;
use crate::judge::pattern::Outlook;
use crate::judge::pattern::split::{Reckoning, reckon};
use crate::judge::settle::Case;
use crate::language::Language;
use crate::note::NoteId;

/// One conflict, laid out.
#[derive(Debug)]
pub struct Dispute {
    /// The model.
    pub model: KnownModel,
    /// The note that names it.
    pub anchor: NoteId,
    /// What it is about.
    pub matter: Matter,
    /// The decisions about its notes, in the order in which they were made.
    pub rulings: Vec<Ruling>,
}

impl Dispute {
    /// How far it is settled.
    #[must_use]
    pub fn state(&self) -> State {
        match &self.matter {
            Matter::Value { conflict, .. } => conflict.state,
            Matter::Cavity { conflict, .. } => conflict.state,
        }
    }

    /// The decision that made it what it is: the last that still counts.
    #[must_use]
    pub fn last_ruling(&self) -> Option<&Ruling> {
        let counts = |ruling: &&Ruling| ruling.force.counts() && ruling.decision.kind != Kind::Reopen;
        self.rulings.iter().rev().find(counts)
    }

    /// The decisions that oppose each other, and between which nobody has decided yet.
    pub fn opposing(&self) -> impl Iterator<Item = &Ruling> {
        let undecided = |ruling: &&Ruling| ruling.force.opposed_by.iter().any(|other| !other.decided_anew);
        self.rulings.iter().filter(undecided)
    }

    /// The notes that are or were in it.
    #[must_use]
    pub fn notes(&self) -> Vec<NoteId> {
        match &self.matter {
            Matter::Value { bucket, conflict, .. } => {
                conflict.everybody().into_iter().map(|at| bucket.entries[at].id).collect()
            }
            Matter::Cavity { conflict, .. } => {
                conflict.claimants.iter().chain(&conflict.past).map(|one| one.id).collect()
            }
        }
    }

    /// What is made of it: where it may split, and what explains it. Nothing of a cavity.
    #[must_use]
    pub fn reckoning(&self) -> Option<Reckoning> {
        match &self.matter {
            Matter::Value { bucket, conflict, layout, outlook, .. } => {
                Some(reckon(bucket, conflict, layout, outlook))
            }
            Matter::Cavity { .. } => None,
        }
    }

    /// It as far as settling it goes.
    #[must_use]
    pub fn case(&self) -> Case {
        match &self.matter {
            Matter::Value { bucket, conflict, layout, .. } => Case::of_value(bucket, conflict, layout),
            Matter::Cavity { conflict, buckets } => {
                Case::of_cavity(conflict, |point| buckets.get(&point).map(|(_, bucket)| bucket))
            }
        }
    }
}

/// What a conflict is about.
#[derive(Debug)]
pub enum Matter {
    /// Values of one point.
    Value {
        /// The bucket.
        key: BucketKey,
        /// The point, by number in the catalogue.
        point: usize,
        /// What is known of it.
        bucket: Box<Bucket>,
        /// Who belongs to it.
        conflict: Conflict,
        /// Its sides.
        layout: Box<Layout>,
        /// What is known beside its notes.
        outlook: Box<Outlook>,
    },
    /// A cavity given to two functions, or told in two colours.
    Cavity {
        /// Who belongs to it.
        conflict: CavityConflict,
        /// The buckets of its points, by number of the point in the catalogue.
        buckets: BTreeMap<usize, (BucketKey, Bucket)>,
    },
}

impl Matter {
    /// Where it stands in a list: certain ones in the order of the catalogue, cavities, then what is only possible.
    fn rank(&self) -> (bool, usize) {
        match self {
            Self::Value { point, conflict, .. } => (!conflict.certain, *point),
            Self::Cavity { .. } => (false, usize::MAX),
        }
    }
}

/// The conflicts of a model or of the whole book, laid out, model after model.
///
/// # Errors
/// The book cannot be read.
pub fn list(book: &Book, language: &Language, model: Option<ModelId>) -> Result<Vec<Dispute>, BookError> {
    let mut disputes = Vec::new();
    let mut of_model: Vec<ConflictRow> = Vec::new();
    for row in book.conflicts(model)? {
        if of_model.first().is_some_and(|first| first.bucket.model() != row.bucket.model()) {
            lay_out(book, language, &of_model, &mut disputes)?;
            of_model.clear();
        }
        of_model.push(row);
    }
    lay_out(book, language, &of_model, &mut disputes)?;
    disputes.sort_by(|a, b| {
        (&a.model.make, &a.model.model, a.matter.rank(), a.anchor).cmp(&(
            &b.model.make,
            &b.model.model,
            b.matter.rank(),
            b.anchor,
        ))
    });
    Ok(disputes)
}

/// The conflict that a note names or belongs to. A note names its conflict for good: an id that was
/// shown once finds the conflict that it has grown into.
///
/// # Errors
/// The book cannot be read.
pub fn of_note(
    book: &Book,
    language: &Language,
    note: &StoredNote,
    cavity: bool,
) -> Result<Option<Dispute>, BookError> {
    let model = note.key.bucket().model();
    let belongs = |dispute: &Dispute| match &dispute.matter {
        Matter::Value { key, bucket, conflict, .. } => {
            !cavity
                && *key == note.key.bucket()
                && [&conflict.entries, &conflict.past]
                    .into_iter()
                    .flatten()
                    .any(|entry| bucket.entries[*entry].id == note.id)
        }
        Matter::Cavity { conflict, .. } => {
            cavity && conflict.claimants.iter().chain(&conflict.past).any(|claimant| claimant.id == note.id)
        }
    };
    // A note may have been in one that is settled and be in another that is open.
    Ok(list(book, language, Some(model))?.into_iter().filter(belongs).min_by_key(Dispute::state))
}

fn lay_out(
    book: &Book,
    language: &Language,
    rows: &[ConflictRow],
    disputes: &mut Vec<Dispute>,
) -> Result<(), BookError> {
    let Some(first) = rows.first() else { return Ok(()) };
    let model_id = first.bucket.model();
    let Some(model) = book.model(model_id)? else { return Ok(()) };
    let buckets = book.buckets(language, model_id)?;
    if rows.iter().any(ConflictRow::is_cavity) {
        for conflict in Book::cavity_conflicts(language, &buckets) {
            let claimants = conflict.claimants.iter().chain(&conflict.past);
            let points: Vec<usize> = claimants.map(|claimant| claimant.point).collect();
            let concerned = buckets
                .iter()
                .filter(|(_, point, _)| points.contains(point))
                .map(|(key, point, bucket)| (*point, (*key, bucket.clone())));
            let (anchor, buckets) = (conflict.anchor, concerned.collect());
            let matter = Matter::Cavity { buckets, conflict };
            disputes.push(dispute(book, &model, anchor, matter)?);
        }
    }
    let doubt = book.doubt()?;
    let outlooks = Outlook::of_model(buckets.iter().map(|(_, _, bucket)| bucket), &doubt);
    for ((key, point, bucket), outlook) in buckets.into_iter().zip(outlooks) {
        if !rows.iter().any(|row| row.bucket == key) {
            continue;
        }
        for conflict in conflict::all(&bucket) {
            let anchor = conflict.anchor;
            let layout = conflict::describe(&bucket, &conflict);
            let matter = Matter::Value {
                key,
                point,
                bucket: Box::new(bucket.clone()),
                layout: Box::new(layout),
                outlook: Box::new(outlook.clone()),
                conflict,
            };
            disputes.push(dispute(book, &model, anchor, matter)?);
        }
    }
    Ok(())
}

/// A conflict with the decisions about its notes.
fn dispute(book: &Book, model: &KnownModel, anchor: NoteId, matter: Matter) -> Result<Dispute, BookError> {
    // Whoever asked to look at a cavity did not ask about what its notes say beside that, nor the other way round.
    let is_cavity = matches!(matter, Matter::Cavity { .. });
    let is_own = |decided: &&Decided| decided.kind != Kind::Recheck || decided.is_of_one_point() != is_cavity;
    let mut decided: BTreeSet<DecisionId> = BTreeSet::new();
    let mut about = |bucket: &Bucket, entries: &[usize]| {
        decided.extend(bucket.decided_about(entries).filter(is_own).map(|decided| decided.id));
    };
    match &matter {
        Matter::Value { bucket, conflict, .. } => about(bucket, &conflict.everybody()),
        Matter::Cavity { conflict, buckets } => {
            for claimant in conflict.claimants.iter().chain(&conflict.past) {
                buckets
                    .get(&claimant.point)
                    .into_iter()
                    .for_each(|(_, bucket)| about(bucket, &[claimant.entry]));
            }
        }
    }
    let rulings = book.rulings_called(&Vec::from_iter(decided))?;
    Ok(Dispute { model: model.clone(), anchor, matter, rulings })
}
