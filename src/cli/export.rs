//! `export`: all notes and decisions of the book, as a sheet that goes in again or as JSON.

use std::collections::BTreeSet;
use std::io::{BufWriter, Write};
use std::path::PathBuf;

use serde_json::json;

use super::console::{Console, Failure, Status};
use super::whole_file::{Existing, write_with};
use crate::book::{Book, KnownModel, StoredNote};
use crate::intake::armour::armed;
use crate::intake::rulings;
use crate::language::Language;
use crate::note::{NoteId, date_text};
use crate::show::page::{escaped_json, harmless};
use crate::show::{decisions, note};

/// All notes and decisions: a note sheet (CSV) that loads back to the same book, or JSON with --json
///
/// Where something was decided, the table of decisions stands below the notes, after an empty line.
#[derive(Debug, clap::Args)]
pub struct Args {
    /// Write to this file instead of standard output
    #[arg(long, value_name = "FILE", value_hint = clap::ValueHint::FilePath)]
    out: Option<PathBuf>,
    /// Put it in the place of a file that is there already
    #[arg(long, requires = "out")]
    replace: bool,
}

pub(super) fn run(args: &Args, console: &mut Console<'_>) -> Result<Status, Failure> {
    let language = console.language()?;
    let book = console.book_there_must_be(&language)?;
    let json = console.json;
    match &args.out {
        // On a terminal it is read by a person, and is made harmless; anywhere else it is data, and stays as it is.
        None if console.terminal => {
            let mut text = Vec::new();
            write(&book, &language, json, &mut text)?;
            let text = String::from_utf8_lossy(&text);
            text.lines().try_for_each(|line| writeln!(console.out, "{}", harmless(line)))?;
        }
        None => write(&book, &language, json, &mut BufWriter::new(&mut *console.out))?,
        Some(path) => {
            let existing = if args.replace { Existing::IsReplaced } else { Existing::Stays };
            write_with(path, existing, |out| write(&book, &language, json, out))?;
        }
    }
    Ok(Status::Done)
}

fn write(book: &Book, language: &Language, json: bool, out: &mut dyn Write) -> Result<(), Failure> {
    if json {
        as_json(book, language, out)?
    } else {
        as_sheet(book, language, out)?;
        decisions_sheet(book, language, out)?;
    }
    Ok(out.flush()?)
}

/// Calls `each` for every note with its maker, model and point, until it fails.
fn each_note(
    book: &Book,
    mut each: impl FnMut(&KnownModel, &str, &StoredNote) -> Result<(), Failure>,
) -> Result<(), Failure> {
    let points = book.point_names()?;
    let models = book.models()?;
    let mut failed = None;
    book.each_note(|note| {
        let bucket = note.key.bucket();
        let model = models.iter().find(|known| known.id == bucket.model());
        let (Some(model), Some(point)) = (model, points.get(usize::from(bucket.point()))) else {
            return true;
        };
        match each(model, point, note) {
            Ok(()) => true,
            Err(error) => {
                failed = Some(error);
                false
            }
        }
    })?;
    failed.map_or(Ok(()), Err)
}

fn as_sheet(book: &Book, language: &Language, out: &mut dyn Write) -> Result<(), Failure> {
    let mut used = BTreeSet::new();
    each_note(book, |_, _, note| {
        used.extend(note.said.iter().map(|(name, _)| name.clone()));
        Ok(())
    })?;
    let fields: Vec<&str> = language
        .catalogue
        .fields
        .iter()
        .map(|field| &*field.name)
        .filter(|name| used.contains(*name))
        .collect();
    let mut writer = csv::WriterBuilder::new().from_writer(out);
    let fixed = ["make", "model", "years", "only", "point"];
    let last = ["basis", "by", "on", "seen", "remark"];
    let heading = fixed.iter().chain(&fields).chain(&last);
    writer.write_record(heading).map_err(broken)?;
    each_note(book, |model, point, note| {
        let only = Language::only_in_full(&note.scope(language));
        let day = date_text(note.day);
        let begin = [model.make.as_str(), &model.model, &note.years, &only, point];
        let values = fields.iter().map(|name| note.value(name).unwrap_or(""));
        let end = [note.basis.word(), &note.by, &day, &note.seen, &note.remark];
        let row: Vec<_> = begin.into_iter().chain(values).chain(end).map(armed).collect();
        writer.write_record(row.iter().map(|cell| cell.as_bytes())).map_err(broken)
    })?;
    writer.flush()?;
    Ok(())
}

/// The table of decisions, below an empty line; nothing where there are none.
fn decisions_sheet(book: &Book, language: &Language, out: &mut dyn Write) -> Result<(), Failure> {
    let decisions = book.decisions()?;
    if decisions.is_empty() {
        return Ok(());
    }
    writeln!(out)?;
    let mut writer = csv::WriterBuilder::new().from_writer(out);
    writer.write_record(rulings::COLUMNS).map_err(broken)?;
    for (id, decision) in &decisions {
        for row in rulings::rows(*id, decision, language, |note| place(book, note))? {
            writer.write_record(row.iter().map(|cell| armed(cell).into_owned())).map_err(broken)?;
        }
    }
    writer.flush()?;
    Ok(())
}

/// Maker, model and point of a note; nothing where it is not in the book.
fn place(book: &Book, note: NoteId) -> Result<[String; 3], Failure> {
    let Some(found) = book.notes_by_id(&note.code(), 1)?.pop() else { return Ok(Default::default()) };
    let bucket = found.key.bucket();
    let model = book.model(bucket.model())?;
    let point = book.point_name(bucket)?.unwrap_or_default();
    Ok(model.map_or_else(Default::default, |known| [known.make, known.model, point]))
}

fn broken(error: csv::Error) -> Failure {
    match error.into_kind() {
        csv::ErrorKind::Io(error) => error.into(),
        other => Failure::misuse(format!("{other:?}")),
    }
}

fn as_json(book: &Book, language: &Language, out: &mut dyn Write) -> Result<(), Failure> {
    let mut first = true;
    out.write_all(b"[")?;
    each_note(book, |model, point, note| {
        let mut object = note::to_json(language, &model.make, &model.model, point, note);
        object["file"] = json!(note.origin.file);
        object["line"] = json!(note.origin.line);
        write!(out, "{}\n{}", if first { "" } else { "," }, escaped_json(&object.to_string()))?;
        first = false;
        Ok(())
    })?;
    for (id, decision) in book.decisions()? {
        let object = decisions::to_json(language, id, &decision);
        write!(out, "{}\n{}", if first { "" } else { "," }, escaped_json(&object.to_string()))?;
        first = false;
    }
    Ok(out.write_all(b"\n]\n")?)
}
