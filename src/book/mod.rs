//! The book on disk: a SQLite file that holds the truth, and what is derived from it.
//!
//! All SQL of the program stands in this room. It knows notes and judgement, and nothing of the terminal:
//! what it has to say to a person it returns.

mod check;
mod companion;
mod connection;
mod copy;
mod create;
mod decide;
mod demand;
mod derive;
mod error;
mod keys;
mod learnt;
mod migrate;
mod names;
mod read;
mod rehearse;
mod sink;
mod texts;
mod waiting;
mod write;

use std::path::{Path, PathBuf};

use rusqlite::{Connection, Transaction};

pub use check::Finding;
pub use companion::{Alone, Companion, Rest, Tell};
pub use decide::Look;
pub use demand::Demand;
pub use error::BookError;
pub use keys::{BucketKey, NoteKey};
pub use names::{KnownModel, ModelId};
pub use read::{ConflictRow, Origin, StoredNote, Words};
pub use rehearse::{Looks, Rehearsal};
pub use waiting::{INDEX, IndexMark, NoteRef, Standing, WaitingNote};
pub use write::{Lasting, Outcome, Said, Staged, StagedNote, Written};

use connection::{connect, connect_to_read};

use crate::language::Language;

/// The name of the file inside the directory of a book.
pub const FILE: &str = "book.sqlite";

/// The name of a shop's own points beside its book.
pub const OWN_POINTS: &str = "points.toml";

/// The name of a shop's settings beside its book.
pub const SETTINGS: &str = "shop.toml";

/// A book, open.
#[derive(Debug)]
pub struct Book {
    path: PathBuf,
    db: Connection,
    exists: bool,
    rebuilt: Option<String>,
}

/// The book as it is at one moment.
#[derive(Debug)]
pub struct Snapshot<'b>(#[expect(dead_code, reason = "it ends when it is dropped")] Transaction<'b>);

impl Book {
    /// Opens the book in `dir`. Where there is none yet, an empty one in memory stands for it, so that every
    /// question has an honest answer.
    ///
    /// # Errors
    /// A file that is no book, is newer than this program, is damaged or cannot be read.
    pub fn open(dir: &Path, language: &Language) -> Result<Self, BookError> {
        let path = dir.join(FILE);
        // A directory that may not be entered is no empty book: only what is surely not there counts as such.
        match std::fs::metadata(&path) {
            Err(error) if error.kind() == std::io::ErrorKind::NotFound => return Self::empty(path),
            Err(error) => return Err(BookError::Io { path, error }),
            Ok(found) if found.is_dir() => return Err(BookError::not_a_book(path, "it is a directory")),
            Ok(found) if found.len() == 0 => return Err(BookError::not_a_book(path, "the file is empty")),
            Ok(_) => {}
        }
        let db = connect_to_read(&path)?;
        let mut book = Self { path, db, exists: true, rebuilt: None };
        if !book.is_up_to_date(language)? {
            migrate::bring_up_to_date(&mut book)?;
            book.rebuild_if_stale(language)?;
        }
        Ok(book)
    }

    /// Whether its format and what is derived are of this program, looked at with one lock.
    fn is_up_to_date(&self, language: &Language) -> Result<bool, BookError> {
        let _still = self.snapshot()?;
        Ok(migrate::is_current(self)? && self.is_derived_as(&derive::fingerprint(language))?)
    }

    fn empty(path: PathBuf) -> Result<Self, BookError> {
        let db = Connection::open_in_memory().map_err(|error| BookError::from_sql(&path, error))?;
        let book = Self { path, db, exists: false, rebuilt: None };
        migrate::create(&book.db, true).map_err(|error| book.sql(error))?;
        Ok(book)
    }

    /// Holds the book still: what is read until this is dropped is of one moment, whatever others write meanwhile,
    /// and is read with one lock instead of one for each question.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn snapshot(&self) -> Result<Snapshot<'_>, BookError> {
        self.db.unchecked_transaction().map(Snapshot).map_err(|error| self.sql(error))
    }

    /// Where the book is kept.
    #[must_use]
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// Whether there is a book on disk.
    #[must_use]
    pub fn exists(&self) -> bool {
        self.exists
    }

    /// Why what is derived was rebuilt on opening, where it was.
    #[must_use]
    pub fn rebuilt(&self) -> Option<&str> {
        self.rebuilt.as_deref()
    }

    fn sql(&self, error: rusqlite::Error) -> BookError {
        BookError::from_sql(&self.path, error)
    }
}

impl Drop for Book {
    fn drop(&mut self) {
        connection::before_closing(&self.db, &self.path);
    }
}
