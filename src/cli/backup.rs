//! `backup`: a copy of the book that is a book itself.

use std::fs;
use std::io::ErrorKind;
use std::path::{Path, PathBuf};

use super::console::{Console, Failure, Status};
use crate::book::{Book, BookError, OWN_POINTS, SETTINGS};
use crate::job::OWN_JOBS;
use crate::language::Language;
use crate::search;
use crate::show::page::{Label, counted};

/// A copy of the book in a new folder, with the shop's own files: a book that every command takes with --book
///
/// It is the book as it is at one moment, whoever writes to it meanwhile. To come back to it, name it with --book, or put
/// it in the place of the other while nobody uses that.
#[derive(Debug, clap::Args)]
pub struct Args {
    /// The folder, which must not be there yet
    #[arg(value_name = "DIR", value_hint = clap::ValueHint::DirPath)]
    to: PathBuf,
}

pub(super) fn run(args: &Args, console: &mut Console<'_>) -> Result<Status, Failure> {
    let language = console.language()?;
    let book = console.book_there_must_be(&language)?;
    let to = &args.to;
    if to.exists() {
        let message = format!("{} is there already, and nothing is written over", to.display());
        return Err(Failure::hinted(message, "name a folder that is not there yet"));
    }
    let failed = |path: &Path, error| BookError::Io { path: path.to_owned(), error };
    let beside = to.parent().filter(|dir| !dir.as_os_str().is_empty()).unwrap_or(Path::new("."));
    let from = console.dir()?;
    if let (Ok(beside), Ok(from)) = (fs::canonicalize(beside), fs::canonicalize(&from))
        && beside.starts_with(&from)
    {
        let message = format!("{} is inside the book's own folder", to.display());
        return Err(Failure::hinted(message, "name a folder elsewhere, best on another disk"));
    }
    let draft = tempfile::tempdir_in(beside).map_err(|error| failed(beside, error))?;
    book.copy_into(draft.path())?;
    for name in [OWN_POINTS, OWN_JOBS, SETTINGS] {
        match fs::copy(from.join(name), draft.path().join(name)) {
            Err(error) if error.kind() != ErrorKind::NotFound => {
                return Err(failed(&from.join(name), error).into());
            }
            _ => {}
        }
    }
    let notes = indexed(draft.path(), &language)?;
    let may = fs::metadata(&from).map(|from| from.permissions());
    may.and_then(|may| fs::set_permissions(draft.path(), may))
        .map_err(|error| failed(draft.path(), error))?;
    fs::rename(draft.path(), to).map_err(|error| failed(to, error))?;
    let _ = draft.keep();
    tell(console, to, notes)
}

/// Sees whether the copy is sound, makes its index, and counts its notes. Where the index cannot be made now, the first
/// search makes it.
fn indexed(dir: &Path, language: &Language) -> Result<u64, Failure> {
    let unsound = |what: &str| {
        let message = format!("the book is not sound, and no copy of it was made: {what}");
        Failure::hinted(message, "`baybook check` tells all that is wrong")
    };
    let checked = Book::open(dir, language).and_then(|copy| Ok((copy.check(language, &mut |_| {})?, copy)));
    let (findings, mut copy) = checked.map_err(|error| unsound(&error.to_string()))?;
    // What can be made anew is no loss.
    if let Some(finding) = findings.iter().find(|finding| !finding.mends) {
        return Err(unsound(&finding.what));
    }
    let _ = search::make_index(&mut copy, language);
    Ok(copy.notes()?)
}

fn tell(console: &mut Console<'_>, to: &Path, notes: u64) -> Result<Status, Failure> {
    if console.json {
        console.print_json(&serde_json::json!({ "backup": to, "notes": notes }))?;
        return Ok(Status::Done);
    }
    let mut page = console.page();
    let notes = counted(usize::try_from(notes).unwrap_or(usize::MAX), "note");
    let told = format!("A copy of the book, {notes}, is in {}.", to.display());
    page.paragraph(0, &[(Label::Plain, &told)]);
    console.print(page)?;
    Ok(Status::Done)
}
