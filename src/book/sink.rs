//! Where rows go: straight into the file, or to a thread that writes them while the next are made.

use std::sync::mpsc::{Receiver, SyncSender, sync_channel};
use std::thread::{Scope, ScopedJoinHandle};

use rusqlite::types::{ToSqlOutput, ValueRef};
use rusqlite::{Connection, Statement, params};

use super::{Book, BucketKey, Companion, ModelId, NoteKey, NoteRef, Rest, Tell, texts, waiting};
use crate::judge::conflict::State;
use crate::note::NoteId;

/// One row of the book, but for notes.
#[derive(Debug)]
pub(super) enum Row {
    /// A folded bucket: its key, how many notes, its bytes.
    Bucket(BucketKey, usize, Vec<u8>),
    /// The notes of a bucket that do not stand as they were written, and how.
    Fallen(BucketKey, Vec<(NoteKey, u8)>),
    /// A conflict: its bucket, the note that names it, whether it is certain, how far it is settled.
    Conflict(BucketKey, NoteId, bool, State),
    /// A conflict that is none any more.
    NoConflict(BucketKey, NoteId, bool),
    /// A further place where a note was read: its key, the file, the line.
    Also(NoteKey, i64, u32),
    /// A text that a new book has not had yet: its number, its mark.
    Text(i64, i64, String),
    /// Which model the beginning of a vehicle identification number belongs to.
    Taught(String, ModelId),
}

/// A row of the table of notes.
#[derive(Debug, Clone, Copy)]
pub(super) struct NoteRow<'r> {
    /// What is told of it to whoever makes something beside the book.
    pub(super) told: NoteRef<'r>,
    /// The number of the text that it says.
    pub(super) said: i64,
    pub(super) file: i64,
    pub(super) line: u32,
    /// Whether it has to wait for the index: a new book has none that could lack it.
    pub(super) waits: bool,
}

/// Takes rows.
pub(super) trait Sink {
    /// Takes a note.
    fn note(&mut self, note: &NoteRow<'_>) -> rusqlite::Result<()>;

    /// Takes one row.
    fn put(&mut self, row: Row) -> rusqlite::Result<()>;
}

impl Sink for &Connection {
    fn note(&mut self, note: &NoteRow<'_>) -> rusqlite::Result<()> {
        write_notes(self, std::slice::from_ref(note))?;
        if note.waits { waiting::wait(self, note.told.key) } else { Ok(()) }
    }

    fn put(&mut self, row: Row) -> rusqlite::Result<()> {
        match row {
            Row::Bucket(key, notes, fold) => self
                .prepare_cached("INSERT OR REPLACE INTO bucket (key, notes, fold) VALUES (?1, ?2, ?3)")?
                .execute(params![key.0, notes, fold])
                .map(drop),
            Row::Fallen(key, fallen) => waiting::store_fallen(self, key.notes(), &fallen),
            Row::Conflict(key, anchor, certain, state) => self
                .prepare_cached(
                    "INSERT INTO conflict (bucket, anchor, certain, state) VALUES (?1, ?2, ?3, ?4)",
                )?
                .execute(params![key.0, anchor.0, certain, state as u8])
                .map(drop),
            Row::NoConflict(key, anchor, certain) => self
                .prepare_cached("DELETE FROM conflict WHERE bucket = ?1 AND anchor = ?2 AND certain = ?3")?
                .execute(params![key.0, anchor.0, certain])
                .map(drop),
            Row::Also(key, file, line) => self
                .prepare_cached(
                    "INSERT OR IGNORE INTO also (key, file, line) SELECT ?1, ?2, ?3
                     WHERE NOT EXISTS (SELECT 1 FROM note WHERE key = ?1 AND file = ?2 AND line = ?3)",
                )?
                .execute(params![key.0, file, line])
                .map(drop),
            Row::Text(number, mark, text) => texts::put(self, Some(number), mark, &text),
            Row::Taught(pattern, model) => self
                .prepare_cached("INSERT OR IGNORE INTO vin_model (pattern, model) VALUES (?1, ?2)")?
                .execute(params![pattern, model.0])
                .map(drop),
        }
    }
}

/// How many notes one statement puts in where there are many: what a statement costs by itself is shared by them.
const TOGETHER: usize = 16;

/// Puts notes in, as many as there are, by key.
fn write_notes(db: &Connection, notes: &[NoteRow<'_>]) -> rusqlite::Result<()> {
    let mut together = notes.chunks_exact(TOGETHER);
    if notes.len() >= TOGETHER {
        let mut insert = db.prepare_cached(&insertion(TOGETHER))?;
        together.try_for_each(|notes| insert_notes(&mut insert, notes))?;
    }
    let mut insert = db.prepare_cached(&insertion(1))?;
    together.remainder().chunks(1).try_for_each(|notes| insert_notes(&mut insert, notes))
}

fn insertion(notes: usize) -> String {
    let row = "(?,?,?,?,?,?,?,?,?,?,?,?)";
    let columns = "key, id, years, only, said, basis, person, day, seen, remark, file, line";
    format!("INSERT INTO note ({columns}) VALUES {}", vec![row; notes].join(","))
}

fn insert_notes(insert: &mut Statement<'_>, notes: &[NoteRow<'_>]) -> rusqlite::Result<()> {
    let mut at = 0;
    for NoteRow { told, said, file, line, .. } in notes {
        let mut bind = |value: ToSqlOutput<'_>| {
            at += 1;
            insert.raw_bind_parameter(at, value)
        };
        bind(told.key.0.into())?;
        bind(ToSqlOutput::Borrowed(ValueRef::Blob(&told.id.0)))?;
        for text in [told.years, told.only] {
            bind(text.into())?;
        }
        for number in [*said, i64::from(told.basis.number()), told.person, i64::from(told.day)] {
            bind(number.into())?;
        }
        for text in [told.seen, told.remark] {
            bind(text.into())?;
        }
        for number in [*file, i64::from(*line)] {
            bind(number.into())?;
        }
    }
    insert.raw_execute().map(drop)
}

/// Rows that are handed over at once: few enough to stay small, many enough that handing over costs nothing.
const BATCH: usize = 256;
/// Batches that wait for the writer before the maker of rows has to.
const WAITING: usize = 32;

/// Rows on their way to the clerk, notes before others. The texts of all notes stand in one, so that none is a piece of
/// memory by itself.
#[derive(Debug, Default)]
struct Batch {
    notes: Vec<Packed>,
    texts: String,
    rows: Vec<Row>,
}

/// A note without its texts, and where each of those ends.
type Packed = (NoteRow<'static>, [usize; 5]);

impl Batch {
    fn len(&self) -> usize {
        self.notes.len() + self.rows.len()
    }

    fn push(&mut self, note: &NoteRow<'_>) {
        let told = &note.told;
        let texts = [told.years, told.only, told.said, told.seen, told.remark];
        let ends = texts.map(|text| {
            self.texts.push_str(text);
            self.texts.len()
        });
        let told = NoteRef { years: "", only: "", said: "", seen: "", remark: "", ..*told };
        self.notes.push((NoteRow { told, ..*note }, ends));
    }

    fn unpacked(&self) -> Vec<NoteRow<'_>> {
        let mut start = 0;
        let unpack = |(note, ends): &Packed| {
            let [years, only, said, seen, remark] = ends.map(|end| {
                let text = &self.texts[start..end];
                start = end;
                text
            });
            NoteRow { told: NoteRef { years, only, said, seen, remark, ..note.told }, ..*note }
        };
        self.notes.iter().map(unpack).collect()
    }

    /// Writes all rows, and tells the notes.
    fn write(self, mut sink: &Connection, tell: Tell<'_>) -> rusqlite::Result<()> {
        let notes = self.unpacked();
        notes.iter().for_each(|note| tell(&note.told));
        write_notes(sink, &notes)?;
        self.rows.into_iter().try_for_each(|row| sink.put(row))
    }
}

/// A thread that writes rows, those of each table in the order in which they are put, and tells a companion the notes.
pub(super) struct Clerk<'s> {
    batch: Batch,
    desk: SyncSender<Batch>,
    at_work: ScopedJoinHandle<'s, (Book, rusqlite::Result<Option<Rest>>)>,
}

impl<'s> Clerk<'s> {
    /// Gives `book`, which is new, to a new thread.
    pub(super) fn new(scope: &'s Scope<'s, '_>, book: Book, companion: &'s dyn Companion) -> Self {
        let (desk, inbox) = sync_channel(WAITING);
        let at_work = scope.spawn(move || {
            let mut done = Ok(());
            let rest = companion.follow(&book, &mut |tell| done = write_all(&book.db, &inbox, tell));
            (book, done.map(|()| rest))
        });
        Self { batch: Batch::default(), desk, at_work }
    }

    fn hand_over(&mut self) -> rusqlite::Result<()> {
        let next = Batch {
            notes: Vec::with_capacity(BATCH),
            texts: String::with_capacity(self.batch.texts.len()),
            rows: Vec::with_capacity(self.batch.rows.len()),
        };
        let batch = std::mem::replace(&mut self.batch, next);
        // The clerk left early: what went wrong is told by `finish`; this only stops the making of rows.
        self.desk.send(batch).map_err(|_| rusqlite::Error::InvalidQuery)
    }

    fn hand_over_if_full(&mut self) -> rusqlite::Result<()> {
        if self.batch.len() < BATCH { Ok(()) } else { self.hand_over() }
    }

    /// Waits until everything is written, and gives the book back with what is left to do beside it, or what went
    /// wrong. `made` is how the making of the rows ended.
    pub(super) fn finish<T>(
        mut self,
        made: rusqlite::Result<T>,
    ) -> rusqlite::Result<(Book, Option<Rest>, T)> {
        let handed_over = self.hand_over();
        drop(self.desk);
        let (book, written) = self.at_work.join().map_err(|_| rusqlite::Error::InvalidQuery)?;
        let rest = written?;
        handed_over?;
        Ok((book, rest, made?))
    }
}

fn write_all(db: &Connection, inbox: &Receiver<Batch>, tell: Tell<'_>) -> rusqlite::Result<()> {
    inbox.iter().try_for_each(|batch| batch.write(db, tell))
}

impl Sink for Clerk<'_> {
    fn note(&mut self, note: &NoteRow<'_>) -> rusqlite::Result<()> {
        self.batch.push(note);
        self.hand_over_if_full()
    }

    fn put(&mut self, row: Row) -> rusqlite::Result<()> {
        // In a new book there is nothing to take back.
        if matches!(&row, Row::Fallen(_, fallen) if fallen.is_empty()) {
            return Ok(());
        }
        self.batch.rows.push(row);
        self.hand_over_if_full()
    }
}
