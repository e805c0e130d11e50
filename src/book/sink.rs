//! Where rows go: straight into the file, or to a thread that writes them while the next are made.

use std::sync::mpsc::{Receiver, SyncSender, sync_channel};
use std::thread::{Scope, ScopedJoinHandle};

use rusqlite::{Connection, params};

use super::{Book, BucketKey, Companion, ModelId, NoteKey, NoteRef, Rest, waiting};
use crate::judge::conflict::State;
use crate::note::{Basis, NoteId};

/// One row of the book.
#[derive(Debug)]
pub(super) enum Row {
    /// A note.
    Note(Box<NoteRow>),
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
    /// Which model the beginning of a vehicle identification number belongs to.
    Taught(String, ModelId),
}

/// A row of the table of notes.
#[derive(Debug)]
pub(super) struct NoteRow {
    pub(super) key: NoteKey,
    pub(super) id: NoteId,
    pub(super) years: Box<str>,
    pub(super) only: Box<str>,
    pub(super) said: Box<str>,
    pub(super) basis: Basis,
    pub(super) person: i64,
    pub(super) day: i32,
    pub(super) seen: Box<str>,
    pub(super) remark: Box<str>,
    pub(super) file: i64,
    pub(super) line: u32,
    /// Whether it has to wait for the index: a new book has none that could lack it.
    pub(super) waits: bool,
}

impl NoteRow {
    fn as_told(&self) -> NoteRef<'_> {
        NoteRef {
            key: self.key,
            id: self.id,
            years: &self.years,
            only: &self.only,
            said: &self.said,
            basis: self.basis,
            person: self.person,
            day: self.day,
            seen: &self.seen,
            remark: &self.remark,
        }
    }
}

/// Takes rows.
pub(super) trait Sink {
    /// Takes one row.
    fn put(&mut self, row: Row) -> rusqlite::Result<()>;
}

impl Sink for &Connection {
    fn put(&mut self, row: Row) -> rusqlite::Result<()> {
        match row {
            Row::Note(note) => {
                write_note(self, &note)?;
                if note.waits { waiting::wait(self, note.key) } else { Ok(()) }
            }
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
            Row::Taught(pattern, model) => self
                .prepare_cached("INSERT OR IGNORE INTO vin_model (pattern, model) VALUES (?1, ?2)")?
                .execute(params![pattern, model.0])
                .map(drop),
        }
    }
}

fn write_note(db: &Connection, note: &NoteRow) -> rusqlite::Result<()> {
    db.prepare_cached(
        "INSERT INTO note (key, id, years, only, said, basis, person, day, seen, remark, file, line)
         VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12)",
    )?
    .execute(params![
        note.key.0,
        note.id.0,
        note.years,
        note.only,
        note.said,
        note.basis.number(),
        note.person,
        note.day,
        note.seen,
        note.remark,
        note.file,
        note.line
    ])
    .map(drop)
}

/// Rows that are handed over at once: few enough to stay small, many enough that handing over costs nothing.
const BATCH: usize = 256;
/// Batches that wait for the writer before the maker of rows has to.
const WAITING: usize = 32;

/// A thread that writes rows in the order in which they are put, and tells a companion the notes.
pub(super) struct Clerk<'s> {
    batch: Vec<Row>,
    desk: SyncSender<Vec<Row>>,
    at_work: ScopedJoinHandle<'s, (Book, rusqlite::Result<Option<Rest>>)>,
}

impl<'s> Clerk<'s> {
    /// Gives `book` to a new thread.
    pub(super) fn new(scope: &'s Scope<'s, '_>, book: Book, companion: &'s dyn Companion) -> Self {
        let (desk, inbox) = sync_channel(WAITING);
        let at_work = scope.spawn(move || {
            let mut done = Ok(());
            let rest = companion.follow(&book, &mut |tell| done = write_all(&book.db, &inbox, tell));
            (book, done.map(|()| rest))
        });
        Self { batch: Vec::with_capacity(BATCH), desk, at_work }
    }

    fn hand_over(&mut self) -> rusqlite::Result<()> {
        let batch = std::mem::replace(&mut self.batch, Vec::with_capacity(BATCH));
        // The clerk left early: what went wrong is told by `finish`; this only stops the making of rows.
        self.desk.send(batch).map_err(|_| rusqlite::Error::InvalidQuery)
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

fn write_all(
    db: &Connection,
    inbox: &Receiver<Vec<Row>>,
    tell: &mut dyn FnMut(&NoteRef<'_>),
) -> rusqlite::Result<()> {
    let mut sink = db;
    for row in inbox.iter().flatten() {
        if let Row::Note(note) = &row {
            tell(&note.as_told());
        }
        sink.put(row)?;
    }
    Ok(())
}

impl Sink for Clerk<'_> {
    fn put(&mut self, row: Row) -> rusqlite::Result<()> {
        self.batch.push(row);
        if self.batch.len() < BATCH { Ok(()) } else { self.hand_over() }
    }
}
