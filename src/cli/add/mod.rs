//! `add`: one note, by flags or by questions; shows how it was understood and what follows before it is stored.

mod form;
mod questions;
#[cfg(test)]
mod tests;
mod whose;

use std::collections::BTreeMap;

use super::console::{Console, Failure, Status};
use super::ingest::Order;
use super::lookup::point;
use super::prompt::Prompts;
use crate::book::{Book, BookError, Lasting, Looks, Outcome};
use crate::foresee::{Foreseen, Reach, foresee};
use crate::intake::spelling::lookalikes;
use crate::intake::{Column, Desk, Trouble};
use crate::language::Language;
use crate::show::added;
use crate::show::ids::note_code;
use crate::show::page::{Label, listed};
use crate::vehicle::names::fold;
use form::{Described, Form, describe, flag, part, settle};

/// Where a note that was added by hand says that it was read.
const BY_HAND: &str = "added by hand";

/// Add one note: what a point is on a vehicle, and how you know it
///
/// `baybook add 2016 quillon tarn crew -p brake-signal colour=violet/white at='stop lamp switch' --basis metered
/// --by 'R. Okafor'`. The words name the vehicle that was looked at, or, for a diagram or word of mouth, the
/// vehicles that are claimed; without --years the note claims the model year of that vehicle. On a terminal what is
/// missing is asked, and whether to store it. First it is shown how the note was understood and what it repeats,
/// replaces, supports and contradicts.
#[derive(Debug, clap::Args)]
pub struct Args {
    /// Words for the vehicle, in any order, and values of the point's fields
    #[arg(value_name = "VEHICLE or FIELD=VALUE")]
    words: Vec<String>,
    /// The point: `baybook points` lists them, `baybook points POINT` its fields
    #[arg(long, short, value_name = "POINT")]
    point: Option<String>,
    /// The maker, of a model that is new to the book
    #[arg(long, value_name = "MAKER", requires = "model")]
    make: Option<String>,
    /// The model, where it is new to the book
    #[arg(long, value_name = "MODEL", requires = "make")]
    model: Option<String>,
    /// The model years that are claimed: 2015-2019, 2015-, -2018
    #[arg(long, value_name = "YEARS", allow_hyphen_values = true)]
    years: Option<String>,
    /// What narrows the claim: 'cab=crew; tow=yes'
    #[arg(long, value_name = "QUALIFIERS")]
    only: Option<String>,
    /// How you know: metered, fitted, inspected, diagram or told
    #[arg(long, value_name = "BASIS")]
    basis: Option<String>,
    /// Who says so; else BAYBOOK_BY, else the name you are logged in with
    #[arg(long, value_name = "NAME")]
    by: Option<String>,
    /// The day; today where none is given
    #[arg(long, value_name = "DATE")]
    on: Option<String>,
    /// How a date in figures such as 12/1/23 is written
    #[arg(long, value_name = "ORDER")]
    date_order: Option<Order>,
    /// The very vehicle that was looked at, where the words do not say it: '2016; cab=crew', or its VIN; 'none'
    #[arg(long, value_name = "VEHICLE")]
    seen: Option<String>,
    /// What else there is to say
    #[arg(long, value_name = "TEXT")]
    remark: Option<String>,
    /// Store it without asking
    #[arg(long)]
    yes: bool,
    /// Show what would follow, and store nothing
    #[arg(long, conflicts_with = "yes")]
    dry_run: bool,
}

pub(super) fn run(args: &Args, console: &mut Console<'_>) -> Result<Status, Failure> {
    let language = console.language()?;
    let mut book = console.book(&language)?;
    let mut prompts = console.prompts.take().filter(|_| !args.yes && !console.json);
    let mut form = Form::default();
    let words = taken(args, &mut form, &language)?;
    let mut described = describe(&words, args.make.is_some(), &language, &book)?;
    described.unseen = args.sees_nothing();
    let hand = console.hand.clone().unwrap_or_default();
    let named = described.is_known() || args.make.is_some() && described.left.is_empty();
    match &mut prompts {
        Some(prompts) if !(named && form.is_full(&hand)) => {
            questions::fill(&mut form, &mut described, console, &language, &book, *prompts)?
        }
        _ => settled(&mut form, &described, &hand, &language)?,
    }
    store(&mut form, args, console, &language, &mut book, prompts)
}

/// Takes the flags; gives the words for the vehicle.
fn taken(args: &Args, form: &mut Form, language: &Language) -> Result<Vec<String>, Failure> {
    let words = part(&args.words, form, language)?;
    if let Some(text) = &args.point {
        let point = point(&language.catalogue, text)?;
        form.set(Column::Point, &language.catalogue.points[point].name);
    }
    let flags = [
        (Column::Make, &args.make),
        (Column::Model, &args.model),
        (Column::Years, &args.years),
        (Column::Only, &args.only),
        (Column::Basis, &args.basis),
        (Column::By, &args.by),
        (Column::On, &args.on),
        (Column::Remark, &args.remark),
    ];
    for (column, text) in flags {
        form.set(column, text.as_deref().unwrap_or_default());
    }
    if !args.sees_nothing() {
        form.set(Column::Seen, args.seen.as_deref().unwrap_or_default());
    }
    Ok(words)
}

impl Args {
    /// Whether it is said that no vehicle was looked at.
    fn sees_nothing(&self) -> bool {
        self.seen.as_deref().is_some_and(|text| matches!(text.trim().to_lowercase().as_str(), "" | "none"))
    }
}

/// Fills in what follows from the words where nobody is asked.
fn settled(form: &mut Form, described: &Described, hand: &str, language: &Language) -> Result<(), Failure> {
    if !described.left.is_empty() {
        let words: Vec<String> = described.left.iter().map(|word| format!("'{word}'")).collect();
        let hint = match described.near.as_slice() {
            [] => "a model that is new to the book is named with --make and --model".to_owned(),
            near => {
                format!("the book has {}; a new model is named with --make and --model", listed(near, "and"))
            }
        };
        return Err(Failure::hinted(format!("not understood: {}", listed(&words, "and")), hint));
    }
    // What is stored stays: a name that only resembles another is not taken for it where nobody is asked.
    if let Some((written, taken)) = described.forgiven.first() {
        let message = format!("no maker or model of the book is called '{written}'");
        let hint = format!(
            "the nearest is {taken}; a model that is new to the book is named with --make and --model"
        );
        return Err(Failure::hinted(message, hint));
    }
    if described.model.is_none() && form.lacks(Column::Make) && form.lacks(Column::Model) {
        let hint = match described.near.as_slice() {
            [] => {
                "write the maker and the model; one that is new to the book is named with --make and --model"
                    .to_owned()
            }
            near => format!("the book has {}", listed(near, "and")),
        };
        return Err(Failure::hinted("which model is it?", hint));
    }
    settle(form, described);
    if form.lacks(Column::On) {
        form.set(Column::On, &language.today.to_string());
    }
    if form.lacks(Column::By) {
        form.set(Column::By, hand);
    }
    Ok(())
}

/// Shows what follows, asks what has to be asked, and stores the note: at once where nothing has to be asked.
fn store(
    form: &mut Form,
    args: &Args,
    console: &mut Console<'_>,
    language: &Language,
    book: &mut Book,
    mut prompts: Option<&mut dyn Prompts>,
) -> Result<Status, Failure> {
    let (mut asked, mut of_hand) = (Vec::new(), whose::Asked::default());
    let lasting = if args.yes { Lasting::Yes } else { Lasting::DryRun };
    loop {
        let mut desk = Desk::new(language, args.date_order.map(Into::into));
        let known = book.person_called(&fold(form.get(Column::By)))?;
        if let Some(name) = &known {
            desk.memo.person(name);
        }
        desk.file(BY_HAND);
        if let Err(troubles) = form.understand(&mut desk) {
            return refused(console, language, &troubles);
        }
        let others = if known.is_none() { book.people()? } else { Vec::new() };
        notices(console, &desk, book)?;
        // Looked at first: whatever another process writes from here on is noticed when the note is stored.
        let looks = if args.yes { None } else { Some(book.looks(&desk.staged)?) };
        let Some(mut seen) = foresee(book, &desk.staged, &mut desk.memo, lasting)? else {
            return Err(Failure::misuse(
                "the note cannot be read back from the book; `baybook check` says more",
            ));
        };
        show(console, language, &seen)?;
        if seen.outcome != Outcome::Known
            && whose::settle(form, &mut of_hand, console, (language, &others), &seen, &mut prompts)?
        {
            continue;
        }
        if let Some(prompts) = &mut prompts
            && narrowed(form, &mut asked, console, language, &seen, *prompts)?
        {
            continue;
        }
        if prompts.is_none() {
            for reach in &seen.reach {
                console.notice(Label::Weak, "careful: ", &added::reach(language, &seen, reach))?;
            }
        }
        let asker = prompts.as_mut().map(|prompts| &mut **prompts as &mut dyn Prompts);
        if !seen.stored && may_store(args, &seen, asker)? {
            match put_in(book, &mut desk, looks.as_ref()) {
                Err(BookError::Changed { .. }) => {
                    let text = "another process wrote about this model meanwhile; what follows now:";
                    console.notice(Label::Weak, "changed: ", text)?;
                    continue;
                }
                outcome => seen.outcome = outcome?,
            }
            seen.stored = seen.outcome == Outcome::New;
        }
        return told(console, language, &seen);
    }
}

/// Stores a note that was only looked at, if its model is still what it was; another process may have stored the same.
fn put_in(book: &mut Book, desk: &mut Desk<'_>, looks: Option<&Looks>) -> Result<Outcome, BookError> {
    let written = match looks {
        Some(looks) => book.write_as_seen(&desk.staged, &mut desk.memo, looks)?,
        None => book.write(&desk.staged, &mut desk.memo, Lasting::Yes, &mut |_| {})?,
    };
    Ok(if written.count(Outcome::New) > 0 { Outcome::New } else { Outcome::Known })
}

fn refused(console: &mut Console<'_>, language: &Language, troubles: &[Trouble]) -> Result<Status, Failure> {
    for trouble in troubles {
        let text = format!("{}: {}", flag(trouble.column, &language.catalogue), trouble.message);
        console.notice(Label::Alarm, "refused: ", &text)?;
    }
    console.notice(Label::Aside, "", "nothing was stored")?;
    Ok(Status::Misuse)
}

/// Words of places that the lexicon lacks, and a maker or model that looks like a misspelling.
fn notices(console: &mut Console<'_>, desk: &Desk<'_>, book: &Book) -> Result<(), Failure> {
    if !desk.strange_words.is_empty() {
        let words: Vec<String> = desk.strange_words.keys().map(|word| format!("'{word}'")).collect();
        let text = format!("the lexicon of places lacks {}; kept as written", listed(&words, "and"));
        console.notice(Label::Weak, "note: ", &text)?;
    }
    let Some(new) = desk.staged.models.first() else { return Ok(()) };
    if book.model_named(&new.0, &new.1)?.is_some() {
        return Ok(());
    }
    let known: Vec<(String, String)> =
        book.models()?.into_iter().map(|known| (known.make, known.model)).collect();
    let read = BTreeMap::from([(new.clone(), 1)]);
    for alike in lookalikes(&read, &known) {
        let text = format!("'{}' looks like a misspelling of '{}'", alike.written, alike.known);
        console.notice(Label::Weak, "misspelled? ", &text)?;
    }
    Ok(())
}

fn show(console: &mut Console<'_>, language: &Language, seen: &Foreseen) -> Result<(), Failure> {
    if console.json {
        return Ok(());
    }
    let mut page = console.page();
    added::understood(&mut page, language, seen);
    page.gap();
    added::consequences(&mut page, language, seen);
    console.print(page)
}

/// Asks about every claim that goes far beyond what was seen, once; whether it was narrowed.
fn narrowed(
    form: &mut Form,
    asked: &mut Vec<Reach>,
    console: &mut Console<'_>,
    language: &Language,
    seen: &Foreseen,
    prompts: &mut dyn Prompts,
) -> Result<bool, Failure> {
    let mut narrowed = false;
    for reach in &seen.reach {
        if asked.contains(reach) {
            continue;
        }
        asked.push(reach.clone());
        console.notice(Label::Weak, "careful: ", &added::reach(language, seen, reach))?;
        let (question, column, text) = match reach {
            Reach::NoVehicle => continue,
            Reach::Years(year) => (format!("Claim it for {year} only?"), Column::Years, year.to_string()),
            Reach::Attribute { name, value } => {
                let told = form.get(Column::Only).to_owned();
                let lead = if told.is_empty() { "" } else { "; " };
                let only = format!("{told}{lead}{name}={value}");
                (
                    format!("Claim it for {} only?", language.vocabulary().plain(name, value)),
                    Column::Only,
                    only,
                )
            }
        };
        if prompts.yes(&question, true)? {
            form.set(column, &text);
            narrowed = true;
        }
    }
    Ok(narrowed)
}

/// Whether the note is to be stored.
fn may_store(args: &Args, seen: &Foreseen, prompts: Option<&mut dyn Prompts>) -> Result<bool, Failure> {
    if seen.outcome == Outcome::Known || args.dry_run {
        return Ok(false);
    }
    match prompts {
        _ if args.yes => Ok(true),
        Some(prompts) => prompts.yes("Store it?", true),
        None => Err(Failure::hinted(
            "nothing was stored: nobody can be asked here",
            "say --yes to store it, or --dry-run to look only",
        )),
    }
}

fn told(console: &mut Console<'_>, language: &Language, seen: &Foreseen) -> Result<Status, Failure> {
    if console.json {
        console.print_json(&added::to_json(language, seen))?;
        return Ok(Status::Done);
    }
    writeln!(console.out)?;
    let mut page = console.page();
    if seen.stored {
        let code = note_code(seen.note.id, seen.shown);
        page.paragraph(0, &[(Label::Sure, "Stored as "), (Label::Id, &code), (Label::Plain, ".")]);
    } else {
        page.paragraph(0, &[(Label::Aside, "Nothing was stored.")]);
    }
    console.print(page)?;
    Ok(Status::Done)
}
