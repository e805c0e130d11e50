//! `export`: all notes of the book, as a note sheet that goes in again or as JSON.

use std::collections::BTreeSet;
use std::fs::File;
use std::io::{self, BufWriter, Write};
use std::path::PathBuf;

use serde_json::json;

use super::console::{Console, Failure, Status};
use crate::book::{Book, KnownModel, StoredNote};
use crate::intake::sheet::armed;
use crate::language::Language;
use crate::note::date_text;
use crate::show::note;
use crate::show::page::{escaped_json, harmless};

/// All notes of the book: a note sheet (CSV) that loads back to the same book, or JSON with --json
#[derive(Debug, clap::Args)]
pub struct Args {
    /// Write to this file instead of standard output
    #[arg(long, value_name = "FILE", value_hint = clap::ValueHint::FilePath)]
    out: Option<PathBuf>,
}

pub(super) fn run(args: &Args, console: &mut Console<'_>) -> Result<Status, Failure> {
    let language = console.language()?;
    let book = console.book(&language)?;
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
            let mut file = BufWriter::new(File::create(path).map_err(|error| cannot(path, &error))?);
            write(&book, &language, json, &mut file).map_err(|failure| match failure {
                Failure::Write(error) => cannot(path, &error),
                other => other,
            })?;
            file.into_inner()
                .map_err(io::IntoInnerError::into_error)
                .and_then(|file| file.sync_all())
                .map_err(|error| cannot(path, &error))?;
        }
    }
    Ok(Status::Done)
}

fn cannot(path: &std::path::Path, error: &io::Error) -> Failure {
    Failure::misuse(format!("{}: {error}", path.display()))
}

fn write(book: &Book, language: &Language, json: bool, out: &mut dyn Write) -> Result<(), Failure> {
    if json {
        as_json(book, language, out)?
    } else {
        as_sheet(book, language, out)?
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
        .map(|field| field.name.as_str())
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
    Ok(out.write_all(b"\n]\n")?)
}
