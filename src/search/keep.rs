//! Keeping the index: which one is the right one, what it lacks, taking that in, and making it anew where it is
//! missing, damaged, of other rules or of another book.
//!
//! The book is the truth. It says which index is its own, how far that goes (its generation), and which notes wait. An
//! index is read after the book, so what it has more than the book knew then is only met twice, and told apart by key.
//! Whoever writes to it holds the lock in its directory; a killed process loses the lock, and what it left half done is
//! told by the generations: one ahead of the book, and the batch that waits is in; else it is not.

use std::fs;
use std::path::{Path, PathBuf};
use std::time::{Duration, UNIX_EPOCH};

use tantivy::TantivyError;
use tantivy::directory::error::LockError;
use tantivy::directory::{Directory, DirectoryLock, Lock, MmapDirectory};

use super::SearchError;
use super::binder::Binder;
use super::cut::Cutter;
use super::find::rank;
use super::notes::NoteTerms;
use super::shelf::{Label, Shelf};
use super::tail::TailNote;
use super::term::VERSION;
use crate::book::{Book, INDEX, IndexMark, NoteKey, NoteRef, WaitingNote};
use crate::language::Language;

/// So many notes may wait before they are taken in.
const MOST_WAITING: u64 = 2000;
/// How often a reader looks again where others write meanwhile.
const PATIENCE: u32 = 6;
/// How long it waits before the second look; before each further one that much longer.
const PAUSE: Duration = Duration::from_millis(10);

/// The index of a book and the notes that it lacks, as they are at one moment.
pub(super) struct Stacks {
    pub(super) shelf: Option<Shelf>,
    pub(super) tail: Vec<TailNote>,
    /// What a person should know about how they were come by.
    pub(super) notices: Vec<String>,
}

/// By which rules the terms of an index are made.
pub(super) fn rules(language: &Language) -> String {
    format!("{VERSION}-{}-{:?}", language.fingerprint(), language.drive)
}

/// Where the indexes of a book lie.
pub(super) fn root(book: &Book) -> PathBuf {
    book.path().with_file_name(INDEX)
}

/// What a reader finds.
enum Found {
    Whole(Shelf, Vec<WaitingNote>),
    /// Others write: look again.
    Moving,
    /// It has to be made anew, and why.
    Wanting(&'static str),
}

/// The index and what it lacks; made anew where it has to be.
pub(super) fn open(book: &mut Book, cutter: &Cutter<'_>) -> Result<Stacks, SearchError> {
    let mut notices = Vec::new();
    if book.notes()? == 0 {
        return Ok(Stacks { shelf: None, tail: Vec::new(), notices });
    }
    let (mut moved, mut made) = (0, 0);
    loop {
        let mark = book.index_mark()?;
        let why = match look(book, cutter.language)? {
            Found::Whole(shelf, waiting) => {
                let tail = tail(book, cutter, waiting)?;
                return Ok(Stacks { shelf: Some(shelf), tail, notices });
            }
            Found::Moving if moved < PATIENCE => {
                moved += 1;
                std::thread::sleep(PAUSE * moved);
                continue;
            }
            Found::Moving => "it is not that of this book",
            Found::Wanting(why) => why,
        };
        made += 1;
        let error = match make(book, cutter, mark.as_ref()) {
            Ok(true) if made < PATIENCE => {
                notices.push(format!("the index for search was made anew: {why}"));
                continue;
            }
            Ok(false) if made < PATIENCE => continue,
            Ok(_) => why.to_owned(),
            Err(SearchError::Book(error)) if !error.is_refused_writing() => return Err(error.into()),
            Err(error) => error.to_string(),
        };
        let what = "cannot be written here, so that every note is read instead, which takes longer";
        notices.push(format!("the index for search {what}: {error}"));
        return Ok(Stacks { shelf: None, tail: everything(book, cutter)?, notices });
    }
}

/// The index after one could not be read to the end.
pub(super) fn anew(
    book: &mut Book,
    cutter: &Cutter<'_>,
    mut notices: Vec<String>,
) -> Result<Stacks, SearchError> {
    let mark = book.index_mark()?;
    if let Some(mark) = &mark {
        // It is found wanting the next time, also by others.
        let _ = fs::remove_file(root(book).join(&mark.name).join(LIST));
    }
    let mut stacks = match make(book, cutter, mark.as_ref()) {
        Ok(_) => open(book, cutter)?,
        Err(_) => Stacks { shelf: None, tail: everything(book, cutter)?, notices: Vec::new() },
    };
    notices.append(&mut stacks.notices);
    Ok(Stacks { notices, ..stacks })
}

/// Looks at the index without changing anything.
fn look(book: &Book, language: &Language) -> Result<Found, SearchError> {
    let (mark, waiting, notes) = {
        let _still = book.snapshot()?;
        (book.index_mark()?, book.waiting()?, book.notes()?)
    };
    let Some(mark) = mark else { return Ok(Found::Wanting("there was none")) };
    let dir = root(book).join(&mark.name);
    if !dir.is_dir() {
        return Ok(Found::Wanting("it was missing"));
    }
    let (opened, as_written) = (Shelf::open(&dir), is_as_written(&dir));
    let shelf = match opened {
        Ok(shelf) if as_written || Shelf::is_whole(&dir) => shelf,
        // Files may have been merged away between two looks at them.
        _ if book.index_mark()? != Some(mark) => return Ok(Found::Moving),
        _ => return Ok(Found::Wanting("it was damaged")),
    };
    if shelf.label.rules != rules(language) {
        return Ok(Found::Wanting("the catalogue, the lexicon or the rules changed"));
    }
    let taken = |note: &WaitingNote| note.batch == Some(shelf.label.generation);
    let waiting: Vec<WaitingNote> = match shelf.label.generation.checked_sub(mark.generation) {
        Some(0) => waiting,
        Some(1) => waiting.into_iter().filter(|note| !taken(note)).collect(),
        Some(_) => return Ok(Found::Moving),
        None => return Ok(Found::Wanting("it was older than the book")),
    };
    if shelf.docs() + waiting.len() as u64 != notes {
        return Ok(Found::Moving);
    }
    if !as_written {
        remember(&dir);
    }
    Ok(Found::Whole(shelf, waiting))
}

/// The notes that wait, with what they mean; worked out once, and kept where that is possible.
fn tail(
    book: &mut Book,
    cutter: &Cutter<'_>,
    waiting: Vec<WaitingNote>,
) -> Result<Vec<TailNote>, SearchError> {
    let (mut tail, mut new) = (Vec::with_capacity(waiting.len()), Vec::new());
    let mut reader: Option<NoteTerms<'_, '_>> = None;
    for note in waiting {
        if let Some(known) = note.terms.as_deref().and_then(|text| kept(note.key, text)) {
            tail.push(known);
            continue;
        }
        if reader.is_none() {
            reader = Some(NoteTerms::new(book, cutter)?);
        }
        let Some(reader) = &mut reader else { continue };
        let known = book.row(note.key, |row| Ok::<_, SearchError>((rank_of(row), reader.text_of(row))))?;
        if let Some((rank, terms)) = known {
            new.push((note.key, format!("{rank} {terms}")));
            tail.push(TailNote::new(note.key, rank, terms));
        }
    }
    drop(reader);
    if !new.is_empty() {
        // It is only saved work: where the book cannot be written, it is done again next time.
        let _ = book.keep_terms(&new);
    }
    Ok(tail)
}

fn kept(key: NoteKey, text: &str) -> Option<TailNote> {
    let (rank, terms) = text.split_once(' ')?;
    Some(TailNote::new(key, rank.parse().ok()?, terms.to_owned()))
}

/// The rank of a note.
pub(super) fn rank_of(note: &NoteRef<'_>) -> u64 {
    rank(note.basis, note.day, note.id.0)
}

/// Every note of the book, as if none were in the index.
fn everything(book: &Book, cutter: &Cutter<'_>) -> Result<Vec<TailNote>, SearchError> {
    let mut reader = NoteTerms::new(book, cutter)?;
    let mut tail = Vec::new();
    book.each_row(|row| {
        tail.push(TailNote::new(row.key, rank_of(row), reader.text_of(row)));
        Ok::<_, SearchError>(())
    })?;
    Ok(tail)
}

/// Makes sure that nobody else writes to the indexes of a book as long as this is held.
pub(super) fn lock(root: &Path, is_blocking: bool) -> Result<DirectoryLock, SearchError> {
    fs::create_dir_all(root).map_err(|error| SearchError::Place { path: root.to_owned(), error })?;
    let lock = Lock { filepath: PathBuf::from("lock"), is_blocking };
    let directory = MmapDirectory::open(root).map_err(TantivyError::from)?;
    directory.acquire_lock(&lock).map_err(|error| match error {
        LockError::IoError(error) => SearchError::Place { path: root.to_owned(), error: error.kind().into() },
        LockError::LockBusy => TantivyError::LockFailure(error, None).into(),
    })
}

/// Makes the index anew, unless another process did since the book bore `seen`. Whether it was made.
///
/// # Errors
/// The book cannot be read, or there is no place to write to.
pub(super) fn make(
    book: &mut Book,
    cutter: &Cutter<'_>,
    seen: Option<&IndexMark>,
) -> Result<bool, SearchError> {
    let root = root(book);
    let _lock = lock(&root, true)?;
    if book.index_mark()?.as_ref() != seen {
        return Ok(false);
    }
    let mark = IndexMark { name: new_name(), generation: 1 };
    let dir = root.join(&mark.name);
    let made = fill(book, cutter, &dir, mark.generation)
        .and_then(|had| book.index_made(&mark, &had).map_err(SearchError::from));
    if let Err(error) = made {
        let _ = fs::remove_dir_all(&dir);
        return Err(error);
    }
    remember(&dir);
    sweep(&root, &mark.name);
    Ok(true)
}

/// Puts every note into a new index; gives those that waited for one.
fn fill(book: &Book, cutter: &Cutter<'_>, dir: &Path, generation: u64) -> Result<Vec<NoteKey>, SearchError> {
    fs::create_dir_all(dir).map_err(|error| SearchError::Place { path: dir.to_owned(), error })?;
    let _still = book.snapshot()?;
    let had = book.waiting()?.into_iter().map(|note| note.key).collect();
    let mut binder = Binder::create(dir)?;
    let mut reader = NoteTerms::new(book, cutter)?;
    let mut terms = Vec::new();
    book.each_row(|row| {
        reader.of(row, &mut terms);
        binder.add(row.key, rank_of(row), &terms);
        Ok::<_, SearchError>(())
    })?;
    binder.finish(&reader.vocabulary, &Label { rules: rules(cutter.language), generation })?;
    share(dir, book.path());
    Ok(had)
}

/// Makes the first index, or takes in the notes that wait, where there are many of them and nobody else is at it.
///
/// # Errors
/// The book cannot be read or written.
pub(super) fn keep_up(book: &mut Book, language: &Language) -> Result<(), SearchError> {
    let mark = book.index_mark()?;
    if mark.is_none() && book.notes()? > 0 {
        return make(book, &Cutter::new(language), None).map(drop);
    }
    let waiting = book.waiting_count()?;
    if waiting < MOST_WAITING {
        return Ok(());
    }
    // Where most of the book waits, a new index is made sooner, and has fewer parts.
    if 2 * waiting > book.notes()? {
        return make(book, &Cutter::new(language), mark.as_ref()).map(drop);
    }
    let root = root(book);
    let (Ok(_lock), Some(mark)) = (lock(&root, false), mark) else { return Ok(()) };
    take_in(book, &Cutter::new(language), &root.join(&mark.name), mark)
}

/// Takes in what waits; the lock is held.
fn take_in(book: &mut Book, cutter: &Cutter<'_>, dir: &Path, mut mark: IndexMark) -> Result<(), SearchError> {
    let Ok(Label { rules: made_by, generation }) = Shelf::open(dir).map(|shelf| shelf.label) else {
        return Ok(());
    };
    if book.index_mark()?.as_ref() != Some(&mark) || made_by != rules(cutter.language) {
        return Ok(());
    }
    if generation == mark.generation + 1 {
        // Somebody ended between the two: the batch is in.
        mark.generation += 1;
        book.taken_in(&mark)?;
    } else if generation != mark.generation {
        return Ok(());
    }
    mark.generation += 1;
    book.into_batch(mark.generation)?;
    let waiting = book.waiting()?.into_iter().filter(|note| note.batch == Some(mark.generation));
    let mut binder = Binder::open(dir)?;
    let mut reader = NoteTerms::new(book, cutter)?;
    let mut terms = Vec::new();
    for note in waiting {
        book.row(note.key, |row| {
            reader.of(row, &mut terms);
            binder.add(row.key, rank_of(row), &terms);
            Ok::<_, SearchError>(())
        })?;
    }
    binder.finish(&reader.vocabulary, &Label { rules: made_by, generation: mark.generation })?;
    drop(reader);
    share(dir, book.path());
    remember(dir);
    Ok(book.taken_in(&mark)?)
}

/// What is wrong with the index, where something is. Reads all of it.
///
/// # Errors
/// The book cannot be read.
pub(super) fn trouble(book: &Book, language: &Language) -> Result<Option<&'static str>, SearchError> {
    if book.index_mark()?.is_none() {
        return Ok(None);
    }
    let mut moved = 0;
    let why = loop {
        match look(book, language)? {
            Found::Whole(..) => break None,
            Found::Wanting(why) => break Some(why),
            Found::Moving if moved >= PATIENCE => break Some("it is not that of this book"),
            Found::Moving => moved += 1,
        }
        std::thread::sleep(PAUSE * moved);
    };
    let dir = book.index_mark()?.map(|mark| root(book).join(mark.name));
    Ok(why.or_else(|| dir.filter(|dir| !Shelf::is_whole(dir)).map(|_| "it was damaged")))
}

/// A name that no other index has.
pub(super) fn new_name() -> String {
    let now = std::time::SystemTime::now().duration_since(UNIX_EPOCH).unwrap_or_default();
    let seed = format!("{now:?} {}", std::process::id());
    blake3::hash(seed.as_bytes()).to_hex()[..12].to_owned()
}

/// Removes other indexes: of an older make, or left by a process that was killed. Whoever reads one has it open.
pub(super) fn sweep(root: &Path, own: &str) {
    for entry in fs::read_dir(root).into_iter().flatten().flatten() {
        if entry.file_name() != own && entry.path().is_dir() {
            let _ = fs::remove_dir_all(entry.path());
        }
    }
}

/// Lets everybody read the index who may read the book: some of its files are written for their writer alone.
pub(super) fn share(dir: &Path, book: &Path) {
    let Ok(may) = fs::metadata(book).map(|book| book.permissions()) else { return };
    for entry in fs::read_dir(dir).into_iter().flatten().flatten() {
        let _ = fs::set_permissions(entry.path(), may.clone());
    }
}

/// The name of the list of files that were whole when they were last looked at.
const LIST: &str = "whole";

/// The files of an index with their sizes and times.
fn list(dir: &Path) -> Option<String> {
    let mut lines = Vec::new();
    for entry in fs::read_dir(dir).ok()? {
        let entry = entry.ok()?;
        let name = entry.file_name().into_string().ok()?;
        if name == LIST || name.ends_with(".lock") {
            continue;
        }
        let found = entry.metadata().ok()?;
        let time = found.modified().ok()?.duration_since(UNIX_EPOCH).ok()?.as_nanos();
        lines.push(format!("{name} {} {time}\n", found.len()));
    }
    lines.sort_unstable();
    Some(lines.concat())
}

/// Whether every file of the index is the one that was whole.
fn is_as_written(dir: &Path) -> bool {
    let known = fs::read_to_string(dir.join(LIST)).ok();
    known.is_some() && known == list(dir)
}

/// Remembers that the index is whole. Where that cannot be written, all of it is read each time.
pub(super) fn remember(dir: &Path) {
    if !is_as_written(dir)
        && let Some(list) = list(dir)
    {
        let _ = fs::write(dir.join(LIST), list);
    }
}
