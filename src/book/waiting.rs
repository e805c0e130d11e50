//! What full-text search asks of the book: which notes its index does not have yet, which index is the right one, and
//! all rows of notes, quickly. What an index holds and how it is searched is the business of `search`.

use std::collections::{BTreeMap, HashMap};

use rusqlite::{Connection, OptionalExtension, Row, TransactionBehavior, params};

use super::{Book, BookError, NoteKey, StoredNote};
use crate::judge::bucket::Bucket;
use crate::language::Language;
use crate::note::{Basis, NoteId};
use crate::vehicle::Scope;

/// The name of the directory with the index, beside the book.
pub const INDEX: &str = "index";

/// How a note stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Standing {
    /// As it was written.
    Live,
    /// It holds for fewer vehicles than it claims.
    Narrowed,
    /// A later note of the same hand on the same vehicle took its place.
    Replaced,
    /// A decision retired it.
    Retired,
}

impl Standing {
    /// All four.
    pub const ALL: [Self; 4] = [Self::Live, Self::Narrowed, Self::Replaced, Self::Retired];

    /// The word for it.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Live => "live",
            Self::Narrowed => "narrowed",
            Self::Replaced => "replaced",
            Self::Retired => "retired",
        }
    }

    /// Whether the note counts.
    #[must_use]
    pub fn stands(self) -> bool {
        matches!(self, Self::Live | Self::Narrowed)
    }

    fn of(how: i64) -> Self {
        match how {
            1 => Self::Replaced,
            2 => Self::Retired,
            _ => Self::Narrowed,
        }
    }
}

/// The notes of a bucket that do not stand as they were written: by number, how (the numbers of the table `fallen`).
pub(super) fn fallen(bucket: &Bucket) -> BTreeMap<u32, u8> {
    let narrowed = bucket.claimed.iter().map(|(at, _)| (bucket.entries[*at as usize].number, 3));
    let gone = bucket.entries.iter().filter(|entry| !entry.is_live());
    let gone = gone.map(|entry| (entry.number, if entry.is_retired() { 2 } else { 1 }));
    // One that is gone is not merely narrowed.
    narrowed.chain(gone).collect()
}

/// A note as the index takes it in, borrowed from its row.
#[derive(Debug, Clone, Copy)]
pub struct NoteRef<'r> {
    /// Its key.
    pub key: NoteKey,
    /// Its id.
    pub id: NoteId,
    /// Canonical years.
    pub years: &'r str,
    /// Canonical qualifiers.
    pub only: &'r str,
    /// A JSON object, field to canonical text.
    pub said: &'r str,
    /// How the writer knows.
    pub basis: Basis,
    /// Who, by number.
    pub person: i64,
    /// When, in days since 1970-01-01.
    pub day: i32,
    /// The seen vehicle, canonical, or empty.
    pub seen: &'r str,
    /// The remark.
    pub remark: &'r str,
}

const ROWS: &str = "SELECT note.key, id, years, only, text, basis, person, day, seen, remark
     FROM note JOIN text ON text.number = note.said";

fn borrowed<'r>(row: &'r Row<'_>) -> rusqlite::Result<NoteRef<'r>> {
    Ok(NoteRef {
        key: NoteKey(row.get(0)?),
        id: NoteId(row.get(1)?),
        years: row.get_ref(2)?.as_str()?,
        only: row.get_ref(3)?.as_str()?,
        said: row.get_ref(4)?.as_str()?,
        basis: Basis::from_number(row.get(5)?).unwrap_or(Basis::Told),
        person: row.get(6)?,
        day: row.get(7)?,
        seen: row.get_ref(8)?.as_str()?,
        remark: row.get_ref(9)?.as_str()?,
    })
}

/// Which index belongs to the book, and how far it goes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct IndexMark {
    /// The name of its directory.
    pub name: String,
    /// How many times notes were taken in; the index carries the same number.
    pub generation: u64,
}

impl IndexMark {
    fn parse(text: &str) -> Option<Self> {
        let (name, generation) = text.split_once(' ')?;
        Some(Self { name: name.to_owned(), generation: generation.parse().ok()? })
    }
}

/// A note that the index may not have yet.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct WaitingNote {
    /// Its key.
    pub key: NoteKey,
    /// The generation of the index that was about to take it in.
    pub batch: Option<u64>,
    /// What it means to the index, where that was worked out before.
    pub terms: Option<String>,
}

/// Says that these notes wait for the index.
pub(super) fn wait(db: &Connection, key: NoteKey) -> rusqlite::Result<()> {
    db.prepare_cached("INSERT OR IGNORE INTO waiting (key) VALUES (?1)")?.execute([key.0]).map(drop)
}

/// Keeps which notes of a bucket have fallen.
pub(super) fn store_fallen(
    db: &Connection,
    (first, last): (NoteKey, NoteKey),
    fallen: &[(NoteKey, u8)],
) -> rusqlite::Result<()> {
    db.prepare_cached("DELETE FROM fallen WHERE key BETWEEN ?1 AND ?2")?.execute([first.0, last.0])?;
    for (key, how) in fallen {
        db.prepare_cached("INSERT INTO fallen (key, how) VALUES (?1, ?2)")?.execute(params![key.0, how])?;
    }
    Ok(())
}

/// The fallen notes between two keys, as they are kept.
pub(super) fn fallen_before(
    db: &Connection,
    first: NoteKey,
    last: NoteKey,
) -> rusqlite::Result<BTreeMap<u32, u8>> {
    let mut query = db.prepare_cached("SELECT key, how FROM fallen WHERE key BETWEEN ?1 AND ?2")?;
    query.query_map([first.0, last.0], |row| Ok((NoteKey(row.get(0)?).number(), row.get(1)?)))?.collect()
}

impl Book {
    /// How a note stands.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn standing(&self, key: NoteKey) -> Result<Standing, BookError> {
        let read = || {
            let mut query = self.db.prepare_cached("SELECT how FROM fallen WHERE key = ?1")?;
            query.query_row([key.0], |row| row.get(0)).optional()
        };
        let how: Option<i64> = read().map_err(|error| self.sql(error))?;
        Ok(how.map_or(Standing::Live, Standing::of))
    }

    /// The notes that do not stand as they were written.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn fallen(&self) -> Result<HashMap<NoteKey, Standing>, BookError> {
        let read = || -> rusqlite::Result<HashMap<NoteKey, Standing>> {
            let mut query = self.db.prepare_cached("SELECT key, how FROM fallen")?;
            query.query_map([], |row| Ok((NoteKey(row.get(0)?), Standing::of(row.get(1)?))))?.collect()
        };
        read().map_err(|error| self.sql(error))
    }

    /// The vehicles that a note holds for, after what decisions made of it.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn holds_for(&self, language: &Language, note: &StoredNote) -> Result<Scope, BookError> {
        let bucket = self.bucket(language, note.key.bucket())?;
        let scope = bucket.and_then(|bucket| {
            let entry = bucket.entries.iter().find(|entry| entry.id == note.id)?;
            Some(bucket.scope(entry).clone())
        });
        Ok(scope.unwrap_or_else(|| note.scope(language)))
    }

    /// Which index belongs to the book, where there is one.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn index_mark(&self) -> Result<Option<IndexMark>, BookError> {
        Ok(self.setting(INDEX)?.as_deref().and_then(IndexMark::parse))
    }

    /// The notes that wait for the index, by key.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn waiting(&self) -> Result<Vec<WaitingNote>, BookError> {
        let read = || -> rusqlite::Result<Vec<WaitingNote>> {
            let mut query = self.db.prepare_cached("SELECT key, batch, terms FROM waiting ORDER BY key")?;
            let note = |row: &Row<'_>| {
                Ok(WaitingNote { key: NoteKey(row.get(0)?), batch: row.get(1)?, terms: row.get(2)? })
            };
            query.query_map([], note)?.collect()
        };
        read().map_err(|error| self.sql(error))
    }

    /// How many notes wait for the index.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn waiting_count(&self) -> Result<u64, BookError> {
        let read = || self.db.query_row("SELECT count(*) FROM waiting", [], |row| row.get(0));
        read().map_err(|error| self.sql(error))
    }

    /// Calls `each` for every note of the book, by key.
    ///
    /// # Errors
    /// The book cannot be read, or what `each` says.
    pub fn each_row<E: From<BookError>>(
        &self,
        mut each: impl FnMut(&NoteRef<'_>) -> Result<(), E>,
    ) -> Result<(), E> {
        let sql = |error| E::from(self.sql(error));
        let text = format!("{ROWS} ORDER BY note.key");
        let mut query = self.db.prepare(&text).map_err(sql)?;
        let mut rows = query.query([]).map_err(sql)?;
        while let Some(row) = rows.next().map_err(sql)? {
            each(&borrowed(row).map_err(sql)?)?;
        }
        Ok(())
    }

    /// Calls `each` for the note with this key, where there is one.
    ///
    /// # Errors
    /// The book cannot be read, or what `each` says.
    pub fn row<E: From<BookError>, T>(
        &self,
        key: NoteKey,
        each: impl FnOnce(&NoteRef<'_>) -> Result<T, E>,
    ) -> Result<Option<T>, E> {
        let sql = |error| E::from(self.sql(error));
        let text = format!("{ROWS} WHERE note.key = ?1");
        let mut query = self.db.prepare_cached(&text).map_err(sql)?;
        let mut rows = query.query([key.0]).map_err(sql)?;
        let Some(row) = rows.next().map_err(sql)? else { return Ok(None) };
        each(&borrowed(row).map_err(sql)?).map(Some)
    }

    /// Says that everything that waits is about to go into the index, which will then have this generation.
    ///
    /// # Errors
    /// The book cannot be written; it is then as it was.
    pub fn into_batch(&mut self, generation: u64) -> Result<(), BookError> {
        self.change(|db| {
            db.execute("UPDATE waiting SET batch = ?1", [generation])?;
            Ok(())
        })
    }

    /// Says that the index has taken in everything of its generation.
    ///
    /// # Errors
    /// The book cannot be written; it is then as it was.
    pub fn taken_in(&mut self, mark: &IndexMark) -> Result<(), BookError> {
        self.change(|db| {
            db.execute("DELETE FROM waiting WHERE batch <= ?1", [mark.generation])?;
            set_mark(db, mark)
        })
    }

    /// Says that a new index was made, which has these notes of those that waited.
    ///
    /// # Errors
    /// The book cannot be written; it is then as it was.
    pub fn index_made(&mut self, mark: &IndexMark, had: &[NoteKey]) -> Result<(), BookError> {
        self.change(|db| {
            for key in had {
                db.prepare_cached("DELETE FROM waiting WHERE key = ?1")?.execute([key.0])?;
            }
            db.execute("UPDATE waiting SET batch = NULL, terms = NULL", [])?;
            set_mark(db, mark)
        })
    }

    /// Keeps what waiting notes mean to the index, so that it is worked out once. Where others write, it is not kept.
    ///
    /// # Errors
    /// The book cannot be written.
    pub fn keep_terms(&mut self, terms: &[(NoteKey, String)]) -> Result<(), BookError> {
        self.change(|db| {
            let mut update = db.prepare_cached("UPDATE waiting SET terms = ?2 WHERE key = ?1")?;
            for (key, terms) in terms {
                update.execute(params![key.0, terms])?;
            }
            Ok(())
        })
    }

    fn change(&mut self, what: impl FnOnce(&Connection) -> rusqlite::Result<()>) -> Result<(), BookError> {
        let path = self.path.clone();
        let sql = |error| BookError::from_sql(&path, error);
        let change = self.db.transaction_with_behavior(TransactionBehavior::Immediate).map_err(sql)?;
        what(&change).map_err(sql)?;
        change.commit().map_err(sql)
    }
}

/// Says which index belongs to the book.
pub(super) fn set_mark(db: &Connection, mark: &IndexMark) -> rusqlite::Result<()> {
    let text = format!("{} {}", mark.name, mark.generation);
    db.execute("INSERT OR REPLACE INTO setting (name, value) VALUES (?1, ?2)", params![INDEX, text]).map(drop)
}
