//! `conflicts`: what contradicts, as a list or one of them side by side.

use super::console::{Console, Failure, Status};
use super::vehicle::{Meant, model};
use crate::book::{Book, StoredNote};
use crate::dispute::{self, Dispute, Matter};
use crate::language::Language;
use crate::show::ids::{self, Kind, note_code};
use crate::show::{conflicts as view, page::Label};
use crate::vehicle::{Match, Vehicle};

/// What contradicts: the list, or one conflict side by side
///
/// Without arguments all conflicts of the book; with words those of a vehicle; with an id (c-… or the id of a
/// note that belongs to it) one of them with all its notes.
#[derive(Debug, clap::Args)]
pub struct Args {
    /// The id of a conflict, or words for a vehicle
    #[arg(value_name = "ID or VEHICLE")]
    words: Vec<String>,
    /// End with status 1 where there are open conflicts
    #[arg(long)]
    check: bool,
}

pub(super) fn run(args: &Args, console: &mut Console<'_>) -> Result<Status, Failure> {
    let language = console.language()?;
    let book = console.book(&language)?;
    if let [word] = args.words.as_slice()
        && let Some((kind, code)) = ids::read(word)
    {
        return one(console, &book, &language, word, kind, &code);
    }
    let asked = match model(console, &book, &language, &args.words)? {
        Some(Meant::No(status)) => return Ok(status),
        Some(Meant::One(asked)) => Some(asked),
        None => None,
    };
    let mut disputes = dispute::list(&book, &language, asked.as_ref().map(|asked| asked.model.id))?;
    if let Some(asked) = &asked {
        disputes.retain(|dispute| touches(dispute, &asked.vehicle));
    }
    let open = !disputes.is_empty();
    show(console, &book, &language, &disputes)?;
    Ok(if args.check && open { Status::Nothing } else { Status::Done })
}

fn show(
    console: &mut Console<'_>,
    book: &Book,
    language: &Language,
    disputes: &[Dispute],
) -> Result<(), Failure> {
    let shown = book.shown_characters()?;
    if console.json {
        return console.print_json(&view::to_json(language, disputes, shown));
    }
    let mut page = console.page();
    view::list(&mut page, language, disputes, shown);
    console.print(page)?;
    if disputes.is_empty() {
        console.notice(Label::Aside, "", "no conflicts")?;
    }
    Ok(())
}

fn touches(dispute: &Dispute, vehicle: &Vehicle) -> bool {
    match &dispute.matter {
        Matter::Value { layout, .. } => {
            layout.contested.iter().any(|scope| scope.matches(vehicle) != Match::Excluded)
        }
        Matter::Cavity { conflict, .. } => conflict.touches(vehicle),
    }
}

fn one(
    console: &mut Console<'_>,
    book: &Book,
    language: &Language,
    written: &str,
    kind: Kind,
    code: &str,
) -> Result<Status, Failure> {
    let note = note(book, written, code)?;
    let found = match kind {
        Kind::Cavity => dispute::of_note(book, language, &note, true)?,
        Kind::Conflict => dispute::of_note(book, language, &note, false)?,
        Kind::Note => match dispute::of_note(book, language, &note, false)? {
            Some(found) => Some(found),
            None => dispute::of_note(book, language, &note, true)?,
        },
    };
    let shown = book.shown_characters()?;
    let Some(found) = found else {
        console.notice(
            Label::Alarm,
            "nothing found: ",
            &format!("{} is in no conflict", note_code(note.id, shown)),
        )?;
        return Ok(Status::Nothing);
    };
    if console.json {
        console.print_json(&view::to_json(language, &[found], shown))?;
        return Ok(Status::Done);
    }
    let mut page = console.page();
    view::one(&mut page, language, &found, shown);
    console.print(page)?;
    Ok(Status::Done)
}

/// The one note whose id begins with these characters.
///
/// # Errors
/// None, or several.
pub(super) fn note(book: &Book, written: &str, code: &str) -> Result<StoredNote, Failure> {
    const LISTED: usize = 8;
    let mut notes = book.notes_by_id(code, LISTED)?;
    if notes.len() > 1 {
        let ids: Vec<String> = notes.iter().map(|note| note.id.to_string()).collect();
        return Err(Failure::hinted(
            format!("'{written}' is the beginning of several ids"),
            format!("write one of {}", ids.join(", ")),
        ));
    }
    notes.pop().ok_or_else(|| Failure::Missing {
        message: format!("there is nothing with the id '{written}' in this book"),
        hint: "`baybook conflicts` lists the conflicts, `baybook lookup` shows the ids of notes".to_owned(),
    })
}
