//! Connections to the file: how it is opened, also where it may only be read, and how large its journal may grow.
//!
//! A commit is synced into the journal and nowhere else; what is in it goes over into the file when it is full, not
//! whenever somebody closes the book, which would cost every note that is added two more syncs.

use std::path::Path;
use std::time::Duration;

use rusqlite::config::DbConfig;
use rusqlite::{Connection, OpenFlags};

use super::BookError;

/// How long a writer waits for another to finish.
const PATIENCE: Duration = Duration::from_secs(60);

/// A journal with more pages than this goes over into the file when the book is closed. Every process that opens the
/// book reads the whole journal first, and every going over costs three syncs more, which some seven notes share.
const JOURNAL_PAGES: u64 = 64;

/// Bytes of one page in the journal, with its head (SQLite, "WAL File Format").
const JOURNAL_PAGE: u64 = 4096 + 24;

/// More distinct statements than one command has: what is prepared once stays so.
const STATEMENTS: usize = 64;

/// Opens the file for reading and writing.
pub(super) fn connect(path: &Path) -> Result<Connection, BookError> {
    let flags = OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_NO_MUTEX;
    let open = || -> rusqlite::Result<Connection> {
        let db = Connection::open_with_flags(path, flags)?;
        db.busy_timeout(PATIENCE)?;
        db.set_db_config(DbConfig::SQLITE_DBCONFIG_NO_CKPT_ON_CLOSE, true)?;
        db.set_prepared_statement_cache_capacity(STATEMENTS);
        Ok(db)
    };
    open().map_err(|error| BookError::from_sql(path, error))
}

/// As `connect`; of a book that may not be written, or whose directory may not, what is there is read.
pub(super) fn connect_to_read(path: &Path) -> Result<Connection, BookError> {
    let db = connect(path)?;
    let look =
        |db: &Connection| db.query_row("SELECT count(*) FROM sqlite_schema", [], |row| row.get::<_, u32>(0));
    match look(&db).map_err(|error| BookError::from_sql(path, error)) {
        Err(BookError::Forbidden { .. }) if journal_bytes(path) == 0 => {
            let flags = OpenFlags::SQLITE_OPEN_READ_ONLY | OpenFlags::SQLITE_OPEN_URI;
            let still = Connection::open_with_flags(still_uri(path), flags | OpenFlags::SQLITE_OPEN_NO_MUTEX);
            still.map_err(|error| BookError::from_sql(path, error))
        }
        Err(error) => Err(error),
        Ok(_) => Ok(db),
    }
}

/// To be called before a connection is closed: where the journal is large, the last that closes empties it. While others
/// have the book open SQLite does that by itself, at a thousand pages.
pub(super) fn before_closing(db: &Connection, path: &Path) {
    if journal_bytes(path) > JOURNAL_PAGES * JOURNAL_PAGE {
        // Where it cannot be set, the journal stays large, and the next to close tries again.
        let _ = db.set_db_config(DbConfig::SQLITE_DBCONFIG_NO_CKPT_ON_CLOSE, false);
    }
}

/// How much was written that may not be in the file itself yet.
fn journal_bytes(path: &Path) -> u64 {
    let mut journal = path.as_os_str().to_owned();
    journal.push("-wal");
    std::fs::metadata(journal).map_or(0, |found| found.len())
}

/// The file as one that nobody changes: SQLite then keeps no notes of its own beside it.
fn still_uri(path: &Path) -> String {
    let plain = |byte: &u8| byte.is_ascii_alphanumeric() || b"/._-~".contains(byte);
    let quoted = |byte: &u8| if plain(byte) { char::from(*byte).to_string() } else { format!("%{byte:02X}") };
    let told: String = path.as_os_str().as_encoded_bytes().iter().map(quoted).collect();
    format!("file:{told}?immutable=1")
}
