//! Trying a writing before it is done: the notes go in, the caller looks at the book as it would be, and everything
//! is taken back, or stays in where the caller says so. And doing it later, if the book is still what it was. What is
//! looked at is the caller's business.

use super::{Book, BookError, Lasting, Look, ModelId, Staged, Written, write};
use crate::judge::bucket::Bucket;
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
        self.rehearse(|book| match book.looks(staged)? == *seen {
            true => Ok((book.put(staged, memo)?, Lasting::Yes)),
            false => Err(BookError::Changed { path: book.path.clone() }),
        })
    }

    /// Lets `work` look at the book, put notes in and look again. Whether they stay in is what it says at the end.
    ///
    /// # Errors
    /// The book cannot be written, or what `work` says; the book is then as it was.
    pub fn rehearse<T>(
        &mut self,
        work: impl FnOnce(&Rehearsal<'_>) -> Result<(T, Lasting), BookError>,
    ) -> Result<T, BookError> {
        self.in_one_change(|book| work(&Rehearsal(book)))
    }

    /// What is done in between no other process writes; it is kept where that is wanted and nothing failed.
    fn in_one_change<T>(
        &mut self,
        work: impl FnOnce(&Self) -> Result<(T, Lasting), BookError>,
    ) -> Result<T, BookError> {
        self.db.execute_batch("BEGIN IMMEDIATE").map_err(|error| self.sql(error))?;
        let done = work(self);
        let end = if matches!(done, Ok((_, Lasting::Yes))) { "COMMIT" } else { "ROLLBACK" };
        self.db.execute_batch(end).map_err(|error| self.sql(error))?;
        done.map(|(done, _)| done)
    }
}

/// A book while a change of it is tried: nobody else writes it.
#[derive(Debug)]
pub struct Rehearsal<'b>(&'b Book);

impl Rehearsal<'_> {
    /// Puts notes in.
    ///
    /// # Errors
    /// The book cannot be written.
    pub fn put(&self, staged: &Staged, memo: &mut Memo<'_>) -> Result<Written, BookError> {
        write::put(&self.0.db, staged, memo, &mut |_| {}).map_err(|error| self.0.sql(error))
    }

    /// Puts notes of one bucket in; `was` is that bucket as it is now, where there is one.
    ///
    /// # Errors
    /// The book cannot be written.
    pub fn put_into(
        &self,
        was: Option<&Bucket>,
        staged: &Staged,
        memo: &mut Memo<'_>,
    ) -> Result<Written, BookError> {
        write::put_into(&self.0.db, staged, memo, was).map_err(|error| self.0.sql(error))
    }
}

impl std::ops::Deref for Rehearsal<'_> {
    type Target = Book;

    fn deref(&self) -> &Book {
        self.0
    }
}
