//! Putting notes into the book: all of them or none, sorted by bucket, with everything that is derived.
//!
//! Reading files is the intake's business; it hands over notes that are already understood.

use std::collections::hash_map::Entry;
use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;

use foldhash::{HashMap, HashMapExt};
use rusqlite::{Connection, TransactionBehavior};

use super::sink::{NoteRow, Row, Sink};
use super::texts::Texts;
use super::{
    Alone, Book, BookError, BucketKey, Companion, ModelId, NoteKey, NoteRef, Origin, StoredNote, create,
    decide, derive, learnt, names,
};
use crate::decision::{Decision, DecisionId};
use crate::judge::bucket::Bucket;
use crate::judge::cavity::{are_touched, names_cavities};
use crate::judge::conflict::{Conflict, State};
use crate::judge::fold::{Fact, Folding, Known, Memo};
use crate::note::{Basis, NoteId};

/// Notes that were read and wait to be written, with everything that they share held once.
#[derive(Debug, Default)]
pub struct Staged {
    /// Makers and models as written.
    pub models: Vec<(String, String)>,
    /// Where notes were read.
    pub files: Vec<String>,
    /// The notes, in the order in which they were read.
    pub notes: Vec<StagedNote>,
    /// What they say: runs of one note after another, each sorted by the names of the fields.
    pub said: Vec<(u16, Said)>,
    /// Remarks and prose, one after another.
    pub text: String,
    /// Decisions, each once.
    pub decisions: Vec<Decision>,
}

/// One value of a note: a number in the memo, or free words (a place in `Staged::text`).
#[derive(Debug, Clone, Copy)]
pub enum Said {
    /// A typed value.
    Value(Known),
    /// Free words.
    Prose(u32, u32),
}

/// One note that waits to be written.
#[derive(Debug, Clone)]
pub struct StagedNote {
    /// A number into `Staged::models`.
    pub model: u32,
    /// The point, by number in the catalogue.
    pub point: u16,
    /// Its id.
    pub id: NoteId,
    /// How the writer knows.
    pub basis: Basis,
    /// When, in days since 1970-01-01.
    pub day: i32,
    /// Who, by number in the memo.
    pub person: Known,
    /// The claimed vehicles, by number in the memo.
    pub scope: Known,
    /// The seen vehicle, by number in the memo.
    pub seen: Option<Known>,
    /// What it says: a run of `Staged::said`.
    pub said: Range<u32>,
    /// The remark: a run of `Staged::text`.
    pub remark: Range<u32>,
    /// Where it was read: a number into `Staged::files`.
    pub file: u32,
    /// The line, from 1.
    pub line: u32,
}

/// What became of a note that was handed over.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Outcome {
    /// It went in.
    New,
    /// The book had it.
    Known,
}

/// What a writing did.
#[derive(Debug, Default)]
pub struct Written {
    /// For each note that was handed over, in that order.
    pub outcomes: Vec<Option<Outcome>>,
    /// Conflicts that were not there before.
    pub opened: Vec<(BucketKey, NoteId)>,
    /// Conflicts that were there and have new notes.
    pub grown: Vec<(BucketKey, NoteId)>,
    /// Conflicts that were settled, or waited for a recheck, and are open again.
    pub reopened: Vec<(BucketKey, NoteId)>,
    /// For each decision that was handed over, in that order.
    pub decisions: Vec<(DecisionId, Outcome)>,
}

impl Written {
    /// Adds what a change of the list of conflicts opened.
    pub(super) fn changed(&mut self, change: derive::Change) {
        self.opened.extend(change.opened);
        self.reopened.extend(change.reopened);
    }

    /// How many notes had this outcome.
    #[must_use]
    pub fn count(&self, outcome: Outcome) -> usize {
        self.outcomes.iter().filter(|found| **found == Some(outcome)).count()
    }
}

/// Whether a writing is to last.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Lasting {
    /// It is written for good.
    Yes,
    /// Everything is done, told, and taken back.
    DryRun,
}

impl Staged {
    /// What a note says.
    #[must_use]
    pub fn said(&self, note: &StagedNote) -> &[(u16, Said)] {
        &self.said[note.said.start as usize..note.said.end as usize]
    }

    /// The text of a run.
    #[must_use]
    pub fn text(&self, run: &Range<u32>) -> &str {
        &self.text[run.start as usize..run.end as usize]
    }

    /// A note as it is kept under `key`.
    #[must_use]
    pub fn kept(&self, note: &StagedNote, key: NoteKey, memo: &Memo<'_>) -> StoredNote {
        let (years, only) = memo.scope_texts(note.scope);
        let text = |(field, said): &(u16, Said)| {
            let name = &memo.language.catalogue.fields[usize::from(*field)].name;
            (name.to_string(), self.value(*field, *said, memo).to_owned())
        };
        StoredNote {
            key,
            id: note.id,
            years: years.to_owned(),
            only: only.to_owned(),
            said: self.said(note).iter().map(text).collect(),
            basis: note.basis,
            by: memo.person_of(note.person).1.to_owned(),
            day: note.day,
            seen: note.seen.map_or("", |seen| memo.seen_of(seen).0).to_owned(),
            remark: self.text(&note.remark).to_owned(),
            origin: Origin { file: self.files[note.file as usize].clone(), line: note.line },
        }
    }

    /// The canonical text of a value.
    #[must_use]
    pub fn value<'a>(&'a self, field: u16, said: Said, memo: &'a Memo<'_>) -> &'a str {
        match said {
            Said::Value(known) => memo.text(usize::from(field), known),
            Said::Prose(start, end) => self.text(&(start..end)),
        }
    }
}

impl Book {
    /// Writes notes: all or none. `progress` is told how many are done.
    ///
    /// # Errors
    /// The book cannot be written; it is then as it was.
    pub fn write(
        &mut self,
        staged: &Staged,
        memo: &mut Memo<'_>,
        lasting: Lasting,
        progress: &mut dyn FnMut(usize),
    ) -> Result<Written, BookError> {
        self.write_with(&Alone, staged, memo, lasting, progress)
    }

    /// The same; where the book is new, `companion` makes something beside it.
    ///
    /// # Errors
    /// The book cannot be written; it is then as it was.
    pub fn write_with(
        &mut self,
        companion: &dyn Companion,
        staged: &Staged,
        memo: &mut Memo<'_>,
        lasting: Lasting,
        progress: &mut dyn FnMut(usize),
    ) -> Result<Written, BookError> {
        if !self.exists
            && lasting == Lasting::Yes
            && let Some(written) = create::with_notes(self, staged, memo, companion, progress)?
        {
            return Ok(written);
        }
        let path = self.path.clone();
        let sql = |error| BookError::from_sql(&path, error);
        let change = self.db.transaction_with_behavior(TransactionBehavior::Immediate).map_err(sql)?;
        let written = put(&change, staged, memo, progress).map_err(sql)?;
        match lasting {
            Lasting::Yes => change.commit().map_err(sql)?,
            Lasting::DryRun => change.rollback().map_err(sql)?,
        }
        Ok(written)
    }
}

/// Puts the notes of one bucket into a book; `was` is that bucket, where there is one.
pub(super) fn put_into(
    db: &Connection,
    staged: &Staged,
    memo: &mut Memo<'_>,
    was: Option<&Bucket>,
) -> rusqlite::Result<Written> {
    let numbers = Numbers::new(db, staged, memo)?;
    let mut sink = db;
    let decided = decide::any(db)?;
    let writer =
        Writer { was: Some(was), ..Writer::new(Some(db), &mut sink, &numbers, staged, memo, decided) };
    let written = writer.all(&mut |_| {})?;
    put_the_rest(db, staged, memo, written)
}

/// Puts all notes into a book that may have others, bucket after bucket.
pub(super) fn put(
    db: &Connection,
    staged: &Staged,
    memo: &mut Memo<'_>,
    progress: &mut dyn FnMut(usize),
) -> rusqlite::Result<Written> {
    let numbers = Numbers::new(db, staged, memo)?;
    let written = make_rows(Some(db), &mut &*db, &numbers, staged, memo, progress)?;
    put_the_rest(db, staged, memo, written)
}

/// What is done once the rows are in: counting them, and the decisions.
fn put_the_rest(
    db: &Connection,
    staged: &Staged,
    memo: &mut Memo<'_>,
    mut written: Written,
) -> rusqlite::Result<Written> {
    derive::count_more(db, written.count(Outcome::New) as u64)?;
    put_decisions(db, staged, memo, &mut written)?;
    // Decisions may have waited for the notes that they are about.
    if staged.decisions.is_empty() && written.count(Outcome::New) > 0 && decide::any(db)? {
        learnt::keep(db, memo.language)?;
    }
    Ok(written)
}

/// Puts the decisions in once the notes are, those that were handed over with them among them.
pub(super) fn put_decisions(
    db: &Connection,
    staged: &Staged,
    memo: &mut Memo<'_>,
    written: &mut Written,
) -> rusqlite::Result<()> {
    if staged.decisions.is_empty() {
        return Ok(());
    }
    let more = decide::put(db, memo, &staged.decisions)?;
    written.decisions = more.decisions;
    // A decision that came along may have settled at once what its notes opened.
    let still = |found: &(BucketKey, NoteId)| -> rusqlite::Result<bool> {
        let listed = derive::listed(db, found.0)?;
        Ok(listed.iter().any(|(anchor, _, state)| *anchor == found.1 && *state == State::Open))
    };
    for list in [&mut written.opened, &mut written.grown, &mut written.reopened] {
        let mut kept = Vec::new();
        for found in std::mem::take(list) {
            if still(&found)? {
                kept.push(found);
            }
        }
        *list = kept;
    }
    written.opened.extend(more.opened);
    written.reopened.extend(more.reopened);
    Ok(())
}

/// Makes all rows, bucket after bucket, for the book in `db`, or for a new one where there is none to read from.
pub(super) fn make_rows(
    db: Option<&Connection>,
    sink: &mut dyn Sink,
    numbers: &Numbers,
    staged: &Staged,
    memo: &mut Memo<'_>,
    progress: &mut dyn FnMut(usize),
) -> rusqlite::Result<Written> {
    let decided = db.map_or(Ok(false), decide::any)?;
    Writer::new(db, sink, numbers, staged, memo, decided).all(progress)
}

/// What the notes that wait share, by its numbers in the book.
#[derive(Debug)]
pub(super) struct Numbers {
    people: HashMap<Known, i64>,
    /// The buckets of the notes, sorted, each with the number of the note; notes of one bucket stay in order.
    order: Vec<(BucketKey, u32)>,
}

impl Numbers {
    /// Looks everything up in `db`, and adds what it does not have.
    pub(super) fn new(db: &Connection, staged: &Staged, memo: &Memo<'_>) -> rusqlite::Result<Self> {
        let mut people = HashMap::new();
        for note in &staged.notes {
            if let Entry::Vacant(vacant) = people.entry(note.person) {
                let (key, name) = memo.person_of(note.person);
                vacant.insert(names::person_id(db, key, name)?);
            }
        }
        Ok(Self { people, order: Self::order(db, staged, memo)? })
    }

    fn order(db: &Connection, staged: &Staged, memo: &Memo<'_>) -> rusqlite::Result<Vec<(BucketKey, u32)>> {
        let mut models = Vec::with_capacity(staged.models.len());
        for (make, model) in &staged.models {
            models.push(names::model_id(db, make, model)?);
        }
        let mut points: BTreeMap<u16, u16> = BTreeMap::new();
        let mut order = Vec::with_capacity(staged.notes.len());
        for (at, note) in staged.notes.iter().enumerate() {
            let point = match points.get(&note.point) {
                Some(point) => *point,
                None => {
                    let name = &memo.language.catalogue.points[usize::from(note.point)].name;
                    let point = names::point_id(db, name)?;
                    points.insert(note.point, point);
                    point
                }
            };
            order.push((BucketKey::new(models[note.model as usize], point), at as u32));
        }
        order.sort_unstable();
        Ok(order)
    }
}

/// More than so many different things that notes say are not remembered.
const REMEMBERED: usize = 50_000;

/// The number of a text, and the text.
type Saying = (i64, Box<str>);

/// What writing needs at hand; everything that notes share gets its number in the book once.
struct Writer<'a, 'l> {
    db: Option<&'a Connection>,
    sink: &'a mut dyn Sink,
    numbers: &'a Numbers,
    staged: &'a Staged,
    memo: &'a mut Memo<'l>,
    taught: BTreeSet<(Known, ModelId)>,
    json: String,
    /// The typed values of the note at hand.
    values: Vec<(u16, Known)>,
    /// What notes say as JSON objects, with the numbers of those texts, by their values.
    sayings: HashMap<Vec<(u16, Known)>, Saying>,
    texts: Texts<'a>,
    /// The numbers of the names of files.
    files: Vec<i64>,
    written: Written,
    /// Whether there are decisions that may be about these notes.
    decided: bool,
    /// The one bucket of all notes as it was, where that is at hand.
    was: Option<Option<&'a Bucket>>,
}

impl<'a, 'l> Writer<'a, 'l> {
    fn new(
        db: Option<&'a Connection>,
        sink: &'a mut dyn Sink,
        numbers: &'a Numbers,
        staged: &'a Staged,
        memo: &'a mut Memo<'l>,
        decided: bool,
    ) -> Self {
        let written = Written { outcomes: vec![None; staged.notes.len()], ..Written::default() };
        Self {
            db,
            sink,
            numbers,
            staged,
            memo,
            taught: BTreeSet::new(),
            json: String::new(),
            values: Vec::new(),
            sayings: HashMap::new(),
            texts: Texts::new(db),
            files: Vec::new(),
            written,
            decided,
            was: None,
        }
    }

    fn all(mut self, progress: &mut dyn FnMut(usize)) -> rusqlite::Result<Written> {
        let number = |file: &String| self.texts.number(self.sink, file);
        self.files = self.staged.files.iter().map(number).collect::<Result<_, _>>()?;
        let order = &self.numbers.order;
        let mut start = 0;
        while start < order.len() {
            let model = order[start].0.model();
            let length = order[start..].iter().take_while(|(key, _)| key.model() == model).count();
            self.model(model, &order[start..start + length])?;
            start += length;
            progress(start);
        }
        Ok(self.written)
    }

    fn model(&mut self, model: ModelId, order: &[(BucketKey, u32)]) -> rusqlite::Result<()> {
        let mut touched: Vec<(BucketKey, usize, Bucket)> = Vec::new();
        let mut start = 0;
        while start < order.len() {
            let key = order[start].0;
            let length = order[start..].iter().take_while(|(other, _)| *other == key).count();
            let notes = &order[start..start + length];
            let point = usize::from(self.staged.notes[notes[0].1 as usize].point);
            if let Some(bucket) = self.bucket(key, point, notes)? {
                touched.push((key, point, bucket));
            }
            start += length;
        }
        let are_touched = |bucket: &Bucket| self.was.is_none_or(|was| are_touched(was, bucket));
        if touched.iter().any(|(_, _, bucket)| names_cavities(bucket) && are_touched(bucket)) {
            let change = derive::cavities(self.db, self.sink, self.memo, model, &touched)?;
            self.written.changed(change);
        }
        self.teach(model, order)
    }

    /// Puts the notes of one bucket in; gives the bucket back where it changed.
    fn bucket(
        &mut self,
        key: BucketKey,
        point: usize,
        notes: &[(BucketKey, u32)],
    ) -> rusqlite::Result<Option<Bucket>> {
        let mut folding = match (self.db, self.was.flatten().cloned()) {
            (Some(db), Some(was)) => derive::take_up(db, self.memo, key, point, Some(was))?,
            (Some(db), None) => derive::resume(db, self.memo, key, point)?,
            (None, _) => Folding::new(self.memo.language, point),
        };
        let before = folding.bucket().entries.len();
        self.notes(key, &mut folding, notes)?;
        if folding.bucket().entries.len() == before {
            return Ok(None);
        }
        let rulings = match self.db {
            Some(db) if self.decided => decide::rulings_with_new(db, &folding, before)?,
            _ => Vec::new(),
        };
        let bucket = folding.finish_with(&rulings, self.memo);
        derive::store(self.sink, key, &bucket)?;
        self.conflicts(key, &bucket, before)?;
        Ok(Some(bucket))
    }

    /// Puts notes in that the bucket does not have, and folds them.
    fn notes(
        &mut self,
        key: BucketKey,
        folding: &mut Folding,
        notes: &[(BucketKey, u32)],
    ) -> rusqlite::Result<()> {
        let mut known: HashMap<NoteId, u32> =
            folding.bucket().entries.iter().map(|entry| (entry.id, entry.number)).collect();
        for (_, at) in notes {
            let note = &self.staged.notes[*at as usize];
            let outcome = match known.get(&note.id) {
                Some(number) => {
                    self.also(key.note(*number), note)?;
                    Outcome::Known
                }
                None => {
                    let number = known.len() as u32;
                    self.look_at(note);
                    self.note(key.note(number), note)?;
                    self.fold(folding, number, note);
                    known.insert(note.id, number);
                    Outcome::New
                }
            };
            self.written.outcomes[*at as usize] = Some(outcome);
        }
        Ok(())
    }

    /// Lists the conflicts of a bucket whose notes from number `new` on came in just now.
    fn conflicts(&mut self, key: BucketKey, bucket: &Bucket, new: usize) -> rusqlite::Result<()> {
        let db = self.db.filter(|_| new > 0);
        let (conflicts, change) = derive::conflicts(db, self.sink, key, bucket)?;
        let has_new = |found: &&Conflict| {
            found.state != State::Settled && found.entries.last().is_some_and(|last| *last >= new)
        };
        let grown = conflicts.iter().filter(has_new).map(|found| (key, found.anchor));
        let told =
            |found: &(BucketKey, NoteId)| change.opened.contains(found) || change.reopened.contains(found);
        self.written.grown.extend(grown.filter(|found| !told(found)));
        self.written.changed(change);
        Ok(())
    }

    /// Takes the typed values of a note to hand.
    fn look_at(&mut self, note: &StagedNote) {
        self.values.clear();
        self.values.extend(self.staged.said(note).iter().filter_map(|(field, said)| match said {
            Said::Value(known) => Some((*field, *known)),
            Said::Prose(..) => None,
        }));
    }

    /// Folds the note at hand.
    fn fold(&mut self, folding: &mut Folding, number: u32, note: &StagedNote) {
        let fact = Fact {
            number,
            id: note.id,
            values: &self.values,
            prose: self.values.len() < note.said.len(),
            scope: note.scope,
            seen: note.seen,
            person: note.person,
            basis: note.basis,
            on: note.day,
        };
        folding.push(&fact, self.memo);
    }

    /// Hands on the note at hand.
    fn note(&mut self, key: NoteKey, note: &StagedNote) -> rusqlite::Result<()> {
        let said = self.said(note)?;
        let (years, only) = self.memo.scope_texts(note.scope);
        let told = NoteRef {
            key,
            id: note.id,
            years,
            only,
            said: &self.json,
            basis: note.basis,
            person: self.numbers.people.get(&note.person).copied().unwrap_or_default(),
            day: note.day,
            seen: note.seen.map_or("", |seen| self.memo.seen_of(seen).0),
            remark: self.staged.text(&note.remark),
        };
        let (file, line) = (self.files[note.file as usize], note.line);
        self.sink.note(&NoteRow { told, said, file, line, waits: self.db.is_some() })
    }

    /// Writes what the note at hand says as a JSON object into `self.json`, and gives the number of that text. Many say
    /// all the same.
    fn said(&mut self, note: &StagedNote) -> rusqlite::Result<i64> {
        self.json.clear();
        let is_typed = self.values.len() == note.said.len();
        if let Some((number, known)) = self.sayings.get(&self.values).filter(|_| is_typed) {
            self.json.push_str(known);
            return Ok(*number);
        }
        self.write_said(note);
        let number = self.texts.number(self.sink, &self.json)?;
        if is_typed && self.sayings.len() < REMEMBERED {
            self.sayings.insert(self.values.clone(), (number, self.json.as_str().into()));
        }
        Ok(number)
    }

    fn write_said(&mut self, note: &StagedNote) {
        self.json.push('{');
        for (field, said) in self.staged.said(note) {
            if self.json.len() > 1 {
                self.json.push(',');
            }
            let name = &self.memo.language.catalogue.fields[usize::from(*field)].name;
            push_json(&mut self.json, name);
            self.json.push(':');
            push_json(&mut self.json, self.staged.value(*field, *said, self.memo));
        }
        self.json.push('}');
    }

    /// Remembers that a note which the book had was read in one more place.
    fn also(&mut self, key: NoteKey, note: &StagedNote) -> rusqlite::Result<()> {
        self.sink.put(Row::Also(key, self.files[note.file as usize], note.line))
    }

    /// Remembers which model the vehicle identification numbers of seen vehicles belong to.
    fn teach(&mut self, model: ModelId, order: &[(BucketKey, u32)]) -> rusqlite::Result<()> {
        for (_, at) in order {
            let Some(seen) = self.staged.notes[*at as usize].seen else { continue };
            let Some(pattern) = self.memo.seen_of(seen).1.vin().map(|vin| vin.kind()) else { continue };
            if self.taught.insert((seen, model)) {
                self.sink.put(Row::Taught(pattern, model))?;
            }
        }
        Ok(())
    }
}

/// Appends a text as a JSON string.
fn push_json(out: &mut String, text: &str) {
    if text.bytes().all(|byte| byte >= 0x20 && byte != b'"' && byte != b'\\') {
        out.push('"');
        out.push_str(text);
        out.push('"');
    } else {
        out.push_str(&serde_json::Value::from(text).to_string());
    }
}
