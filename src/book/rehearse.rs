//! Trying a writing before it is done: the notes go in, the caller looks at the book as it would be, and everything
//! is taken back. And doing it, if the book is still what it was. What is looked at is the caller's business.

use super::{Book, BookError, Lasting, Look, ModelId, Staged, Written, write};
use crate::judge::fold::Memo;

/// What the models of notes that wait looked like; nothing of one that the book does not have.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Looks(Vec<Option<(ModelId, Look)>>);

impl Book {
    /// What the models of notes that wait look like now.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn looks(&self, staged: &Staged) -> Result<Looks, BookError> {
        let look = |(make, model): &(String, String)| {
            self.model_named(make, model)?.map(|known| Ok((known.id, self.look(known.id)?))).transpose()
        };
        staged.models.iter().map(look).collect::<Result<_, BookError>>().map(Looks)
    }

    /// Puts notes in for good, if their models still look as they did to whoever agreed to it.
    ///
    /// # Errors
    /// They look different now, or the book cannot be written; it is then as it was.
    pub fn write_as_seen(
        &mut self,
        staged: &Staged,
        memo: &mut Memo<'_>,
        seen: &Looks,
    ) -> Result<Written, BookError> {
        if !self.exists {
            return self.write(staged, memo, Lasting::Yes, &mut |_| {});
        }
        self.in_one_change(true, |book| match book.looks(staged)? == *seen {
            true => write::put(&book.db, staged, memo, &mut |_| {}).map_err(|error| book.sql(error)),
            false => Err(BookError::Changed { path: book.path.clone() }),
        })
    }

    /// Puts notes in, lets `look` see the book with them and what became of them, and takes them out again.
    ///
    /// # Errors
    /// The book cannot be written, or what `look` says; the book is then as it was.
    pub fn rehearse<T>(
        &mut self,
        staged: &Staged,
        memo: &mut Memo<'_>,
        look: impl FnOnce(&Self, &Written) -> Result<T, BookError>,
    ) -> Result<T, BookError> {
        self.in_one_change(false, |book| {
            let written = write::put(&book.db, staged, memo, &mut |_| {}).map_err(|error| book.sql(error))?;
            look(book, &written)
        })
    }

    /// What is done in between no other process writes; it is kept where that is wanted and nothing failed.
    fn in_one_change<T>(
        &mut self,
        keep: bool,
        work: impl FnOnce(&Self) -> Result<T, BookError>,
    ) -> Result<T, BookError> {
        self.db.execute_batch("BEGIN IMMEDIATE").map_err(|error| self.sql(error))?;
        let done = work(self);
        let end = if keep && done.is_ok() { "COMMIT" } else { "ROLLBACK" };
        self.db.execute_batch(end).map_err(|error| self.sql(error))?;
        done
    }
}
