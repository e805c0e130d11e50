//! What is made beside a new book while that is written: the index for search, which needs not read the notes again.
//!
//! Owns how the two stand to each other. What is made, and where, the book does not know.

use super::{Book, IndexMark, NoteRef};

/// Is told a note.
pub type Tell<'t> = &'t mut dyn FnMut(&NoteRef<'_>);

/// What is left to do once the last note is in, by any thread; gives the index, where it came to be.
pub type Rest = Box<dyn FnOnce() -> Option<IndexMark> + Send>;

/// Makes something beside a new book.
pub trait Companion: Sync {
    /// Calls `write` once, which writes the notes and tells each of them by key. All names that they use are in `book`
    /// before. Nothing where it cannot be made now: it is made later from the book.
    fn follow(&self, book: &Book, write: &mut dyn FnMut(Tell<'_>)) -> Option<Rest>;
}

/// Where nothing is made beside the book.
#[derive(Debug, Clone, Copy)]
pub struct Alone;

impl Companion for Alone {
    fn follow(&self, _: &Book, write: &mut dyn FnMut(Tell<'_>)) -> Option<Rest> {
        write(&mut |_| {});
        None
    }
}
