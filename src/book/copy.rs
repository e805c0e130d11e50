//! A consistent copy of a book, taken while others may read and write it.

use std::fs::File;
use std::path::Path;

use rusqlite::backup::{Backup, StepResult};
use rusqlite::{Connection, ErrorCode};

use super::{Book, BookError, FILE};

impl Book {
    /// Puts a copy of the book, as it is at one moment, into a directory that has none; it is on the disk when this is
    /// done. What lies beside the book, as its index and the shop's own files, is left to others.
    ///
    /// # Errors
    /// The book cannot be read, or the copy not be written.
    pub fn copy_into(&self, dir: &Path) -> Result<(), BookError> {
        let path = dir.join(FILE);
        let sql = |error| BookError::from_sql(&path, error);
        let mut copy = Connection::open(&path).map_err(sql)?;
        let all_at_once = -1;
        let step =
            Backup::new(&self.db, &mut copy).and_then(|backup| backup.step(all_at_once)).map_err(sql)?;
        if step != StepResult::Done {
            let busy = rusqlite::ffi::Error { code: ErrorCode::DatabaseBusy, extended_code: 0 };
            return Err(BookError::from_sql(&self.path, rusqlite::Error::SqliteFailure(busy, None)));
        }
        drop(copy);
        File::open(&path).and_then(|file| file.sync_all()).map_err(|error| BookError::Io { path, error })
    }
}
