//! `history`: how a note, a conflict, a decision or what is known of a vehicle came to be what it is.

use serde_json::{Value as Json, json};

use super::conflicts::note as find_note;
use super::console::{Console, Failure, Status};
use super::target::find_decision;
use super::vehicle::{Meant, find};
use crate::book::{Book, Origin, StoredNote};
use crate::decision::Kind as Decided;
use crate::dispute::{self, Dispute};
use crate::history::{self, Fate};
use crate::judge::decided::Ruling;
use crate::language::Language;
use crate::note::NoteId;
use crate::show::ids::{self, Kind};
use crate::show::page::{Label, Page};
use crate::show::{answer_json, conflicts, decisions, history as view, note};

/// Who wrote and who decided what, when and why: of a note, a conflict, a decision or a vehicle
#[derive(Debug, clap::Args)]
pub struct Args {
    /// The id of a note (n-…), a conflict (c-…) or a decision (d-…), or words for a vehicle
    #[arg(value_name = "ID or VEHICLE", required = true)]
    words: Vec<String>,
}

pub(super) fn run(args: &Args, console: &mut Console<'_>) -> Result<Status, Failure> {
    let language = console.language()?;
    let book = console.book(&language)?;
    let _still = book.snapshot()?;
    let id = match args.words.as_slice() {
        [word] => ids::read(word).map(|(kind, code)| (word, kind, code)),
        _ => None,
    };
    if let (None, Some(word)) = (&id, args.words.iter().find(|word| ids::read(word).is_some())) {
        let message = format!("'{word}' is an id among other words: {}", args.words.join(" "));
        return Err(Failure::hinted(message, "one id at a time, or words for a vehicle"));
    }
    match id {
        None => of_vehicle(console, &book, &language, &args.words),
        Some((word, Kind::Note, code)) => of_note(console, &book, &language, word, &code),
        Some((word, Kind::Decision, code)) => of_decision(console, &book, &language, word, &code),
        Some((word, kind, code)) => of_conflict(console, &book, &language, word, kind, &code),
    }
}

fn of_vehicle(
    console: &mut Console<'_>,
    book: &Book,
    language: &Language,
    words: &[String],
) -> Result<Status, Failure> {
    let asked = match find(console, book, language, words, None)? {
        Meant::One(asked) => asked,
        Meant::No(status) => return Ok(status),
    };
    let events = history::of_vehicle(book, language, &asked.model, &asked.vehicle)?;
    if console.json {
        let vehicle = answer_json::vehicle(&asked.model, &asked.vehicle);
        let log = view::log_json(language, &asked.model, &events);
        console.print_json(&json!({ "vehicle": vehicle, "log": log }))?;
    } else {
        let mut page = console.page();
        view::log(&mut page, language, &events, book.shown_characters()?);
        console.print(page)?;
    }
    Ok(if events.is_empty() { Status::Nothing } else { Status::Done })
}

fn of_conflict(
    console: &mut Console<'_>,
    book: &Book,
    language: &Language,
    written: &str,
    kind: Kind,
    code: &str,
) -> Result<Status, Failure> {
    let note = find_note(book, written, code)?;
    let Some(found) = dispute::of_note(book, language, &note, kind == Kind::Cavity)? else {
        console.notice(Label::Alarm, "nothing found: ", &format!("{written} is in no conflict"))?;
        return Ok(Status::Nothing);
    };
    let mut events = history::of_notes(book, language, &found.model, &found.notes())?;
    events.retain(|event| !is_another_recheck(&found, event));
    let shown = book.shown_characters()?;
    if console.json {
        console.print_json(&json!({
            "id": conflicts::code(&found, shown),
            "make": found.model.make,
            "model": found.model.model,
            "state": found.state(),
            "log": view::log_json(language, &found.model, &events),
        }))?;
        return Ok(Status::Done);
    }
    let mut page = console.page();
    conflicts::list(&mut page, language, std::slice::from_ref(&found), shown);
    page.gap();
    view::log(&mut page, language, &events, shown);
    console.print(page)?;
    Ok(Status::Done)
}

/// Whether somebody asked to look, but at another conflict of its notes.
fn is_another_recheck(dispute: &Dispute, event: &history::Event) -> bool {
    match event {
        history::Event::Decided(ruling) => {
            ruling.decision.kind == Decided::Recheck && dispute.rulings.iter().all(|own| own.id != ruling.id)
        }
        history::Event::Wrote(..) => false,
    }
}

fn of_decision(
    console: &mut Console<'_>,
    book: &Book,
    language: &Language,
    written: &str,
    code: &str,
) -> Result<Status, Failure> {
    let (id, _) = find_decision(book, written, code)?;
    let Some(ruling) = book.rulings_called(&[id])?.pop() else { return Ok(Status::Nothing) };
    let followers = book.followers(id)?;
    let back = followers.iter().filter(|later| later.decision.kind == Decided::Reopen);
    if console.json {
        let mut json = decisions::ruling_json(language, &ruling);
        json["taken_back_by"] = json!(back.map(|later| later.id.to_string()).collect::<Vec<_>>());
        json["followed_by"] = json!(followers.iter().map(|later| later.id.to_string()).collect::<Vec<_>>());
        console.print_json(&json)?;
        return Ok(Status::Done);
    }
    let shown = book.shown_characters()?;
    let mut page = console.page();
    decisions::one(&mut page, language, &ruling, shown, 0);
    notes_of(&mut page, book, language, &ruling, shown)?;
    if !followers.is_empty() {
        page.gap();
        page.paragraph(0, &[(Label::Title, "After it:")]);
    }
    for later in followers {
        decisions::one(&mut page, language, &later, shown, 0);
    }
    console.print(page)?;
    Ok(Status::Done)
}

/// The notes that a decision is about, as far as the book has them.
fn notes_of(
    page: &mut Page,
    book: &Book,
    language: &Language,
    ruling: &Ruling,
    shown: usize,
) -> Result<(), Failure> {
    let notes: Vec<NoteId> = ruling.decision.about.iter().map(|(note, _)| *note).collect();
    let mut first = None;
    for note in &notes {
        first = first.or(book.notes_by_id(&note.code(), 1)?.pop());
    }
    let Some(model) = first.map(|note| book.model(note.key.bucket().model())).transpose()?.flatten() else {
        return Ok(());
    };
    page.gap();
    let about = format!("{} {}, the notes that it is about:", model.make, model.model);
    page.paragraph(0, &[(Label::Title, &about)]);
    let mut events = history::of_notes(book, language, &model, &notes)?;
    events.retain(|event| matches!(event, history::Event::Wrote(..)));
    view::log(page, language, &events, shown);
    Ok(())
}

fn of_note(
    console: &mut Console<'_>,
    book: &Book,
    language: &Language,
    written: &str,
    code: &str,
) -> Result<Status, Failure> {
    let note = find_note(book, written, code)?;
    let further = book.further_origins(note.key)?;
    let fate = history::fate(book, language, &note)?;
    if console.json {
        console.print_json(&to_json(book, language, &note, &further, &fate)?)?;
        return Ok(Status::Done);
    }
    let (make, model, point) = place(book, &note)?;
    let title =
        language.catalogue.point(&point).map_or(point, |at| language.catalogue.points[at].title.to_string());
    let mut page = console.page();
    let place = format!("{make} {model}");
    view::note(&mut page, language, (&place, &title), &note, (&further, &fate), book.shown_characters()?);
    console.print(page)?;
    Ok(Status::Done)
}

fn place(book: &Book, note: &StoredNote) -> Result<(String, String, String), Failure> {
    let bucket = note.key.bucket();
    let model = book.model(bucket.model())?;
    let point = book.point_name(bucket)?.unwrap_or_default();
    Ok(model.map_or_else(
        || (String::new(), String::new(), point.clone()),
        |known| (known.make, known.model, point.clone()),
    ))
}

fn to_json(
    book: &Book,
    language: &Language,
    note: &StoredNote,
    further: &[Origin],
    fate: &Fate,
) -> Result<Json, Failure> {
    let (make, model, point) = place(book, note)?;
    let origins: Vec<Json> = std::iter::once(&note.origin)
        .chain(further)
        .map(|origin| json!({ "file": origin.file, "line": origin.line }))
        .collect();
    let mut json = note::to_json(language, &make, &model, &point, note);
    json["origins"] = json!(origins);
    json["replaced_by"] = json!(fate.replaced_by.map(|id| id.to_string()));
    json["standing"] = json!(fate.standing.word());
    json["holds_for"] = json!(fate.holds_for.to_json());
    let rulings = fate.rulings.iter().map(|ruling| decisions::ruling_json(language, ruling));
    json["decisions"] = json!(rulings.collect::<Vec<_>>());
    Ok(json)
}
