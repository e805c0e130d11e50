//! Decisions in the book: putting them in, finding those about a note or a bucket and whether they count, folding anew
//! what they touch.
//!
//! What a decision does to notes is judgement's business; here it is only kept, and never changed.

use std::collections::BTreeSet;

use rusqlite::{Connection, OptionalExtension, Row, TransactionBehavior, params};
use serde_json::{Value as Json, json};

use super::write::Outcome;
use super::{Book, BookError, BucketKey, ModelId, NoteKey, Written, derive, learnt, names};
use crate::decision::force::{Web, forces};
use crate::decision::{self, Becomes, Decision, DecisionId, Kind};
use crate::judge::bucket::Bucket;
use crate::judge::cavity::names_cavities;
use crate::judge::decided::Ruling;
use crate::judge::fold::{Folding, Memo};
use crate::language::Language;
use crate::note::NoteId;
use crate::vehicle::names::fold;

/// What a model looked like when somebody decided: a hash of everything known of it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Look([u8; 16]);

impl Book {
    /// What a model looks like now. Taken before anything is read for a decision, it tells whether another process
    /// wrote meanwhile.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn look(&self, model: ModelId) -> Result<Look, BookError> {
        look(&self.db, model).map_err(|error| self.sql(error))
    }

    /// Puts a decision about notes of `model` in. `seen` is what the model looked like to whoever decided.
    ///
    /// # Errors
    /// The model looks different now, or the book cannot be written; it is then as it was.
    pub fn decide(
        &mut self,
        decision: &Decision,
        model: ModelId,
        seen: Look,
        language: &Language,
    ) -> Result<Written, BookError> {
        let path = self.path.clone();
        let sql = |error| BookError::from_sql(&path, error);
        let change = self.db.transaction_with_behavior(TransactionBehavior::Immediate).map_err(sql)?;
        if look(&change, model).map_err(sql)? != seen {
            return Err(BookError::Changed { path });
        }
        let mut memo = Memo::new(language);
        let written = put(&change, &mut memo, std::slice::from_ref(decision)).map_err(sql)?;
        change.commit().map_err(sql)?;
        Ok(written)
    }

    /// How many decisions the book holds.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn decision_count(&self) -> Result<usize, BookError> {
        let count = self.db.query_row("SELECT count(*) FROM decision", [], |row| row.get(0));
        count.map_err(|error| self.sql(error))
    }

    /// All decisions, in the order in which they were made.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn decisions(&self) -> Result<Vec<(DecisionId, Decision)>, BookError> {
        all(&self.db).map_err(|error| self.sql(error))
    }

    /// These decisions, as far as the book has them, in the order in which they were made.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn decisions_called(&self, ids: &[DecisionId]) -> Result<Vec<(DecisionId, Decision)>, BookError> {
        let read = || -> rusqlite::Result<Vec<_>> {
            let mut found = Vec::new();
            for id in ids {
                found.extend(one(&self.db, *id)?.map(|decision| (*id, decision)));
            }
            decision::sort(&mut found);
            Ok(found)
        };
        read().map_err(|error| self.sql(error))
    }

    /// The decisions whose id begins with the characters of `code`, at most `most` of them.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn decisions_by_id(&self, code: &str, most: usize) -> Result<Vec<(DecisionId, Decision)>, BookError> {
        let Some((low, high)) = DecisionId::range(code) else { return Ok(Vec::new()) };
        let condition = "decision.id BETWEEN ?1 AND ?2 ORDER BY decision.id LIMIT ?3";
        select(&self.db, condition, params![low.0, high.0, most]).map_err(|error| self.sql(error))
    }

    /// The decisions about a note, in the order in which they were made, each with whether it counts.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn rulings_about(&self, note: NoteId) -> Result<Vec<Ruling>, BookError> {
        let read = || {
            let mut rulings = rulings_about(&self.db, std::iter::once(note))?;
            in_order(&mut rulings);
            Ok(rulings)
        };
        read().map_err(|error| self.sql(error))
    }

    /// These decisions as far as the book has them, in the order in which they were made, each with whether it counts.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn rulings_called(&self, ids: &[DecisionId]) -> Result<Vec<Ruling>, BookError> {
        let read = || {
            let mut rulings = rulings(&self.db, ids.iter().copied().collect())?;
            in_order(&mut rulings);
            Ok(rulings)
        };
        read().map_err(|error| self.sql(error))
    }

    /// All decisions that hang together with one that is not in the book yet: by a note that both are about, or by
    /// following. Whether they count is told as if it were.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn rulings_beside(&self, decision: &Decision) -> Result<Vec<Ruling>, BookError> {
        let read = || {
            let notes = decision.about.iter().map(|(note, _)| *note);
            let mut from = called(&self.db, notes)?;
            from.extend(decision.follows.iter().copied());
            let mut web = web(&self.db, from)?;
            web.insert(decision.id(), decision.clone());
            Ok(weighed(web, |_| true))
        };
        read().map_err(|error| self.sql(error))
    }

    /// The decisions that came after one and named it, `reopen` among them.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn followers(&self, id: DecisionId) -> Result<Vec<Ruling>, BookError> {
        let later = followers(&self.db, id).map_err(|error| self.sql(error))?;
        self.rulings_called(&later)
    }
}

fn in_order(rulings: &mut [Ruling]) {
    let mut order: Vec<_> = rulings.iter().map(|ruling| (ruling.id, ruling.decision.clone())).collect();
    decision::sort(&mut order);
    rulings.sort_by_key(|ruling| order.iter().position(|(id, _)| *id == ruling.id));
}

fn look(db: &Connection, model: ModelId) -> rusqlite::Result<Look> {
    let (first, last) = BucketKey::of_model(model);
    let mut query =
        db.prepare_cached("SELECT key, fold FROM bucket WHERE key BETWEEN ?1 AND ?2 ORDER BY key")?;
    let mut rows = query.query(params![first.0, last.0])?;
    let mut hash = blake3::Hasher::new();
    while let Some(row) = rows.next()? {
        hash.update(&row.get::<_, i64>(0)?.to_le_bytes());
        hash.update(row.get_ref(1)?.as_blob()?);
    }
    let mut seen = [0; 16];
    seen.copy_from_slice(&hash.finalize().as_bytes()[..16]);
    Ok(Look(seen))
}

const DECISION: &str = "SELECT decision.id, kind, person.name, day, because, follows, about
     FROM decision JOIN person ON person.id = decision.person";

fn read(row: &Row<'_>) -> rusqlite::Result<(DecisionId, Decision)> {
    Ok((
        DecisionId(row.get(0)?),
        Decision {
            kind: Kind::from_number(row.get(1)?).unwrap_or(Kind::Reopen),
            by: row.get(2)?,
            day: row.get(3)?,
            because: row.get(4)?,
            follows: follows_of(row.get_ref(5)?.as_str()?),
            about: about_of(row.get_ref(6)?.as_str()?),
        },
    ))
}

/// Reads the column `follows`.
fn follows_of(json: &str) -> Vec<DecisionId> {
    let ids: Vec<String> = serde_json::from_str(json).unwrap_or_default();
    ids.iter().filter_map(|id| DecisionId::parse(id)).collect()
}

fn follows_text(decision: &Decision) -> String {
    let ids: Vec<String> = decision.follows.iter().map(ToString::to_string).collect();
    Json::from(ids).to_string()
}

/// Reads the column `about`.
fn about_of(json: &str) -> Vec<(NoteId, Becomes)> {
    let lines: Vec<[String; 4]> = serde_json::from_str(json).unwrap_or_default();
    let read = |[note, word, years, only]: &[String; 4]| {
        Some((NoteId::parse(note)?, Becomes::parse(word, years, only)?))
    };
    lines.iter().filter_map(read).collect()
}

fn about_text(decision: &Decision) -> String {
    let line = |(note, becomes): &(NoteId, Becomes)| {
        let (years, only) = becomes.scope_texts();
        json!([note.to_string(), becomes.word(), years, only])
    };
    Json::from(decision.about.iter().map(line).collect::<Vec<_>>()).to_string()
}

fn select(
    db: &Connection,
    condition: &str,
    params: impl rusqlite::Params,
) -> rusqlite::Result<Vec<(DecisionId, Decision)>> {
    let mut query = db.prepare_cached(&format!("{DECISION} WHERE {condition}"))?;
    query.query_map(params, read)?.collect()
}

/// All decisions, in the order in which they were made.
pub(super) fn all(db: &Connection) -> rusqlite::Result<Vec<(DecisionId, Decision)>> {
    let mut found = select(db, "1", [])?;
    decision::sort(&mut found);
    Ok(found)
}

fn one(db: &Connection, id: DecisionId) -> rusqlite::Result<Option<Decision>> {
    Ok(select(db, "decision.id = ?1", [id.0])?.pop().map(|(_, decision)| decision))
}

/// Whether the book has any decision at all: where it has none, nothing more is asked.
pub(super) fn any(db: &Connection) -> rusqlite::Result<bool> {
    db.prepare_cached("SELECT EXISTS (SELECT 1 FROM decided)")?.query_row([], |row| row.get(0))
}

/// The decisions that name one as earlier.
fn followers(db: &Connection, id: DecisionId) -> rusqlite::Result<Vec<DecisionId>> {
    let mut query = db.prepare_cached("SELECT later FROM follows WHERE earlier = ?1")?;
    query.query_map([id.0], |row| row.get(0).map(DecisionId))?.collect()
}

/// The ids of the decisions about some of these notes.
fn called(db: &Connection, notes: impl Iterator<Item = NoteId>) -> rusqlite::Result<BTreeSet<DecisionId>> {
    let mut query = db.prepare_cached("SELECT decision FROM decided WHERE note = ?1")?;
    let mut ids = BTreeSet::new();
    for note in notes {
        for id in query.query_map([note.0], |row| row.get(0).map(DecisionId))? {
            ids.insert(id?);
        }
    }
    Ok(ids)
}

/// These decisions and all that hang together with them: whether one counts may hang on any of them.
fn web(db: &Connection, from: BTreeSet<DecisionId>) -> rusqlite::Result<Web> {
    let (mut found, mut waiting) = (Web::new(), Vec::from_iter(from));
    while let Some(id) = waiting.pop() {
        if found.contains_key(&id) {
            continue;
        }
        let Some(decision) = one(db, id)? else { continue };
        waiting.extend(&decision.follows);
        waiting.extend(followers(db, id)?);
        waiting.extend(called(db, decision.about.iter().map(|(note, _)| *note))?);
        found.insert(id, decision);
    }
    Ok(found)
}

/// The wanted decisions of a web, by id, each with whether it counts.
fn weighed(web: Web, wanted: impl Fn(DecisionId) -> bool) -> Vec<Ruling> {
    let mut forces = forces(&web);
    let own = web.into_iter().filter(|(id, _)| wanted(*id));
    own.map(|(id, decision)| Ruling { id, decision, force: forces.remove(&id).unwrap_or_default() }).collect()
}

fn rulings(db: &Connection, ids: BTreeSet<DecisionId>) -> rusqlite::Result<Vec<Ruling>> {
    Ok(weighed(web(db, ids.clone())?, |id| ids.contains(&id)))
}

/// The decisions about some of these notes.
pub(super) fn rulings_about(
    db: &Connection,
    notes: impl Iterator<Item = NoteId>,
) -> rusqlite::Result<Vec<Ruling>> {
    rulings(db, called(db, notes)?)
}

/// The decisions about the notes of a bucket.
pub(super) fn rulings_of(db: &Connection, bucket: &Bucket) -> rusqlite::Result<Vec<Ruling>> {
    if any(db)? { rulings_about(db, bucket.entries.iter().map(|entry| entry.id)) } else { Ok(Vec::new()) }
}

/// The decisions about the notes of a bucket of which those from number `new` on came in just now: only these are
/// looked up, since the others were when they came.
pub(super) fn rulings_with_new(
    db: &Connection,
    folding: &Folding,
    new: usize,
) -> rusqlite::Result<Vec<Ruling>> {
    let Some(known) = folding.decided() else { return rulings_of(db, folding.bucket()) };
    let mut ids = called(db, folding.bucket().entries[new..].iter().map(|entry| entry.id))?;
    ids.extend(known);
    rulings(db, ids)
}

/// Puts decisions in that the book does not have, and folds anew what they touch.
pub(super) fn put(db: &Connection, memo: &mut Memo<'_>, decisions: &[Decision]) -> rusqlite::Result<Written> {
    let mut written = Written::default();
    let mut new: BTreeSet<DecisionId> = BTreeSet::new();
    for decision in decisions {
        let id = decision.id();
        let known = one(db, id)?.is_some();
        written.decisions.push((id, if known { Outcome::Known } else { Outcome::New }));
        if known {
            continue;
        }
        insert(db, id, decision)?;
        index(db, id, decision)?;
        new.insert(id);
    }
    // Any decision that hangs together with a new one may count no more, or again.
    let mut touched: BTreeSet<BucketKey> = BTreeSet::new();
    for decision in web(db, new)?.values() {
        touch(db, decision, &mut touched)?;
    }
    fold_anew(db, memo, &touched, &mut written)?;
    learnt::keep(db, memo.language)?;
    Ok(written)
}

fn insert(db: &Connection, id: DecisionId, decision: &Decision) -> rusqlite::Result<()> {
    let person = names::person_id(db, &fold(&decision.by), &decision.by)?;
    db.prepare_cached(
        "INSERT INTO decision (id, kind, person, day, because, follows, about)
         VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7)",
    )?
    .execute(params![
        id.0,
        decision.kind.number(),
        person,
        decision.day,
        decision.because,
        follows_text(decision),
        about_text(decision)
    ])
    .map(drop)
}

/// Lists by what notes and by what later decisions a decision is found.
fn index(db: &Connection, id: DecisionId, decision: &Decision) -> rusqlite::Result<()> {
    for (note, _) in &decision.about {
        db.prepare_cached("INSERT OR IGNORE INTO decided (note, decision) VALUES (?1, ?2)")?
            .execute(params![note.0, id.0])?;
    }
    for earlier in &decision.follows {
        db.prepare_cached("INSERT OR IGNORE INTO follows (earlier, later) VALUES (?1, ?2)")?
            .execute(params![earlier.0, id.0])?;
    }
    Ok(())
}

/// Makes both lists anew.
pub(super) fn index_all(db: &Connection) -> rusqlite::Result<()> {
    db.execute_batch("DELETE FROM decided; DELETE FROM follows;")?;
    all(db)?.iter().try_for_each(|(id, decision)| index(db, *id, decision))
}

/// What both lists should hold, and what they hold: pairs of what is listed and the decision.
pub(super) type Lists = BTreeSet<([u8; 10], [u8; 10])>;

/// The list of notes, or that of earlier decisions, as the decisions give it and as it is kept.
pub(super) fn lists(db: &Connection) -> rusqlite::Result<[(Lists, Lists); 2]> {
    let (mut notes, mut earlier) = (Lists::new(), Lists::new());
    for (id, decision) in all(db)? {
        notes.extend(decision.about.iter().map(|(note, _)| (note.0, id.0)));
        earlier.extend(decision.follows.iter().map(|before| (before.0, id.0)));
    }
    let kept = |sql: &str| -> rusqlite::Result<Lists> {
        db.prepare(sql)?.query_map([], |row| Ok((row.get(0)?, row.get(1)?)))?.collect()
    };
    Ok([
        (notes, kept("SELECT note, decision FROM decided")?),
        (earlier, kept("SELECT earlier, later FROM follows")?),
    ])
}

fn touch(db: &Connection, decision: &Decision, touched: &mut BTreeSet<BucketKey>) -> rusqlite::Result<()> {
    let mut query = db.prepare_cached("SELECT key FROM note WHERE id = ?1")?;
    for (note, _) in &decision.about {
        let key: Option<i64> = query.query_row([note.0], |row| row.get(0)).optional()?;
        touched.extend(key.map(|key| NoteKey(key).bucket()));
    }
    Ok(())
}

/// A bucket with its key and the number of its point in the catalogue.
type AtHand = (BucketKey, usize, Bucket);

/// Folds buckets anew whose notes stayed and about which something was decided.
fn fold_anew(
    db: &Connection,
    memo: &mut Memo<'_>,
    keys: &BTreeSet<BucketKey>,
    written: &mut Written,
) -> rusqlite::Result<()> {
    let points = derive::point_numbers(db, &memo.language.catalogue)?;
    let mut models: Vec<(ModelId, Vec<AtHand>)> = Vec::new();
    for key in keys {
        let Some(point) = points.get(usize::from(key.point())).copied().flatten() else { continue };
        let folding = derive::resume(db, memo, *key, point)?;
        let rulings = rulings_of(db, folding.bucket())?;
        let bucket = folding.finish_with(&rulings, memo);
        derive::store(&mut &*db, *key, &bucket)?;
        written.changed(derive::conflicts(Some(db), &mut &*db, *key, &bucket)?.1);
        match models.last_mut() {
            Some((model, buckets)) if *model == key.model() => buckets.push((*key, point, bucket)),
            _ => models.push((key.model(), vec![(*key, point, bucket)])),
        }
    }
    for (model, buckets) in models {
        if buckets.iter().any(|(_, _, bucket)| names_cavities(bucket)) {
            written.changed(derive::cavities(Some(db), &mut &*db, memo, model, &buckets)?);
        }
    }
    Ok(())
}
