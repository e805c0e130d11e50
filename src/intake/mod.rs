//! Intake: from files to notes in the book, and the report of what became of every row.
//!
//! By default a file goes in whole or not at all. Nothing here prints; `Report` says everything.

pub mod armour;
pub mod blank;
mod cells;
pub mod day;
mod desk;
mod guard;
mod heading;
pub mod refusal;
pub mod rulings;
pub mod sheet;
pub mod spelling;
pub mod walk;

use std::collections::BTreeMap;
use std::fs::File;
use std::io::{self, BufReader, Read};
use std::path::{Path, PathBuf};

use serde::Serialize;

pub use cells::{Cells, Column};
pub use day::DateOrder;
pub use desk::{Desk, Trouble};
pub use refusal::Refusal;

use crate::book::{Alone, Book, BookError, BucketKey, Companion, Lasting, Outcome};
use crate::decision::DecisionId;
use crate::language::Language;
use crate::note::NoteId;

/// How a loading is to be done.
#[derive(Debug, Clone, Copy)]
pub struct Wishes {
    /// Whether it is to last.
    pub lasting: Lasting,
    /// Whether the good rows of a file go in where others are refused.
    pub partial: bool,
    /// How dates in figures are written.
    pub order: Option<DateOrder>,
}

/// One row that was understood.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RowReport {
    /// The line, from 1.
    pub line: u64,
    /// Its note.
    pub id: NoteId,
    /// Whether the note was new; `None` where its file was refused.
    pub outcome: Option<Outcome>,
}

/// One decision that was understood.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DecisionReport {
    /// The line of its first row, from 1.
    pub line: u64,
    /// Its id.
    pub id: DecisionId,
    /// Whether the decision was new; `None` where its file was refused.
    pub outcome: Option<Outcome>,
}

/// What became of one file.
#[derive(Debug, Default)]
pub struct FileReport {
    /// The file, as it was named.
    pub file: String,
    /// Rows read, the header and those that were not filled in left out.
    pub rows: usize,
    /// Rows that were laid out to be filled in, and were not: they are passed by.
    pub unfilled: usize,
    /// The rows that were understood.
    pub understood: Vec<RowReport>,
    /// The decisions that were understood.
    pub decisions: Vec<DecisionReport>,
    /// What was refused.
    pub refusals: Vec<Refusal>,
    /// How many rows were refused; all of them where the file as a whole was.
    pub refused_rows: usize,
    /// Whether nothing of it went in because of what was refused.
    pub refused: bool,
    /// Whether some of its rows could go in by themselves.
    pub has_good_rows: bool,
    /// Where its refused rows were written.
    pub written_back: Option<PathBuf>,
    notes: std::ops::Range<usize>,
}

/// What became of everything.
#[derive(Debug, Default)]
pub struct Report {
    /// File after file.
    pub files: Vec<FileReport>,
    /// Files in folders that are no note sheets.
    pub passed_by: Vec<PathBuf>,
    /// Folders in which there is no note sheet.
    pub without_sheets: Vec<PathBuf>,
    /// Conflicts that were not there before.
    pub opened: Vec<(BucketKey, NoteId)>,
    /// Conflicts that were there and have new notes.
    pub grown: Vec<(BucketKey, NoteId)>,
    /// Conflicts that were settled, or waited for a recheck, and are open again.
    pub reopened: Vec<(BucketKey, NoteId)>,
    /// Words of places that the lexicon lacks, with how often each was read.
    pub strange_words: BTreeMap<String, usize>,
    /// Makers and models that look like a misspelling.
    pub lookalikes: Vec<spelling::Lookalike>,
}

/// The sums of a report.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct Totals {
    /// Files read.
    pub files: usize,
    /// Rows read.
    pub rows: usize,
    /// Notes that went in.
    pub new: usize,
    /// Notes that the book had.
    pub known: usize,
    /// Rows that were refused.
    pub refused: usize,
    /// Conflicts opened.
    pub conflicts: usize,
    /// Decisions that went in.
    pub decisions: usize,
}

impl Report {
    /// The decisions that were not there before.
    #[must_use]
    pub fn new_decisions(&self) -> Vec<DecisionId> {
        let all = self.files.iter().flat_map(|file| &file.decisions);
        all.filter(|one| one.outcome == Some(Outcome::New)).map(|one| one.id).collect()
    }

    /// The sums.
    #[must_use]
    pub fn totals(&self) -> Totals {
        let outcomes = |wanted: Outcome| {
            self.files
                .iter()
                .flat_map(|file| &file.understood)
                .filter(|row| row.outcome == Some(wanted))
                .count()
        };
        Totals {
            files: self.files.len(),
            rows: self.files.iter().map(|file| file.rows).sum(),
            new: outcomes(Outcome::New),
            known: outcomes(Outcome::Known),
            refused: self.files.iter().map(|file| file.refused_rows).sum(),
            conflicts: self.opened.len(),
            decisions: self
                .files
                .iter()
                .flat_map(|file| &file.decisions)
                .filter(|decision| decision.outcome == Some(Outcome::New))
                .count(),
        }
    }

    /// The files that have column names and no rows, or none that is filled in: nothing is wrong with them, and surely
    /// something is missing.
    pub fn without_rows(&self) -> impl Iterator<Item = &FileReport> {
        self.files.iter().filter(|file| file.rows == 0 && file.refusals.is_empty())
    }

    /// Whether anything was refused.
    #[must_use]
    pub fn has_refusals(&self) -> bool {
        self.files.iter().any(|file| !file.refusals.is_empty())
    }
}

/// What a loading can be stopped by.
#[derive(Debug, thiserror::Error)]
pub enum IntakeError {
    /// A path that cannot be read; nothing was loaded.
    #[error("{0}")]
    Path(Refusal),
    /// The book cannot be written.
    #[error(transparent)]
    Book(#[from] BookError),
    /// The refused rows cannot be written beside their file.
    #[error("{path}: {error}")]
    WriteBack {
        /// Where they were to go.
        path: PathBuf,
        /// What the operating system said.
        error: io::Error,
    },
}

/// How far a loading is.
#[derive(Debug, Clone, Copy)]
pub enum Progress<'p> {
    /// Reading this file; so many rows of it are read.
    Reading(&'p str, usize),
    /// Writing; so many notes are in, of so many.
    Writing(usize, usize),
}

/// Notes that are held before they are written: enough for good order on disk, little enough for memory.
const PILE: usize = 1_500_000;

/// Loads the note sheets that `paths` name into `book`.
///
/// # Errors
/// A path that cannot be read (nothing is loaded), a book that cannot be written. What is wrong with a file is
/// not an error but part of the report.
pub fn load(
    book: &mut Book,
    language: &Language,
    paths: &[PathBuf],
    stdin: &mut dyn Read,
    wishes: Wishes,
    progress: &mut dyn FnMut(Progress<'_>),
) -> Result<Report, IntakeError> {
    load_with(&Alone, book, language, paths, stdin, wishes, progress)
}

/// The same; where the book is new, `companion` makes something beside it.
///
/// # Errors
/// Those of `load`.
pub fn load_with(
    companion: &dyn Companion,
    book: &mut Book,
    language: &Language,
    paths: &[PathBuf],
    stdin: &mut dyn Read,
    wishes: Wishes,
    progress: &mut dyn FnMut(Progress<'_>),
) -> Result<Report, IntakeError> {
    let found = walk::find(paths).map_err(IntakeError::Path)?;
    let before = book.models()?;
    let known: Vec<(String, String)> = before.into_iter().map(|known| (known.make, known.model)).collect();
    let mut load = Load {
        companion,
        desk: Desk::new(language, wishes.order),
        report: Report::default(),
        wishes,
        names: BTreeMap::new(),
        written: 0,
    };
    // Whom the book knows is shown as the book writes them, however the sheet does.
    for name in book.people()? {
        load.desk.memo.person(&name);
    }
    for path in &found.files {
        load.file(path, stdin, progress)?;
        if load.desk.staged.notes.len() >= PILE {
            load.write(book, progress)?;
        }
    }
    load.write(book, progress)?;
    let mut report = load.report;
    report.passed_by = found.passed_by;
    report.without_sheets = found.without_sheets;
    report.lookalikes = spelling::lookalikes(&load.names, &known);
    report.strange_words = load.desk.strange_words;
    Ok(report)
}

struct Load<'l> {
    companion: &'l dyn Companion,
    desk: Desk<'l>,
    report: Report,
    wishes: Wishes,
    names: BTreeMap<(String, String), usize>,
    /// Files whose notes are written already.
    written: usize,
}

impl Load<'_> {
    fn file(
        &mut self,
        path: &Path,
        stdin: &mut dyn Read,
        progress: &mut dyn FnMut(Progress<'_>),
    ) -> Result<(), IntakeError> {
        let name = path.display().to_string();
        let start = self.desk.staged.notes.len();
        let mut tell = |rows| progress(Progress::Reading(&name, rows));
        let keep = self.wishes.partial && self.wishes.lasting == Lasting::Yes;
        let read = if name == walk::STDIN {
            sheet::read(stdin, "standard input", &mut self.desk, keep, &mut tell)
        } else {
            match File::open(path) {
                Ok(file) => sheet::read(
                    BufReader::with_capacity(1 << 16, file),
                    &name,
                    &mut self.desk,
                    keep,
                    &mut tell,
                ),
                Err(error) => sheet::SheetRead {
                    refusals: vec![Refusal::of_file(&name, refusal::why_unreadable(&error))],
                    useless: true,
                    ..Default::default()
                },
            }
        };
        self.take(path, name, start, read)
    }

    fn take(
        &mut self,
        path: &Path,
        name: String,
        start: usize,
        read: sheet::SheetRead,
    ) -> Result<(), IntakeError> {
        let refused = read.useless || (!self.wishes.partial && !read.refusals.is_empty());
        if refused {
            self.desk.take_back(start);
        }
        let written_back = if refused { None } else { write_back(path, &read)? };
        let kept = if refused { &[][..] } else { &read.decisions };
        self.desk.staged.decisions.extend(kept.iter().map(|(_, _, decision)| decision.clone()));
        let decisions: Vec<DecisionReport> = read
            .decisions
            .iter()
            .map(|(line, id, _)| DecisionReport { line: *line, id: *id, outcome: None })
            .collect();
        let decided: usize = read.decisions.iter().map(|(_, _, decision)| decision.about.len()).sum();
        let understood: Vec<RowReport> = read
            .understood
            .iter()
            .map(|(line, id)| RowReport { line: *line, id: *id, outcome: None })
            .collect();
        self.report.files.push(FileReport {
            file: if name == walk::STDIN { "standard input".to_owned() } else { name },
            rows: read.rows,
            unfilled: read.unfilled,
            has_good_rows: !read.useless && understood.len() + decisions.len() > 0,
            refused_rows: if refused { read.rows } else { read.rows - understood.len() - decided },
            understood,
            decisions,
            refusals: read.refusals,
            refused,
            written_back,
            notes: start..self.desk.staged.notes.len(),
        });
        Ok(())
    }

    fn write(&mut self, book: &mut Book, progress: &mut dyn FnMut(Progress<'_>)) -> Result<(), IntakeError> {
        let staged = &self.desk.staged;
        let mut counts = vec![0; staged.models.len()];
        for note in &staged.notes {
            counts[note.model as usize] += 1;
        }
        for (name, count) in staged.models.iter().zip(counts).filter(|(_, count)| *count > 0) {
            *self.names.entry(name.clone()).or_default() += count;
        }
        let all = staged.notes.len();
        if all > 0 || !staged.decisions.is_empty() {
            let mut tell = |done| progress(Progress::Writing(done, all));
            let desk = &mut self.desk;
            let written = book.write_with(
                self.companion,
                &desk.staged,
                &mut desk.memo,
                self.wishes.lasting,
                &mut tell,
            )?;
            for file in &mut self.report.files[self.written..] {
                let outcomes = &written.outcomes[file.notes.clone()];
                for (row, outcome) in file.understood.iter_mut().zip(outcomes) {
                    row.outcome = *outcome;
                }
            }
            let mut decided = written.decisions.iter();
            let kept = self.report.files[self.written..].iter_mut().filter(|file| !file.refused);
            for decision in kept.flat_map(|file| &mut file.decisions) {
                decision.outcome = decided.next().map(|(_, outcome)| *outcome);
            }
            self.report.opened.extend(written.opened);
            self.report.grown.extend(written.grown);
            self.report.reopened.extend(written.reopened);
        }
        self.written = self.report.files.len();
        self.desk.cleared();
        Ok(())
    }
}

/// A name that no file has: somebody may be mending the rows that were refused last time.
fn free_name(wanted: PathBuf) -> PathBuf {
    let stem = wanted.to_string_lossy().trim_end_matches(walk::REFUSED_ENDING).to_owned();
    let numbered = (2..).map(|number| PathBuf::from(format!("{stem}-{number}{}", walk::REFUSED_ENDING)));
    std::iter::once(wanted).chain(numbered).find(|path| !path.exists()).unwrap_or_default()
}

/// Writes the refused rows of a sheet beside it, each with its reason in a last column.
fn write_back(path: &Path, read: &sheet::SheetRead) -> Result<Option<PathBuf>, IntakeError> {
    let notes = read.header.as_ref().map(|header| (header, &read.refused_rows));
    let decisions = read.refused_decisions.as_ref().map(|(header, rows)| (header, rows));
    let tables: Vec<_> = notes.into_iter().chain(decisions).filter(|(_, rows)| !rows.is_empty()).collect();
    if tables.is_empty() {
        return Ok(None);
    }
    let target = if path.as_os_str() == walk::STDIN {
        PathBuf::from(format!("stdin{}", walk::REFUSED_ENDING))
    } else if walk::is_pipe(path) {
        PathBuf::from(format!("pipe{}", walk::REFUSED_ENDING))
    } else {
        path.with_extension(walk::REFUSED_ENDING.trim_start_matches('.'))
    };
    let target = free_name(target);
    let fail = |error: io::Error| IntakeError::WriteBack { path: target.clone(), error };
    let mut writer =
        csv::WriterBuilder::new().flexible(true).from_path(&target).map_err(|error| fail(error.into()))?;
    for (header, rows) in tables {
        let was_there = header.iter().next_back() == Some(heading::REASON.as_bytes());
        let mut put = |record: &csv::ByteRecord, last: &str| {
            let given_before = was_there && record.len() == header.len();
            let kept = record.len() - usize::from(given_before);
            let mut row: csv::ByteRecord = record.iter().take(kept).map(armour::armed_again).collect();
            row.push_field(last.as_bytes());
            writer.write_byte_record(&row)
        };
        put(header, heading::REASON).map_err(|error| fail(error.into()))?;
        for (row, reason) in rows {
            put(row, reason).map_err(|error| fail(error.into()))?;
        }
    }
    writer.flush().map_err(fail)?;
    Ok(Some(target))
}
