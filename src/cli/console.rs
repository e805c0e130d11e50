//! Where a command reads, writes and learns the day: passed in, so that a test can give its own.

use std::io::{self, Read, Write};
use std::path::{Path, PathBuf};

use super::prompt::Prompts;
use crate::book::{Book, BookError, OWN_POINTS, SETTINGS};
use crate::catalogue::CatalogueError;
use crate::intake::IntakeError;
use crate::job::{JobError, Jobs, OWN_JOBS};
use crate::language::Language;
use crate::search::SearchError;
use crate::show::page::{Label, Page, harmless, harmless_json};
use crate::value::place::DriveSide;

/// How a command ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Status {
    /// Done.
    Done,
    /// Nothing found, or open conflicts where they were checked for.
    Nothing,
    /// Wrong use or bad input.
    Misuse,
}

impl Status {
    /// The number for the shell.
    #[must_use]
    pub fn code(self) -> u8 {
        self as u8
    }
}

/// Why a command could not be carried out.
#[derive(Debug, thiserror::Error)]
pub enum Failure {
    /// Wrong use, with a hint that is usually the next command.
    #[error("{message}")]
    Misuse {
        /// What is wrong.
        message: String,
        /// What would be right.
        hint: Option<String>,
    },
    /// What was named is not in this book, with a hint that is usually the next command.
    #[error("{message}")]
    Missing {
        /// What is not there.
        message: String,
        /// Where to look.
        hint: String,
    },
    /// Nobody reads any more.
    #[error("the reader closed")]
    Closed,
    /// Writing failed.
    #[error("cannot write: {0}")]
    Write(io::Error),
    /// The book.
    #[error(transparent)]
    Book(#[from] BookError),
    /// The shop's own catalogue.
    #[error(transparent)]
    Catalogue(#[from] CatalogueError),
    /// The shop's own jobs.
    #[error(transparent)]
    Job(#[from] JobError),
    /// Loading.
    #[error(transparent)]
    Intake(#[from] IntakeError),
    /// Searching.
    #[error(transparent)]
    Search(#[from] SearchError),
}

impl Failure {
    /// Wrong use that `message` explains.
    pub fn misuse(message: impl Into<String>) -> Self {
        Self::Misuse { message: message.into(), hint: None }
    }

    /// Wrong use, and what would be right.
    pub fn hinted(message: impl Into<String>, hint: impl Into<String>) -> Self {
        Self::Misuse { message: message.into(), hint: Some(hint.into()) }
    }
}

impl From<io::Error> for Failure {
    fn from(error: io::Error) -> Self {
        if error.kind() == io::ErrorKind::BrokenPipe { Self::Closed } else { Self::Write(error) }
    }
}

/// Where a command reads and writes.
pub struct Console<'c> {
    /// Standard output.
    pub out: &'c mut dyn Write,
    /// Standard error.
    pub err: &'c mut dyn Write,
    /// Standard input.
    pub input: &'c mut dyn Read,
    /// Columns of a line.
    pub width: usize,
    /// Whether results go to a terminal.
    pub terminal: bool,
    /// Whether results are coloured.
    pub colour: bool,
    /// Whether notices are coloured, and progress is shown.
    pub lively: bool,
    /// The day.
    pub today: jiff::civil::Date,
    /// Who works here, where nothing else says so.
    pub hand: Option<String>,
    /// Who answers questions; nobody where there is no terminal.
    pub prompts: Option<&'c mut dyn Prompts>,
    /// The directory of the book, where one is told.
    pub book_dir: Option<PathBuf>,
    /// Whether JSON is wanted.
    pub json: bool,
}

/// A file beside the book, by its name and its text; `None` where there is none.
fn beside(dir: &Path, name: &str) -> Result<Option<(String, String)>, Failure> {
    let path = dir.join(name);
    match std::fs::read_to_string(&path) {
        Ok(text) => Ok(Some((path.display().to_string(), text))),
        Err(error) if matches!(error.kind(), io::ErrorKind::NotFound | io::ErrorKind::NotADirectory) => {
            Ok(None)
        }
        Err(error) => Err(BookError::Io { path, error }.into()),
    }
}

/// The shop's settings: `drive = "rhd"` where the driver of most of its vehicles sits on the right.
#[derive(serde::Deserialize)]
#[serde(deny_unknown_fields)]
struct Settings {
    drive: Option<String>,
}

fn usual_drive(file: &str, text: &str) -> Result<DriveSide, Failure> {
    let settings: Settings =
        toml::from_str(text).map_err(|error| Failure::misuse(format!("{file}: {error}")))?;
    match settings.drive.as_deref() {
        None | Some("lhd") => Ok(DriveSide::Lhd),
        Some("rhd") => Ok(DriveSide::Rhd),
        Some(other) => Err(Failure::misuse(format!("{file}: drive is '{other}'; write \"lhd\" or \"rhd\""))),
    }
}

impl std::fmt::Debug for Console<'_> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Console")
            .field("width", &self.width)
            .field("book_dir", &self.book_dir)
            .finish_non_exhaustive()
    }
}

impl Console<'_> {
    /// The directory of the book.
    ///
    /// # Errors
    /// None is told and this system has no data directory.
    pub fn dir(&self) -> Result<PathBuf, Failure> {
        use etcetera::BaseStrategy;
        if let Some(dir) = &self.book_dir {
            return Ok(dir.clone());
        }
        etcetera::choose_base_strategy().map(|dirs| dirs.data_dir().join("baybook")).map_err(|_| {
            Failure::hinted("there is no data directory here to keep a book in", "say --book DIR")
        })
    }

    /// How this shop's texts are read: the built-in language with the book's own points.
    ///
    /// # Errors
    /// The shop's own catalogue cannot be used.
    pub fn language(&self) -> Result<Language, Failure> {
        let dir = self.dir()?;
        let own = beside(&dir, OWN_POINTS)?;
        let own = own.as_ref().map(|(name, text)| (name.as_str(), text.as_str()));
        let drive =
            beside(&dir, SETTINGS)?.map_or(Ok(DriveSide::Lhd), |(name, text)| usual_drive(&name, &text))?;
        Ok(Language::new(own, drive, self.today)?)
    }

    /// The jobs that can be fitted: the built-in ones with the shop's own.
    ///
    /// # Errors
    /// The shop's own file of jobs cannot be used.
    pub fn jobs(&self, language: &Language) -> Result<Jobs, Failure> {
        let own = beside(&self.dir()?, OWN_JOBS)?;
        let own = own.as_ref().map(|(name, text)| (name.as_str(), text.as_str()));
        Ok(Jobs::load(&language.catalogue, own)?)
    }

    /// The book, open.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn book(&mut self, language: &Language) -> Result<Book, Failure> {
        let book = Book::open(&self.dir()?, language)?;
        if let Some(why) = book.rebuilt() {
            self.notice(
                Label::Aside,
                "note: ",
                &format!("what is derived from the notes was rebuilt: {why}"),
            )?;
        }
        Ok(book)
    }

    /// The book, open, of a command that means nothing without one.
    ///
    /// # Errors
    /// The book cannot be read, or there is none.
    pub fn book_there_must_be(&mut self, language: &Language) -> Result<Book, Failure> {
        let book = self.book(language)?;
        if book.exists() {
            return Ok(book);
        }
        let place = self.dir()?.display().to_string();
        Err(Failure::hinted(
            format!("there is no book in {place}"),
            "`baybook ingest PATH` makes one; --book DIR names another place",
        ))
    }

    /// An empty page for results.
    #[must_use]
    pub fn page(&self) -> Page {
        Page::new(self.width, self.colour)
    }

    /// Prints a finished page.
    ///
    /// # Errors
    /// Nobody reads, or writing fails.
    pub fn print(&mut self, page: Page) -> Result<(), Failure> {
        self.out.write_all(page.finish().as_bytes())?;
        Ok(self.out.flush()?)
    }

    /// Prints JSON.
    ///
    /// # Errors
    /// Nobody reads, or writing fails.
    pub fn print_json(&mut self, json: &impl serde::Serialize) -> Result<(), Failure> {
        writeln!(self.out, "{}", harmless_json(json))?;
        Ok(self.out.flush()?)
    }

    /// Tells something beside the results.
    ///
    /// # Errors
    /// Writing fails.
    pub fn notice(&mut self, label: Label, lead: &str, text: &str) -> Result<(), Failure> {
        let mut page = Page::new(self.width, self.lively);
        page.paragraph(0, &[(label, lead), (Label::Plain, text)]);
        Ok(self.err.write_all(page.finish().as_bytes())?)
    }

    /// Tells what failed; gives the exit status. A closed reader is silent.
    pub fn failed(&mut self, failure: &Failure) -> Status {
        if matches!(failure, Failure::Closed) {
            return Status::Done;
        }
        // Nothing can be done where even this cannot be written.
        let told = failure.to_string();
        let mut lines = told.lines();
        let lead = if matches!(failure, Failure::Missing { .. }) { "nothing found: " } else { "error: " };
        let _ = self.notice(Label::Alarm, lead, lines.next().unwrap_or_default());
        // What follows the first line is a picture of the place in a file.
        let mut picture = Page::new(self.width, false);
        lines.for_each(|line| picture.verbatim(line));
        let _ = self.err.write_all(picture.finish().as_bytes());
        if let Failure::Misuse { hint: Some(hint), .. } | Failure::Missing { hint, .. } = failure {
            let _ = self.notice(Label::Aside, "hint: ", hint);
        }
        if matches!(failure, Failure::Missing { .. }) { Status::Nothing } else { Status::Misuse }
    }

    /// What clap has to say: help and version are results, the rest is wrong use.
    pub(super) fn usage(&mut self, error: &clap::Error) -> Status {
        if error.use_stderr() {
            // A wrong argument is quoted as it was given, and may have been pasted from anywhere.
            let plain = error.render().to_string();
            let harmless: Vec<_> = plain.split('\n').map(harmless).collect();
            let _ = self.err.write_all(harmless.join("\n").as_bytes());
            return Status::Misuse;
        }
        let text = if self.colour { error.render().ansi().to_string() } else { error.render().to_string() };
        let _ = self.out.write_all(text.as_bytes());
        let _ = self.out.flush();
        Status::Done
    }
}
