//! The texts that notes share: each is kept once, under a number, and found again by its mark. Numbers are given within
//! the writing that needs them, so that two processes never give one number to two texts. Which columns hold numbers of
//! texts the schema says.

use std::collections::hash_map::Entry;

use foldhash::{HashMap, HashMapExt};
use rusqlite::functions::FunctionFlags;
use rusqlite::{Connection, OptionalExtension, params};

use super::sink::{Row, Sink};
use super::{Book, check::Finding};

/// The first 128 bits of the BLAKE3 hash of a text: no two texts that anybody writes share them.
fn hash(text: &str) -> u128 {
    let mut first = [0; 16];
    first.copy_from_slice(&blake3::hash(text.as_bytes()).as_bytes()[..16]);
    u128::from_le_bytes(first)
}

/// The mark of a text: the lowest 31 bits of that, which take four bytes in a row. Several texts may share one.
fn mark(hash: u128) -> i64 {
    (hash & 0x7fff_ffff) as i64
}

/// Teaches the file the function `mark_of`, by which a migration finds texts.
pub(super) fn teach_marks(db: &Connection) -> rusqlite::Result<()> {
    let flags = FunctionFlags::SQLITE_UTF8 | FunctionFlags::SQLITE_DETERMINISTIC;
    db.create_scalar_function("mark_of", 1, flags, |call| Ok(mark(hash(call.get_raw(0).as_str()?))))
}

/// The number of a text in the book, which is added where it does not have it.
fn number(db: &Connection, text: &str) -> rusqlite::Result<i64> {
    let mark = mark(hash(text));
    let known = db
        .prepare_cached("SELECT number FROM text WHERE mark = ?1 AND text = ?2")?
        .query_row(params![mark, text], |row| row.get(0))
        .optional()?;
    if let Some(number) = known {
        return Ok(number);
    }
    put(db, None, mark, text)?;
    Ok(db.last_insert_rowid())
}

/// Adds a text, under a number where it has one already.
pub(super) fn put(db: &Connection, number: Option<i64>, mark: i64, text: &str) -> rusqlite::Result<()> {
    db.prepare_cached("INSERT INTO text (number, mark, text) VALUES (?1, ?2, ?3)")?
        .execute(params![number, mark, text])
        .map(drop)
}

/// Gives texts their numbers while notes are written: those of a book that is there, or of a new one, which another
/// thread writes.
pub(super) struct Texts<'d> {
    db: Option<&'d Connection>,
    /// The texts of a new book by their hashes.
    new: HashMap<u128, i64>,
}

impl<'d> Texts<'d> {
    /// For the book in `db`, or for a new one.
    pub(super) fn new(db: Option<&'d Connection>) -> Self {
        Self { db, new: HashMap::new() }
    }

    /// The number of a text, which goes into the book where that does not have it.
    pub(super) fn number(&mut self, sink: &mut dyn Sink, text: &str) -> rusqlite::Result<i64> {
        if let Some(db) = self.db {
            return number(db, text);
        }
        let (hash, next) = (hash(text), self.new.len() as i64 + 1);
        match self.new.entry(hash) {
            Entry::Occupied(known) => Ok(*known.get()),
            Entry::Vacant(vacant) => {
                sink.put(Row::Text(next, mark(hash), text.to_owned()))?;
                Ok(*vacant.insert(next))
            }
        }
    }
}

impl Book {
    /// Every text is found by its mark, and stands there once.
    pub(super) fn check_texts(&self) -> rusqlite::Result<Vec<Finding>> {
        let mut query = self.db.prepare("SELECT number, mark, text FROM text ORDER BY text, number")?;
        let mut rows = query.query([])?;
        let (mut found, mut before) = (Vec::new(), None);
        while let Some(row) = rows.next()? {
            let (number, text): (i64, String) = (row.get(0)?, row.get(2)?);
            if row.get::<_, i64>(1)? != mark(hash(&text)) {
                let what = format!("the text with number {number} is not found by its mark");
                found.push(Finding { what, mends: false });
            }
            if before.as_ref() == Some(&text) {
                let what = format!("the text with number {number} is kept twice");
                found.push(Finding { what, mends: false });
            }
            before = Some(text);
        }
        Ok(found)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The mark is stored: what it is made by may not change. The hash of nothing is that of the official test vectors
    /// of BLAKE3 (`test_vectors.json`), which begins with the bytes af 13 49 b9.
    #[test]
    fn a_mark_is_the_beginning_of_the_hash() {
        assert_eq!(mark(hash("")), 0x3949_13af);
    }

    /// Two texts that share a mark are two: here one is put under the mark of the other.
    #[test]
    fn texts_that_share_a_mark_are_told_apart() {
        let db = Connection::open_in_memory().expect("a file in memory");
        db.execute_batch("CREATE TABLE text (number INTEGER PRIMARY KEY, mark INTEGER, text TEXT)")
            .expect("a table");
        db.execute("INSERT INTO text VALUES (7, ?1, 'another')", [mark(hash("one"))]).expect("a row");
        let one = number(&db, "one").expect("a number");
        assert_eq!(one, 8);
        assert_eq!(number(&db, "one").expect("the same number"), one);
    }
}
