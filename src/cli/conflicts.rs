//! `conflicts`: what contradicts, as a list or one of them side by side.

use super::console::{Console, Failure, Status};
use super::vehicle::{Meant, model};
use crate::book::{Book, StoredNote};
use crate::dispute::{self, Dispute, Matter};
use crate::judge::conflict::State;
use crate::language::Language;
use crate::opposition::{self, Opposition};
use crate::show::conflicts as view;
use crate::show::decisions;
use crate::show::ids::{self, Kind, note_code};
use crate::show::page::{Label, counted};
use crate::vehicle::{Match, Vehicle};

/// What contradicts: the list, or one conflict side by side
///
/// Without arguments all conflicts of the book that are not settled, open ones first; with words those of a vehicle;
/// with an id (c-… or the id of a note that belongs to it) one of them with all its notes.
#[derive(Debug, clap::Args)]
pub struct Args {
    /// The id of a conflict, or words for a vehicle
    #[arg(value_name = "ID or VEHICLE")]
    words: Vec<String>,
    /// Only those in this state; may be given several times
    #[arg(long, value_name = "STATE")]
    state: Vec<Wanted>,
    /// Settled ones, too
    #[arg(long, conflicts_with = "state")]
    all: bool,
    /// End with status 1 where there are open conflicts
    #[arg(long)]
    check: bool,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
enum Wanted {
    /// Notes that stand contradict each other
    Open,
    /// To be looked at when such a vehicle is next in
    Recheck,
    /// Decided
    Settled,
}

impl Args {
    fn wants(&self, state: State) -> bool {
        match self.state.as_slice() {
            [] => self.all || state != State::Settled,
            wanted => wanted.iter().any(|wanted| State::ALL[*wanted as usize] == state),
        }
    }
}

pub(super) fn run(args: &Args, console: &mut Console<'_>) -> Result<Status, Failure> {
    let language = console.language()?;
    // Nobody must be told that nothing is open of a book that is not there.
    let book = console.book_there_must_be(&language)?;
    let _still = book.snapshot()?;
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
    let open = disputes.iter().any(|dispute| dispute.state() == State::Open);
    let all = disputes.len();
    disputes.retain(|dispute| args.wants(dispute.state()));
    disputes.sort_by_key(Dispute::state);
    show(console, &book, &language, &disputes)?;
    if let Some(told) = not_shown(args, disputes.len(), all - disputes.len()).filter(|_| !console.json) {
        console.notice(Label::Aside, "", &told)?;
    }
    Ok(if args.check && open { Status::Nothing } else { Status::Done })
}

/// What a list of so many conflicts does not show by itself: that there are none, or others in another state.
fn not_shown(args: &Args, shown: usize, others: usize) -> Option<String> {
    match (shown, others) {
        (0, 0) => Some("no conflicts".to_owned()),
        (_, 0) => None,
        _ if args.state.is_empty() => {
            Some(format!("{} settled; --all shows what was settled, too", counted(others, "conflict")))
        }
        (0, _) => Some(format!("none in this state; {} in another", counted(others, "conflict"))),
        _ => None,
    }
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
    console.print(page)
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
    if kind == Kind::Decision {
        let hint = format!("`baybook history {written}` shows what was decided");
        return Err(Failure::hinted(format!("'{written}' is a decision, and no conflict"), hint));
    }
    let note = note(book, written, code)?;
    let found = match kind {
        Kind::Cavity => dispute::of_note(book, language, &note, true)?,
        Kind::Conflict => dispute::of_note(book, language, &note, false)?,
        Kind::Note | Kind::Decision => {
            let value = dispute::of_note(book, language, &note, false)?;
            let cavity = dispute::of_note(book, language, &note, true)?;
            if let (Some(_), Some(other)) = (&value, &cavity) {
                let code = view::code(other, book.shown_characters()?);
                console.notice(Label::Aside, "", &format!("{written} is in {code}, too"))?;
            }
            value.or(cavity)
        }
    };
    let shown = book.shown_characters()?;
    if kind == Kind::Note && found.as_ref().is_none_or(|found| found.state() != State::Open) {
        let opposed = opposition::of_note(book, note.id)?;
        if !opposed.is_empty() {
            return decided_apart(console, book, language, &note, &opposed);
        }
    }
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

/// A note that contradicts nothing, or nothing any more, and of which decisions say the opposite.
fn decided_apart(
    console: &mut Console<'_>,
    book: &Book,
    language: &Language,
    note: &StoredNote,
    opposed: &[Opposition],
) -> Result<Status, Failure> {
    let shown = book.shown_characters()?;
    if console.json {
        let key = note.key.bucket();
        let points = book.point_names()?;
        let point = points.get(usize::from(key.point())).map_or("", String::as_str);
        console.print_json(&view::opposed_json(book.model(key.model())?, point, note.id, opposed, shown))?;
        return Ok(Status::Done);
    }
    let mut page = console.page();
    for one in opposed {
        decisions::opposition(&mut page, one, shown, 0);
        one.rulings.iter().for_each(|ruling| decisions::one(&mut page, language, ruling, shown, 2));
    }
    console.print(page)?;
    Ok(Status::Done)
}

/// An id that is not written far enough.
pub(super) fn several_ids(written: &str, ids: impl Iterator<Item = String>) -> Failure {
    let ids: Vec<String> = ids.collect();
    Failure::hinted(
        format!("'{written}' is the beginning of several ids"),
        format!("write one of {}", ids.join(", ")),
    )
}

/// The one note whose id begins with these characters.
///
/// # Errors
/// None, or several.
pub(super) fn note(book: &Book, written: &str, code: &str) -> Result<StoredNote, Failure> {
    const LISTED: usize = 8;
    let mut notes = book.notes_by_id(code, LISTED)?;
    if notes.len() > 1 {
        return Err(several_ids(written, notes.iter().map(|note| note.id.to_string())));
    }
    notes.pop().ok_or_else(|| Failure::Missing {
        message: format!("there is nothing with the id '{written}' in this book"),
        hint: "`baybook conflicts` lists the conflicts, `baybook lookup` shows the ids of notes".to_owned(),
    })
}
