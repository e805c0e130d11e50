//! Trying a writing before it is done: the notes go in, the caller looks at the book as it would be, and everything
//! is taken back. What is looked at is the caller's business.

use super::{Book, BookError, Staged, Written, write};
use crate::judge::fold::Memo;

impl Book {
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
        self.db.execute_batch("BEGIN IMMEDIATE").map_err(|error| self.sql(error))?;
        let seen = write::put(&self.db, staged, memo, &mut |_| {})
            .map_err(|error| self.sql(error))
            .and_then(|written| look(self, &written));
        self.db.execute_batch("ROLLBACK").map_err(|error| self.sql(error))?;
        seen
    }
}
