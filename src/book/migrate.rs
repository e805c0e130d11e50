//! The format of the file: making a new one, bringing an older one up to date, refusing a newer one.

use rusqlite::{Connection, MAIN_DB, TransactionBehavior};

use super::{Book, BookError, connect, texts};

/// Marks a SQLite file as a book: the letters `bayb`.
const APPLICATION: i64 = 0x6261_7962;

/// The migrations, oldest first; the format of a file is how many of them it has had.
const MIGRATIONS: [&str; 4] = [
    include_str!("../../schema/001_book.sql"),
    include_str!("../../schema/002_decisions.sql"),
    include_str!("../../schema/003_search.sql"),
    LAST,
];

/// The newest of them.
const LAST: &str = include_str!("../../schema/004_texts.sql");

/// Where the index on ids begins in the newest migration: a new book gets it after its rows.
const INDEX: &str = "CREATE UNIQUE INDEX note_id";

/// The newest format that this program knows.
fn newest() -> i64 {
    MIGRATIONS.len() as i64
}

/// Makes the tables of a new book; the index on ids only where `indexed` says so.
pub(super) fn create(db: &Connection, indexed: bool) -> rusqlite::Result<()> {
    texts::teach_marks(db)?;
    MIGRATIONS[..MIGRATIONS.len() - 1].iter().try_for_each(|migration| db.execute_batch(migration))?;
    db.execute_batch(if indexed { LAST } else { &LAST[..index_at()] })?;
    db.pragma_update(None, "application_id", APPLICATION)?;
    db.pragma_update(None, "user_version", newest())
}

/// Makes the index that `create` left out.
pub(super) fn add_index(db: &Connection) -> rusqlite::Result<()> {
    db.execute_batch(&LAST[index_at()..])
}

fn index_at() -> usize {
    LAST.find(INDEX).unwrap_or(LAST.len())
}

/// Checks that the file is a book that this program knows; says whether it has the newest format.
pub(super) fn is_current(book: &Book) -> Result<bool, BookError> {
    let application: i64 = pragma(book, "application_id")?;
    if application != APPLICATION {
        return Err(BookError::not_a_book(book.path.clone(), "it is a SQLite file of another program"));
    }
    let found: i64 = pragma(book, "user_version")?;
    if found > newest() {
        return Err(BookError::Newer { path: book.path.clone(), found, known: newest() });
    }
    Ok(found == newest())
}

/// Checks that the file is a book that this program knows, and migrates an older one after a backup.
pub(super) fn bring_up_to_date(book: &mut Book) -> Result<(), BookError> {
    if is_current(book)? { Ok(()) } else { migrate(book) }
}

fn pragma(book: &Book, name: &str) -> Result<i64, BookError> {
    book.db.pragma_query_value(None, name, |row| row.get(0)).map_err(|error| book.sql(error))
}

/// Whoever may write first migrates; who waited for it finds nothing left to do.
fn migrate(book: &mut Book) -> Result<(), BookError> {
    let path = book.path.clone();
    let sql = |error| BookError::from_sql(&path, error);
    // Tables that others refer to are made anew: what refers to them is checked once they are there again.
    set_references(&book.db, false).map_err(sql)?;
    let told = with_backup(book);
    set_references(&book.db, true).map_err(sql)?;
    if let Some(told) = told? {
        book.rebuilt = Some(told);
        // The room of the older tables is given back; where that cannot be done now, it is used by later notes.
        let _ = book.db.execute_batch("VACUUM");
    }
    Ok(())
}

/// Whether SQLite looks after references between tables; within a transaction that cannot be changed.
fn set_references(db: &Connection, are_kept: bool) -> rusqlite::Result<()> {
    db.pragma_update(None, "foreign_keys", are_kept)
}

/// Copies the file beside itself, then brings it up to date; says so. Nothing where it is up to date.
fn with_backup(book: &mut Book) -> Result<Option<String>, BookError> {
    let path = book.path.clone();
    let sql = |error| BookError::from_sql(&path, error);
    let change = book.db.transaction_with_behavior(TransactionBehavior::Immediate).map_err(sql)?;
    let found: i64 = change.pragma_query_value(None, "user_version", |row| row.get(0)).map_err(sql)?;
    if found >= newest() {
        return Ok(None);
    }
    let copy = path.with_extension(format!("before-format-{}.sqlite", newest()));
    connect(&path)?.backup(MAIN_DB, &copy, None).map_err(sql)?;
    texts::teach_marks(&change).map_err(sql)?;
    for migration in MIGRATIONS.iter().skip(usize::try_from(found).unwrap_or_default()) {
        change.execute_batch(migration).map_err(sql)?;
    }
    let broken = change.prepare("PRAGMA foreign_key_check").and_then(|mut query| query.exists([]));
    if broken.map_err(sql)? {
        return Err(BookError::Damaged { path, why: "rows refer to others that are missing".to_owned() });
    }
    change.pragma_update(None, "user_version", newest()).map_err(sql)?;
    change.commit().map_err(sql)?;
    let kept = copy.display();
    Ok(Some(format!("the book had format {found}, of which a copy is kept in {kept}")))
}
