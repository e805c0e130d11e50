//! `history`: how a note came to be what it is.

use serde_json::{Value as Json, json};

use super::conflicts::note as find_note;
use super::console::{Console, Failure, Status};
use crate::book::{Book, Origin, StoredNote};
use crate::judge::bucket::Bucket;
use crate::language::Language;
use crate::note::{NoteId, date_text};
use crate::show::ids::{self, Kind, note_code};
use crate::show::note;
use crate::show::page::{Label, capitalised, harmless};

/// One note in full: who, when, on which vehicle, where it was read, what replaced it
#[derive(Debug, clap::Args)]
pub struct Args {
    /// The id of a note, n-…
    #[arg(value_name = "ID")]
    id: String,
}

pub(super) fn run(args: &Args, console: &mut Console<'_>) -> Result<Status, Failure> {
    let language = console.language()?;
    let book = console.book(&language)?;
    let code = match ids::read(&args.id) {
        Some((Kind::Note, code)) => code,
        _ => {
            return Err(Failure::hinted(
                format!("'{}' is not the id of a note", args.id),
                "ids of notes begin with n-; `baybook conflicts ID` shows a conflict",
            ));
        }
    };
    let note = find_note(&book, &args.id, &code)?;
    let further = book.further_origins(note.key)?;
    let replaced_by = replaced_by(&book, &language, &note)?;
    if console.json {
        console.print_json(&to_json(&book, &language, &note, &further, replaced_by)?)?;
        return Ok(Status::Done);
    }
    show(console, &book, &language, &note, &further, replaced_by)?;
    Ok(Status::Done)
}

fn replaced_by(book: &Book, language: &Language, note: &StoredNote) -> Result<Option<NoteId>, Failure> {
    let buckets = book.buckets(language, note.key.bucket().model())?;
    let by = |bucket: &Bucket| {
        let entry = bucket.entries.iter().find(|entry| entry.id == note.id)?;
        bucket.entries.get((entry.replaced_by as usize).wrapping_sub(1)).map(|by| by.id)
    };
    Ok(buckets.iter().find(|(key, ..)| *key == note.key.bucket()).and_then(|(_, _, bucket)| by(bucket)))
}

fn place(book: &Book, note: &StoredNote) -> Result<(String, String, String), Failure> {
    let bucket = note.key.bucket();
    let model = book.model(bucket.model())?;
    let point = book.point_names()?.get(usize::from(bucket.point())).cloned().unwrap_or_default();
    Ok(model.map_or_else(
        || (String::new(), String::new(), point.clone()),
        |known| (known.make, known.model, point.clone()),
    ))
}

fn show(
    console: &mut Console<'_>,
    book: &Book,
    language: &Language,
    note: &StoredNote,
    further: &[Origin],
    replaced_by: Option<NoteId>,
) -> Result<(), Failure> {
    let (make, model, point) = place(book, note)?;
    let title =
        language.catalogue.point(&point).map_or(point, |at| language.catalogue.points[at].title.clone());
    let scope = note.scope(language).describe(language.vocabulary());
    let mut page = console.page();
    let id = note.id.to_string();
    page.paragraph(
        0,
        &[
            (Label::Id, &id),
            (Label::Plain, ", "),
            (Label::Title, &format!("{make} {model}")),
            (Label::Plain, ", "),
            (Label::Plain, &title),
        ],
    );
    page.paragraph(2, &[(Label::Aside, "Claimed for: "), (Label::Plain, &scope)]);
    for (name, text) in &note.said {
        let title = language
            .catalogue
            .field(name)
            .map_or(name.as_str(), |field| &language.catalogue.fields[field].title);
        page.paragraph(2, &[(Label::Aside, &format!("{}: ", capitalised(title))), (Label::Value, text)]);
    }
    if !note.remark.is_empty() {
        page.paragraph(2, &[(Label::Aside, "Remark: "), (Label::Plain, &note.remark)]);
    }
    let on = if note.seen.is_empty() { String::new() } else { format!(", on {}", note.seen) };
    page.paragraph(
        2,
        &[
            (Label::Aside, "Written: "),
            (Label::Plain, &format!("{}, {}, {}{on}", date_text(note.day), note.by, note.basis.word())),
        ],
    );
    for origin in std::iter::once(&note.origin).chain(further) {
        page.paragraph(2, &[(Label::Aside, "Read from: "), (Label::Plain, &read_from(origin))]);
    }
    if let Some(by) = replaced_by {
        let shown = book.shown_characters()?;
        page.paragraph(
            2,
            &[
                (Label::Weak, "Replaced by a later note of the same hand on the same vehicle: "),
                (Label::Id, &note_code(by, shown)),
            ],
        );
    }
    console.print(page)
}

/// The file and the line; line 0 is that of a note which stands in no file.
fn read_from(origin: &Origin) -> String {
    let line = if origin.line == 0 { String::new() } else { format!(", line {}", origin.line) };
    format!("{}{line}", harmless(&origin.file))
}

fn to_json(
    book: &Book,
    language: &Language,
    note: &StoredNote,
    further: &[Origin],
    replaced_by: Option<NoteId>,
) -> Result<Json, Failure> {
    let (make, model, point) = place(book, note)?;
    let origins: Vec<Json> = std::iter::once(&note.origin)
        .chain(further)
        .map(|origin| json!({ "file": origin.file, "line": origin.line }))
        .collect();
    let mut json = note::to_json(language, &make, &model, &point, note);
    json["origins"] = json!(origins);
    json["replaced_by"] = json!(replaced_by.map(|id| id.to_string()));
    Ok(json)
}
