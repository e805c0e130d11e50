//! What was refused: the place, what was read, and what would be right.

use std::{fmt, io};

use serde::Serialize;

/// One thing that was refused in a file.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Refusal {
    /// The file, as it was named.
    pub file: String,
    /// The line, from 1; 0 where the whole file is meant.
    pub line: u64,
    /// The column, where one is to blame.
    pub column: Option<String>,
    /// What was read, where it helps; shortened.
    pub text: Option<String>,
    /// What is wrong and what would be right.
    pub message: String,
}

/// The longest piece of a cell that is quoted in a message, in characters.
const QUOTED: usize = 60;

impl Refusal {
    /// A refusal of a whole file.
    #[must_use]
    pub fn of_file(file: &str, message: impl Into<String>) -> Self {
        Self { file: file.to_owned(), line: 0, column: None, text: None, message: message.into() }
    }

    /// A refusal of a line.
    #[must_use]
    pub fn of_line(file: &str, line: u64, message: impl Into<String>) -> Self {
        Self { line, ..Self::of_file(file, message) }
    }

    /// A refusal of a cell.
    #[must_use]
    pub fn of_cell(file: &str, line: u64, column: &str, text: &str, message: impl Into<String>) -> Self {
        Self {
            column: Some(column.to_owned()),
            text: Some(shortened(text)),
            ..Self::of_line(file, line, message)
        }
    }
}

/// Why a file or folder cannot be read, and what to look at.
#[must_use]
pub fn why_unreadable(error: &io::Error) -> String {
    match error.kind() {
        io::ErrorKind::NotFound | io::ErrorKind::NotADirectory => {
            "there is no such file or folder".to_owned()
        }
        io::ErrorKind::PermissionDenied => {
            "it may not be read; look at who owns it and who may read it".to_owned()
        }
        _ => format!("it cannot be read: {error}"),
    }
}

/// The beginning of a text, with an ellipsis where it goes on.
#[must_use]
pub fn shortened(text: &str) -> String {
    match text.char_indices().nth(QUOTED) {
        None => text.to_owned(),
        Some((end, _)) => format!("{}…", &text[..end]),
    }
}

impl fmt::Display for Refusal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.file)?;
        if self.line > 0 {
            write!(f, ", line {}", self.line)?;
        }
        if let Some(column) = &self.column {
            write!(f, ", {column}")?;
        }
        write!(f, ": {}", self.message)
    }
}
