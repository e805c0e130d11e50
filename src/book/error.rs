//! What can go wrong with a book on disk, in words for a person.

use std::path::PathBuf;

/// A book that cannot be read or written.
#[derive(Debug, thiserror::Error)]
pub enum BookError {
    /// The file is there and is something else.
    #[error("{path} is not a book: {why}")]
    NotABook {
        /// The file.
        path: PathBuf,
        /// What was found instead.
        why: String,
    },
    /// Made by a later program.
    #[error(
        "{path} was made by a newer program: it has format {found}, and this program knows up to {known}"
    )]
    Newer {
        /// The file.
        path: PathBuf,
        /// Its format.
        found: i64,
        /// The newest format known here.
        known: i64,
    },
    /// The disk, or a limit on it, is full.
    #[error("no room left to write {path}; nothing was changed")]
    Full {
        /// The file.
        path: PathBuf,
    },
    /// The disk did not do what it was told.
    #[error("the disk refused to read or write {path} ({why}); nothing was changed")]
    Disk {
        /// The file.
        path: PathBuf,
        /// What SQLite said.
        why: String,
    },
    /// The file may not be written, or not be opened.
    #[error("{path} may not be opened for writing ({why}); look at who owns it and at its directory")]
    Forbidden {
        /// The file.
        path: PathBuf,
        /// What SQLite said.
        why: String,
    },
    /// Another process is writing and did not finish in time.
    #[error("{path} is being written by another process; nothing was changed, try again")]
    Busy {
        /// The file.
        path: PathBuf,
    },
    /// What was decided about is not as it was when it was looked at.
    #[error("{path} was changed by another process meanwhile; nothing was written, look at it again")]
    Changed {
        /// The file.
        path: PathBuf,
    },
    /// The file is damaged.
    #[error("{path} is damaged: {why}")]
    Damaged {
        /// The file.
        path: PathBuf,
        /// What was found.
        why: String,
    },
    /// The operating system refused.
    #[error("{path}: {error}")]
    Io {
        /// The file.
        path: PathBuf,
        /// What it said.
        error: std::io::Error,
    },
    /// Anything else that SQLite says.
    #[error("{path}: {error}")]
    Sql {
        /// The file.
        path: PathBuf,
        /// What it said.
        error: rusqlite::Error,
    },
    /// More than the format can hold.
    #[error("{0}")]
    TooMuch(String),
}

impl BookError {
    /// A file that is something else, and what it is.
    pub(super) fn not_a_book(path: PathBuf, why: &str) -> Self {
        Self::NotABook { path, why: why.to_owned() }
    }

    /// Whether only the writing is refused: what the book holds can be read all the same.
    #[must_use]
    pub fn is_refused_writing(&self) -> bool {
        matches!(
            self,
            Self::Full { .. }
                | Self::Disk { .. }
                | Self::Forbidden { .. }
                | Self::Busy { .. }
                | Self::Io { .. }
        )
    }

    /// Sorts what SQLite said of the file at `path` into words.
    #[must_use]
    pub fn from_sql(path: &std::path::Path, error: rusqlite::Error) -> Self {
        use rusqlite::ErrorCode;
        let path = path.to_owned();
        match error.sqlite_error_code() {
            Some(ErrorCode::DiskFull) => Self::Full { path },
            Some(ErrorCode::DatabaseBusy | ErrorCode::DatabaseLocked) => Self::Busy { path },
            Some(ErrorCode::SystemIoFailure) => Self::Disk { path, why: error.to_string() },
            Some(ErrorCode::ReadOnly | ErrorCode::CannotOpen | ErrorCode::PermissionDenied) => {
                Self::Forbidden { path, why: error.to_string() }
            }
            Some(ErrorCode::NotADatabase) => Self::not_a_book(path, "it is no SQLite file"),
            Some(ErrorCode::DatabaseCorrupt) => Self::Damaged { path, why: error.to_string() },
            _ => Self::Sql { path, error },
        }
    }
}
