//! What is derived from notes and decisions: folded buckets and the list of conflicts, and rebuilding them.

use std::collections::BTreeSet;

use rusqlite::{Connection, OptionalExtension, TransactionBehavior, params};

use super::sink::{Row, Sink};
use super::{Book, BookError, BucketKey, ModelId, NoteKey, decide, learnt, waiting};
use crate::catalogue::Catalogue;
use crate::judge::bucket::Bucket;
use crate::judge::cavity::{self, CavityConflict, Place};
use crate::judge::conflict::{self, Conflict, State};
use crate::judge::fold::{Fact, Folding, Known, Memo};
use crate::language::Language;
use crate::note::{Basis, NoteId};
use crate::value::Relation;
use crate::vehicle::{Scope, Vehicle};

/// The version of what is derived: it changes with the folded form and the rules of folding.
const VERSION: &str = "7";

/// The point number under which conflicts across points are listed.
pub(super) const ACROSS: u16 = 0;

/// What the derived rows depend on beside the notes: the folded form and the words of the language.
pub(super) fn fingerprint(language: &Language) -> String {
    format!("{VERSION}-{}", language.fingerprint())
}

/// The stored bytes of a folded bucket, where there is one.
pub(super) fn load(db: &Connection, key: BucketKey) -> rusqlite::Result<Option<Vec<u8>>> {
    db.prepare_cached("SELECT fold FROM bucket WHERE key = ?1")?
        .query_row([key.0], |row| row.get(0))
        .optional()
}

/// Nearly all folded buckets take at most so many bytes.
const USUAL: usize = 4096;

/// Bytes behind a folded bucket that tell whether it is as it was written.
const SEAL: usize = 8;

fn seal(bytes: &[u8]) -> [u8; SEAL] {
    let mut seal = [0; SEAL];
    seal.copy_from_slice(&blake3::hash(bytes).as_bytes()[..SEAL]);
    seal
}

/// Makes a bucket of its stored bytes; `None` where they are damaged. Without the seal a flipped bit could turn one
/// colour into another, and nobody would know.
pub(super) fn decode(bytes: &[u8]) -> Option<Bucket> {
    let (folded, found) = bytes.split_last_chunk::<SEAL>()?;
    if seal(folded) == *found { postcard::from_bytes(folded).ok() } else { None }
}

pub(super) fn encode(bucket: &Bucket) -> Vec<u8> {
    let mut room = [0; USUAL];
    let (small, large);
    let folded: &[u8] = match postcard::to_slice(bucket, &mut room) {
        Ok(folded) => {
            small = folded;
            small
        }
        Err(_) => {
            large = postcard::to_allocvec(bucket).unwrap_or_default();
            &large
        }
    };
    [folded, &seal(folded)].concat()
}

/// Takes up the folding of a bucket, from its folded form or, where that is of no use, from its notes.
pub(super) fn resume(
    db: &Connection,
    memo: &mut Memo<'_>,
    key: BucketKey,
    point: usize,
) -> rusqlite::Result<Folding> {
    let Some(bytes) = load(db, key)? else { return Ok(Folding::new(memo.language, point)) };
    take_up(db, memo, key, point, decode(&bytes))
}

/// The same of a bucket that was read already; `None` where it is damaged.
pub(super) fn take_up(
    db: &Connection,
    memo: &mut Memo<'_>,
    key: BucketKey,
    point: usize,
    bucket: Option<Bucket>,
) -> rusqlite::Result<Folding> {
    match bucket.and_then(|bucket| Folding::resume(bucket, memo, point).ok()) {
        Some(folding) => Ok(folding),
        None => fold_notes(db, memo, key, point),
    }
}

/// Folds the notes of a bucket from the beginning; what decisions do to them is not done yet.
pub(super) fn fold_notes(
    db: &Connection,
    memo: &mut Memo<'_>,
    key: BucketKey,
    point: usize,
) -> rusqlite::Result<Folding> {
    let mut folding = Folding::new(memo.language, point);
    let mut query = db.prepare_cached(
        "SELECT note.key, note.id, years, only, text, basis, person.name, day, seen
         FROM note JOIN text ON text.number = note.said JOIN person ON person.id = note.person
         WHERE note.key BETWEEN ?1 AND ?2 ORDER BY note.key",
    )?;
    let mut rows = query.query(params![key.note(0).0, key.note(BucketKey::CAPACITY as u32 - 1).0])?;
    while let Some(row) = rows.next()? {
        let (values, prose) = values(row.get_ref(4)?.as_str()?, memo);
        let (years, only): (String, String) = (row.get(2)?, row.get(3)?);
        let scope = memo.scope_by_texts(&years, &only);
        let seen_text: String = row.get(8)?;
        let seen = (!seen_text.is_empty()).then(|| seen(memo, &seen_text));
        let person = memo.person(&row.get::<_, String>(6)?);
        let fact = Fact {
            number: NoteKey(row.get(0)?).number(),
            id: NoteId(row.get(1)?),
            values: &values,
            prose,
            scope,
            seen,
            person,
            basis: Basis::from_number(row.get(5)?).unwrap_or(Basis::Told),
            on: row.get(7)?,
        };
        folding.push(&fact, memo);
    }
    Ok(folding)
}

/// Folds a bucket from the beginning: its notes, and what decisions do to them.
pub(super) fn fold_anew(
    db: &Connection,
    memo: &mut Memo<'_>,
    key: BucketKey,
    point: usize,
) -> rusqlite::Result<Bucket> {
    let folding = fold_notes(db, memo, key, point)?;
    let rulings = decide::rulings_of(db, folding.bucket())?;
    Ok(folding.finish_with(&rulings, memo))
}

fn seen(memo: &mut Memo<'_>, text: &str) -> Known {
    let language = memo.language;
    memo.seen(text, || Vehicle::parse_seen(text, language.vocabulary(), language.year()).unwrap_or_default())
}

/// The typed values of a stored note, and whether it says something in prose. A value that the language no longer reads stays in the note and is left
/// out of the fold; `check` tells of it.
fn values(said: &str, memo: &mut Memo<'_>) -> (Vec<(u16, Known)>, bool) {
    let object: serde_json::Map<String, serde_json::Value> = serde_json::from_str(said).unwrap_or_default();
    let catalogue = &memo.language.catalogue;
    let (mut values, mut prose) = (Vec::new(), false);
    for (name, text) in &object {
        let (Some(field), Some(text)) = (catalogue.field(name), text.as_str()) else { continue };
        let is_prose = catalogue.fields[field].kind.is_prose();
        prose |= is_prose;
        if !is_prose && let Ok(known) = memo.value_by_text(field, text) {
            values.push((field as u16, known));
        }
    }
    (values, prose)
}

/// Stores a folded bucket.
pub(super) fn store(sink: &mut dyn Sink, key: BucketKey, bucket: &Bucket) -> rusqlite::Result<()> {
    let fallen = waiting::fallen(bucket).into_iter().map(|(number, how)| (key.note(number), how)).collect();
    sink.put(Row::Fallen(key, fallen))?;
    sink.put(Row::Bucket(key, bucket.entries.len(), encode(bucket)))
}

/// One row of the list of conflicts: the note that names it, whether it is certain, how far it is settled.
pub(super) type Listed = BTreeSet<(NoteId, bool, State)>;

/// What a writing changed in the list of conflicts.
#[derive(Debug, Default)]
pub(super) struct Change {
    /// Conflicts that were not there before.
    pub(super) opened: Vec<(BucketKey, NoteId)>,
    /// Conflicts that were settled, or waited for a recheck, and are open again.
    pub(super) reopened: Vec<(BucketKey, NoteId)>,
}

/// Lists the conflicts of a bucket anew, and gives them. Without `db` the bucket is new.
pub(super) fn conflicts(
    db: Option<&Connection>,
    sink: &mut dyn Sink,
    key: BucketKey,
    bucket: &Bucket,
) -> rusqlite::Result<(Vec<Conflict>, Change)> {
    let found = conflict::all(bucket);
    let change = replace(db, sink, key, &rows(&found))?;
    Ok((found, change))
}

/// The rows that conflicts of one bucket make.
pub(super) fn rows(conflicts: &[Conflict]) -> Listed {
    conflicts.iter().map(|found| (found.anchor, found.certain, found.state)).collect()
}

fn replace(
    db: Option<&Connection>,
    sink: &mut dyn Sink,
    key: BucketKey,
    found: &Listed,
) -> rusqlite::Result<Change> {
    let before = db.map_or_else(|| Ok(Listed::new()), |db| listed(db, key))?;
    for (anchor, certain, _) in before.difference(found) {
        sink.put(Row::NoConflict(key, *anchor, *certain))?;
    }
    for (anchor, certain, state) in found.difference(&before) {
        sink.put(Row::Conflict(key, *anchor, *certain, *state))?;
    }
    let was = |anchor: &NoteId| before.iter().find(|(known, ..)| known == anchor).map(|(.., state)| *state);
    let open = || found.iter().filter(|(.., state)| *state == State::Open).map(|(anchor, ..)| *anchor);
    // A conflict that got an earlier note has another name and is not new.
    let more = found.len().saturating_sub(before.len());
    Ok(Change {
        opened: open()
            .filter(|anchor| was(anchor).is_none())
            .take(more)
            .map(|anchor| (key, anchor))
            .collect(),
        reopened: open()
            .filter(|anchor| was(anchor).is_some_and(|state| state != State::Open))
            .map(|anchor| (key, anchor))
            .collect(),
    })
}

/// The conflicts that are listed of a bucket.
pub(super) fn listed(db: &Connection, key: BucketKey) -> rusqlite::Result<Listed> {
    db.prepare_cached("SELECT anchor, certain, state FROM conflict WHERE bucket = ?1")?
        .query_map([key.0], |row| Ok((NoteId(row.get(0)?), row.get(1)?, state(row.get(2)?))))?
        .collect()
}

/// The state that is kept under a number.
pub(super) fn state(number: usize) -> State {
    State::ALL.get(number).copied().unwrap_or(State::Open)
}

/// Lists the cavity conflicts of a model anew, some of whose buckets are at hand. Without
/// `db` the model is new, and all its buckets are at hand.
pub(super) fn cavities(
    db: Option<&Connection>,
    sink: &mut dyn Sink,
    memo: &mut Memo<'_>,
    model: ModelId,
    at_hand: &[(BucketKey, usize, Bucket)],
) -> rusqlite::Result<Change> {
    let stored = db.map_or_else(|| Ok(Vec::new()), |db| others(db, memo.language, model, at_hand))?;
    let places: Vec<Place<'_>> =
        at_hand.iter().chain(&stored).map(|(_, point, bucket)| Place { point: *point, bucket }).collect();
    let found = find_cavities(memo, &places);
    let found = found.into_iter().map(|conflict| (conflict.anchor, true, conflict.state)).collect();
    replace(db, sink, BucketKey::new(model, ACROSS), &found)
}

/// The cavity conflicts among buckets of one model.
pub(super) fn find_cavities(memo: &mut Memo<'_>, places: &[Place<'_>]) -> Vec<CavityConflict> {
    let language = memo.language;
    let Some(colour) = language.catalogue.field("colour") else { return Vec::new() };
    cavity::all(&language.catalogue, places, |a, b| {
        match (memo.value_by_text(colour, a), memo.value_by_text(colour, b)) {
            (Ok(a), Ok(b)) => memo.relation(colour, a, b),
            _ => Relation::Unknown,
        }
    })
}

fn others(
    db: &Connection,
    language: &Language,
    model: ModelId,
    at_hand: &[(BucketKey, usize, Bucket)],
) -> rusqlite::Result<Vec<(BucketKey, usize, Bucket)>> {
    let wanted = |key: BucketKey| at_hand.iter().all(|(other, _, _)| *other != key);
    let buckets = between(db, language, BucketKey::of_model(model), wanted)?;
    Ok(buckets.into_iter().filter(|(_, _, bucket)| cavity::names_cavities(bucket)).collect())
}

/// The stored buckets of a model whose points the catalogue knows, with the numbers of those points in it. One that
/// is damaged is folded anew from its notes, so that the answer is right all the same; `check` tells of it.
pub(super) fn of_model(
    db: &Connection,
    language: &Language,
    model: ModelId,
) -> rusqlite::Result<Vec<(BucketKey, usize, Bucket)>> {
    between(db, language, BucketKey::of_model(model), |_| true)
}

/// One bucket, where there is one of a point that the catalogue knows.
pub(super) fn one(db: &Connection, language: &Language, key: BucketKey) -> rusqlite::Result<Option<Bucket>> {
    Ok(between(db, language, (key, key), |_| true)?.pop().map(|(.., bucket)| bucket))
}

fn between(
    db: &Connection,
    language: &Language,
    (first, last): (BucketKey, BucketKey),
    wanted: impl Fn(BucketKey) -> bool,
) -> rusqlite::Result<Vec<(BucketKey, usize, Bucket)>> {
    let mut query = db.prepare_cached(
        "SELECT bucket.key, point.name, fold FROM bucket JOIN point ON point.id = bucket.key & 1023
         WHERE bucket.key BETWEEN ?1 AND ?2 ORDER BY bucket.key",
    )?;
    let mut rows = query.query(params![first.0, last.0])?;
    let mut found = Vec::new();
    while let Some(row) = rows.next()? {
        let key = BucketKey(row.get(0)?);
        let point = language.catalogue.point(row.get_ref(1)?.as_str()?);
        let Some(point) = point.filter(|_| wanted(key)) else { continue };
        let bucket = match decode(row.get_ref(2)?.as_blob()?) {
            Some(bucket) => bucket,
            None => fold_anew(db, &mut Memo::new(language), key, point)?,
        };
        found.push((key, point, bucket));
    }
    Ok(found)
}

impl Book {
    /// Whether everything derived was made by these rules.
    pub(super) fn is_derived_as(&self, fingerprint: &str) -> Result<bool, BookError> {
        Ok(self.setting("derived")?.as_deref() == Some(fingerprint))
    }

    /// Rebuilds everything derived where it was made by other rules than these.
    pub(super) fn rebuild_if_stale(&mut self, language: &Language) -> Result<(), BookError> {
        if self.is_derived_as(&fingerprint(language))? {
            return Ok(());
        }
        self.rebuild(language)?;
        self.rebuilt.get_or_insert_with(|| "the catalogue, the lexicon or the rules changed".to_owned());
        Ok(())
    }

    /// Throws away everything that is derived and makes it anew from notes and decisions; gives the number of buckets.
    ///
    /// # Errors
    /// The book cannot be read or written; it is then as it was.
    pub fn rebuild(&mut self, language: &Language) -> Result<usize, BookError> {
        let path = self.path.clone();
        let sql = |error| BookError::from_sql(&path, error);
        let change = self.db.transaction_with_behavior(TransactionBehavior::Immediate).map_err(sql)?;
        let buckets = rebuild(&change, language).map_err(sql)?;
        change.commit().map_err(sql)?;
        Ok(buckets)
    }
}

fn rebuild(db: &Connection, language: &Language) -> rusqlite::Result<usize> {
    db.execute_batch("DELETE FROM bucket; DELETE FROM conflict; DELETE FROM vin_model; DELETE FROM fallen;")?;
    decide::index_all(db)?;
    let mut memo = Memo::new(language);
    let keys = keys_with_notes(db)?;
    let points = point_numbers(db, &language.catalogue)?;
    for key in &keys {
        let Some(point) = points.get(usize::from(key.point())).copied().flatten() else { continue };
        let bucket = fold_anew(db, &mut memo, *key, point)?;
        store(&mut &*db, *key, &bucket)?;
        conflicts(None, &mut &*db, *key, &bucket)?;
    }
    let models: BTreeSet<ModelId> = keys.iter().map(|key| key.model()).collect();
    for model in models {
        cavities(Some(db), &mut &*db, &mut memo, model, &[])?;
    }
    for (pattern, model) in taught(db, &mut memo)? {
        db.prepare_cached("INSERT INTO vin_model (pattern, model) VALUES (?1, ?2)")?
            .execute(params![pattern, model.0])?;
    }
    set_count(db, count(db)?)?;
    learnt::keep(db, language)?;
    stamp(db, language)?;
    Ok(keys.len())
}

/// Which models the beginnings of vehicle identification numbers belong to, as the seen vehicles of notes teach it.
pub(super) fn taught(db: &Connection, memo: &mut Memo<'_>) -> rusqlite::Result<BTreeSet<(String, ModelId)>> {
    let mut query = db.prepare("SELECT DISTINCT key >> 32, seen FROM note WHERE seen <> ''")?;
    let mut rows = query.query([])?;
    let mut taught = BTreeSet::new();
    while let Some(row) = rows.next()? {
        let seen = seen(memo, row.get_ref(1)?.as_str()?);
        if let Some(vin) = memo.seen_of(seen).1.vin() {
            taught.insert((vin.kind(), ModelId(row.get(0)?)));
        }
    }
    Ok(taught)
}

/// The same as it is kept.
pub(super) fn taught_before(db: &Connection) -> rusqlite::Result<BTreeSet<(String, ModelId)>> {
    let mut query = db.prepare("SELECT pattern, model FROM vin_model")?;
    query.query_map([], |row| Ok((row.get(0)?, ModelId(row.get(1)?))))?.collect()
}

/// Notes by which rules the derived rows were made.
pub(super) fn stamp(db: &Connection, language: &Language) -> rusqlite::Result<()> {
    db.execute(
        "INSERT OR REPLACE INTO setting (name, value) VALUES ('derived', ?1)",
        [fingerprint(language)],
    )?;
    Ok(())
}

/// A setting of the book.
pub(super) fn setting(db: &Connection, name: &str) -> rusqlite::Result<Option<String>> {
    let mut query = db.prepare_cached("SELECT value FROM setting WHERE name = ?1")?;
    query.query_row([name], |row| row.get(0)).optional()
}

/// How many notes the book holds, as counted.
pub(super) fn counted(db: &Connection) -> rusqlite::Result<u64> {
    Ok(setting(db, "notes")?.and_then(|text| text.parse().ok()).unwrap_or_default())
}

/// How many notes there are.
pub(super) fn count(db: &Connection) -> rusqlite::Result<u64> {
    db.query_row("SELECT count(*) FROM note", [], |row| row.get(0))
}

/// Counts notes that went in.
pub(super) fn count_more(db: &Connection, more: u64) -> rusqlite::Result<()> {
    set_count(db, counted(db)? + more)
}

fn set_count(db: &Connection, notes: u64) -> rusqlite::Result<()> {
    db.execute("INSERT OR REPLACE INTO setting (name, value) VALUES ('notes', ?1)", [notes.to_string()])?;
    Ok(())
}

/// The buckets that have notes, found by skipping from one to the next.
pub(super) fn keys_with_notes(db: &Connection) -> rusqlite::Result<Vec<BucketKey>> {
    let mut next = db.prepare("SELECT min(key) FROM note WHERE key >= ?1")?;
    let mut keys = Vec::new();
    let mut from = 0_i64;
    while let Some(key) = next.query_row([from], |row| row.get::<_, Option<i64>>(0))? {
        let bucket = NoteKey(key).bucket();
        keys.push(bucket);
        from = BucketKey(bucket.0 + 1).note(0).0;
    }
    Ok(keys)
}

/// The buckets that a table of derived rows has.
pub(super) fn keys_of(db: &Connection, table: &str, column: &str) -> rusqlite::Result<BTreeSet<BucketKey>> {
    let mut query = db.prepare(&format!("SELECT DISTINCT {column} FROM {table}"))?;
    query.query_map([], |row| Ok(BucketKey(row.get(0)?)))?.collect()
}

/// The models that have a name.
pub(super) fn models_with_names(db: &Connection) -> rusqlite::Result<BTreeSet<ModelId>> {
    let mut query = db.prepare("SELECT id FROM model")?;
    query.query_map([], |row| Ok(ModelId(row.get(0)?)))?.collect()
}

/// For each number of a point in the book, its number in the catalogue.
pub(super) fn point_numbers(db: &Connection, catalogue: &Catalogue) -> rusqlite::Result<Vec<Option<usize>>> {
    let mut numbers = vec![None];
    let mut query = db.prepare("SELECT id, name FROM point ORDER BY id")?;
    let mut rows = query.query([])?;
    while let Some(row) = rows.next()? {
        numbers.resize(row.get::<_, usize>(0)?, None);
        numbers.push(catalogue.point(row.get_ref(1)?.as_str()?));
    }
    Ok(numbers)
}

/// Reads a stored scope; the texts are canonical.
pub(super) fn scope(language: &Language, years: &str, only: &str) -> Scope {
    Scope::parse(years, only, language.vocabulary(), language.year()).unwrap_or_default()
}
