//! Building a new book: beside its place, without a journal, then synced and put in place in one step.

use std::fs::{self, File};
use std::path::{Path, PathBuf};
use std::thread;
use std::time::Duration;

use rusqlite::Connection;

use super::sink::Clerk;
use super::write::Numbers;
use super::{
    Book, BookError, Companion, Outcome, Rest, Staged, Written, connect, derive, migrate, waiting, write,
};
use crate::judge::fold::Memo;

/// Builds a new book with these notes in it. `None` where another process made one meanwhile: the notes then go
/// in by an ordinary writing.
///
/// # Errors
/// The place cannot be written; nothing is left behind.
pub(super) fn with_notes(
    book: &mut Book,
    staged: &Staged,
    memo: &mut Memo<'_>,
    companion: &dyn Companion,
    progress: &mut dyn FnMut(usize),
) -> Result<Option<Written>, BookError> {
    let draft = Draft::new(&book.path)?;
    let written = build(&draft.path, staged, memo, companion, progress)?;
    let placed = draft.put_in_place(&book.path)?;
    book.db = connect(&book.path)?;
    book.exists = true;
    Ok(placed.then_some(written))
}

fn build(
    path: &Path,
    staged: &Staged,
    memo: &mut Memo<'_>,
    companion: &dyn Companion,
    progress: &mut dyn FnMut(usize),
) -> Result<Written, BookError> {
    let sql = |error| BookError::from_sql(path, error);
    let db = Connection::open(path).map_err(sql)?;
    let book = Book { path: path.to_owned(), db, exists: false, rebuilt: None };
    let (book, rest, mut written) = fill(book, staged, memo, companion, progress).map_err(sql)?;
    complete(&book.db, rest, staged, memo, &mut written).map_err(sql)?;
    Ok(written)
}

/// Without a journal a failed statement cannot be taken back: any error means that the draft is thrown away. The
/// rows are written by a thread of their own, and told the companion, while the next are folded and judged.
fn fill(
    book: Book,
    staged: &Staged,
    memo: &mut Memo<'_>,
    companion: &dyn Companion,
    progress: &mut dyn FnMut(usize),
) -> rusqlite::Result<(Book, Option<Rest>, Written)> {
    book.db.execute_batch(
        "PRAGMA page_size = 4096; PRAGMA journal_mode = OFF; PRAGMA synchronous = OFF;
         PRAGMA locking_mode = EXCLUSIVE; PRAGMA foreign_keys = OFF; PRAGMA cache_size = -4096; BEGIN;",
    )?;
    migrate::create(&book.db, false)?;
    let numbers = Numbers::new(&book.db, staged, memo)?;
    thread::scope(|scope| {
        let mut clerk = Clerk::new(scope, book, companion);
        let made = write::make_rows(None, &mut clerk, &numbers, staged, memo, progress);
        clerk.finish(made)
    })
}

/// Does what is left once the rows are in, here and beside the book.
fn complete(
    db: &Connection,
    rest: Option<Rest>,
    staged: &Staged,
    memo: &mut Memo<'_>,
    written: &mut Written,
) -> rusqlite::Result<()> {
    thread::scope(|scope| {
        let beside = rest.map(|rest| scope.spawn(rest));
        derive::count_more(db, written.count(Outcome::New) as u64)?;
        // Rows come in the order in which they lie, and need few pages at once; those of the index are sorted.
        db.execute_batch("PRAGMA cache_size = -65536;")?;
        migrate::add_index(db)?;
        write::put_decisions(db, staged, memo, written)?;
        derive::stamp(db, memo.language)?;
        if let Some(mark) = beside.and_then(|beside| beside.join().ok().flatten()) {
            waiting::set_mark(db, &mark)?;
        }
        db.execute_batch("COMMIT; PRAGMA locking_mode = NORMAL; PRAGMA journal_mode = WAL;")
    })
}

/// A file beside the place of the book; it goes away unless it is put in place.
struct Draft {
    path: PathBuf,
}

impl Draft {
    fn new(book: &Path) -> Result<Self, BookError> {
        let dir = book.parent().unwrap_or(Path::new("."));
        fs::create_dir_all(dir).map_err(|error| BookError::Io { path: dir.to_owned(), error })?;
        sweep(dir);
        let path = book.with_extension(format!("draft-{}", std::process::id()));
        let _ = fs::remove_file(&path);
        Ok(Self { path })
    }

    /// Syncs the draft and gives it the book's name, unless there is a book of that name already.
    fn put_in_place(self, book: &Path) -> Result<bool, BookError> {
        let io = |path: &Path| {
            let path = path.to_owned();
            move |error| BookError::Io { path, error }
        };
        File::open(&self.path).and_then(|file| file.sync_all()).map_err(io(&self.path))?;
        match fs::hard_link(&self.path, book) {
            Ok(()) => {}
            Err(error) if error.kind() == std::io::ErrorKind::AlreadyExists => return Ok(false),
            Err(_) if !book.exists() => fs::rename(&self.path, book).map_err(io(book))?,
            Err(error) => return Err(io(book)(error)),
        }
        if let Some(dir) = book.parent() {
            File::open(dir).and_then(|dir| dir.sync_all()).map_err(io(dir))?;
        }
        Ok(true)
    }
}

/// How long a draft lies untouched before it is taken for one whose process was killed.
const ABANDONED: Duration = Duration::from_secs(60 * 60);

/// Removes drafts that a killed process left behind. That it cannot is no reason not to write.
fn sweep(dir: &Path) {
    for entry in fs::read_dir(dir).into_iter().flatten().flatten() {
        let is_draft = entry.file_name().to_string_lossy().starts_with("book.draft-");
        let touched = entry.metadata().and_then(|found| found.modified()).ok();
        let age = touched.and_then(|touched| touched.elapsed().ok()).unwrap_or_default();
        if is_draft && age > ABANDONED {
            let _ = fs::remove_file(entry.path());
        }
    }
}

impl Drop for Draft {
    fn drop(&mut self) {
        // The draft may have been renamed away, and a leftover is replaced by the next one: no harm either way.
        for end in ["", "-wal", "-shm", "-journal"] {
            let mut name = self.path.clone().into_os_string();
            name.push(end);
            let _ = fs::remove_file(name);
        }
    }
}
