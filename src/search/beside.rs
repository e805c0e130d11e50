//! The first index of a new book, made while that is written: each note is taken in as it goes into the book.
//!
//! What cannot be done so is left to `keep`, which makes an index from the book.

use std::fs;
use std::path::PathBuf;
use std::sync::Mutex;

use tantivy::directory::DirectoryLock;

use super::binder::Binder;
use super::cut::Cutter;
use super::keep::{lock, new_name, rank_of, remember, root, rules, share, sweep};
use super::notes::NoteTerms;
use super::shelf::Label;
use super::vocabulary::Vocabulary;
use crate::book::{Book, Companion, FILE, IndexMark, Rest, Tell};
use crate::language::Language;

/// Makes the index beside a new book. As long as it is held nobody else writes to the indexes there, so that none
/// sweeps this one away before the book says that it is its own.
pub struct Beside<'l> {
    language: &'l Language,
    held: Mutex<Option<Held>>,
}

/// The place of the indexes of a book, while nobody else may write to it.
struct Held {
    root: PathBuf,
    #[expect(dead_code, reason = "it ends when it is dropped")]
    lock: DirectoryLock,
}

impl Drop for Held {
    /// Where no book came to be, nothing is left of what was made beside it.
    fn drop(&mut self) {
        if !self.root.with_file_name(FILE).exists() {
            let _ = fs::remove_dir_all(&self.root);
        }
    }
}

impl<'l> Beside<'l> {
    /// Ready for a new book, where there is going to be one.
    #[must_use]
    pub fn new(language: &'l Language) -> Self {
        Self { language, held: Mutex::default() }
    }

    /// An empty place for the index, and what will be its mark; nothing where somebody else writes there.
    fn begin(&self, book: &Book) -> Option<(Binder, Place)> {
        let root = root(book);
        let lock = lock(&root, false).ok()?;
        self.held.lock().ok()?.replace(Held { root: root.clone(), lock });
        let mark = IndexMark { name: new_name(), generation: 1 };
        let dir = root.join(&mark.name);
        fs::create_dir_all(&dir).ok()?;
        // Whoever put a book in place has let go of the lock since: without one, what lies here is nobody's.
        if !root.with_file_name(FILE).exists() {
            sweep(&root, &mark.name);
        }
        let binder = Binder::create(&dir).ok()?;
        let label = Label { rules: rules(self.language), generation: mark.generation };
        Some((binder, Place { dir, book: book.path().to_owned(), mark, label }))
    }
}

/// Where an index is to lie.
struct Place {
    dir: PathBuf,
    book: PathBuf,
    mark: IndexMark,
    label: Label,
}

impl Place {
    /// Puts the index there.
    fn take(self, binder: Binder, vocabulary: &Vocabulary) -> Option<IndexMark> {
        if binder.finish(vocabulary, &self.label).is_err() {
            let _ = fs::remove_dir_all(&self.dir);
            return None;
        }
        share(&self.dir, &self.book);
        remember(&self.dir);
        Some(self.mark)
    }
}

impl Companion for Beside<'_> {
    fn follow(&self, book: &Book, write: &mut dyn FnMut(Tell<'_>)) -> Option<Rest> {
        let cutter = Cutter::new(self.language);
        let begun = self.begin(book).and_then(|begun| Some((begun, NoteTerms::new(book, &cutter).ok()?)));
        let Some(((mut binder, place), mut reader)) = begun else {
            write(&mut |_| {});
            return None;
        };
        let mut terms = Vec::new();
        write(&mut |note| {
            reader.of(note, &mut terms);
            binder.add(note.key, rank_of(note), &terms);
        });
        let vocabulary = reader.vocabulary;
        Some(Box::new(move || place.take(binder, &vocabulary)))
    }
}
